"""`record.csv` <-> signed acceptances, each sealed to the one before (`sealing`)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence

from blockwright.engine.rules import Accepted, Record
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.sealing import chained, is_number, seal_of
from blockwright.jobfile.table import Form, Row
from blockwright.problems import Place, Problem
from blockwright.quantities import QuantityError, parse
from blockwright.quantities.errors import excerpt

FILE = "record.csv"
COLUMNS = ("number", "event", "fit", "at", "value", "by", "when", "why", "digest")
REQUIRED = ("number", "event", "fit", "at", "value", "by", "why")
FORM = Form(",", "\n", COLUMNS)

Say = Callable[[str, Problem], None]


def records_from(rows: Sequence[Row], problems: list[Problem]) -> tuple[Record, ...]:
    """Acceptances of all rows that can be read, the chain of digests and their numbers checked."""
    return chained(rows, FILE, _record, seal, problems)


def record_from(cells: Mapping[str, str]) -> Record:
    """An acceptance from the cells of its row, which can be read."""
    record = _record(Row(cells, 0), [])
    assert record is not None
    return record


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
    return seal_of((cells[name] for name in COLUMNS if name != "digest"), before)


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
    if not is_number(cells["number"]):
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
