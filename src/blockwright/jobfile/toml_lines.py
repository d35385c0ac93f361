"""On which line of a TOML file each table, key and list item stands, so that a problem can name it."""

from __future__ import annotations

from functools import cached_property

from blockwright.jobfile.toml_layout import Path, layout_of


class Lines:
    """Line numbers by path: `("part", 2, "alloy")` -> line. Read when first asked for."""

    def __init__(self, text: str) -> None:
        self._text = text

    def of(self, path: Path) -> int:
        """Line of a path, or of the nearest thing around it that has one; 0 where nothing is known."""
        for end in range(len(path), 0, -1):
            if path[:end] in self._lines:
                return self._lines[path[:end]]
        return 0

    @cached_property
    def _lines(self) -> dict[Path, int]:
        return layout_of(self._text).lines
