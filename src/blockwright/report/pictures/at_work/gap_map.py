"""Blow-by, and the highest pressure between the rings, over the cold gaps of top and second ring: shades, isolines, and the engine now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.report.colours import INK, PAPER, SOFT
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import FULL, LEFT, SMALL, WIDTH, Panel, Scale, foot, frame, linear
from blockwright.report.pictures.at_work.isolines import Grid, above, isolines
from blockwright.report.pictures.at_work.labels import Room, around, heading
from blockwright.report.pictures.drawing import document, n, path
from blockwright.running.work.result import Curve, GapMap

TALL, NEXT = 270.0, 104.0
LEVELS = 7
DARKEST = 0.55
"""The darkest shade is so much of soft ink on paper."""


@dataclass(frozen=True)
class _Map:
    """One value over both gaps, as numbers of an axis, with its name and the sign behind its levels."""

    named: str
    sign: str
    grid: Grid


def map_picture(gaps: GapMap, *, unit: str) -> str:
    """SVG of both maps: blow-by in % of the charge, pressure in bar absolute, gaps in `unit`."""
    said = sentence(gaps, unit)
    head, y = heading("Blow-by over the ring gaps", said, *_notes(gaps))
    title = "Blow-by and pressure between the rings over the gaps"
    drawn = list(head)
    for each in _maps(gaps, told.unit_m(unit)):
        more, panel = _draw(each, _here(gaps, told.unit_m(unit)), y + 46, unit)
        drawn += more
        y = panel.y.start + NEXT - 46
    return document(WIDTH, y, (title, said), drawn, name="work-gap-map")


def sentence(gaps: GapMap, unit: str) -> str:
    """The map in a sentence or two."""
    blow, between = _maps(gaps, 1.0)
    low, high = (told.per_cent(each / 100) for each in blow.grid.span)
    said = f"Blow-by runs from {low} to {high} of the charge over the gaps that were tried."
    here = _here(gaps, 1.0)
    if here is None:
        return said
    top, second = (told.length(each, unit) for each in here)
    return (
        f"With top gap {top} and second {second}, as {gaps.position} has now, blow-by is about "
        f"{told.per_cent(blow.grid.at(here[1], here[0]) / 100)} and the highest pressure between the rings about "
        f"{told.bar(between.grid.at(here[1], here[0]) * told.PA_PER_BAR)}. {said}"
    )


def _notes(gaps: GapMap) -> list[str]:
    if gaps.here is None:
        return ["The gaps of no cylinder are known: the engine is not marked."]
    return [] if _here(gaps, 1.0) else [f"The gaps of {gaps.position} lie beyond those that were tried."]


def _maps(gaps: GapMap, per: float) -> tuple[_Map, _Map]:
    """Both maps; gaps count in units of `per` metres."""
    tops, seconds = (tuple(each / per for each in gap) for gap in (gaps.top_m, gaps.second_m))
    shares = tuple(tuple(100 * share for share in row) for row in gaps.blow_by_share)
    bars = tuple(tuple(pressure / told.PA_PER_BAR for pressure in row) for row in gaps.between_pa)
    return (
        _Map("blow-by, % of the charge", "%", Grid(seconds, tops, shares)),
        _Map("highest pressure between the rings, bar absolute", "bar", Grid(seconds, tops, bars)),
    )


def _here(gaps: GapMap, per: float) -> tuple[float, float] | None:
    """Top and second gap of the engine now, where the map reaches them."""
    if gaps.here is None:
        return None
    top, second = gaps.here
    known = gaps.top_m[0] <= top <= gaps.top_m[-1] and gaps.second_m[0] <= second <= gaps.second_m[-1]
    return (top / per, second / per) if known else None


def _draw(each: _Map, here: tuple[float, float] | None, top: float, unit: str) -> tuple[list[str], Panel]:
    grid = each.grid
    panel = Panel(_ends(grid.xs, LEFT, FULL), _ends(grid.ys, top + TALL, top))
    low, high = grid.span
    levels = [level for level in linear(grid.span, 0.0, 1.0, steps=LEVELS).ticks if low < level < high]
    room = Room((LEFT + 2, top, FULL, top + TALL))
    marked = _marked(panel, here, room)
    drawn = [_ground(panel)]
    for i, value in enumerate(levels, 1):
        shade = mixed(PAPER, SOFT, DARKEST * i / len(levels))
        drawn.append(path(_shapes(panel, grid, value), stroke=shade, width=0.8, fill=shade))
    for value in levels:
        drawn += _isoline(panel, grid, value, f"{value:g} {each.sign}", room)
    return [
        *drawn,
        *frame(panel, each.named),
        *marked,
        *foot(panel, f"across: cold second gap, {unit}; up: cold top gap, {unit}"),
    ], panel


def _ends(values: Curve, start: float, end: float) -> Scale:
    """A scale that ends where the map does."""
    low, high = values[0], values[-1]
    ticks = linear(values, start, end, steps=8).ticks
    return Scale(low, high, start, end, tuple(tick for tick in ticks if low - 1e-9 <= tick <= high + 1e-9))


def _ground(panel: Panel) -> str:
    line = f"M{n(panel.x.start)} {n(panel.y.start)}H{n(panel.x.end)}V{n(panel.y.end)}H{n(panel.x.start)}z"
    return path(line, stroke="none", width=0, fill=PAPER)


def _shapes(panel: Panel, grid: Grid, value: float) -> str:
    """The ground where the map lies above a value."""
    return "".join(
        "M" + "L".join(f"{n(panel.x.at(x))} {n(panel.y.at(y))}" for x, y in shape) + "z" for shape in above(grid, value)
    )


def _isoline(panel: Panel, grid: Grid, value: float, said: str, room: Room) -> list[str]:
    """The lines at a value, the longest with its words on it."""
    lines = [panel.points(*zip(*line, strict=True)) for line in isolines(grid, value)]
    drawn = [path("M" + "L".join(f"{n(x)} {n(y)}" for x, y in line), stroke=INK, width=1.3) for line in lines]
    longest = max(lines, key=len, default=[])
    spots = [(x, y + 0.36 * SMALL, "middle") for x, y in _spread(longest)]
    if spots and room.fits(spots, said, size=SMALL):
        drawn.append(room.put(spots, said, size=SMALL))
    return drawn


def _spread(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Points of a line from its middle outwards."""
    middle = len(points) / 2
    return sorted(points, key=lambda p: abs(points.index(p) - middle))


def _marked(panel: Panel, here: tuple[float, float] | None, room: Room) -> list[str]:
    """A target where the engine is now."""
    if here is None:
        return []
    x, y = panel.x.at(here[1]), panel.y.at(here[0])
    cross = f"M{n(x - 15)} {n(y)}h30M{n(x)} {n(y - 15)}v30"
    ring = f'<circle cx="{n(x)}" cy="{n(y)}" r="8" fill="none" stroke="{{}}" stroke-width="{{}}"/>'
    room.words.append((x - 15, y - 15, x + 15, y + 15))
    return [
        path(cross, stroke=PAPER, width=5),
        ring.format(PAPER, 6),
        path(cross, stroke=INK, width=2.0),
        ring.format(INK, 2.4),
        room.put(around(x, y, off=19), "now"),
    ]


def mixed(light: str, dark: str, share: float) -> str:
    """A colour between two: `share` of the dark one."""
    parts = [(int(light[i : i + 2], 16), int(dark[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + share * (b - a)):02x}" for a, b in parts)
