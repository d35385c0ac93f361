"""A plain graph: scales with tidy numbers, a frame, curves without the points that no eye sees, areas, and labels at the curves' ends.

Numbers are those that stand on the axis; whoever draws has turned them from SI. Labels at the right end stand in a margin of their own, each
joined to its curve, so that they lie neither on curves nor on each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from blockwright.report.colours import BLUE, INK, LINE, OCHRE, PAPER, SHADE, SOFT
from blockwright.report.pictures.bore_section import round_step
from blockwright.report.pictures.drawing import fitted, leading, n, path, text, text_width, wrapped
from blockwright.report.pictures.layered import isotonic

WIDTH, MARGIN = 640.0, 20.0
LEFT, RIGHT = 64.0, 500.0
"""Where graphs begin and end; their labels stand right of that."""
FULL = 610.0
"""Where a graph ends that needs no labels."""
BASE, SMALL, TITLE = 16.0, 15.0, 22.0
SEEN_PX = 0.35
"""A point that lies no further from the line past it is not drawn."""
SLACK = 0.02
"""A curve may dip so much of a step below the lowest tick: it is drawn at it."""
LINE_APART, LEAD, MOST_LINES = 19.0, 30.0, 1.9
LOG_STEPS = (1.0, 2.0, 5.0)
TURN_DEG = 360.0

Point = tuple[float, float]


@dataclass(frozen=True)
class Look:
    """How a curve is drawn: told from the next by its dashes as well as by its colour."""

    stroke: str
    dash: str = ""
    width: float = 2.2


LOOKS = (Look(BLUE), Look(OCHRE, "8 4"), Look(INK, "2.5 3.5", 2.6), Look(SOFT, "12 3 2 3"))
FAINT = Look(SOFT, "", 0.9)


@dataclass(frozen=True)
class Scale:
    """Numbers from `low` to `high` along a line from pixel `start` to `end`, with the ticks that are written."""

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[float, ...]
    log: bool = False

    def at(self, value: float) -> float:
        """Where a number lies; what lies beyond the scale lies at its end, what is no number at its beginning."""
        kept = min(max(value, self.low), self.high) if math.isfinite(value) else self.low
        return self.start + self._share(kept) * (self.end - self.start)

    def _share(self, value: float) -> float:
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def written(self, tick: float) -> str:
        """A tick as it is written."""
        if self.log:
            return f"{tick:g}"
        step = min((b - a for a, b in pairwise(self.ticks)), default=1.0)
        places = max(0, -math.floor(math.log10(step) + 1e-9))
        return f"{tick:.{places}f}".replace("-0", "0" if not tick else "-0").replace("-", "\N{MINUS SIGN}")


@dataclass(frozen=True)
class Panel:
    """A graph's frame: its scale along and its scale up the page."""

    x: Scale
    y: Scale

    def points(self, xs: Iterable[float], ys: Iterable[float]) -> list[Point]:
        """Where points lie; those that are no numbers, or lie beyond the scale along, are left out."""
        return [
            (self.x.at(a), self.y.at(b))
            for a, b in zip(xs, ys, strict=False)
            if math.isfinite(a) and math.isfinite(b) and self.x.low <= a <= self.x.high
        ]


def linear(
    values: Iterable[float], start: float, end: float, *, steps: int = 5, floor: float | None = None, room: float = 0.0
) -> Scale:
    """A scale over all `values`, and `floor` where there is one, with `room` of the span left above, ending on round numbers."""
    known = [value for value in values if math.isfinite(value)] + ([] if floor is None else [floor])
    low, high = min(known, default=0.0), max(known, default=1.0)
    if high - low < 1e-12 * max(abs(high), 1.0):
        low, high = (low - 0.5, high + 0.5) if floor is None else (floor, floor + max(abs(floor), 1.0))
    high += room * (high - low)
    step = round_step((high - low) / steps)
    first, last = math.floor(low / step + SLACK), math.ceil(high / step - 1e-9)
    ticks = tuple(i * step for i in range(first, last + 1))
    return Scale(ticks[0], ticks[-1], start, end, ticks)


def logarithmic(values: Iterable[float], start: float, end: float, *, room: float = 1.0) -> Scale:
    """A scale in equal ratios over all values above nil, with 1, 2, 5, 10 ... written; `room` times the highest is its top."""
    known = [value for value in values if math.isfinite(value) and value > 0.0] or [1.0, 10.0]
    low, high = 0.96 * min(known), 1.04 * room * max(known)
    steps = [10.0**power * each for power in _powers(low, high) for each in LOG_STEPS]
    low = max(step for step in steps if step <= low)
    high = min(step for step in steps if step >= high)
    return Scale(low, high, start, end, tuple(step for step in steps if low <= step <= high), log=True)


def crank_scale(angles_deg: Sequence[float], end: float = RIGHT) -> Scale:
    """The crank's angle over two turns, a half turn from tick to tick."""
    low, high = min((-TURN_DEG, *angles_deg)), max((TURN_DEG, *angles_deg))
    ticks = tuple(180.0 * i for i in range(math.ceil(low / 180.0), math.floor(high / 180.0) + 1))
    return Scale(low, high, LEFT, end, ticks)


def frame(panel: Panel, named: str) -> list[str]:
    """Lines at the ticks, the numbers left of them, and above it the name and unit of what goes up."""
    x, y = panel.x, panel.y
    lines = "".join(f"M{n(x.start)} {n(y.at(tick))}H{n(x.end)}" for tick in y.ticks)
    lines += "".join(f"M{n(x.at(tick))} {n(y.start)}V{n(y.end)}" for tick in x.ticks)
    numbers = [
        text(x.start - 8, y.at(tick) + 5, y.written(tick), size=SMALL, fill=SOFT, anchor="end") for tick in _apart(y)
    ]
    return [
        path(lines, stroke=LINE, width=0.8),
        path(f"M{n(x.start)} {n(y.end)}V{n(y.start)}H{n(x.end)}", stroke=INK, width=1.2),
        text(MARGIN, y.end - 12, fitted(named, WIDTH - 2 * MARGIN, BASE, bold=True), size=BASE, bold=True),
        *numbers,
    ]


def foot(panel: Panel, named: str, *, suffix: str = "") -> list[str]:
    """The numbers under a panel and, below them, the name and unit of what goes along."""
    y = panel.y.start + 21
    numbers = [
        text(x, y, words, size=SMALL, fill=SOFT, anchor="middle")
        for x, words in written_along(panel.x, 0.0, WIDTH, suffix)
    ]
    middle = (panel.x.start + panel.x.end) / 2
    return [*numbers, text(middle, y + 21, named, size=SMALL, anchor="middle")] if named else numbers


def written_along(scale: Scale, low: float, high: float, suffix: str = "") -> list[tuple[float, str]]:
    """The numbers along a scale, with where their middles lie: those that stay between two edges and off each other."""
    found = []
    for tick in scale.ticks:
        words, x = f"{scale.written(tick)}{suffix}", scale.at(tick)
        half = text_width(words, SMALL) / 2
        if low <= x - half and x + half <= high:
            found.append((x, words))
            low = x + half + 5
    return found


def strokes(panel: Panel, named: str) -> list[str]:
    """The foot of a cylinder's own angle: numbers, the names of the strokes under them, and what the angle counts from."""
    y = panel.y.start + 41
    middle = (panel.x.start + panel.x.end) / 2
    return [
        *foot(panel, "", suffix="°"),
        *(
            text(panel.x.at(90.0 + 180.0 * i), y, said, size=14, fill=SOFT, anchor="middle")
            for i, said in zip(range(-2, 2), ("intake", "compression", "expansion", "exhaust"), strict=True)
        ),
        text(middle, y + 22, named, size=SMALL, anchor="middle"),
    ]


def curve(points: Sequence[Point], look: Look) -> str:
    """A curve without the points that nobody sees."""
    return path(_line(thinned(points)), stroke=look.stroke, width=look.width, dash=look.dash) if points else ""


def band(low: Sequence[Point], high: Sequence[Point], fill: str = SHADE) -> str:
    """The ground between two curves; nothing where either is missing."""
    if not low or not high:
        return ""
    return path(f"{_line([*thinned(low), *reversed(thinned(high))])}z", stroke="none", width=0, fill=fill)


def area(panel: Panel, points: Sequence[Point], *, above: bool, fill: str, level: float = 0.0) -> str:
    """The ground between a curve and a level, on one side of it only."""
    if not points:
        return ""
    y = panel.y.at(level)
    side = [(a, min(b, y) if above else max(b, y)) for a, b in _crossing(points, y)]
    return path(f"{_line([(side[0][0], y), *thinned(side), (side[-1][0], y)])}z", stroke="none", width=0, fill=fill)


def level(panel: Panel, value: float, *, dash: str = "6 4", stroke: str = INK) -> str:
    """A line right across at a number."""
    y = n(panel.y.at(value))
    return path(f"M{n(panel.x.start)} {y}H{n(panel.x.end)}", stroke=stroke, width=1.5, dash=dash)


def dot(x: float, y: float, r: float = 4.5, fill: str = INK) -> str:
    """A mark at a point."""
    return f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(r)}" fill="{fill}" stroke="{PAPER}" stroke-width="1.2"/>'


def ends(panel: Panel, labels: Sequence[tuple[float, str, Look]]) -> list[str]:
    """Labels right of a panel, each at the height of its curve's end as nearly as the others let it; a line leads from the one to the other."""
    return beside(panel, panel.x.end, labels)[0]


def beside(
    panel: Panel, x: float, labels: Sequence[tuple[float, str, Look]], *, side: float = 1.0
) -> tuple[list[str], list[tuple[float, float, float, float]]]:
    """Labels in a column right (or left: -1) of `x`, joined to their heights there; and the boxes that they take."""
    ordered = sorted(labels, key=lambda label: label[0])
    if not ordered:
        return [], []
    room = WIDTH - MARGIN / 2 - panel.x.end - LEAD
    blocks = [wrapped(fitted(words, MOST_LINES * room, SMALL), room, SMALL) or [""] for _, words, _ in ordered]
    talls = [leading(SMALL) * len(lines) for lines in blocks]
    apart = [0.0, *((a + b) / 2 + 2 for a, b in pairwise(talls))]
    low = panel.y.end + talls[0] / 2
    middles = isotonic([y for y, _, _ in ordered], [1.0] * len(ordered), apart, low, panel.y.start)
    drawn: list[str] = []
    boxes = []
    for (y, _, look), lines, tall, middle in zip(ordered, blocks, talls, middles, strict=True):
        lead = f"M{n(x)} {n(y)}L{n(x + side * 10)} {n(middle)}h{n(side * 14)}"
        drawn.append(path(lead, stroke=look.stroke, width=min(look.width, 1.6), dash=look.dash))
        foot_y, start = middle - tall / 2 + 0.5 * leading(SMALL) + 0.36 * SMALL, x + side * (LEAD - 2)
        anchor = "start" if side > 0 else "end"
        drawn += [
            text(start, foot_y + leading(SMALL) * i, each, size=SMALL, anchor=anchor) for i, each in enumerate(lines)
        ]
        wide = max(text_width(each, SMALL) for each in lines)
        left, right = sorted((start, start + side * wide))
        boxes.append((left, middle - tall / 2, right, middle + tall / 2))
    return drawn, boxes


def thinned(points: Sequence[Point], within: float = SEEN_PX) -> list[Point]:
    """The points without those that lie nearer than `within` pixels to the line past them (Douglas and Peucker's way, 1973)."""
    if len(points) < 3:
        return list(points)
    kept = {0, len(points) - 1}
    spans = [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        far, at = max(
            ((_off(points[i], points[first], points[last]), i) for i in range(first + 1, last)), default=(0.0, 0)
        )
        if far > within:
            kept.add(at)
            spans += [(first, at), (at, last)]
    return [points[i] for i in sorted(kept)]


def _off(point: Point, a: Point, b: Point) -> float:
    """How far a point lies from the piece of line between two others."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = dx * dx + dy * dy
    share = 0.0 if long == 0.0 else min(max(((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / long, 0.0), 1.0)
    return math.hypot(point[0] - a[0] - share * dx, point[1] - a[1] - share * dy)


def _crossing(points: Sequence[Point], y: float) -> list[Point]:
    """The points, and those at which the curve crosses a level."""
    found = [points[0]]
    for (ax, ay), (bx, by) in pairwise(points):
        if (ay - y) * (by - y) < 0.0:
            found.append((ax + (y - ay) / (by - ay) * (bx - ax), y))
        found.append((bx, by))
    return found


def _line(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{n(round(x, 1))} {n(round(y, 1))}" for x, y in points)


def _apart(scale: Scale) -> list[float]:
    """The ticks that are written: none nearer to another than a line of text, powers of ten before others."""
    kept: list[float] = []
    for tick in sorted(scale.ticks, key=lambda t: scale.log and round(math.log10(t), 9) % 1 != 0):
        if all(abs(scale.at(tick) - scale.at(other)) >= LINE_APART for other in kept):
            kept.append(tick)
    return kept


def _powers(low: float, high: float) -> range:
    return range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 1)
