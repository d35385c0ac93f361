"""Words in a graph: the heading, and words beside a mark, put where they lie on no other word and on as little of the curves as can be."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from blockwright.report.colours import INK, PAPER, SOFT
from blockwright.report.pictures.at_work.axes import BASE, MARGIN, TITLE, WIDTH, Point
from blockwright.report.pictures.drawing import column, leading, text, text_width, wrapped

Box = tuple[float, float, float, float]
STRIDE_PX = 5.0
OVER_WORDS, OUTSIDE, FURTHER = 1000.0, 500.0, 0.6
"""What it costs to lie on a word, beyond the edge, or at a spot a place later in the list, against a point of a curve."""


@dataclass
class Room:
    """The room of a panel: its edges, what words lie in it already, and points of the curves in it."""

    edge: Box
    words: list[Box] = field(default_factory=list)
    curves: list[Point] = field(default_factory=list)

    def cross(self, points: Sequence[Point]) -> None:
        """Tell of a curve that words had better not lie on."""
        for (ax, ay), (bx, by) in pairwise(points):
            count = max(1, math.ceil(math.hypot(bx - ax, by - ay) / STRIDE_PX))
            self.curves += [(ax + (bx - ax) * i / count, ay + (by - ay) * i / count) for i in range(count)]

    def put(
        self,
        spots: Iterable[tuple[float, float, str]],
        said: str,
        *,
        size: float = BASE,
        bold: bool = True,
        fill: str = INK,
    ) -> str:
        """The words at the best of some spots (x, foot, anchor), with paper about their signs."""
        wide = text_width(said, size, bold=bold)
        best = min(
            (
                (self._cost(box) + FURTHER * i, i, spot, box)
                for i, spot in enumerate(spots)
                for box in (_box(spot, wide, size),)
            ),
            key=lambda each: each[:2],
        )
        _, _, (x, y, anchor), box = best
        x += max(0.0, self.edge[0] - box[0]) - max(0.0, box[2] - self.edge[2])
        box = _box((x, y, anchor), wide, size)
        self.words.append(box)
        return clear(text(x, y, said, size=size, bold=bold, fill=fill, anchor=anchor))

    def fits(self, spots: Iterable[tuple[float, float, str]], said: str, *, size: float = BASE) -> bool:
        """Whether the words find a spot clear of other words."""
        wide = text_width(said, size, bold=True)
        return any(self._cost(_box(spot, wide, size)) < OUTSIDE for spot in spots)

    def _cost(self, box: Box) -> float:
        left, top, right, foot = box
        over = any(overlap(box, other) for other in self.words)
        out = max(self.edge[0] - left, self.edge[1] - top, right - self.edge[2], foot - self.edge[3], 0.0)
        crossed = sum(left <= x <= right and top <= y <= foot for x, y in self.curves)
        return OVER_WORDS * over + (OUTSIDE + out if out > 0.5 else 0.0) + crossed


def around(x: float, y: float, size: float = BASE, off: float = 9.0) -> list[tuple[float, float, str]]:
    """Spots about a mark, the likeliest first: right, left, above, below, and further out."""
    mid = y + 0.36 * size
    near = [
        (x + off, mid, "start"),
        (x - off, mid, "end"),
        (x, y - off, "middle"),
        (x, y + off + 0.78 * size, "middle"),
    ]
    far = [
        (x + side * (off + 4), y + step * 1.3 * size + 0.36 * size, "start" if side > 0 else "end")
        for step in (-1, 1, -2, 2, -3, 3, -4, 4)
        for side in (1, -1)
    ]
    return near + far


def along(left: float, right: float, *feet: float) -> list[tuple[float, float, str]]:
    """Spots in level lines from left to right, for words that may stand anywhere there."""
    spots = [(left, foot, "start") for foot in feet] + [(right, foot, "end") for foot in feet]
    return spots + [(left + (right - left) * i / 12, foot, "start") for i in range(1, 9) for foot in feet]


def heading(title: str, said: str, *notes: str) -> tuple[list[str], float]:
    """Title, the sentence that says what matters, and further words in soft ink; and where they end."""
    room = WIDTH - 2 * MARGIN
    lines = wrapped(title, room, TITLE, bold=True)
    drawn = column(MARGIN, 36, lines, size=TITLE, bold=True)
    y = 36 + leading(TITLE) * (len(lines) - 1) + 27
    for words, fill in ((said, INK), *((note, SOFT) for note in notes)):
        lines = wrapped(words, room, BASE)
        drawn += column(MARGIN, y, lines, size=BASE, fill=fill)
        y += leading(BASE) * len(lines)
    return drawn, y - leading(BASE) + 8


def dashed(name: str) -> str:
    """A name that is safe for an id or a file: `rod bearing, cylinder 3` as `rod-bearing-cylinder-3`."""
    kept = "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in name)
    return "-".join(kept.split()).lower()


def clear(words: str) -> str:
    """Words with paper about their signs, so that they can be read on lines."""
    return f'<g stroke="{PAPER}" stroke-width="4" stroke-linejoin="round" paint-order="stroke">{words}</g>'


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes cover a common piece."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _box(spot: tuple[float, float, str], wide: float, size: float) -> Box:
    x, y, anchor = spot
    left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    return left, y - 0.86 * size, left + wide, y + 0.28 * size
