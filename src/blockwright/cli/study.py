"""The command for a repeatability study of a gauge: the verdict in words, both methods side by side, and what to write in the register."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from pathlib import Path
from typing import Any

import typer
from rich.text import Text

from blockwright.cli.files import write_whole
from blockwright.cli.letters import plain
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.study_csv import read_study
from blockwright.metrology.study import Breakdown, Grade, StudyResult, assess_study, grade, headline
from blockwright.quantities import Kind, parse, show
from blockwright.report.study_picture import study_picture

SLOT_WIDE = 48
PIN_SIGNS = {Grade.SMALL: "▄#", Grade.MIDDLING: "▒?", Grade.LARGE: "║X"}
"""What a pin is made of by grade: in block characters, in ASCII."""

DIGITS = 0.01
"""Spreads are shown to about this share of themselves: three digits."""

ROWS = (
    ("one hand repeating (EV)", "ev_m"),
    ("hand to hand (AV)", "av_m"),
    ("hand on part (INT)", "interaction_m"),
    ("the gauge in all (GRR)", "grr_m"),
    ("part to part (PV)", "pv_m"),
    ("all you see (TV)", "tv_m"),
)


def gauge_study(
    path: Path,
    *,
    unit: str | None = None,
    tolerance: str | None = None,
    svg: Path | None = None,
    as_json: bool = False,
) -> None:
    """Read a study, print what it tells as words or JSON, and draw it if a picture is asked for.

    `unit` is that of values which carry none, and the one to show; `tolerance` is a width as text. Raises BlockwrightError
    for a file, unit or tolerance that cannot be used.
    """
    tolerance_m = None if tolerance is None else parse(tolerance, Kind.LENGTH, unit=unit).si
    study = read_study(path, unit=unit)
    shown_in = unit or study.unit
    result = assess_study(study.readings, tolerance_m=tolerance_m)
    if svg is not None:
        write_whole(svg, study_picture(result, unit=shown_in).encode())
    if as_json:
        typer.echo(json.dumps(study_json(result), indent=2, ensure_ascii=plain()))
    else:
        _print(result, shown_in)


def study_json(result: StudyResult) -> dict[str, Any]:
    """The result for machines: lengths in metres, squares in square metres; null where the study cannot tell."""
    repeatability = result.repeatability
    low_m, high_m = repeatability.bounds_m
    return {
        "headline": headline(result),
        "appraisers": result.readings.appraisers,
        "parts": result.readings.parts,
        "trials": result.readings.trials,
        "methods": {spread.method: _spread_json(result, spread) for spread in (result.ranges, result.anova.spread)},
        "analysis_of_variance": [_finite(asdict(row)) for row in result.anova.rows],
        "interaction_pooled": result.anova.pooled,
        "set_to_nil": result.anova.nil,
        "mean_range_m": result.mean_range_m,
        "range_limit_m": result.range_limit_m,
        "flagged": [cell._asdict() for cell in result.flagged],
        "tolerance_m": result.tolerance_m,
        "repeatability_m": repeatability.s_m,
        "repeatability_dof": repeatability.dof,
        "repeatability_95_m": [low_m, high_m],
        "notes": result.notes,
    }


def _spread_json(result: StudyResult, spread: Breakdown) -> dict[str, Any]:
    sizes = {name: getattr(spread, name) for _, name in ROWS}
    percents = {name.replace("_m", "_percent"): spread.percent(size) for name, size in sizes.items()}
    taken = result.percent_of_tolerance(spread.grr_m)
    return {**sizes, **percents, "classes": spread.classes, "grr_percent_of_tolerance": taken}


def _finite(row: dict[str, Any]) -> dict[str, Any]:
    """JSON has no infinity: an F beyond all bounds becomes null, its p of nil says the same."""
    return row | {"f": None} if row["f"] == math.inf else row


def _print(result: StudyResult, unit: str) -> None:
    out = console()
    paragraph(out, headline(result), style="bold")
    parts = (_slots(result, ascii=plain()), _table(result, unit), _flags(result, unit))
    for lines in filter(None, parts):
        out.print(Text("\n" + "\n".join(lines)))
    out.print()
    for note in result.notes:
        paragraph(out, note, first="- ")
    out.print(Text("\n" + "\n".join(_register(result, unit))))


def _slots(result: StudyResult, *, ascii: bool) -> list[str]:
    """The gauge as a pin in a slot: all you see, and the tolerance."""
    spread = result.anova.spread
    pins = {
        "in all you see": spread.percent(spread.grr_m),
        "in the tolerance": result.percent_of_tolerance(spread.grr_m),
    }
    return [
        f"gauge {where:17}{slot_line(percent, ascii=ascii)} {percent:.0f} %"
        for where, percent in pins.items()
        if percent is not None
    ]


def slot_line(percent: float, *, ascii: bool = False) -> str:
    """A slot with a pin that fills this percentage of it; one too long for its slot ends in points on both sides."""
    pin = PIN_SIGNS[grade(percent)][ascii]
    if percent > 100:
        left, right = "<>" if ascii else "◄►"
        return f"{left}{pin * SLOT_WIDE}{right}"
    left, right = "[]" if ascii else "┫┣"
    filled = max(1, round(SLOT_WIDE * percent / 100))
    return f"{left}{pin * filled:^{SLOT_WIDE}}{right}"


def _table(result: StudyResult, unit: str) -> list[str]:
    """Both methods side by side: each spread in the unit and as a percentage of all that is seen."""
    spreads = (result.ranges, result.anova.spread)
    line = "{:26}{:>12}{:>10}{:>18}{:>10}".format
    lines = [
        f"{'standard deviations':26}{spreads[0].method:>22}{spreads[1].method:>28}",
        line("", unit, "% of all", unit, "% of all"),
    ]
    for words, name in ROWS:
        lines.append(line(words, *(cell for spread in spreads for cell in _cells(spread, name, unit))))
    classes = ["–" if spread.classes is None else str(spread.classes) for spread in spreads]
    return [*lines, line("classes (ndc)", classes[0], "", classes[1], "")]


def _cells(spread: Breakdown, name: str, unit: str) -> tuple[str, str]:
    size_m = getattr(spread, name)
    percent = spread.percent(size_m)
    size = _shown(size_m, unit, finest_m=spread.ev_m, with_unit=False)
    return size, "–" if percent is None else f"{percent:.1f}"


def _shown(size_m: float | None, unit: str, *, finest_m: float | None = None, with_unit: bool = True) -> str:
    """A length with the digits that the finest of its neighbours needs."""
    if size_m is None:
        return "–"
    return show(size_m, Kind.LENGTH, unit, u=DIGITS * (finest_m or size_m), with_unit=with_unit)


def _flags(result: StudyResult, unit: str) -> list[str]:
    """A line for each cell whose readings lie too far apart."""
    readings = result.readings
    lines = []
    for hand, part in result.flagged:
        apart_m = float(readings.ranges_m[readings.appraisers.index(hand), readings.parts.index(part)])
        lines.append(f"! {hand} on part {part}: {_shown(apart_m, unit)} apart. Look for the cause, measure it again.")
    if result.range_limit_m is None:
        return ["Too few cells to tell whether one of them stands out."]
    most = _shown(result.range_limit_m, unit)
    return (
        [*lines, f"Chance seldom passes {most}."] if lines else [f"No cell's readings lie farther apart than {most}."]
    )


def _register(result: StudyResult, unit: str) -> list[str]:
    """What to write into the gauge register."""
    repeatability = result.repeatability
    if not repeatability.s_m:
        return ["No repeatability to write in gauges.toml: take a gauge with a finer step, or read between its marks."]
    low, high = (_shown(bound_m, unit) for bound_m in repeatability.bounds_m)
    return [
        "Write this in gauges.toml:",
        f'  repeatability = "{_shown(repeatability.s_m, unit)}"',
        f"  repeatability_dof = {repeatability.dof}",
        f"The true value lies between {low} and {high} (95 %).",
    ]
