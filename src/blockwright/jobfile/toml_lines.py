"""On which line of a TOML file each table, key and list item stands, so that a problem can name it.

Goes once through a text that the TOML reader has taken already, sign by sign from token to token, in time that grows with its length.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

Path = tuple[str | int, ...]
"""Keys and, in lists, indices that lead to a value: `("part", 2, "alloy")`."""

TOKEN = re.compile(
    r"""(?P<gap>[ \t\r]+|\#[^\n]*)|(?P<newline>\n)|(?P<sign>[\[\]{}=,.])"""
    r'''|(?P<text>"""(?:[^\\]|\\.)*?"{3,5}|'{3}(?s:.)*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')'''
    r"""|(?P<word>[^\s\[\]{}=,.#"']+)""",
    re.DOTALL,
)


class Token(NamedTuple):
    """One sign, word or text, and its line."""

    kind: str
    text: str
    line: int


class Lines:
    """Line numbers by path: `("part", 2, "alloy")` -> line. Read when first asked for."""

    def __init__(self, text: str) -> None:
        self._text = text

    def of(self, path: Path) -> int:
        """Line of a path, or of the nearest thing around it that has one; 0 where nothing is known."""
        for end in range(len(path), 0, -1):
            if path[:end] in self._found:
                return self._found[path[:end]]
        return 0

    @cached_property
    def _found(self) -> dict[Path, int]:
        return _Reader(self._text).found


class _Reader:
    """Goes through the tokens and notes the line of each path."""

    def __init__(self, text: str) -> None:
        self.found: dict[Path, int] = {}
        self._tokens = _tokens(text)
        self._now = next(self._tokens)
        self._read()

    def _step(self) -> Token:
        """The token at hand; the next one is then at hand."""
        token, self._now = self._now, next(self._tokens)
        return token

    def _read(self) -> None:
        table: Path = ()
        counts: Counter[Path] = Counter()
        while self._now.kind != "end":
            if self._now.kind == "newline":
                self._step()
            elif self._now.text == "[":
                table = self._header(counts)
            else:
                self._pair(table)
                while self._now.kind not in ("newline", "end"):
                    self._step()

    def _header(self, counts: Counter[Path]) -> Path:
        """Path of the table that a header opens."""
        line = self._step().line
        many = self._now.text == "[" and self._now.kind == "sign"
        if many:
            self._step()
        path: Path = ()
        keys = self._keys("]")
        for key in keys[:-1]:
            path = (*path, key)
            if counts[path]:
                path = (*path, counts[path] - 1)
        path = (*path, *keys[-1:])
        if many:
            counts[path] += 1
            self.found.setdefault(path, line)
            path = (*path, counts[path] - 1)
        elif counts[path]:
            path = (*path, counts[path] - 1)
        self.found[path] = line
        while self._now.text == "]":
            self._step()
        return path

    def _keys(self, until: str) -> list[str]:
        """The keys of a dotted name, which a sign ends."""
        keys = []
        while self._now.text != until and self._now.kind in ("word", "text", "sign"):
            token = self._step()
            if token.kind != "sign":
                keys.append(_plain(token))
        return keys

    def _pair(self, table: Path) -> None:
        """A name, its equals sign and its value."""
        line = self._now.line
        path = table
        for key in self._keys("="):
            path = (*path, key)
            self.found.setdefault(path, line)
        self._step()
        self._value(path)

    def _value(self, path: Path) -> None:
        if self._now.kind == "sign" and self._now.text == "[":
            self._items(path, "]")
        elif self._now.kind == "sign" and self._now.text == "{":
            self._items(path, "}")
        else:
            while self._now.kind in ("word", "text") or self._now.text == ".":
                self._step()

    def _items(self, path: Path, closing: str) -> None:
        """The items of a list or the pairs of an inline table."""
        self._step()
        index = 0
        while self._now.kind != "end" and self._now.text != closing:
            if self._now.kind == "newline" or self._now.text in (",", "]", "}", "="):
                self._step()
            elif closing == "}":
                self._pair(path)
            else:
                self.found[(*path, index)] = self._now.line
                self._value((*path, index))
                index += 1
        self._step()


def _tokens(text: str) -> Iterator[Token]:
    line, position = 1, 0
    while position < len(text):
        found = TOKEN.match(text, position)
        if found is None:
            break
        kind = found.lastgroup or ""
        if kind != "gap":
            yield Token(kind, found.group(), line)
        line += found.group().count("\n")
        position = found.end()
    while True:
        yield Token("end", "", line)


def _plain(token: Token) -> str:
    """A key as the TOML reader gives it."""
    if token.kind != "text":
        return token.text
    if "\\" not in token.text:
        return token.text[1:-1]
    return str(tomllib.loads(f"key = {token.text}")["key"])
