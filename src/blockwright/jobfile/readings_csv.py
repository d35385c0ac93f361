"""`readings.csv` <-> readings: one row a reading, withdrawn rows and rows still to take included.

The words typed in a row are kept beside what they were read as, so that a row is written back as it was typed and only a cell whose
reading has changed is written anew. What is wrong with the value of a withdrawn row is not told: it is withdrawn.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from blockwright.engine.features import FEATURES, Feature
from blockwright.engine.states import read_state, show_state
from blockwright.jobfile.exact import quantity_text
from blockwright.jobfile.inherit import INHERITED, NOT_KNOWN, Cells, Stated, filled, meaning
from blockwright.jobfile.table import Form, Row, with_point
from blockwright.jobfile.typed import TypedCells, kept
from blockwright.metrology.gauges import Gauge
from blockwright.metrology.readings import Reading
from blockwright.problems import Place, Problem
from blockwright.quantities import Kind, Quantity, QuantityError, parse, plausible
from blockwright.quantities.errors import excerpt
from blockwright.quantities.lookup import find_unit

FILE = "readings.csv"
COLUMNS = (
    "id", "part", "feature", "at", "spot", "depth", "value", "unit", "gauge", "setting", "sitting", "state",
    "part_temp", "gauge_temp", "bore_temp", "by", "when", "withdrawn", "note",
)  # fmt: skip
REQUIRED = ("id", "part", "feature", "value")
PLAIN_FORM = Form(",", "\n", COLUMNS)
NAMES = ("id", "part", "feature", "at", "spot", "gauge", "setting", "sitting")
WORDS = ("feature", "at", "spot")
NUMBERS = ("depth", "value", "part_temp", "gauge_temp", "bore_temp")
BETWEEN = re.compile(r"\s+to\s+", re.IGNORECASE)
ROOM_C = (-10.0, 60.0)
"""Temperatures at which anybody measures parts (assumed)."""
DEEPEST_M = 0.5


@dataclass(frozen=True)
class Read:
    """A row as a reading, the quantity of its value (the larger one of two), and the columns that could not be read."""

    reading: Reading
    quantity: Quantity | None
    bad: frozenset[str]


def readings_from(
    rows: Sequence[Row], gauges: Mapping[str, Gauge], problems: list[Problem], file: str = FILE
) -> tuple[Read, ...]:
    """A reading of every row, as far as it can be read; problems are added to the list.

    `gauges` are those whose record is sound: a sign is refused only where the gauge is known to need none.
    """
    used, ambiguous = filled([plain_cells(row.cells, row.decimal_comma) for row in rows])
    for index, column, problem in ambiguous:
        problems.append(problem.at(file=file, line=rows[index].line, field=column))
    return tuple(_Reader(row, cells, gauges, problems, file).read() for row, cells in zip(rows, used, strict=True))


def read_row(row: Row, used: Cells, gauges: Mapping[str, Gauge], problems: list[Problem]) -> Read:
    """One row as a reading, as far as it can be read; `used` are its cells with what it takes from its sitting."""
    return _Reader(row, used, gauges, problems, FILE).read()


def row_of(reading: Reading) -> Row:
    """A reading as the row that it was read from."""
    comma = isinstance(reading.cells, TypedCells) and reading.cells.decimal_comma
    return Row(cells_of(reading, ";" if comma else ","), reading.place.line, comma)


def plain_cells(cells: Cells, decimal_comma: bool = False) -> dict[str, str]:
    """The cells with single gaps in names, this program's words in small letters, and decimal points in numbers."""
    plain = dict(cells)
    for name in NAMES:
        if cells.get(name):
            plain[name] = " ".join(cells[name].split())
    for name in WORDS:
        if cells.get(name):
            plain[name] = plain[name].lower()
    if decimal_comma:
        plain.update({name: with_point(cells[name]) for name in NUMBERS if cells.get(name)})
    return plain


def cells_of(reading: Reading, separator: str = ",") -> dict[str, str]:
    """A reading as a row of a file with this separator: cells as they were typed, where the reading still says the same."""
    return kept(reading.cells, reading, _cells, NUMBERS, separator)


def rows_of(readings: Sequence[Reading], separator: str = ",") -> list[Mapping[str, str]]:
    """Readings as rows that give the same readings when they are read again: what a blank would not take is written out."""
    rows = [cells_of(reading, separator) for reading in readings]
    meant = [_cells(reading) for reading in readings]
    while _write_out(rows, meant, separator == ";"):
        pass
    return list(rows)


def _write_out(rows: list[dict[str, str]], meant: Sequence[Cells], decimal_comma: bool) -> bool:
    """Write what blank cells would take wrongly; whether there was any. What is written may be taken by another row in turn."""
    written = False
    plain = [plain_cells(cells, decimal_comma) for cells in rows]
    for rule in INHERITED:
        stated = Stated(rule, plain)
        for index, cells in enumerate(plain):
            if cells.get(rule.column) or not rule.wanted_by(cells):
                continue
            wanted = meant[index][rule.column]
            taken = {meaning(rule.column, text) for text in stated.texts(cells)} or {None}
            if taken != {meaning(rule.column, wanted)}:
                rows[index][rule.column] = wanted or NOT_KNOWN
                written = True
    return written


def _cells(reading: Reading) -> dict[str, str]:
    return {
        "id": reading.id, "part": reading.part, "feature": reading.feature, "at": reading.at, "spot": reading.spot,
        "depth": "" if reading.depth_m is None else quantity_text(reading.depth_m, Kind.LENGTH),
        "value": reading.text, "unit": reading.unit, "gauge": reading.gauge, "setting": reading.setting,
        "sitting": reading.sitting, **{column: said(reading) for column, said in MEANT.items()}, "by": reading.by,
        "when": reading.when.isoformat() if reading.when else "", "withdrawn": reading.withdrawn, "note": reading.note,
    }  # fmt: skip


def _degrees(value_c: float | None) -> str:
    return "" if value_c is None else quantity_text(value_c, Kind.TEMPERATURE)


MEANT: Mapping[str, Callable[[Reading], str]] = {
    "state": lambda reading: show_state(reading.state) if reading.state else "",
    "part_temp": lambda reading: _degrees(reading.part_temp_c),
    "gauge_temp": lambda reading: _degrees(reading.gauge_temp_c),
    "bore_temp": lambda reading: _degrees(reading.bore_temp_c),
}
"""What a reading says in the columns whose blank cells take something from other rows."""


class _Reader:
    """One row on its way to a reading; keeps what is wrong with it."""

    def __init__(self, row: Row, cells: Cells, gauges: Mapping[str, Gauge], problems: list[Problem], file: str) -> None:
        self.row, self.cells, self.problems, self.file = row, cells, problems, file
        self.gauge = gauges.get(cells.get("gauge", ""))
        self.bad: set[str] = set()

    def read(self) -> Read:
        """The reading, as far as the row can be read."""
        words = self.cells.get
        text, unit, feature = words("value", ""), words("unit", ""), words("feature", "")
        first, last = self._interval(text, unit, FEATURES.get(feature))
        reading = Reading(
            words("id", ""), words("part", ""), feature, words("at", ""), words("spot", ""),
            self._quantity("depth", Kind.LENGTH, (0.0, DEEPEST_M)), text, unit, first.si if first else None, last.si if last else None,
            words("gauge", ""), words("setting", ""), words("sitting", ""), self._state(), self._temperature("part_temp"),
            self._temperature("gauge_temp"), self._temperature("bore_temp"), words("by", ""), self._date(), words("withdrawn", ""),
            words("note", ""), Place(self.file, self.row.line),
        )  # fmt: skip
        return Read(replace(reading, cells=TypedCells(self.row, reading)), last, frozenset(self.bad))

    def _say(self, column: str, problem: Problem) -> None:
        self.bad.add(column)
        if not self.cells.get("withdrawn"):
            self.problems.append(problem.at(file=self.file, line=self.row.line, field=column))

    def _interval(self, text: str, unit: str, feature: Feature | None) -> tuple[Quantity | None, Quantity | None]:
        """The value twice, or both ends of `0.40 to 0.45 mm`; nothing where there is no value or it cannot be read."""
        if not text or feature is None:
            return None, None
        try:
            unit_name = _unit_name(feature.kind, unit)
        except QuantityError as error:
            self._say("unit", error.problems[0])
            return None, None
        try:
            first, last = self._ends(text, unit_name, feature)
        except QuantityError as error:
            self._say("value", error.problems[0])
            return None, None
        if first is not last and first.si >= last.si:
            mend = "Write the smaller size first: '0.40 to 0.45 mm'."
            self._say("value", Problem("interval-upside-down", f"'{excerpt(text)}' runs from large to small.", mend))
        return first, last

    def _ends(self, text: str, unit: str, feature: Feature) -> tuple[Quantity, Quantity]:
        signed = feature.signed or self.gauge is None or self.gauge.sense.compares
        low_text, *high_text = BETWEEN.split(text, maxsplit=1)
        last = parse((high_text or [low_text])[0], feature.kind, unit=unit or None, signed=signed)
        if not high_text:
            return last, last
        return parse(low_text, feature.kind, unit=last.unit, signed=signed), last

    def _quantity(self, column: str, kind: Kind, span: tuple[float, float]) -> float | None:
        text = self.cells.get(column, "")
        if not text or text.lower() == NOT_KNOWN:
            return None
        try:
            quantity = parse(text, kind, unit="°C" if kind is Kind.TEMPERATURE else None)
        except QuantityError as error:
            self._say(column, error.problems[0])
            return None
        doubt = plausible(quantity, *span, what=column.replace("_temp", " temperature"), unit=quantity.unit)
        if doubt is not None:
            self._say(column, doubt)
        return quantity.si

    def _temperature(self, column: str) -> float | None:
        """A temperature. What is wrong with one that was taken from another row is told there."""
        if self.row.cells.get(column) or not self.cells.get(column):
            return self._quantity(column, Kind.TEMPERATURE, ROOM_C)
        return _degrees_c(self.cells[column])

    def _state(self) -> frozenset[str] | None:
        text = self.cells.get("state", "")
        if not text or text.lower() == NOT_KNOWN:
            return None
        state, problems = read_state(text)
        for problem in problems:
            self._say("state", problem)
        return state or None

    def _date(self) -> dt.date | None:
        text = self.cells.get("when", "")
        if not text:
            return None
        try:
            return dt.date.fromisoformat(text)
        except ValueError:
            self._say("when", Problem("date", f"'{excerpt(text)}' is no date.", "Write it as 2026-03-31."))
            return None


@lru_cache(maxsize=1024)
def _degrees_c(text: str) -> float:
    return parse(text, Kind.TEMPERATURE, unit="°C").si


@lru_cache(maxsize=1024)
def _unit_name(kind: Kind, written: str) -> str:
    """The canonical name of what the column `unit` says; an empty text where it says nothing."""
    return find_unit(kind, written).name if written else ""
