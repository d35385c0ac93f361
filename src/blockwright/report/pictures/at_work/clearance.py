"""What a bearing would do on other clearances and other oils: film and temperature over the clearance, the window in which both keep their bounds.

The clearance that the bearing has is a line through both graphs; on it stand the oils that were tried, as dots.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.report.colours import INK, SHADE, STEEL, VERMILION
from blockwright.report.pictures.at_work import amounts as told
from blockwright.report.pictures.at_work.axes import (
    LEFT,
    LOOKS,
    RIGHT,
    SMALL,
    WIDTH,
    Look,
    Panel,
    Scale,
    beside,
    curve,
    dot,
    ends,
    foot,
    frame,
    level,
    linear,
)
from blockwright.report.pictures.at_work.labels import Room, along, clear, dashed, heading
from blockwright.report.pictures.drawing import document, n, path
from blockwright.running.work.result import BearingTold, OilTried, Window

TALL, NEXT = 210.0, 84.0
SAME = 1e-3
DOTTED = Look(INK, "", 0.9)


@dataclass(frozen=True)
class _Line:
    """A bound or another level across a graph, and what is said of it."""

    words: str
    value: float
    dash: str
    stroke: str


def clearance_picture(bearing: BearingTold, *, unit: str) -> str:
    """SVG of a bearing's film (µm) and oil temperature (°C) over its diametral clearance in `unit`."""
    said = sentence(bearing, unit)
    head, y = heading(f"Clearance of {bearing.name}", said, *_notes(bearing))
    title = f"Film and temperature over the clearance of {bearing.name}"
    name = f"work-clearance-{dashed(bearing.name)}"
    if not bearing.tried_m:
        return document(WIDTH, y + 12, (title, said), head, name=name)
    per = told.unit_m(unit)
    x = _along(bearing, per)
    film, first = _film(bearing, x, y + 46, per)
    heat, second = _heat(bearing, x, first.y.start + NEXT, per)
    named = foot(second, f"clearance on the diameter, {unit}")
    return document(
        WIDTH, second.y.start + 56, (title, said), [*head, *film, *heat, *foot(first, ""), *named], name=name
    )


def sentence(bearing: BearingTold, unit: str) -> str:
    """The clearance against its window in one sentence."""
    now = told.length(bearing.cold_m.value, unit, bearing.cold_m.sd)
    origin = "measured" if bearing.read else "not measured: the middle of its limits"
    film = told.micron(bearing.film_m.value, bearing.film_m.sd)
    return f"Clearance {now} ({origin}): film {film}, oil at {told.celsius(bearing.temperature_c.value)}. {_window(bearing, unit)}"


def _window(bearing: BearingTold, unit: str) -> str:
    window = bearing.window
    if not bearing.tried_m:
        return "No other clearances were tried."
    if window is None:
        return "No clearance that was tried keeps film and temperature within their bounds."
    least, most = (each if each is None else told.length(each, unit) for each in (window.least_m, window.most_m))
    bounds = f"film above {told.micron(window.film_bound_m)} and oil at {window.coolest_c:.0f} to {told.celsius(window.hottest_c)}"
    if least and most:
        return f"From {least} to {most} both keep their bounds: {bounds}."
    if least or most:
        return f"{'From ' + least + ' up' if least else f'Up to {most}'} both keep their bounds, as far as was tried: {bounds}."
    return f"All clearances that were tried keep their bounds: {bounds}."


def _notes(bearing: BearingTold) -> list[str]:
    notes = [] if bearing.settled else ["The journal's path had not settled: take these numbers as a hint."]
    if not bearing.measures:
        notes.append("The pressure is so high that the film ranks clearances and oils; it does not measure them.")
    if bearing.oils and bearing.tried_m:
        notes.append("Upright line: the clearance it has; dots on it: other oils.")
    return notes


def _along(bearing: BearingTold, per: float) -> Scale:
    """The clearances tried and the one it has, end to end."""
    values = [each / per for each in (*bearing.tried_m, bearing.cold_m.value)]
    low, high = min(values), max(values)
    scale = linear(values, LEFT, RIGHT, steps=8)
    return Scale(low, high, LEFT, RIGHT, tuple(t for t in scale.ticks if low <= t <= high)) if low < high else scale


def _film(bearing: BearingTold, x: Scale, top: float, per: float) -> tuple[list[str], Panel]:
    films = tuple(film / told.M_PER_MICRON for film in bearing.tried_film_m)
    dots = [(_grade(oil), oil.film_m / told.M_PER_MICRON) for oil in bearing.oils]
    rough = bearing.roughness_m / told.M_PER_MICRON
    lines = [_Line(f"roughness {told.micron(bearing.roughness_m)}", rough, "10 3", VERMILION)]
    bound = bearing.window.film_bound_m if bearing.window else bearing.roughness_m
    if abs(bound - bearing.roughness_m) > SAME * bound:
        lines.append(_Line(f"least wanted {told.micron(bound)}", bound / told.M_PER_MICRON, "6 4", INK))
    values = [*films, *(film for _, film in dots), *(line.value for line in lines)]
    panel = Panel(x, linear(values, top + TALL, top, floor=0.0, room=0.12))
    return _graph(bearing, panel, per, "smallest film, µm", films, dots, lines), panel


def _heat(bearing: BearingTold, x: Scale, top: float, per: float) -> tuple[list[str], Panel]:
    dots = [(_grade(oil), oil.temperature_c) for oil in bearing.oils]
    values = [*bearing.tried_c, *(c for _, c in dots)]
    lines = [line for line in _bounds(bearing) if _near(line.value, values)]
    panel = Panel(x, linear([*values, *(line.value for line in lines)], top + TALL, top, room=0.05))
    return _graph(bearing, panel, per, "oil in the film, °C", bearing.tried_c, dots, lines), panel


def _grade(oil: OilTried) -> str:
    return f"SAE {oil.grade}" if oil.grade.isdigit() else oil.grade


def _bounds(bearing: BearingTold) -> list[_Line]:
    if bearing.window is None:
        return []
    cool, hot = bearing.window.coolest_c, bearing.window.hottest_c
    named = (("coolest oil", cool), ("hottest oil", hot))
    return [_Line(f"{said} {told.celsius(each)}", each, "6 4", INK) for said, each in named]


def _near(value: float, others: Sequence[float]) -> bool:
    """Whether a bound lies so near to a curve that it belongs into its graph."""
    span = max(others) - min(others)
    return min(others) - 0.6 * span <= value <= max(others) + 0.6 * span


def _graph(
    bearing: BearingTold,
    panel: Panel,
    per: float,
    named: str,
    values: Sequence[float],
    dots: Sequence[tuple[str, float]],
    lines: Sequence[_Line],
) -> list[str]:
    """One graph: the window as ground, bounds as lines, the curve, the clearance that it has, the oils on it."""
    points = panel.points([each / per for each in bearing.tried_m], values)
    room = Room((LEFT + 2, panel.y.end, RIGHT, panel.y.start))
    room.cross(points)
    now = panel.x.at(bearing.cold_m.value / per)
    room.cross([(now, panel.y.end), (now, panel.y.start)])
    side = 1.0 if now < (LEFT + RIGHT) / 2 else -1.0
    oils, boxes = beside(panel, now, [(panel.y.at(value), grade, DOTTED) for grade, value in dots], side=side)
    room.words += boxes
    return [
        *_ground(bearing, panel, per),
        *frame(panel, named),
        *(level(panel, line.value, dash=line.dash, stroke=line.stroke) for line in lines),
        curve(points, LOOKS[0]),
        path(f"M{n(now)} {n(panel.y.start)}V{n(panel.y.end)}", stroke=INK, width=2.0),
        clear("".join(oils)),
        _window_named(bearing, panel, per, room),
        *(dot(now, panel.y.at(value), r=5) for _, value in dots),
        *_ends(panel, points, lines),
    ]


def _ends(panel: Panel, points: Sequence[tuple[float, float]], lines: Sequence[_Line]) -> list[str]:
    """Names of the curve and of the bounds, right of the graph."""
    bounds = [(panel.y.at(line.value), line.words, Look(line.stroke, line.dash, 1.5)) for line in lines]
    return ends(panel, [*([(points[-1][1], "its own oil", LOOKS[0])] if points else []), *bounds])


def _ground(bearing: BearingTold, panel: Panel, per: float) -> list[str]:
    """The shaded window, and the span in which the clearance lies."""
    drawn = [_block(panel, *_window_ends(bearing.window, panel, per), STEEL)] if bearing.window else []
    if bearing.cold_m.drawn:
        drawn.append(_block(panel, bearing.cold_m.low / per, bearing.cold_m.high / per, SHADE))
    return drawn


def _window_named(bearing: BearingTold, panel: Panel, per: float, room: Room) -> str:
    """The word for the shaded ground, in it."""
    if bearing.window is None:
        return ""
    left, right = (panel.x.at(end) for end in _window_ends(bearing.window, panel, per))
    y = panel.y.end + 17
    spots = [((left + right) / 2, y, "middle"), *along(left + 4, right - 4, y)]
    return room.put(spots, "window", size=SMALL, bold=False)


def _window_ends(window: Window, panel: Panel, per: float) -> tuple[float, float]:
    """From where to where the window reaches in the graph; to its edge where no end was found."""
    low = panel.x.low if window.least_m is None else window.least_m / per
    high = panel.x.high if window.most_m is None else window.most_m / per
    return low, high


def _block(panel: Panel, low: float, high: float, fill: str) -> str:
    left, right = panel.x.at(low), panel.x.at(high)
    line = f"M{n(left)} {n(panel.y.start)}H{n(right)}V{n(panel.y.end)}H{n(left)}z"
    return path(line, stroke="none", width=0, fill=fill)
