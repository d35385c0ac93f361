"""What all sketches are drawn with. A sketch is 360 by 260 pixels; the measured distance is the one thick line in it."""

from __future__ import annotations

import math
from collections.abc import Iterable

from blockwright.report.colours import BLUE, INK, LINE, PAPER, SHADE, SOFT
from blockwright.report.pictures.drawing import n, path, text, wrapped

WIDE, TALL = 360.0, 260.0
HEAD = 9.0


def part(line: str, *, dash: str = "") -> str:
    """The outline of a part, filled as metal."""
    return path(line, stroke=INK, width=1.6, fill=SHADE, dash=dash)


def hollow(line: str) -> str:
    """The outline of a hole or a groove, filled as paper."""
    return path(line, stroke=INK, width=1.6, fill=PAPER)


def fine(line: str, *, dash: str = "") -> str:
    """A fine line: an edge behind, a joint, a place that is not taken now."""
    return path(line, stroke=LINE if not dash else SOFT, width=1.3, dash=dash)


def axis(line: str) -> str:
    """A centre line."""
    return path(line, stroke=SOFT, width=1.0, dash="12 3 3 3")


def circle(x: float, y: float, r: float) -> str:
    """A circle as an outline."""
    return f"M{n(x - r)} {n(y)}a{n(r)} {n(r)} 0 1 0 {n(2 * r)} 0a{n(r)} {n(r)} 0 1 0 {n(-2 * r)} 0z"


def box(left: float, top: float, wide: float, tall: float) -> str:
    """A rectangle as an outline."""
    return f"M{n(left)} {n(top)}h{n(wide)}v{n(tall)}h{n(-wide)}z"


def inside(x1: float, y1: float, x2: float, y2: float) -> str:
    """A distance measured between two walls: a line with heads that push outwards."""
    return _distance(x1, y1, x2, y2, out=True)


def outside(x1: float, y1: float, x2: float, y2: float, reach: float = 26.0) -> str:
    """A distance measured over two faces: heads that push inwards from beyond them."""
    long = math.hypot(x2 - x1, y2 - y1)
    ux, uy = (x2 - x1) / long, (y2 - y1) / long
    ends = "".join(
        _line(x, y, x + side * ux * reach, y + side * uy * reach) + _head(x, y, -side * ux, -side * uy)
        for x, y, side in ((x1, y1, -1), (x2, y2, 1))
    )
    return ends + path(f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}", stroke=BLUE, width=1.6, dash="5 4")


def across(x: float, y: float, r: float, degrees: float) -> str:
    """A diameter of a hole, `degrees` from upright, clockwise."""
    dx, dy = r * math.sin(math.radians(degrees)), r * math.cos(math.radians(degrees))
    return inside(x - dx, y + dy, x + dx, y - dy)


def over(x: float, y: float, r: float, degrees: float) -> str:
    """A diameter of a shaft, `degrees` from upright, clockwise."""
    dx, dy = r * math.sin(math.radians(degrees)), r * math.cos(math.radians(degrees))
    return outside(x - dx, y + dy, x + dx, y - dy)


def dial(x: float, y: float, towards: tuple[float, float]) -> str:
    """A dial indicator whose point touches at (x, y), its stem running away along `towards`."""
    dx, dy = towards
    cx, cy = x + 62 * dx, y + 62 * dy
    stem = _line(x + 4 * dx, y + 4 * dy, x + 40 * dx, y + 40 * dy)
    face = path(circle(cx, cy, 22), stroke=BLUE, width=2.6, fill=PAPER) + path(
        f"M{n(cx)} {n(cy)}l9 -13", stroke=BLUE, width=2.2
    )
    return f'{stem}{face}<circle cx="{n(x)}" cy="{n(y)}" r="4.5" fill="{BLUE}"/>'


def blade(x: float, y: float, wide: float, tall: float) -> str:
    """A feeler blade, or a stylus's trace: a slim filled bar."""
    return path(box(x, y, wide, tall), stroke=BLUE, width=1.2, fill=BLUE)


def place_name(x: float, y: float, said: str, taken: str, *, anchor: str = "start") -> str:
    """The name of a place; bold and in blue where it is the one to take."""
    here = said == taken
    return text(x, y, said, size=15, bold=here, fill=BLUE if here else SOFT, anchor=anchor)


def note(said: str, y: float = 250.0) -> str:
    """A few words under the sketch, in two lines where one is too long."""
    lines = wrapped(said, WIDE - 8, 14)
    foot = y - 17 * (len(lines) - 1)
    return "".join(
        text(WIDE / 2, foot + 17 * i, line, size=14, fill=INK, anchor="middle") for i, line in enumerate(lines)
    )


def joined(drawn: Iterable[str]) -> str:
    """The drawn pieces as one text."""
    return "".join(drawn)


def _distance(x1: float, y1: float, x2: float, y2: float, *, out: bool) -> str:
    long = math.hypot(x2 - x1, y2 - y1) or 1.0
    side = 1.0 if out else -1.0
    ux, uy = side * (x2 - x1) / long, side * (y2 - y1) / long
    return _line(x1, y1, x2, y2) + _head(x1, y1, -ux, -uy) + _head(x2, y2, ux, uy)


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return path(f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}", stroke=BLUE, width=4.0)


def _head(x: float, y: float, ux: float, uy: float) -> str:
    """An arrow head whose point lies at (x, y), pointing along (ux, uy)."""
    bx, by = x - HEAD * 1.5 * ux, y - HEAD * 1.5 * uy
    ends = f"M{n(x)} {n(y)}L{n(bx - HEAD * 0.8 * uy)} {n(by + HEAD * 0.8 * ux)}L{n(bx + HEAD * 0.8 * uy)} {n(by - HEAD * 0.8 * ux)}z"
    return path(ends, stroke=BLUE, width=1.0, fill=BLUE)
