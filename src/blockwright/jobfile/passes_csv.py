"""`passes.csv` <-> what was filed: one row an entry at the ring grinder, in the order in which they were made.

Withdrawn entries stay, with the reason. The gap in a row is read like any gap of `readings.csv`. A row that took something may wait for its gap:
what is off must be on record before anything else is done.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from blockwright.engine.filing import GAP, RINGS, Pass
from blockwright.engine.states import show_state
from blockwright.jobfile.exact import quantity_text
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.readings_csv import Read, readings_from
from blockwright.jobfile.table import Form, Row, with_point
from blockwright.jobfile.typed import TypedCells, kept
from blockwright.metrology.gauges import Gauge
from blockwright.problems import Place, Problem
from blockwright.quantities import Kind
from blockwright.quantities.errors import excerpt

FILE = "passes.csv"
COLUMNS = (
    "id", "rings", "ring", "at", "wheel", "taken", "counted_in", "gap", "unit", "gauge", "depth", "state", "ring_temp",
    "bore_temp", "by", "when", "withdrawn", "note",
)  # fmt: skip
REQUIRED = ("id", "rings", "ring", "at", "taken", "counted_in", "gap", "gauge")
FORM = Form(",", "\n", COLUMNS)
NUMBERS = ("taken", "gap", "depth", "ring_temp", "bore_temp")
COLUMN_OF = {"part": "rings", "feature": "ring", "value": "gap", "part_temp": "ring_temp"}
"""Columns of the readings that have another name here."""
COUNT = re.compile(r"\d{1,9}([.,]\d{1,20})?|[.,]\d{1,20}")


@dataclass(frozen=True)
class PassRead:
    """A row as an entry, and its gap as it was read."""

    entry: Pass
    read: Read


def passes_from(rows: Sequence[Row], gauges: Mapping[str, Gauge], problems: list[Problem]) -> tuple[PassRead, ...]:
    """Entries of all rows, in the order of the file, as far as they can be read; problems are added to the list."""
    told: list[Problem] = []
    reads = readings_from([_as_reading(row) for row in rows], gauges, told, FILE)
    problems.extend(in_columns(told))
    return tuple(_entry(row, read, problems) for row, read in zip(rows, reads, strict=True))


def _entry(row: Row, read: Read, problems: list[Problem]) -> PassRead:
    faults = list(_faults(row))
    problems.extend(problem.at(file=FILE, line=row.line) for problem in faults)
    count = _count(row.number("taken"))
    entry = Pass(
        read.reading, math.nan if count is None else count, row.cells["counted_in"], row.cells.get("wheel", "")
    )
    no_ring = {"feature"} if any(problem.code == "pass-ring" for problem in faults) else set()
    return PassRead(replace(entry, cells=TypedCells(row, entry)), replace(read, bad=read.bad | no_ring))


def in_columns(problems: Sequence[Problem]) -> Iterator[Problem]:
    """Problems of the gap as a reading, with the names that the columns have here."""
    for problem in problems:
        place = problem.place
        if place.field in COLUMN_OF:
            place = Place(place.file, place.line, COLUMN_OF[place.field])
        yield Problem(problem.code, problem.what, problem.mend, place)


def cells_of(each: Pass, separator: str = ",") -> dict[str, str]:
    """An entry as a row of a file with this separator: cells as they were typed, where the entry still says the same."""
    return kept(each.cells, each, _cells, NUMBERS, separator)


def _cells(each: Pass) -> dict[str, str]:
    reading = each.reading
    return {
        "id": reading.id, "rings": each.rings, "ring": each.ring, "at": each.at, "wheel": each.wheel,
        "taken": _shortest(each.units), "counted_in": each.unit, "gap": reading.text, "unit": reading.unit,
        "gauge": reading.gauge, "depth": "" if reading.depth_m is None else quantity_text(reading.depth_m, Kind.LENGTH),
        "state": show_state(reading.state) if reading.state else "", "ring_temp": _degrees(reading.part_temp_c),
        "bore_temp": _degrees(reading.bore_temp_c), "by": reading.by,
        "when": reading.when.isoformat() if reading.when else "", "withdrawn": reading.withdrawn, "note": reading.note,
    }  # fmt: skip


def _degrees(value_c: float | None) -> str:
    return "" if value_c is None else quantity_text(value_c, Kind.TEMPERATURE)


def _faults(row: Row) -> Iterator[Problem]:
    cells = row.cells
    if cells["ring"].lower() not in RINGS:
        what = f"'{excerpt(cells['ring'])}' is no ring that is filed."
        yield Problem("pass-ring", what, meant_or_listed(cells["ring"], RINGS, "Possible")).at(field="ring")
    count = _count(row.number("taken"))
    if count is None:
        what = f"'{excerpt(cells['taken'])}' is no count of what was taken."
        yield Problem("pass-units", what, "Write 0 for a first reading, else turns, strokes or infeed.").at(
            field="taken"
        )
    if not cells["gap"] and not cells.get("withdrawn") and not count:
        mend = "Write the gap as read, or how much was taken."
        yield Problem("pass-gap", "the entry has neither a gap nor anything taken.", mend).at(field="gap")


def _as_reading(row: Row) -> Row:
    """The row as one of `readings.csv`; a sitting of its own, so that it takes nothing from another row."""
    cells = {name: row.cells.get(column, "") for name, column in COLUMN_OF.items()}
    cells["feature"] += GAP if cells["feature"] else ""
    shared = {
        name: cell
        for name, cell in row.cells.items()
        if name not in (*COLUMN_OF.values(), "wheel", "taken", "counted_in")
    }
    cells["sitting"] = f"filing {row.cells['id']}"
    return Row({**shared, **cells}, row.line, row.decimal_comma)


def _count(text: str) -> float | None:
    """How much was taken; `None` where that is no number."""
    return float(with_point(text)) if COUNT.fullmatch(text) else None


def _shortest(value: float) -> str:
    """The shortest decimal that reads back as the same number, without a power of ten."""
    return f"{Decimal(repr(value)).normalize():f}"
