"""`record.csv` <-> signed acceptances, each sealed by a digest to the one before, so that a later change shows.

The digest of a row is SHA-256 over the digest of the row before (nothing for the first) and the row's own cells, joined by line feeds (a line
feed or backslash within a cell is written with a backslash). A row written by hand may leave it blank: it counts, and is said to be
unsealed. What the digests cannot show is that the last rows were struck out.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Mapping, Sequence

from blockwright.engine.rules import Accepted, Record
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.table import Form, Row
from blockwright.problems import Place, Problem
from blockwright.quantities import QuantityError, parse
from blockwright.quantities.errors import excerpt

FILE = "record.csv"
COLUMNS = ("number", "event", "fit", "at", "value", "by", "when", "why", "digest")
REQUIRED = ("number", "event", "fit", "at", "value", "by", "why")
FORM = Form(",", "\n", COLUMNS)
LONGEST_NUMBER = 7

Say = Callable[[str, Problem], None]


def records_from(rows: Sequence[Row], problems: list[Problem]) -> tuple[Record, ...]:
    """Acceptances of all rows that can be read, the chain of digests and their numbers checked."""
    records: list[Record] = []
    before, last = "", 0
    for row in rows:
        record = _record(row, problems)
        if record is not None:
            if not _broken(record, before, problems) and record.number != last + 1:
                problems.append(_misnumbered(record, last))
            records.append(record)
        last = record.number if record is not None else last + 1
        before = row.cells.get("digest", "")
    return tuple(records)


def cells_of(record: Record) -> Mapping[str, str]:
    """An acceptance as a row."""
    return {
        "number": str(record.number), "event": record.event, "fit": record.fit, "at": record.at,
        "value": record.value_text, "by": record.by, "when": record.when.isoformat() if record.when else "",
        "why": record.why, "digest": record.digest,
    }  # fmt: skip


def seal(record: Record, before: str) -> str:
    """Digest of a record that follows one with the digest `before`."""
    cells = cells_of(record)
    own = (cells[name].replace("\\", "\\\\").replace("\n", "\\n") for name in COLUMNS if name != "digest")
    text = "\n".join([before, *own])
    return hashlib.sha256(text.encode()).hexdigest()


def _broken(record: Record, before: str, problems: list[Problem]) -> bool:
    """Whether the seal does not fit; told if so."""
    if not record.digest or record.digest == seal(record, before):
        return False
    what = f"row {record.number}, or the one before it, was changed, moved or taken out after it was signed: its digest does not fit."
    mend = "Put the rows back as they were; or strike this one out and sign again."
    problems.append(Problem("record-seal", what, mend, record.place))
    return True


def _misnumbered(record: Record, last: int) -> Problem:
    after = f"comes after number {last}" if last else "is the first"
    what = f"the row bears the number {record.number} and {after}."
    mend = "Rows are numbered 1, 2, 3 and never taken out: put back what is missing, or mend the number."
    return Problem("record-number", what, mend, Place(FILE, record.place.line, "number"))


def _record(row: Row, problems: list[Problem]) -> Record | None:
    cells, place = row.cells, Place(FILE, row.line)
    before = len(problems)

    def say(column: str, problem: Problem) -> None:
        problems.append(problem.at(file=FILE, line=row.line, field=column))

    for name in ("by", "why"):
        if not cells[name]:
            say(name, Problem("record-unsigned", f"an acceptance needs '{name}'.", "Write who accepted it, and why."))
    if cells["event"] not in tuple(Accepted):
        mend = f"Possible: {', '.join(Accepted)}."
        say("event", Problem("record-event", f"'{excerpt(cells['event'])}' is no way to accept a fit.", mend))
    if not (cells["number"].isdecimal() and len(cells["number"]) < LONGEST_NUMBER):
        say("number", Problem("record-number", f"'{excerpt(cells['number'])}' is no row's number.", "Write 1, 2, 3."))
    when = _when(cells.get("when", ""), say)
    value = _value(row, say)
    if len(problems) > before or value is None:
        return None
    return Record(
        int(cells["number"]), Accepted(cells["event"]), cells["fit"], cells["at"], value, row.number("value"), cells["by"],
        when, cells["why"], cells.get("digest", ""), place,
    )  # fmt: skip


def _value(row: Row, say: Say) -> float | None:
    fit = REGISTRY.get(row.cells["fit"])
    if fit is None:
        mend = meant_or_listed(row.cells["fit"], list(REGISTRY), "Some that are known")
        say("fit", Problem("fit-unknown", f"there is no fit '{excerpt(row.cells['fit'])}'.", mend))
        return None
    try:
        return parse(row.number("value"), fit.kind, signed=True).si
    except QuantityError as error:
        say("value", error.problems[0])
        return None


def _when(text: str, say: Say) -> dt.date | None:
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        say("when", Problem("date", f"'{excerpt(text)}' is no date.", "Write it as 2026-03-31."))
        return None
