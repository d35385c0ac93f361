"""Shapes filled by verdict: a disc and a block, each told apart by its filling alone, on paper without colour too.

Hatches and bars are lines cut to the shape, not patterns, so that pictures have no ids to clash and every reader of SVG draws them alike.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from blockwright.report.colours import BLUE, INK, OCHRE, PAPER, SOFT, VERMILION
from blockwright.report.pictures.drawing import n, path, text
from blockwright.report.pictures.standing import Look, Seen

COLOUR = {Look.OUT: VERMILION, Look.UNDECIDED: OCHRE, Look.CONFORMS: BLUE, Look.PARTLY: BLUE, Look.UNREAD: SOFT}
LETTER = {Look.CONCESSION: "C", Look.JUDGEMENT: "J"}
HATCH, BARS = 9.0, 11.0
"""Pixels from line to line of a large shape; small ones have finer lines."""

Chord = Callable[[float], tuple[float, float] | None]


@dataclass(frozen=True)
class Disc:
    """A cylinder from above."""

    x: float
    y: float
    r: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, foot."""
        return self.x - self.r, self.y - self.r, self.x + self.r, self.y + self.r

    def outline(self, inset: float = 0.0) -> str:
        """The outline, drawn in by some pixels."""
        r = n(self.r - inset)
        return f"M{n(self.x - self.r + inset)} {n(self.y)}a{r} {r} 0 1 1 0 .01z"

    def across(self, y: float) -> tuple[float, float] | None:
        """Where a level line enters and leaves; `None` beyond it."""
        half = self.r**2 - (y - self.y) ** 2
        return None if half <= 0 else (self.x - math.sqrt(half), self.x + math.sqrt(half))

    def slanting(self, offset: float) -> tuple[float, float] | None:
        """Where the line x + y = `offset` enters and leaves, by x."""
        middle = (offset + self.x - self.y) / 2
        half = (self.r**2 - (offset - self.x - self.y) ** 2 / 2) / 2
        return None if half <= 0 else (middle - math.sqrt(half), middle + math.sqrt(half))

    def filled_to(self, share: float) -> str:
        """The lower part, up to a share of the height."""
        y = self.y + self.r * (1 - 2 * share)
        ends = self.across(y)
        if ends is None:
            return ""
        return f"M{n(ends[0])} {n(y)}A{n(self.r)} {n(self.r)} 0 {int(share > 0.5)} 0 {n(ends[1])} {n(y)}z"


@dataclass(frozen=True)
class Block:
    """A bearing or a crankpin, about its middle."""

    x: float
    y: float
    wide: float
    tall: float

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, foot."""
        return self.x - self.wide / 2, self.y - self.tall / 2, self.x + self.wide / 2, self.y + self.tall / 2

    def outline(self, inset: float = 0.0) -> str:
        """The outline, drawn in by some pixels."""
        left, top, right, foot = self.box
        return f"M{n(left + inset)} {n(top + inset)}H{n(right - inset)}V{n(foot - inset)}H{n(left + inset)}z"

    def across(self, y: float) -> tuple[float, float] | None:
        """Where a level line enters and leaves; `None` beyond it."""
        left, top, right, foot = self.box
        return (left, right) if top < y < foot else None

    def slanting(self, offset: float) -> tuple[float, float] | None:
        """Where the line x + y = `offset` enters and leaves, by x."""
        left, top, right, foot = self.box
        ends = max(left, offset - foot), min(right, offset - top)
        return ends if ends[1] > ends[0] else None

    def filled_to(self, share: float) -> str:
        """The lower part, up to a share of the height."""
        left, _, right, foot = self.box
        return f"M{n(left)} {n(foot)}V{n(foot - share * self.tall)}H{n(right)}V{n(foot)}z" if share else ""


def shape(where: Disc | Block, seen: Seen, label: str, size: float = 22) -> str:
    """A shape filled as it is seen, with its number in the middle on a clear ground."""
    look, width = seen.look, 3.0 if isinstance(where, Disc) else 2.2
    colour = COLOUR.get(look, INK)
    dash = "6 4" if look in (Look.UNREAD, Look.PARTLY) else ""
    drawn = [path(where.outline(), stroke="none", width=0, fill=colour if look is Look.CONFORMS else PAPER)]
    drawn.append(_filling(where, seen, colour))
    drawn.append(path(where.outline(), stroke=colour, width=1.2 if look is Look.UNLIMITED else width, dash=dash))
    if look in LETTER:
        drawn.append(_double(where, LETTER[look]))
    return "".join((*drawn, _number(where, label, size, clear=look in (Look.UNDECIDED, Look.OUT, Look.PARTLY),
                                    fill=PAPER if look is Look.CONFORMS else INK)))  # fmt: skip


def _filling(where: Disc | Block, seen: Seen, colour: str) -> str:
    fine = 1.0 if isinstance(where, Disc) else 0.62
    left, top, right, foot = where.box
    if seen.look is Look.UNDECIDED:
        step = HATCH * fine * math.sqrt(2.0)
        return path(_slants(where, left + top, right + foot, step), stroke=colour, width=2.6 * fine)
    if seen.look is Look.OUT:
        return path(_levels(where, top, foot, BARS * fine), stroke=colour, width=0.55 * BARS * fine)
    if seen.look is Look.PARTLY:
        return path(where.filled_to(seen.measured), stroke="none", width=0, fill=colour)
    return ""


def _slants(where: Disc | Block, first: float, last: float, step: float) -> str:
    lines = ""
    for i in range(1, math.ceil((last - first) / step)):
        offset = first + step * i
        ends = where.slanting(offset)
        if ends is not None:
            lines += f"M{n(ends[0])} {n(offset - ends[0])}L{n(ends[1])} {n(offset - ends[1])}"
    return lines


def _levels(where: Disc | Block, top: float, foot: float, step: float) -> str:
    """Level bars, one through the middle."""
    count = math.floor(((foot - top) / 2 - 0.3 * step) / step - 0.3)
    middle = (top + foot) / 2
    lines = ""
    for i in range(-count, count + 1):
        ends = where.across(middle + step * i)
        if ends is not None:
            lines += f"M{n(ends[0])} {n(middle + step * i)}H{n(ends[1])}"
    return lines


def _double(where: Disc | Block, letter: str) -> str:
    """The inner outline of what was accepted, and its letter on the rim."""
    _, top, right, _ = where.box
    x = right - 0.29 * where.r if isinstance(where, Disc) else right
    y = top + 0.29 * where.r if isinstance(where, Disc) else top
    r = 10.0 if isinstance(where, Disc) else 7.5
    return (
        path(where.outline(6.0 if isinstance(where, Disc) else 4.0), width=1.4)
        + f'<circle cx="{n(x)}" cy="{n(y)}" r="{n(r)}" fill="{INK}"/>'
        + text(x, y + 0.48 * r, letter, size=1.36 * r, bold=True, fill=PAPER, anchor="middle")
    )


def _number(where: Disc | Block, label: str, size: float, *, clear: bool, fill: str) -> str:
    left, _, right, _ = where.box
    x = (left + right) / 2
    if not label:
        return ""
    ground = f'<circle cx="{n(x)}" cy="{n(where.y)}" r="{n(0.86 * size)}" fill="{PAPER}"/>' if clear else ""
    return ground + text(x, where.y + 0.35 * size, label, size=size, bold=True, fill=fill, anchor="middle")
