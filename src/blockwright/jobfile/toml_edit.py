"""Changing values in a TOML text and nothing else: each change is put in its place, every other letter stays.

A value that is written in one piece (`bore = "97 mm"`, a list, a table in curly brackets) is replaced as a whole; of tables under
headers only the lines that differ are touched.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from typing import Any

from blockwright.jobfile.toml_layout import Header, Pair, Path, layout_of

BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}

Table = Mapping[str, Any]


class NoPlaceError(Exception):
    """A change for which the text has no place."""


def new_text(table: Table) -> str:
    """A table as a TOML text of its own."""
    plain = {key: value for key, value in table.items() if not _under_header(value)}
    blocks = [_blocks(_key(key), value, "\n") for key, value in table.items() if key not in plain]
    return "\n".join([_lines(plain, "\n"), *blocks])


def edited(text: str, held: Table, wanted: Table) -> str:
    """A text that holds one table, changed so that it holds another. Raises NoPlaceError where it has no place for a change."""
    editor = _Editor(text)
    editor.change((), held, wanted)
    return editor.result()


class _Editor:
    """The text with its layout, and the changes to be made: where from, where to, and what is put there."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.newline = "\r\n" if text.partition("\n")[0].endswith("\r") else "\n"
        self.statements = layout_of(text).statements
        self.changes: list[tuple[int, int, str]] = []

    def result(self) -> str:
        """The text with every change made."""
        parts, done = [], 0
        for start, end, put in sorted(self.changes, key=lambda change: change[:2]):
            parts += [self.text[done:start], put]
            done = max(done, end)
        return "".join([*parts, self.text[done:]])

    def change(self, path: Path, held: Table, wanted: Table) -> None:
        """Make the table at a path what is wanted."""
        for key in held:
            if key not in wanted:
                self._remove((*path, key))
        for key, value in sorted(wanted.items(), key=lambda item: (item[0] not in held, _under_header(item[1]))):
            if key not in held:
                self._add(path, key, value)
            elif held[key] != value:
                self._replace((*path, key), held[key], value)

    def _replace(self, path: Path, held: Any, wanted: Any) -> None:
        """Put another value in the place of one."""
        pair = next((each for each in self.statements if isinstance(each, Pair) and each.path == path), None)
        if pair is not None:
            self.changes.append((*pair.value, value_text(wanted)))
        elif isinstance(wanted, Mapping) and isinstance(held, Mapping):
            self.change(path, held, wanted)
        elif _are_tables(wanted) and _are_tables(held):
            self._change_tables(path, held, wanted)
        else:
            raise NoPlaceError

    def _change_tables(self, path: Path, held: Sequence[Table], wanted: Sequence[Table]) -> None:
        """Change, strike out and add tables of a list; those at its ends that stayed as they are are left alone."""
        shorter = min(len(held), len(wanted))
        same = next((i for i in range(shorter) if held[i] != wanted[i]), shorter)
        tail = next((i for i in range(shorter - same) if held[-1 - i] != wanted[-1 - i]), shorter - same)
        for index in range(same, shorter - tail):
            self.change((*path, index), held[index], wanted[index])
        for index in range(shorter - tail, len(held) - tail):
            self._remove((*path, index))
        added = [self._block(path, wanted[index]) for index in range(shorter - tail, len(wanted) - tail)]
        if added:
            self._put_tables(path, shorter - tail, added)

    def _block(self, path: Path, table: Table) -> str:
        return _blocks(_dotted(path), [table], self.newline)

    def _put_tables(self, path: Path, index: int, blocks: Sequence[str]) -> None:
        """New tables of a list: after the one above them, or before the first."""
        if index:
            self._put_after(self._of((*path, index - 1))[-1].end, self.newline + self.newline.join(blocks))
        else:
            start = self._line_start(self._of((*path, 0))[0].start)
            self.changes.append((start, start, self.newline.join([*blocks, ""])))

    def _add(self, path: Path, key: str, value: Any) -> None:
        """A name that its table does not have yet."""
        if not path and _under_header(value):
            self._put_after(len(self.text), self.newline + _blocks(_key(key), value, self.newline))
            return
        own = [each for each in self.statements if isinstance(each, Pair) and each.table == path]
        heads = [each for each in self.statements if isinstance(each, Header) and each.path == path]
        dotted = [each for each in self._of(path) if isinstance(each, Pair) and len(each.table) < len(path)]
        line = f"{_key(key)} = {value_text(value)}{self.newline}"
        if own or heads:
            self._put_after((own or heads)[-1].end, line)
        elif not path:
            self.changes.append((0, 0, line))
        elif dotted:
            last = dotted[-1]
            self._put_after(last.end, f"{_dotted(path[len(last.table) :])}.{line}")
        else:
            self._put_after(len(self.text), f"{self.newline}[{_dotted(path)}]{self.newline}{line}")

    def _remove(self, path: Path) -> None:
        """Strike out everything at a path: whole tables with their headers and the blank lines after them, single lines elsewhere."""
        found = self._of(path)
        if not found:
            raise NoPlaceError
        for each in found:
            if isinstance(each, Header):
                self._strike(each.start, self._block_end(each), blank_lines=True)
            elif each.table[: len(path)] != path:
                self._strike(each.start, each.end)

    def _block_end(self, header: Header) -> int:
        """End of the last line that belongs to a header."""
        index = self.statements.index(header)
        end = header.end
        for each in self.statements[index + 1 :]:
            if isinstance(each, Header):
                break
            end = each.end
        return end

    def _strike(self, start: int, end: int, blank_lines: bool = False) -> None:
        while blank_lines and (line := re.compile(r"[ \t\r]*\n").match(self.text, end)):
            end = line.end()
        self.changes.append((self._line_start(start), end, ""))

    def _put_after(self, end: int, put: str) -> None:
        """Put lines where a line ends; the end of the last line is made good if it has none."""
        whole = not end or self.text[end - 1] == "\n"
        self.changes.append((end, end, put if whole else self.newline + put))

    def _line_start(self, position: int) -> int:
        return self.text.rfind("\n", 0, position) + 1

    def _of(self, path: Path) -> list[Header | Pair]:
        """Every statement at a path or within it."""
        return [each for each in self.statements if each.path[: len(path)] == path]


def value_text(value: Any) -> str:
    """A value as it stands after the equals sign."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + "".join(_escaped(sign) for sign in value) + '"'
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_key(key)} = {value_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, Sequence):
        return "[" + ", ".join(value_text(item) for item in value) + "]"
    return repr(value)


def _escaped(sign: str) -> str:
    if sign in ESCAPES:
        return ESCAPES[sign]
    return f"\\u{ord(sign):04x}" if ord(sign) < 32 or ord(sign) == 127 else sign


def _key(key: str) -> str:
    return key if BARE_KEY.fullmatch(key) else value_text(key)


def _dotted(path: Path) -> str:
    """A path as a dotted name; NoPlaceError where it leads through an item of a list."""
    if not all(isinstance(step, str) for step in path):
        raise NoPlaceError
    return ".".join(_key(str(step)) for step in path)


def _are_tables(value: Any) -> bool:
    """Whether a value is a list of tables, such as the parts."""
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) for item in value)


def _under_header(value: Any) -> bool:
    """Whether a value is written under a header of its own, and so after all that is not."""
    return isinstance(value, Mapping) or _are_tables(value)


def _blocks(name: str, value: Any, newline: str) -> str:
    """A table under its header, or a list of tables each under its own."""
    if isinstance(value, Mapping):
        return f"[{name}]{newline}{_lines(value, newline)}"
    return newline.join(f"[[{name}]]{newline}{_lines(item, newline)}" for item in value)


def _lines(table: Table, newline: str) -> str:
    return "".join(f"{_key(key)} = {value_text(value)}{newline}" for key, value in table.items())
