"""The walls of a bore over its depth: a section with its deviations drawn many times larger than its depth, so that a taper of microns is seen."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from blockwright.engine.layout import HEIGHTS
from blockwright.report.colours import BLUE, INK, LINE, OCHRE, SHADE, SOFT
from blockwright.report.pictures.bore_seen import BoreSeen, Wanted
from blockwright.report.pictures.drawing import n, path

LEAST_REACH_M = 5e-6
"""Deviations of the diameter are never drawn larger than so that this much fills the room."""
LOOKS = {"thrust": (BLUE, ""), "axial": (OCHRE, "7 4")}
"""Colour and dashes of a wall by direction."""
LIMIT_DASHES = ("2 3", "9 3 2 3")


@dataclass(frozen=True)
class Scale:
    """How bores are drawn: about which diameter, how many pixels a metre of diameter takes on each wall and a metre of depth downwards."""

    reference_m: float
    wall_per_m: float
    depth_per_m: float

    @property
    def times(self) -> float:
        """How many times larger the wall's deviation (half of the diameter's) is drawn than the depth."""
        return 2 * self.wall_per_m / self.depth_per_m


@dataclass(frozen=True)
class Frame:
    """Where a section stands: its axis, the deck, how far the wall of the reference diameter lies from the axis, how far metal reaches."""

    axis: float
    deck: float
    half: float
    metal: float
    scale: Scale

    def y(self, depth_m: float) -> float:
        """Where a depth lies."""
        return self.deck + depth_m * self.scale.depth_per_m

    def out(self, diameter_m: float) -> float:
        """How far from the axis the wall of a diameter lies."""
        return self.half + (diameter_m - self.scale.reference_m) * self.scale.wall_per_m


def scale_of(bores: Sequence[BoreSeen], room: float, tall: float, *, limits: bool = True) -> Scale:
    """One scale for some bores: `room` pixels on either side of the reference wall, `tall` for the depth.

    The reference is the nominal bore; the middle of what was read, to a hundredth of a millimetre, where that lies far from it.
    """
    values = [d.value_m + side * d.half_m for bore in bores for d in bore.diameters.values() for side in (-1, 1)]
    if limits:
        values += [value for bore in bores for each in bore.wanted for value in (each.low_m, each.high_m) if value]
    nominal = bores[0].nominal_m
    low, high = min(values, default=nominal), max(values, default=nominal)
    middle, reach = (low + high) / 2, (high - low) / 2
    if abs(middle - nominal) > max(3 * reach, LEAST_REACH_M):
        nominal = round(middle, 5)
    reach = max(high - nominal, nominal - low, LEAST_REACH_M)
    return Scale(nominal, room / reach, tall / max(bore.foot_m for bore in bores))


def metal(frame: Frame, bore: BoreSeen, ways: Iterable[str]) -> str:
    """The metal on both sides, up to the widest of the walls that are drawn, only dashed where none was read; and the axis."""
    drawn = []
    outlines = [points for way in ways if (points := wall_points(frame, bore, way))]
    points = _widest(outlines) if outlines else [(frame.half, frame.deck), (frame.half, frame.y(bore.foot_m))]
    for side in (-1, 1):
        edge = "L".join(f"{n(frame.axis + side * x)} {n(y)}" for x, y in points)
        back = frame.axis + side * frame.metal
        shape = f"M{edge}H{n(back)}V{n(frame.deck)}z"
        drawn.append(
            path(shape, stroke="none", width=0, fill=SHADE)
            if outlines
            else path(shape, stroke=SOFT, width=1.4, dash="6 4")
        )
    foot = frame.y(bore.foot_m)
    drawn.append(path(f"M{n(frame.axis)} {n(frame.deck - 8)}V{n(foot + 6)}", stroke=SOFT, width=0.9, dash="14 3 3 3"))
    return "".join(drawn)


def wall_points(frame: Frame, bore: BoreSeen, way: str) -> list[tuple[float, float]]:
    """The wall in one direction, outwards from the axis and down, from the deck to the foot; straight between the heights that were read,
    upright beyond them. Empty where nothing was read.
    """
    read = bore.read_along(way)
    if not read:
        return []
    points = [(frame.out(bore.diameters[f"{h} {way}"].value_m), frame.y(bore.drawn_depths[h])) for h in read]
    return [(points[0][0], frame.deck), *points, (points[-1][0], frame.y(bore.foot_m))]


def walls(frame: Frame, bore: BoreSeen, way: str, *, dots: bool = True) -> str:
    """Both walls in one direction: drawn where they were read, faint beyond; a dot at each height with a whisker as long as its uncertainty."""
    colour, dash = LOOKS[way]
    points = wall_points(frame, bore, way)
    if not points:
        return ""
    drawn = []
    for side in (-1, 1):
        placed = [(frame.axis + side * x, y) for x, y in points]
        ends = f"{_line(placed[:2])}{_line(placed[-2:])}"
        drawn.append(path(ends, stroke=colour, width=1.0, dash="1.5 4"))
        drawn.append(path(_line(placed[1:-1]), stroke=colour, width=2.4, dash=dash))
        if dots:
            drawn += _dots(frame, bore, way, side)
    return "".join(drawn)


def reference(frame: Frame, bore: BoreSeen) -> str:
    """The upright walls of the reference diameter; none where nothing was read."""
    if not bore.diameters:
        return ""
    lines = "".join(
        f"M{n(frame.axis + side * frame.half)} {n(frame.deck)}V{n(frame.y(bore.foot_m))}" for side in (-1, 1)
    )
    return path(lines, stroke=LINE, width=1.2)


def limit_lines(frame: Frame, bore: BoreSeen, way: str) -> str:
    """Upright lines at the diameters that are wanted; each source has its own dashes."""
    drawn = []
    for index, wanted in enumerate(applying(bore, way)):
        values = [value for value in (wanted.low_m, wanted.high_m) if value is not None]
        lines = "".join(
            f"M{n(frame.axis + side * frame.out(value))} {n(frame.deck)}V{n(frame.y(bore.foot_m))}"
            for value in values
            for side in (-1, 1)
        )
        drawn.append(path(lines, width=1.5, dash=LIMIT_DASHES[index % len(LIMIT_DASHES)]))
    return "".join(drawn)


def applying(bore: BoreSeen, way: str) -> list[Wanted]:
    """What is wanted of the bore in one direction."""
    return [wanted for wanted in bore.wanted if wanted.way in ("", way)]


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 ... times a power of ten that is not below `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= least * (1 - 1e-9))


def heights_drawn(frame: Frame, bore: BoreSeen, left: float, right: float) -> str:
    """A fine level line at each height."""
    lines = "".join(f"M{n(left)} {n(frame.y(bore.drawn_depths[h]))}H{n(right)}" for h in HEIGHTS)
    return path(lines, stroke=LINE, width=0.8)


def _widest(outlines: Sequence[Sequence[tuple[float, float]]]) -> list[tuple[float, float]]:
    """The outermost of walls that were read at the same heights; the first where they were not."""
    first = outlines[0]
    if any([y for _, y in points] != [y for _, y in first] for points in outlines):
        return list(first)
    return [(max(points[i][0] for points in outlines), y) for i, (_, y) in enumerate(first)]


def _dots(frame: Frame, bore: BoreSeen, way: str, side: int) -> Iterable[str]:
    colour, _ = LOOKS[way]
    for height in bore.read_along(way):
        size = bore.diameters[f"{height} {way}"]
        x, y = frame.axis + side * frame.out(size.value_m), frame.y(bore.drawn_depths[height])
        half = size.half_m * frame.scale.wall_per_m
        yield path(
            f"M{n(x - half)} {n(y)}h{n(2 * half)}M{n(x - half)} {n(y - 4)}v8M{n(x + half)} {n(y - 4)}v8", width=1.1
        )
        if way == "thrust":
            yield f'<circle cx="{n(x)}" cy="{n(y)}" r="4.2" fill="{colour}" stroke="{INK}"/>'
        else:
            yield f'<rect x="{n(x - 3.8)}" y="{n(y - 3.8)}" width="7.6" height="7.6" fill="{colour}" stroke="{INK}"/>'


def _line(points: Sequence[tuple[float, float]]) -> str:
    if len(points) < 2:
        return ""
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in itertools.chain(points))
