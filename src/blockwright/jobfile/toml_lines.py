"""On which line of a TOML file each key stands, so that a problem can name it.

A small scan of table headers and keys at the start of a line; it need not be exact within multi-line values, since it serves only to
point at a line of a file that the TOML reader has already taken.
"""

from __future__ import annotations

import re
from collections import Counter

HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
KEY = re.compile(r"""^\s*("[^"]*"|'[^']*'|[A-Za-z0-9_-]+)(?:\s*\.\s*[A-Za-z0-9_-]+)*\s*=""")
QUOTES = ('"""', "'''")

Path = tuple[str | int, ...]


class Lines:
    """Line numbers by path: `("part", 2, "alloy")` -> line."""

    def __init__(self, text: str) -> None:
        self._found: dict[Path, int] = {}
        self._scan(text)

    def of(self, path: Path) -> int:
        """Line of a path, or of the nearest thing around it that has one; 0 where nothing is known."""
        for end in range(len(path), 0, -1):
            if path[:end] in self._found:
                return self._found[path[:end]]
        return 0

    def _scan(self, text: str) -> None:
        table: Path = ()
        counts: Counter[Path] = Counter()
        inside = ""
        for number, line in enumerate(text.splitlines(), 1):
            if inside:
                inside = "" if inside in line else inside
                continue
            header = HEADER.match(line)
            if header:
                table = self._table(header, counts)
                self._found.setdefault(table, number)
                continue
            key = KEY.match(line)
            if key:
                name = key.group(1).strip("\"'")
                self._found.setdefault((*table, name), number)
                inside = next((quote for quote in QUOTES if line.count(quote) == 1), "")

    @staticmethod
    def _table(header: re.Match[str], counts: Counter[Path]) -> Path:
        names = tuple(part.strip().strip("\"'") for part in header.group(2).split("."))
        path: Path = ()
        for name in names[:-1]:
            path = (*path, name)
            if counts[path]:
                path = (*path, counts[path] - 1)
        path = (*path, names[-1])
        if header.group(1) == "[[":
            counts[path] += 1
            return (*path, counts[path] - 1)
        return path
