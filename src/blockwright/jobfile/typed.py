"""The cells of a row as they were typed, kept beside what they were read as, so that a row is written back as it was typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from blockwright.jobfile.table import Row, with_point


class TypedCells(dict[str, str]):
    """The cells of a row as typed, the record that they gave, and whether a comma in their numbers is a decimal comma."""

    def __init__(self, row: Row, gave: Any) -> None:
        super().__init__(row.cells)
        self.gave, self.decimal_comma = gave, row.decimal_comma


def kept(
    typed: Mapping[str, str],
    record: Any,
    plain: Callable[[Any], dict[str, str]],
    numbers: Sequence[str],
    separator: str,
) -> dict[str, str]:
    """The cells of a record: as typed where the record still says what they were read as, else anew, as `plain` gives them.

    `numbers` are the columns that hold numbers: a decimal comma is kept only where the file's `separator` is a semicolon.
    """
    if not isinstance(typed, TypedCells):
        return plain(record)
    kept_cells = dict(typed)
    if typed.gave != record:
        before = plain(typed.gave)
        kept_cells |= {name: cell for name, cell in plain(record).items() if cell != before[name]}
    if typed.decimal_comma and separator != ";":
        kept_cells.update({name: with_point(kept_cells[name]) for name in numbers if name in kept_cells})
    return kept_cells
