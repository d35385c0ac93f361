"""Cases and rows as a table in workshop units: each column with its unit in its name, for CSV and for Parquet.

| ending | unit |
| --- | --- |
| _rpm, _kw, _bar, _c, _um, _w, _kn, _percent, _l_min | rev/min, kW, bar, °C, µm, W, kN, %, L/min |
| _set_um, _step_um | cold size that every cylinder or bearing was set to; or what it was moved by from what was measured |
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any

from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind
from blockwright.quantities.lookup import find_unit
from blockwright.running.sweep.cases import Case, Change
from blockwright.running.sweep.changed import FITS
from blockwright.running.sweep.rows import Row

Value = float | str | None
DIGITS = 9
"""Significant digits of a number in a table: more than the models carry, few enough that two machines agree."""
EXTRA = "studies"


@dataclass(frozen=True)
class Column:
    """One column: its name, its unit (nothing for words), what it means, and its value in a case."""

    name: str
    unit: str
    words: str
    value: Callable[[Case, Row], Value]


def columns() -> tuple[Column, ...]:
    """Every column, in order: the case first, then what came of it."""
    return (*_asked(), *_answered())


def csv_text(pairs: Sequence[tuple[Case, Row]]) -> str:
    """The table as CSV; empty where there is no value."""
    held = io.StringIO()
    writer = csv.writer(held, lineterminator="\n")
    writer.writerow([column.name for column in columns()])
    for case, row in pairs:
        writer.writerow([_cell(column.value(case, row)) for column in columns()])
    return held.getvalue()


def parquet_at_hand() -> bool:
    """Whether the extra that writes Parquet is installed."""
    return find_spec("pyarrow") is not None


def parquet_bytes(pairs: Sequence[tuple[Case, Row]], about: Mapping[str, Any]) -> bytes:
    """The table as Parquet: units and meaning with each column, and `about` (the plan of the study) as JSON under 'blockwright'.

    Raises
    ------
    BlockwrightError
        Where the extra is not installed.
    """
    if not parquet_at_hand():
        what = "Parquet cannot be written: a part of the program that is not always installed is missing."
        raise BlockwrightError(Problem("sweep-parquet", what, f"Install blockwright[{EXTRA}], or take the CSV."))
    import pyarrow as pa
    import pyarrow.parquet as pq

    listed = columns()
    kinds = {True: pa.string(), False: pa.float64()}
    schema = pa.schema(
        [
            pa.field(each.name, kinds[not each.unit], metadata={"unit": each.unit, "words": each.words})
            for each in listed
        ],
        metadata={"blockwright": json.dumps(about, sort_keys=True)},
    )
    arrays = [
        pa.array([each.value(*pair) for pair in pairs], field.type) for each, field in zip(listed, schema, strict=True)
    ]
    sink = pa.BufferOutputStream()
    pq.write_table(pa.Table.from_arrays(arrays, schema=schema), sink, compression="zstd")
    return bytes(sink.getvalue())


def _cell(value: Value) -> str:
    return "" if value is None else value if isinstance(value, str) else repr(value)


def _number(value: float | None, kind: Kind, unit: str) -> float | None:
    if value is None or not math.isfinite(value):
        return None
    return float(f"{find_unit(kind, unit).number(value):.{DIGITS}g}")


def _asked() -> Iterator[Column]:
    def case(name: str, field: str, kind: Kind, unit: str, words: str) -> Column:
        return Column(name, unit, words, lambda case, row: _number(getattr(case, field), kind, unit))

    yield case("speed_rpm", "speed_rad_s", Kind.SPEED, "rpm", "crank speed")
    yield case("power_kw", "power_w", Kind.POWER, "kW", "brake power")
    yield case("boost_bar", "boost_pa", Kind.PRESSURE_STEP, "bar", "boost above the air outside")
    yield Column("oil", "", "oil grade; the job's own where empty", lambda case, row: case.oil)
    yield case("coolant_c", "coolant_c", Kind.TEMPERATURE, "°C", "coolant; the job's own where empty")
    yield case("oil_c", "oil_c", Kind.TEMPERATURE, "°C", "oil at work; the job's own where empty")
    for field, fit in FITS.items():
        yield Column(f"{field}_set_um", "um", f"{fit}, cold, as set", _changed(field, step=False))
        yield Column(
            f"{field}_step_um", "um", f"{fit}, cold, moved from what was measured by", _changed(field, step=True)
        )


def _changed(field: str, *, step: bool) -> Callable[[Case, Row], Value]:
    def value(case: Case, row: Row) -> Value:
        change: Change = getattr(case, field)
        return _number(change.metres, Kind.LENGTH, "um") if change.step is step else None

    return value


def _answered() -> Iterator[Column]:
    def row(name: str, field: str, kind: Kind, unit: str, words: str) -> Column:
        return Column(name, unit, words, lambda case, row: _number(getattr(row, field), kind, unit))

    def said(field: str, words: str) -> Column:
        return Column(field, "", words, lambda case, row: getattr(row, field))

    length, hot = Kind.LENGTH, Kind.TEMPERATURE
    yield row("peak_bar", "peak_pa", Kind.PRESSURE_STEP, "bar", "highest pressure in the cylinder, absolute")
    yield row("air_percent", "breathing", Kind.RATIO, "%", "air that the power asks for over what the cylinders hold")
    yield row("crown_c", "crown_c", hot, "°C", "piston crown, mean")
    yield row("skirt_c", "skirt_c", hot, "°C", "piston skirt")
    yield row("liner_top_c", "liner_top_c", hot, "°C", "bore, top fifth of the stroke")
    yield row("bore_c", "bore_c", hot, "°C", "bore where skirt and rings run coolest")
    for field, words in (("wall", "wall clearance"), ("top_gap", "top end gap"), ("second_gap", "second end gap")):
        yield row(f"{field}_hot_um", f"{field}_hot_m", length, "um", f"{words}, hot, least over the cylinders")
        yield said(f"{field}_at", f"where the {words} is least")
    for kind in ("rod", "main"):
        yield row(f"{kind}_film_um", f"{kind}_film_m", length, "um", f"smallest oil film of a {kind} bearing")
        yield said(f"{kind}_at", f"which {kind} bearing it is")
        yield row(f"{kind}_film_c", f"{kind}_c", hot, "°C", "temperature of that film")
        yield row(f"{kind}_loss_w", f"{kind}_loss_w", Kind.POWER, "W", f"friction of all {kind} bearings")
    yield row("blow_by_percent", "blow_by_share", Kind.RATIO, "%", "blow-by of the charge, mean over the cylinders")
    yield Column("blow_by_l_min", "L/min", "blow-by of one cylinder, mean", lambda case, row: _plain(row.blow_by_l_min))
    yield row("rod_bolts_kn", "rod_bolts_n", Kind.FORCE, "kN", "pull on both bolts of a rod together, at this speed")
    yield said("caution", "the worst that there is to mind")
    yield said("message", "why it could not be worked out")


def _plain(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(f"{value:.{DIGITS}g}")
