"""Where in a TOML text its tables and values stand: for naming a line, and for changing one value and nothing else.

Goes once through a text that the TOML reader has taken already, from token to token, in time that grows with its length.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

Path = tuple[str | int, ...]
"""Keys and, in lists, indices that lead to a value: `("part", 2, "alloy")`."""

TOKEN = re.compile(
    r"""(?P<gap>[ \t\r]+|\#[^\n]*)|(?P<newline>\n)|(?P<sign>[\[\]{}=,.])"""
    r'''|(?P<text>"""(?:[^\\]|\\.)*?"{3,5}|'{3}(?s:.)*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')'''
    r"""|(?P<word>[^\s\[\]{}=,.#"']+)""",
    re.DOTALL,
)
DEEPEST = 250


class Token(NamedTuple):
    """One sign, word or text, where it starts in the text, and its line."""

    kind: str
    text: str
    start: int
    line: int


@dataclass(frozen=True)
class Header:
    """A line such as `[engine]` or `[[part]]`: the table that it opens, and where the line ends."""

    path: Path
    start: int
    end: int


@dataclass(frozen=True)
class Pair:
    """A name with its value: its path, the table that it was written in, the ends of its lines and of its value."""

    path: Path
    table: Path
    start: int
    end: int
    value: tuple[int, int]


@dataclass
class Layout:
    """Headers and pairs of a text in order, and the line of each path, items of lists and inline tables included."""

    statements: list[Header | Pair] = field(default_factory=list)
    lines: dict[Path, int] = field(default_factory=dict)


def layout_of(text: str) -> Layout:
    """The layout of a TOML text."""
    return _Reader(text).layout


class _Reader:
    """Goes through the tokens and notes where everything stands."""

    def __init__(self, text: str) -> None:
        self.layout = Layout()
        self._tokens = _tokens(text)
        self._last = self._now = next(self._tokens)
        table: Path = ()
        counts: Counter[Path] = Counter()
        while self._now.kind != "end":
            start = self._now.start
            if self._now.kind == "newline":
                self._step()
            elif self._now.text == "[":
                table = self._header(counts)
                self.layout.statements.append(Header(table, start, self._line_end()))
            else:
                path, value = self._pair(table)
                self.layout.statements.append(Pair(path, table, start, self._line_end(), value))

    def _step(self) -> Token:
        """The token at hand; the next one is then at hand."""
        self._last, self._now = self._now, next(self._tokens)
        return self._last

    def _line_end(self) -> int:
        """Go to the end of the line; where that is."""
        while self._now.kind not in ("newline", "end"):
            self._step()
        end = self._now.start + (self._now.kind == "newline")
        if self._now.kind == "newline":
            self._step()
        return end

    def _header(self, counts: Counter[Path]) -> Path:
        """Path of the table that a header opens."""
        line = self._step().line
        many = self._now.text == "["
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
            self.layout.lines.setdefault(path, line)
            path = (*path, counts[path] - 1)
        elif counts[path]:
            path = (*path, counts[path] - 1)
        self.layout.lines[path] = line
        return path

    def _keys(self, until: str) -> list[str]:
        """The keys of a dotted name, which a sign ends."""
        keys: list[str] = []
        while self._now.text != until and self._now.kind in ("word", "text", "sign"):
            token = self._step()
            if token.kind != "sign" and len(keys) < DEEPEST:
                keys.append(_plain(token))
        return keys

    def _pair(self, table: Path) -> tuple[Path, tuple[int, int]]:
        """Path of a name, and where its value starts and ends."""
        line = self._now.line
        path = table
        for key in self._keys("="):
            path = (*path, key)
            self.layout.lines.setdefault(path, line)
        self._step()
        start = self._now.start
        self._value(path)
        return path, (start, self._last.start + len(self._last.text))

    def _value(self, path: Path) -> None:
        if self._now.kind == "sign" and self._now.text in ("[", "{"):
            self._items(path, "]" if self._now.text == "[" else "}")
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
                self.layout.lines[(*path, index)] = self._now.line
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
            yield Token(kind, found.group(), position, line)
        line += found.group().count("\n")
        position = found.end()
    while True:
        yield Token("end", "", len(text), line)


def _plain(token: Token) -> str:
    """A key as the TOML reader gives it."""
    if token.kind != "text":
        return token.text
    if "\\" not in token.text:
        return token.text[1:-1]
    return str(tomllib.loads(f"key = {token.text}")["key"])
