"""Rows that are sealed to one another: a digest ties each to the one before, so that a later change shows.

The digest of a row is SHA-256 over the digest of the row before (nothing for the first) and the row's own cells, joined by line feeds (a line
feed or backslash within a cell is written with a backslash). A row written by hand may leave it blank: it counts, and is said to be
unsealed. What the digests cannot show is that the last rows were struck out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from typing import Protocol, TypeVar

from blockwright.jobfile.table import Row
from blockwright.problems import Place, Problem


class Sealed(Protocol):
    """What was signed in one row."""

    @property
    def number(self) -> int:
        """Rows are numbered 1, 2, 3."""

    @property
    def digest(self) -> str:
        """The seal; blank in a row written by hand."""

    @property
    def place(self) -> Place:
        """Where the row stands."""


S = TypeVar("S", bound=Sealed)
LONGEST_NUMBER = 7


def seal_of(cells: Iterable[str], before: str) -> str:
    """Digest of a row's own cells that follow a row with the digest `before`."""
    own = (cell.replace("\\", "\\\\").replace("\n", "\\n") for cell in cells)
    return hashlib.sha256("\n".join([before, *own]).encode()).hexdigest()


def chained(
    rows: Sequence[Row],
    file: str,
    read: Callable[[Row, list[Problem]], S | None],
    seal: Callable[[S, str], str],
    problems: list[Problem],
) -> tuple[S, ...]:
    """What every row says that can be read, the chain of digests and the numbers checked; problems are added to the list."""
    found: list[S] = []
    before, last = "", 0
    for row in rows:
        signed = read(row, problems)
        if signed is not None:
            if signed.digest and signed.digest != seal(signed, before):
                problems.append(_broken(signed))
            elif signed.number != last + 1:
                problems.append(_misnumbered(signed, last, file))
            found.append(signed)
        last = signed.number if signed is not None else last + 1
        before = row.cells.get("digest", "")
    return tuple(found)


def is_number(cell: str) -> bool:
    """Whether a cell holds a row's number."""
    return cell.isdecimal() and len(cell) < LONGEST_NUMBER


def _broken(signed: Sealed) -> Problem:
    what = f"row {signed.number}, or the one before it, was changed, moved or taken out after it was signed: its digest does not fit."
    mend = "Put the rows back as they were; or strike this one out and sign again."
    return Problem("record-seal", what, mend, signed.place)


def _misnumbered(signed: Sealed, last: int, file: str) -> Problem:
    after = f"comes after number {last}" if last else "is the first"
    what = f"the row bears the number {signed.number} and {after}."
    mend = "Rows are numbered 1, 2, 3 and never taken out: put back what is missing, or mend the number."
    return Problem("record-number", what, mend, Place(file, signed.place.line, "number"))
