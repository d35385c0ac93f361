"""`readings.csv` <-> readings: one row a reading, withdrawn rows and rows still to take included.

State and temperatures are entered once per part and sitting and inherited: a blank cell takes the one value that other rows of the
same sitting state for the same part (gauge temperature: the same gauge; bore temperature: the block in that sitting). Where they state
several, a blank is a problem, so that the order of rows never matters.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from blockwright.engine.features import FEATURES
from blockwright.engine.states import read_state, show_state
from blockwright.jobfile.table import Form, Row
from blockwright.metrology.gauges import Gauge
from blockwright.metrology.readings import Reading
from blockwright.problems import Place, Problem
from blockwright.quantities import Kind, QuantityError, parse

FILE = "readings.csv"
COLUMNS = (
    "id", "part", "feature", "at", "spot", "depth", "value", "unit", "gauge", "setting", "sitting", "state",
    "part_temp", "gauge_temp", "bore_temp", "by", "when", "withdrawn", "note",
)  # fmt: skip
REQUIRED = ("id", "part", "feature", "value")
PLAIN_FORM = Form(",", "\n", COLUMNS)
BETWEEN = " to "

Say = Callable[[str, Problem], None]


def readings_from(rows: Sequence[Row], gauges: Mapping[str, Gauge], problems: list[Problem]) -> tuple[Reading, ...]:
    """Readings of all rows that can be read; a bad row is reported and left out, the rest go on."""
    rows = _inherited(rows, problems)
    found = (_reading(row, gauges, problems) for row in rows)
    return tuple(reading for reading in found if reading is not None)


def cells_of(reading: Reading) -> Mapping[str, str]:
    """A reading as a row; the cells as they were typed where they are known."""
    if reading.cells:
        return reading.cells
    return {
        "id": reading.id, "part": reading.part, "feature": reading.feature, "at": reading.at, "spot": reading.spot,
        "depth": f"{round(reading.depth_m * 1e3, 6):g} mm" if reading.depth_m is not None else "",
        "value": reading.text, "unit": reading.unit, "gauge": reading.gauge, "setting": reading.setting,
        "sitting": reading.sitting, "state": show_state(reading.state) if reading.state else "",
        "part_temp": _degrees(reading.part_temp_c), "gauge_temp": _degrees(reading.gauge_temp_c),
        "bore_temp": _degrees(reading.bore_temp_c), "by": reading.by,
        "when": reading.when.isoformat() if reading.when else "", "withdrawn": reading.withdrawn, "note": reading.note,
    }  # fmt: skip


def _degrees(value_c: float | None) -> str:
    return "" if value_c is None else f"{value_c!r} °C"


def _reading(row: Row, gauges: Mapping[str, Gauge], problems: list[Problem]) -> Reading | None:
    before = len(problems)
    cells = row.used or row.cells

    def say(field: str, problem: Problem) -> None:
        problems.append(problem.at(file=FILE, line=row.line, field=field))

    def words(name: str) -> str:
        return cells.get(name, "")

    def size(name: str, kind: Kind) -> float | None:
        return _quantity(words(name), kind, name, say)

    reading = Reading(
        id=words("id"), part=words("part"), feature=words("feature"), at=words("at"), spot=words("spot"),
        depth_m=size("depth", Kind.LENGTH), text=words("value"), unit=words("unit"), gauge=words("gauge"),
        setting=words("setting"), sitting=words("sitting"), state=_state(words("state"), say),
        part_temp_c=size("part_temp", Kind.TEMPERATURE), gauge_temp_c=size("gauge_temp", Kind.TEMPERATURE),
        bore_temp_c=size("bore_temp", Kind.TEMPERATURE), by=words("by"), when=_date(words("when"), say),
        withdrawn=words("withdrawn"), note=words("note"), place=Place(FILE, row.line), cells=row.cells,
    )  # fmt: skip
    if reading.feature not in FEATURES:
        return reading if len(problems) == before else None
    low, high = _interval(reading, gauges.get(reading.gauge), say)
    return replace(reading, low_si=low, high_si=high) if len(problems) == before else None


def _interval(reading: Reading, gauge: Gauge | None, say: Say) -> tuple[float | None, float | None]:
    """The reading in SI: twice the same for a plain one, both ends for `0.40 to 0.45`."""
    if not reading.text:
        return None, None
    feature = FEATURES[reading.feature]
    signed = feature.signed or (gauge is not None and gauge.sense.compares)
    low_text, between, high_text = reading.text.partition(BETWEEN)
    texts = (f"{low_text} {_unit_in(high_text)}" if between and not _unit_in(low_text) else low_text, high_text)
    values = []
    for text in texts if between else texts[:1]:
        try:
            values.append(parse(text, feature.kind, unit=reading.unit or None, signed=signed).si)
        except QuantityError as error:
            say("value", error.problems[0])
            return None, None
    if between and values[0] >= values[1]:
        say("value", Problem("interval-upside-down", f"'{reading.text}' runs from large to small.",
                             "Write the blade that goes first, then the one that does not."))  # fmt: skip
        return None, None
    return values[0], values[-1]


def _unit_in(text: str) -> str:
    return text.strip().lstrip("+-−.,0123456789/ ")


def _state(text: str, say: Say) -> frozenset[str] | None:
    if not text:
        return None
    state, problems = read_state(text)
    for problem in problems:
        say("state", problem)
    return state


def _date(text: str, say: Say) -> dt.date | None:
    if not text:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        say("when", Problem("date", f"'{text[:40]}' is no date.", "Write it as 2026-03-31."))
        return None


def _quantity(text: str, kind: Kind, field: str, say: Say) -> float | None:
    if not text:
        return None
    try:
        return parse(text, kind, unit="°C" if kind is Kind.TEMPERATURE else None, signed=kind is Kind.TEMPERATURE).si
    except QuantityError as error:
        say(field, error.problems[0])
        return None


INHERITED: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("state", ("sitting", "part")),
    ("part_temp", ("sitting", "part")),
    ("gauge_temp", ("sitting", "gauge")),
    ("bore_temp", ("sitting", "at")),
)


def _inherited(rows: Sequence[Row], problems: list[Problem]) -> list[Row]:
    """Rows with blank state and temperature cells filled from their sitting."""
    filled = [dict(row.cells) for row in rows]
    for column, keys in INHERITED:
        stated: defaultdict[tuple[str, ...], set[str]] = defaultdict(set)
        for cells in filled:
            if cells.get(column) and cells.get("sitting"):
                stated[tuple(cells.get(key, "") for key in keys)].add(cells[column])
        for cells, row in zip(filled, rows, strict=True):
            values = stated.get(tuple(cells.get(key, "") for key in keys), set())
            if cells.get(column) or not cells.get("value") or not values or not cells.get("sitting"):
                continue
            if len(values) > 1:
                problems.append(_ambiguous(column, values, cells, row))
            else:
                cells[column] = next(iter(values))
    return [replace(row, used=cells) for row, cells in zip(rows, filled, strict=True)]


def _ambiguous(column: str, values: Iterable[str], cells: Mapping[str, str], row: Row) -> Problem:
    listed = ", ".join(f"'{value}'" for value in sorted(values))
    what = f"sitting '{cells['sitting']}' states {column} of {cells['part']} as {listed}, and this row states none."
    return Problem(
        "inherit-ambiguous", what, "Write it in this row, or use two sittings.", Place(FILE, row.line, column)
    )
