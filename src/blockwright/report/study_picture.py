"""The picture of a repeatability study: a steel rule for each part with the trials of each hand on it, and slots with the gauge's pin.

All rules share one scale, and each is centred on its part's average: what repeats badly or reads high or low shows at its true
size, however far the parts lie apart. The trials of one hand on one part are a pin: the shape of its head is the hand's, its shaft
is as long as the range, a tick marks each trial. A pin that is too long is ringed and says so. In the slots below, the slot is all
that is seen (and the tolerance, where there is one) and the pin in it the gauge. Shapes and words carry the meaning, colours help.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from textwrap import wrap
from typing import NamedTuple

import numpy as np

from blockwright.metrology.study import Cell, Grade, StudyResult, grade, headline
from blockwright.quantities import Kind, parse, show
from blockwright.report.colours import BLUE, INK, LINE, OCHRE, PAPER, SOFT, STEEL, VERMILION
from blockwright.report.pictures.drawing import safe, shortened, text

HAND_COLOURS = (BLUE, OCHRE, INK)
HEADS = (
    "M-5 0A5 5 0 1 1 5 0A5 5 0 1 1 -5 0z",
    "M-4.6 -4.6H4.6V4.6H-4.6z",
    "M0 -6L5.8 4.6H-5.8z",
    "M0 -6.4L6.4 0L0 6.4L-6.4 0z",
    "M0 6L5.8 -4.6H-5.8z",
    "M-2 -6H2V-2H6V2H2V6H-2V2H-6V-2H-2z",
    "M-6 0L-3 -5.2H3L6 0L3 5.2H-3z",
)
"""Heads of the pins, one a hand: disc, square, triangle, diamond, triangle on its tip, cross, hexagon."""

WIDTH, LEFT, RIGHT = 960, 158, 932
CENTRE = (LEFT + RIGHT) / 2
HEAD_GAP = 11
LANE, RULE_TOP, RULE_FOOT, ROW_GAP = 15, 7, 13, 7
MOST_PARTS = 40
LONGEST_SHOWN = 20
GRADE_FILL = {Grade.SMALL: BLUE, Grade.MIDDLING: "url(#study-hatch)", Grade.LARGE: "url(#study-bars)"}
GRADE_EDGE = {Grade.SMALL: BLUE, Grade.MIDDLING: OCHRE, Grade.LARGE: VERMILION}


@dataclass(frozen=True)
class _Scale:
    """How a deviation becomes a place on the rules: pixels per metre, the graduations in the reader's unit, and how far lengths are
    written out: to half the gauge's repeatability.
    """

    unit: str
    unit_m: float
    pixels_per_m: float
    step: float
    half: float
    u_m: float

    def x(self, deviation_m: float) -> float:
        return CENTRE + deviation_m * self.pixels_per_m

    @property
    def decimals(self) -> int:
        return max(0, -math.floor(math.log10(self.step) + 1e-9))

    def length(self, size_m: float) -> str:
        return show(size_m, Kind.LENGTH, self.unit, u=self.u_m).replace("-", "\N{MINUS SIGN}")


class _Row(NamedTuple):
    """One drawn rule and where it ends."""

    foot: float
    drawn: str


def study_picture(result: StudyResult, *, unit: str = "mm") -> str:
    """Draw a study as an SVG document, 960 wide and as high as its parts need; the first 40 parts are drawn.

    Raises QuantityError for a unit that is no length.
    """
    scale = _scale(result, unit)
    count = min(len(result.readings.parts), MOST_PARTS)
    y, head = _heading(result, scale)
    rows = [_whole(result, scale, y)] if len(result.readings.appraisers) > 1 and count > 1 else []
    for j in range(count):
        rows.append(_row(result, scale, j, rows[-1].foot + ROW_GAP if rows else y))
    bottom, strips = _strips(result, scale, rows[-1].foot + 30)
    title = f"Gauge study: {len(result.readings.appraisers)} hands, {len(result.readings.parts)} parts"
    return "\n".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {bottom:.0f}" width="{WIDTH}" '
            f'height="{bottom:.0f}" role="img" aria-labelledby="study-title study-desc" font-family="sans-serif" '
            f'font-size="13" fill="{INK}">',
            f'<title id="study-title">{title}</title>',
            f'<desc id="study-desc">{safe(_described(result))}</desc>',
            _PATTERNS,
            f'<rect width="{WIDTH}" height="{bottom:.0f}" fill="{PAPER}"/>',
            *head,
            *(row.drawn for row in rows),
            *strips,
            "</svg>\n",
        )
    )


_PATTERNS = (
    '<defs><pattern id="study-hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    f'patternTransform="rotate(45)"><rect width="7" height="7" fill="{PAPER}"/><rect width="3.4" height="7" fill="{OCHRE}"/></pattern>'
    '<pattern id="study-bars" width="8" height="8" patternUnits="userSpaceOnUse">'
    f'<rect width="8" height="8" fill="{PAPER}"/><rect width="5.5" height="8" fill="{VERMILION}"/></pattern></defs>'
)


def _scale(result: StudyResult, unit: str) -> _Scale:
    unit_m = parse("1", Kind.LENGTH, unit=unit).si
    values = result.readings.values_m
    widest_m = float(np.abs(values - values.mean(axis=(0, 2), keepdims=True)).max()) or unit_m
    room = (RIGHT - LEFT) / 2
    pixels_per_m = (room - 2 * HEAD_GAP - 8) / widest_m
    step = _round_step(70 / (pixels_per_m * unit_m))
    return _Scale(unit, unit_m, pixels_per_m, step, room / (pixels_per_m * unit_m), 0.5 * result.repeatability.s_m)


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 ... times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= least * (1 - 1e-9))


def _heading(result: StudyResult, scale: _Scale) -> tuple[float, list[str]]:
    """Title, the verdict, the key to the hands, and the numbers of the scale; and where the first rule begins."""
    drawn = [text(28, 44, "Who read what", size=24, bold=True)]
    y = 70.0
    for line in wrap(headline(result), 108):
        drawn.append(text(28, y, line, size=15))
        y += 21
    y += 6
    x = 28.0
    for i, name in enumerate(result.readings.appraisers):
        wide = 36 + 9 * len(shortened(name, LONGEST_SHOWN))
        if x + wide > RIGHT:
            x, y = 28.0, y + 22
        drawn += [_head(i, x + 7, y - 4.5), text(x + 20, y, shortened(name, LONGEST_SHOWN), size=14, bold=True)]
        x += wide
    key = "A head for each hand, a tick for each trial; the shaft is the range."
    if x + 20 + 6.6 * len(key) > RIGHT:
        x, y = 8.0, y + 20
    drawn.append(text(x + 20, y, key, fill=SOFT))
    y += 30
    marks = math.floor(scale.half / scale.step)
    for mark in range(-marks, marks + 1):
        shown = f"{mark * scale.step:+.{scale.decimals}f}".replace("-", "\N{MINUS SIGN}") if mark else "0"
        drawn.append(text(scale.x(mark * scale.step * scale.unit_m), y, shown, size=12, fill=SOFT, anchor="middle"))
    drawn.append(text(28, y, f"{scale.unit} from average", size=12, fill=SOFT))
    return y + 8, drawn


def _row(result: StudyResult, scale: _Scale, j: int, y: float) -> _Row:
    """The rule of one part with a pin for each hand; what is said of ringed pins stands above them."""
    readings = result.readings
    part, mean_m = readings.parts[j], float(readings.values_m[:, j, :].mean())
    ringed = [i for i, name in enumerate(readings.appraisers) if Cell(name, part) in result.flagged]
    lanes = y + RULE_TOP + LANE * len(ringed)
    drawn = []
    for i in range(len(readings.appraisers)):
        places = [scale.x(float(value) - mean_m) for value in np.sort(readings.values_m[i, j])]
        lane = lanes + LANE * (i + 0.5)
        drawn.append(_pin(i, places, lane))
        if i in ringed:
            drawn.append(_ring(places, lane, y + RULE_TOP + LANE * ringed.index(i) + 9, _too_wide(result, scale, i, j)))
    foot = lanes + LANE * len(readings.appraisers) + RULE_FOOT
    return _Row(
        foot, _rule(scale, part if len(part) > 6 else f"part {part}", scale.length(mean_m), y, foot) + "".join(drawn)
    )


def _too_wide(result: StudyResult, scale: _Scale, i: int, j: int) -> str:
    apart = scale.length(float(result.readings.ranges_m[i, j]))
    most = scale.length(result.range_limit_m or 0.0)
    return f"{shortened(result.readings.appraisers[i], LONGEST_SHOWN)}: {apart} apart, chance seldom passes {most}"


def _whole(result: StudyResult, scale: _Scale, y: float) -> _Row:
    """The rule of all parts together: the head of each hand at its average, with its name."""
    values = result.readings.values_m
    foot = y + RULE_TOP + LANE * len(values) + RULE_FOOT
    drawn = [_rule(scale, "all parts", "hand by hand", y, foot)]
    for i, average_m in enumerate(values.mean(axis=(1, 2)) - values.mean()):
        x, lane = scale.x(float(average_m)), y + RULE_TOP + LANE * (i + 0.5)
        right = x < CENTRE
        name = shortened(result.readings.appraisers[i], LONGEST_SHOWN)
        drawn += [
            _head(i, x, lane),
            text(x + (11 if right else -11), lane + 4.5, name, anchor="start" if right else "end"),
        ]
    return _Row(foot, "".join(drawn))


def _rule(scale: _Scale, name: str, below: str, y: float, foot: float) -> str:
    """An empty rule with its name at the left, from `y` down to `foot`."""
    middle = (y + foot) / 2
    return (
        text(28, middle - 2, shortened(name, 13), size=15, bold=True)
        + text(28, middle + 15, below, size=12, fill=SOFT)
        + f'<rect x="{LEFT}" y="{y:.1f}" width="{RIGHT - LEFT}" height="{foot - y:.1f}" rx="3" fill="{STEEL}" stroke="{LINE}"/>'
        + _graduations(scale, foot)
        + f'<path d="M{CENTRE} {y:.1f}V{foot:.1f}" stroke="{SOFT}" stroke-dasharray="3 3"/>'
    )


def _graduations(scale: _Scale, foot: float) -> str:
    """Ticks along the foot of a rule: long ones at the numbers, short ones between them."""
    fine = next(n for n in (10, 5, 2, 1) if scale.step / n * scale.unit_m * scale.pixels_per_m >= 6)
    count = math.floor(scale.half / scale.step * fine)
    ticks = "".join(
        f"M{scale.x(k * scale.step / fine * scale.unit_m):.1f} {foot:.1f}v{-9 if k % fine == 0 else -5}"
        for k in range(-count, count + 1)
    )
    return f'<path d="{ticks}" stroke="{SOFT}" stroke-width=".9" fill="none"/>'


def _pin(hand: int, places: list[float], y: float) -> str:
    """A pin: head, shaft over the range, a tick at each trial."""
    colour = HAND_COLOURS[hand % len(HAND_COLOURS)]
    start = places[0] - HEAD_GAP
    ticks = "".join(f"M{place:.1f} {y - 5.5:.1f}v11" for place in _side_by_side(places))
    return (
        f'<g stroke="{colour}"><path d="M{start:.1f} {y:.1f}H{places[0]:.1f}" stroke-width="1.4"/>'
        f'<path d="M{places[0]:.1f} {y:.1f}H{places[-1]:.1f}" stroke-width="5" stroke-opacity=".45"/>'
        f'<path d="{ticks}" stroke-width="2.2"/></g>{_head(hand, start, y)}'
    )


def _side_by_side(places: list[float]) -> Iterator[float]:
    """Places of ticks, in order; those that coincide are moved a little apart, so that each trial is seen."""
    for _, together in groupby(places, key=round):
        same = list(together)
        for k, place in enumerate(same):
            yield place + min(3.0, 15 / len(same)) * (k - (len(same) - 1) / 2)


def _head(hand: int, x: float, y: float) -> str:
    colour = HAND_COLOURS[hand % len(HAND_COLOURS)]
    return f'<path d="{HEADS[hand % len(HEADS)]}" transform="translate({x:.1f} {y:.1f})" fill="{colour}"/>'


def _ring(places: list[float], y: float, label_y: float, said: str) -> str:
    """A ring round a pin that is too long, and what is wrong above it, kept within the rule."""
    start, end = places[0] - HEAD_GAP - 9, places[-1] + 8
    half = 3.9 * len(said)
    x = min(max((start + end) / 2, LEFT + 8 + half), RIGHT - 8 - half)
    return (
        f'<rect x="{start:.1f}" y="{y - 8:.1f}" width="{end - start:.1f}" height="16" rx="8" fill="none" '
        f'stroke="{VERMILION}" stroke-width="2.2"/>{text(x, label_y, said, bold=True, fill=VERMILION, anchor="middle")}'
    )


def _strips(result: StudyResult, scale: _Scale, y: float) -> tuple[float, list[str]]:
    """The slots with the gauge's pin, by analysis of variance, and where the picture ends."""
    spread = result.anova.spread
    slots = {
        "in all you see": (spread.tv_m and 6 * spread.tv_m, spread.percent(spread.grr_m)),
        "in the tolerance": (result.tolerance_m, result.percent_of_tolerance(spread.grr_m)),
    }
    drawn = []
    if len(result.readings.parts) > MOST_PARTS:
        drawn.append(
            text(LEFT, y, f"The first {MOST_PARTS} of {len(result.readings.parts)} parts are drawn.", fill=SOFT)
        )
        y += 24
    for where, (slot_m, percent) in slots.items():
        if slot_m and percent is not None:
            drawn.append(_slot(scale, where, slot_m, 6 * spread.grr_m, percent, y))
            y += 62
    if y and any(percent is not None for _, percent in slots.values()):
        drawn.append(
            text(LEFT, y, "Pin and slot: six standard deviations, by analysis of variance.", size=12, fill=SOFT)
        )
        y += 12
    return y + 14, drawn


def _slot(scale: _Scale, where: str, slot_m: float, pin_m: float, percent: float, y: float) -> str:
    pixels = (RIGHT - LEFT) / max(slot_m, pin_m)
    wide, pin = slot_m * pixels, max(pin_m * pixels, 3.0)
    size = grade(percent)
    said = f"gauge {scale.length(pin_m)}, {percent:.0f} % of {scale.length(slot_m)}: {size}"
    slot = f'<rect x="{CENTRE - wide / 2:.1f}" y="{y:.1f}" width="{wide:.1f}" height="26" rx="4"'
    return "".join(
        (
            text(28, y + 13, "the gauge", size=15, bold=True),
            text(28, y + 29, where, size=12, fill=SOFT),
            f'{slot} fill="{STEEL}"/>',
            f'<rect x="{CENTRE - pin / 2:.1f}" y="{y + 6:.1f}" width="{pin:.1f}" height="14" rx="3" '
            f'fill="{GRADE_FILL[size]}" stroke="{GRADE_EDGE[size]}" stroke-width="1.5"/>',
            f'{slot} fill="none" stroke="{INK}" stroke-width="1.4"/>',
            text(CENTRE, y + 43, said, size=14, anchor="middle", bold=True),
        )
    )


def _described(result: StudyResult) -> str:
    """The picture in words, for those who cannot see it."""
    ringed = "; ".join(f"{cell.appraiser} on part {cell.part}" for cell in result.flagged)
    return f"{headline(result)} Ringed as too wide: {ringed or 'none'}."
