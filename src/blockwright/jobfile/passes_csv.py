"""`passes.csv` <-> what was filed: one row an entry at the ring grinder, in the order in which they were made.

Withdrawn entries stay, with the reason. The gap in a row is read like any gap of `readings.csv`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from blockwright.engine.filing import GAP, RINGS, Pass
from blockwright.engine.states import show_state
from blockwright.jobfile.readings_csv import readings_from
from blockwright.jobfile.table import Form, Row
from blockwright.metrology.gauges import Gauge
from blockwright.problems import Place, Problem

FILE = "passes.csv"
COLUMNS = (
    "id", "rings", "ring", "at", "wheel", "taken", "counted_in", "gap", "unit", "gauge", "depth", "state", "ring_temp",
    "bore_temp", "by", "when", "withdrawn", "note",
)  # fmt: skip
REQUIRED = ("id", "rings", "ring", "at", "taken", "counted_in", "gap", "gauge")
FORM = Form(",", "\n", COLUMNS)
SAME = ("id", "at", "unit", "gauge", "depth", "state", "bore_temp", "by", "when", "withdrawn", "note")


def passes_from(rows: Sequence[Row], gauges: Mapping[str, Gauge], problems: list[Problem]) -> tuple[Pass, ...]:
    """Entries of all rows that can be read, in the order of the file."""
    found = (_pass(row, gauges, problems) for row in rows)
    return tuple(each for each in found if each is not None)


def cells_of(each: Pass) -> Mapping[str, str]:
    """An entry as a row."""
    if each.cells:
        return each.cells
    reading = each.reading
    return {
        "id": reading.id, "rings": each.rings, "ring": each.ring, "at": each.at, "wheel": each.wheel,
        "taken": f"{each.units:g}", "counted_in": each.unit, "gap": reading.text, "unit": reading.unit,
        "gauge": reading.gauge, "depth": f"{round(reading.depth_m * 1e3, 6):g} mm" if reading.depth_m is not None else "",
        "state": show_state(reading.state) if reading.state else "", "ring_temp": _degrees(reading.part_temp_c),
        "bore_temp": _degrees(reading.bore_temp_c), "by": reading.by,
        "when": reading.when.isoformat() if reading.when else "", "withdrawn": reading.withdrawn, "note": reading.note,
    }  # fmt: skip


def _degrees(value_c: float | None) -> str:
    return "" if value_c is None else f"{value_c!r} °C"


def _pass(row: Row, gauges: Mapping[str, Gauge], problems: list[Problem]) -> Pass | None:
    cells = row.cells
    before = len(problems)

    def say(field: str, code: str, what: str, mend: str) -> None:
        problems.append(Problem(code, what, mend, Place(FILE, row.line, field)))

    if cells["ring"] not in RINGS:
        say("ring", "pass-ring", f"'{cells['ring'][:40]}' is no ring that is filed.", f"Possible: {', '.join(RINGS)}.")
    units = _units(cells["taken"])
    if units is None:
        say(
            "taken",
            "pass-units",
            f"'{cells['taken'][:40]}' is no count of what was taken.",
            "Write 0 for a first reading, else turns, strokes or infeed.",
        )
    if not cells["gap"]:
        say("gap", "pass-gap", "the entry has no gap.", "Read the gap after each pass.")
    readings = readings_from([Row(_as_reading(cells), row.line)], gauges, problems, FILE)
    if len(problems) > before or units is None or not readings:
        return None
    return Pass(readings[0], units, cells["counted_in"], cells.get("wheel", ""), cells)


def _as_reading(cells: Mapping[str, str]) -> dict[str, str]:
    shared = {name: cells.get(name, "") for name in SAME}
    return {
        **shared,
        "part": cells["rings"],
        "feature": cells["ring"] + GAP,
        "value": cells["gap"],
        "part_temp": cells.get("ring_temp", ""),
        "sitting": f"filing {cells['id']}",
    }


def _units(text: str) -> float | None:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) and value >= 0.0 else None
