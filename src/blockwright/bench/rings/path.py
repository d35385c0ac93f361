"""The path of a ring's gap, drawn: the gap after every pass with its uncertainty, in the slot of its limits, and where the next should bring it.

All gaps are at 20 °C, at the place of the bore that governs, as in the fit. A withdrawn entry is a cross: it stays on record and counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

from blockwright.choices.ring_bench import RingState
from blockwright.choices.ring_looks import gap_read
from blockwright.engine.filing import GAP
from blockwright.engine.job import Job
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.metrology.readings import Reading
from blockwright.metrology.verdict import expanded
from blockwright.report.colours import BLUE, INK, LINE, PAPER, PLATE, SOFT
from blockwright.report.ring_words import length

WIDE, HIGH = 360.0, 250.0
LEFT, RIGHT, TOP, BOTTOM = 12.0, 348.0, 24.0, 206.0
WALL = 5.0
BEYOND = 7.0
MOST_SHOWN = 9
"""Of a long history the newest are drawn."""
SIZE = 13


@dataclass(frozen=True)
class Point:
    """One reading: what was taken before it (a label), the gap and the half-width of its interval, m; `struck` where it was withdrawn."""

    label: str
    gap_m: float
    half_m: float
    struck: bool = False


@dataclass(frozen=True)
class Path:
    """What is drawn: points in their order, where the next should lie, and the limits."""

    points: tuple[Point, ...]
    expected: Point | None
    low_m: float | None
    aim_m: float | None
    high_m: float | None


def path_of(job: Job, state: RingState) -> Path:
    """The path of one ring, its newest readings."""
    limits, advice = state.result.limits, state.advice
    points = tuple(_points(Sizes(job), job, state))[-MOST_SHOWN:]
    files = advice is not None and advice.units > 0.0 and not state.read_again
    expected = Point(f"+{advice.units:g}", advice.expected_gap_m, 0.0) if files and advice is not None else None
    aim = state.window.aim_m if state.window is not None else None
    return Path(points, expected, limits.low_value, aim, limits.high_value)


def _points(sizes: Sizes, job: Job, state: RingState) -> Iterator[Point]:
    ring, taken = state.ring, 0.0
    plain = [r for r in job.readings if (r.part, r.feature, r.at) == (ring.rings, ring.ring + GAP, str(ring.at))]
    for each in plain:
        yield from _point(sizes, ring.ring, each, "first")
    for entry in state.passes:
        taken += entry.units
        if entry.at == str(ring.at) and entry.reading.low_si is not None:
            label = f"+{taken:g}" if taken else "again" if plain or entry is not state.passes[0] else "first"
            yield from _point(sizes, ring.ring, entry.reading, label)
            taken = 0.0


def _point(sizes: Sizes, ring: str, each: Reading, label: str) -> Iterator[Point]:
    if each.low_si is None:
        return
    try:
        read, change = gap_read(sizes, each, ring)
    except (Lacking, KeyError):
        return
    yield Point(label, read.value + change.value, expanded(read), bool(each.withdrawn))


def path_svg(job: Job, path: Path, name: str) -> str:
    """The picture; an empty text where nothing was read."""
    if not path.points:
        return ""
    return _Drawing(job, path).svg(name)


class _Drawing:
    """One picture with its scale."""

    def __init__(self, job: Job, path: Path) -> None:
        self.job, self.path = job, path
        kept = [point for point in path.points if not point.struck] or list(path.points)
        shown = [bound for point in kept for bound in (point.gap_m - point.half_m, point.gap_m + point.half_m)]
        shown += [value for value in (path.low_m, path.aim_m, path.high_m) if value is not None]
        shown += [path.expected.gap_m] if path.expected else []
        margin = 0.06 * (max(shown) - min(shown)) or 1e-5
        self.least, self.most = min(shown) - margin, max(shown) + margin

    def y(self, gap_m: float) -> float:
        """Height of a gap; a slip far off the others is drawn at the edge, so that it does not flatten them."""
        y = BOTTOM - (gap_m - self.least) / (self.most - self.least) * (BOTTOM - TOP)
        return min(max(y, TOP - BEYOND), BOTTOM + BEYOND)

    def x(self, index: int) -> float:
        count = len(self.path.points) + (self.path.expected is not None)
        first, last = LEFT + 26.0, RIGHT - 112.0
        return first if count == 1 else first + (last - first) * index / (count - 1)

    def svg(self, name: str) -> str:
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {HIGH:g}" width="{WIDE:g}" height="{HIGH:g}" '
            f'role="img" font-family="sans-serif">'
            f"<title>{escape(f'The gap of {name} after every pass', quote=False)}</title><desc>{escape(self._words(), quote=False)}</desc>"
            f"{''.join((*self._slot(), *self._line(), *self._marks(), *self._labels()))}</svg>"
        )

    def _words(self) -> str:
        said = [
            f"{each.label}: {length(self.job, each.gap_m, each.half_m / 2.0)}{', withdrawn' if each.struck else ''}"
            for each in self.path.points
        ]
        coming = f"; next, about {length(self.job, self.path.expected.gap_m)}" if self.path.expected else ""
        return "; ".join(said) + coming

    def _slot(self) -> Iterator[str]:
        low, aim, high = self.path.low_m, self.path.aim_m, self.path.high_m
        top = self.y(high) if high is not None else TOP - 8.0
        foot = self.y(low) if low is not None else BOTTOM + 8.0
        yield f'<rect x="{LEFT}" y="{top:.1f}" width="{RIGHT - LEFT}" height="{max(1.0, foot - top):.1f}" fill="{PLATE}"/>'
        for value, word in ((high, "at most"), (low, "at least")):
            if value is not None:
                yield f'<path d="M{LEFT} {self.y(value):.1f}H{RIGHT}" stroke="{INK}" stroke-width="2"/>'
                up = word == "at most"
                yield self._text(
                    RIGHT - 4.0, self.y(value) + (-5.0 if up else 14.0), f"{word} {length(self.job, value)}", "end", INK
                )
        if aim is not None:
            yield f'<path d="M{LEFT} {self.y(aim):.1f}H{RIGHT}" stroke="{SOFT}" stroke-width="1.5" stroke-dasharray="6 4"/>'
            near = [abs(self.y(aim) - self.y(value)) for value in (low, high) if value is not None]
            if not near or min(near) > 17.0:
                yield self._text(RIGHT - 4.0, self.y(aim) - 4.0, f"aim {length(self.job, aim)}", "end", SOFT)

    def _line(self) -> Iterator[str]:
        kept = [(self.x(index), self.y(each.gap_m)) for index, each in enumerate(self.path.points) if not each.struck]
        if len(kept) > 1:
            yield f'<path d="M{_joined(kept)}" fill="none" stroke="{INK}" stroke-width="1.5"/>'
        if kept and self.path.expected:
            last = (self.x(len(self.path.points)), self.y(self.path.expected.gap_m))
            yield f'<path d="M{_joined([kept[-1], last])}" fill="none" stroke="{SOFT}" stroke-width="1.5" stroke-dasharray="2 4"/>'

    def _marks(self) -> Iterator[str]:
        for index, each in enumerate(self.path.points):
            yield _pin(
                self.x(index),
                self.y(each.gap_m),
                self.y(each.gap_m + each.half_m),
                self.y(each.gap_m - each.half_m),
                each.struck,
            )
        if self.path.expected:
            x, y = self.x(len(self.path.points)), self.y(self.path.expected.gap_m)
            yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5.5" fill="{PAPER}" stroke="{INK}" stroke-width="1.6" stroke-dasharray="2.5 2"/>'

    def _labels(self) -> Iterator[str]:
        yield f'<path d="M{LEFT} {BOTTOM + 12}H{RIGHT}" stroke="{LINE}"/>'
        every = [*self.path.points, *([self.path.expected] if self.path.expected else [])]
        crowded = len(every) > 6
        for index, each in enumerate(every):
            if not (crowded and each.label in ("first", "again") and index):
                anchor, aside = ("end", 8.0) if crowded and not index else ("middle", 0.0)
                yield self._text(self.x(index) + aside, BOTTOM + 28.0, each.label, anchor, INK)
        yield self._text(RIGHT - 4.0, BOTTOM + 28.0, f"{self.job.sheet.grinder.counted_in} taken", "end", SOFT)

    def _text(self, x: float, y: float, text: str, anchor: str, ink: str) -> str:
        return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{SIZE}" text-anchor="{anchor}" fill="{ink}">{escape(text, quote=False)}</text>'


def _joined(points: Sequence[tuple[float, float]]) -> str:
    return "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _pin(x: float, y: float, top: float, foot: float, struck: bool) -> str:
    if struck:
        return f'<path d="M{x - 5:.1f} {y - 5:.1f}l10 10m0 -10l-10 10" stroke="{SOFT}" stroke-width="1.8"/>'
    bar = f'<rect x="{x - WALL:.1f}" y="{top:.1f}" width="{2 * WALL:g}" height="{max(2.0, foot - top):.1f}" fill="{BLUE}" fill-opacity=".35"/>'
    ends: Iterable[float] = (top, foot)
    caps = "".join(
        f'<path d="M{x - WALL - 2:.1f} {at:.1f}h{2 * WALL + 4:g}" stroke="{BLUE}" stroke-width="1.6"/>' for at in ends
    )
    return f'{bar}{caps}<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{BLUE}"/>'
