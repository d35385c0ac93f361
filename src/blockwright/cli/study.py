"""The command for a repeatability study of a gauge: the verdict in words, both methods side by side, and what to write in the register."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from blockwright.metrology.study import Breakdown, StudyResult

WIDE = 80
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
    path: Annotated[Path, typer.Argument(help="CSV file with the columns appraiser, part, trial, value.")],
    unit: Annotated[str | None, typer.Option(help="Unit of the values that carry none, such as mm or thou.")] = None,
    tolerance: Annotated[str | None, typer.Option(help="Full width of the tolerance, such as '0.02 mm'.")] = None,
    svg: Annotated[Path | None, typer.Option(help="Draw the study into this file.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the result as JSON, in SI units.")] = False,
) -> None:
    """Tell how much of the spread of readings is the gauge's own, and how well it repeats.

    Every appraiser measures every part the same number of times, twice at least. One part and one appraiser will do to
    learn how the gauge repeats.
    """
    import json

    from blockwright.jobfile.study_csv import read_study
    from blockwright.metrology.study import assess_study
    from blockwright.quantities import Kind, parse

    tolerance_m = None if tolerance is None else parse(tolerance, Kind.LENGTH, unit=unit).si
    study = read_study(path, unit=unit)
    shown_in = unit or study.unit
    result = assess_study(study.readings, tolerance_m=tolerance_m)
    if svg is not None:
        _draw(result, shown_in, svg)
    if as_json:
        typer.echo(json.dumps(study_json(result), indent=2, ensure_ascii=False))
    else:
        _print(result, shown_in)


def study_json(result: StudyResult) -> dict[str, Any]:
    """The result for machines: lengths in metres, squares in square metres; null where the study cannot tell."""
    from dataclasses import asdict

    from blockwright.metrology.study import headline

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
    return row | {"f": None} if row["f"] == float("inf") else row


def _draw(result: StudyResult, unit: str, path: Path) -> None:
    from blockwright.problems import BlockwrightError, Problem
    from blockwright.report.study_picture import study_picture

    picture = study_picture(result, unit=unit)
    try:
        path.write_text(picture, encoding="utf-8")
    except OSError as error:
        what = f"The picture cannot be written: {error.strerror or 'unknown cause'}."
        raise BlockwrightError(Problem("study-picture", what, "Choose another place.").at(file=str(path))) from None


def _print(result: StudyResult, unit: str) -> None:
    from textwrap import fill

    from rich.console import Console
    from rich.text import Text

    from blockwright.metrology.study import headline

    notes = [fill(note, WIDE - 1, initial_indent="• ", subsequent_indent="  ") for note in result.notes]
    parts = (_slots(result), _table(result, unit), _flags(result, unit), notes, _register(result, unit))
    console = Console(width=WIDE, highlight=False, markup=False)
    console.print(Text(fill(headline(result), WIDE - 1), style="bold"))
    for lines in filter(None, parts):
        console.print(Text("\n" + "\n".join(lines)))


def _slots(result: StudyResult) -> list[str]:
    """The gauge as a pin in a slot: all you see, and the tolerance."""
    spread = result.anova.spread
    pins = {
        "in all you see": spread.percent(spread.grr_m),
        "in the tolerance": result.percent_of_tolerance(spread.grr_m),
    }
    return [
        f"gauge {where:17}{slot_line(percent)} {percent:.0f} %"
        for where, percent in pins.items()
        if percent is not None
    ]


def slot_line(percent: float, wide: int = 48) -> str:
    """A slot with a pin in it that fills this percentage of it; a pin too long for its slot sticks out at both ends as arrows."""
    if percent > 100:
        return f"◀{'█' * wide}▶"
    pin = max(1, round(wide * percent / 100))
    before = (wide - pin) // 2
    return f"┃{'·' * before}{'█' * pin}{'·' * (wide - pin - before)}┃"


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
    from blockwright.quantities import Kind, show

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
