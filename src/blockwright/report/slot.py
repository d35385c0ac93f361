"""Slot and pin: one mark that shows a value against its limits, so that nobody has to read a number to see a verdict.

The limits are a slot cut in a plate, the value is a pin as wide as its uncertainty, the aim a dashed line. In: the pin lies in the slot.
Undecided: it lies across a wall. Out: it lies on the plate. The slot stands at the same place in every mark, so that marks under each
other share one slot. A side without a limit has no wall and no plate; a pin that goes on past the picture ends in a point.

`block_mark` draws a mark in characters, `svg_mark` in SVG, both after the one geometry in `slot_place`.

| standing | pin | in characters | in ASCII |
| --- | --- | --- | --- |
| conforms | filled, in the slot | `▄` | `#` |
| undecided | hatched, across a wall | `▒` | `?` |
| nonconforming | barred, on the plate | `▌` `▐` | `X` |
| accepted | hollow, where it is: never in the slot alone | `□` | `o` |
| no limit given | thin, with no slot | `▬` | `+` |
| open | none; the plate is dashed | | |
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape

from blockwright.report.colours import BLUE, INK, OCHRE, PAPER, PLATE, SOFT, VERMILION
from blockwright.report.slot_place import (
    ACCEPTED,
    CONFORMS,
    FINEST,
    NONCONFORMING,
    OPEN,
    STANDINGS,
    UNDECIDED,
    UNLIMITED,
    Canvas,
    Mark,
    Placed,
    Span,
    place,
)

__all__ = ["STANDINGS", "Mark", "block_mark", "standing_said", "svg_mark"]

LEAST_COLUMNS = 7
LEAST_WIDTH, LEAST_HEIGHT = 80, 16


@dataclass(frozen=True)
class _Signs:
    """The characters of a mark; `pins` by standing, for the cells left of the middle, in it, and right of it."""

    plate: str
    no_plate: str
    crossed: str
    walls: tuple[str, str]
    wall: str
    crossed_walls: tuple[str, str]
    unread_plate: str
    unread_walls: tuple[str, str]
    aim: str
    tips: tuple[str, str]
    pins: dict[str, str]


BLOCKS = _Signs(
    plate="━",
    no_plate="┄",
    crossed="╳",
    walls=("┫", "┣"),
    wall="┃",
    crossed_walls=("╋", "╋"),
    unread_plate="╍",
    unread_walls=("┇", "┇"),
    aim="┊",
    tips=("◄", "►"),
    pins={CONFORMS: "▄▄▄", UNDECIDED: "▒▒▒", NONCONFORMING: "▌║▐", ACCEPTED: "□□□", UNLIMITED: "▬▬▬"},
)
ASCII = _Signs(
    plate="-",
    no_plate=".",
    crossed="x",
    walls=("[", "]"),
    wall="|",
    crossed_walls=("+", "+"),
    unread_plate="~",
    unread_walls=("|", "|"),
    aim=":",
    tips=("<", ">"),
    pins={CONFORMS: "###", UNDECIDED: "???", NONCONFORMING: "XXX", ACCEPTED: "ooo", UNLIMITED: "+++"},
)


def block_canvas(width: int) -> Canvas:
    """The canvas of a mark `width` columns wide: every wall is one column, and about a fifth is plate on either side."""
    return Canvas(width, max(2, round(width / 5)), wall=1.0, least=1.0, tip=1.0, grid=1.0)


def block_mark(mark: Mark, width: int = 21, *, ascii: bool = False) -> str:
    """Draw a mark in one line of exactly `width` single-width characters; `ascii` for terminals that have no others.

    An odd width gives the aim a column in the middle. Raises ValueError for fewer than seven columns.

    >>> block_mark(Mark(0.060, 0.075, 0.068, 0.071, 0.002, "conforms"))
    '━━━━┫     ┊ ▄▄▄ ┣━━━━'
    >>> block_mark(Mark(0.060, 0.075, 0.067, 0.061, 0.004, "undecided"))
    '━━▒▒┃▒▒▒▒ ┊     ┣━━━━'
    >>> block_mark(Mark(None, 0.010, 0.0, 0.013, 0.002, "nonconforming"), ascii=True)
    '....:           ]-XX>'
    """
    if width < LEAST_COLUMNS:
        raise ValueError(f"a mark needs at least {LEAST_COLUMNS} columns, not {width}")
    signs = ASCII if ascii else BLOCKS
    placed = place(mark, block_canvas(width))
    cells = _empty_slot(mark, placed, signs, width)
    for i in _aim_columns(placed, width):
        cells[i] = signs.aim
    for i in (i for pin in placed.pins for i in range(int(pin.start), int(pin.end))):
        side = (2 * i + 1 > width) - (2 * i + 1 < width)
        cells[i] = signs.wall if cells[i] in signs.walls else signs.pins[mark.standing][1 + side]
    if placed.past_left:
        cells[0] = signs.tips[0]
    if placed.past_right:
        cells[-1] = signs.tips[1]
    return "".join(cells)


def _aim_columns(placed: Placed, width: int) -> range:
    """The column of the aim: between two columns the one nearer the middle, and both where that is the middle itself."""
    if placed.aim is None:
        return range(0)
    middle = width / 2.0
    at = placed.aim + FINEST * ((placed.aim < middle) - (placed.aim > middle))
    return range(math.ceil(at) - 1, math.floor(at) + 1)


def _empty_slot(mark: Mark, placed: Placed, signs: _Signs, width: int) -> list[str]:
    """The plate and the slot in it, before anything lies there; beyond a side without a limit there is no plate."""
    plate, walls = (signs.unread_plate, signs.unread_walls) if mark.standing == OPEN else (signs.plate, signs.walls)
    if placed.crossed:
        walls = signs.crossed_walls
    ends = int(block_canvas(width).plate)
    first = ends if placed.left is None else int(placed.left.start)
    last = width - ends if placed.right is None else int(placed.right.end)
    cells = [signs.no_plate if placed.left is None else plate] * first
    cells += [signs.crossed if placed.crossed else " "] * (last - first)
    cells += [signs.no_plate if placed.right is None else plate] * (width - last)
    if placed.left is not None:
        cells[first] = walls[0]
    if placed.right is not None:
        cells[last - 1] = walls[1]
    return cells


LOOKS = {
    CONFORMS: ("pin good", BLUE),
    UNDECIDED: ("pin doubt", OCHRE),
    NONCONFORMING: ("pin out", VERMILION),
    ACCEPTED: ("pin", INK),
    UNLIMITED: ("pin", INK),
}
"""Classes of a pin and its colour where no style sheet speaks, by standing."""

SURFACE, FLOOR, TALL = 0.5, 0.87, 0.31
"""Parts of the height: the plate's surface, the slot's floor, and how tall a pin is."""

TIP, CUT, SKIN = 8.0, 1.6, 1.8
"""Pixels: how long the point of a pin is that goes on past the picture, how wide a cut in a pin, how thick the skin of a hollow one."""


def svg_mark(mark: Mark, width: float = 190, height: float = 26, title: str = "") -> str:
    """Draw a mark as an SVG element that stands alone or in a page; `title` is what is read out, or else the standing.

    Colours are presentation attributes, so that a page's style sheet decides where it has the classes: `slot` is the plate, `wall` its edge,
    `aim`, `pin` with `good`, `doubt` or `out`, and `gap` what is cut out of a pin (its stroke is the page's ground). Nothing has an id.
    Raises ValueError for a picture too small to tell a verdict.

    >>> svg_mark(Mark(0.1, 0.2, None, 0.0, 0.0, "open"), title="Gap 2 & 3").partition(" role")[2][:62]
    '="img" aria-label="Gap 2 &amp; 3"><title>Gap 2 &amp; 3</title>'
    """
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        raise ValueError(f"a mark needs at least {LEAST_WIDTH} by {LEAST_HEIGHT} pixels, not {width} by {height}")
    placed = place(mark, svg_canvas(width))
    said = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in title or standing_said(mark))
    drawn = [_plate(mark, placed, width, height)]
    if placed.aim is not None:
        line = f"M{_n(placed.aim)} {_n(0.08 * height)}V{_n(FLOOR * height)}"
        drawn.append(_path("aim", line, stroke=SOFT, stroke_width="1.5", stroke_dasharray="2 2"))
    drawn += [_drawn_pin(mark, placed, pin, height) for pin in placed.pins]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(width)} {_n(height)}" width="{_n(width)}" '
        f'height="{_n(height)}" role="img" aria-label="{escape(said)}"><title>{escape(said, quote=False)}</title>{"".join(drawn)}</svg>'
    )


def svg_canvas(width: float) -> Canvas:
    """The canvas of an SVG mark, in pixels."""
    return Canvas(width, width / 5.0, wall=2.0, least=6.0, tip=TIP, grid=0.1)


def standing_said(mark: Mark) -> str:
    """The standing in words, with the limit that the value is past."""
    if mark.standing not in (OPEN, UNLIMITED):
        if mark.low is not None and mark.value < mark.low:
            return f"{mark.standing}, reads under the low limit"
        if mark.high is not None and mark.value > mark.high:
            return f"{mark.standing}, reads over the high limit"
    return mark.standing


def _plate(mark: Mark, placed: Placed, width: float, height: float) -> str:
    """The plate in section, with the slot cut in it: dashed where nothing was read, whole and crossed out where limits exclude each other."""
    left, right = placed.left, placed.right
    surface, floor, foot = _n(SURFACE * height), _n(FLOOR * height), _n(height + 2.0)
    edge = f"M-2 {floor}" if left is None else f"M-2 {surface}H{_middle(left)}V{floor}"
    edge += f"H{_n(width + 2.0)}" if right is None else f"H{_middle(right)}V{surface}H{_n(width + 2.0)}"
    cut = ""
    if placed.crossed and left is not None and right is not None:
        edge = f"M-2 {surface}H{_n(width + 2.0)}"
        cut = f"M{_middle(left)} {surface}V{foot}M{_middle(right)} {surface}V{foot}"
        cut += _crosses(left.end, right.start, SURFACE * height, height)
    plate = "" if mark.standing == OPEN else _path("slot", f"{edge}V{foot}H-2z", fill=PLATE)
    dashes = {"stroke_dasharray": "4 3"} if mark.standing == OPEN else {}
    return plate + _path("wall", edge + cut, stroke=SOFT, stroke_width="1.5", **dashes)


def _crosses(start: float, end: float, top: float, foot: float) -> str:
    """A row of crosses over the stretch where there should be a slot."""
    count = max(1, math.floor((end - start) / (foot - top)))
    wide, tall = (end - start) / count, foot - top
    return "".join(
        f"M{_n(start + wide * i)} {_n(top)}l{_n(wide)} {_n(tall)}m0 {_n(-tall)}l{_n(-wide)} {_n(tall)}"
        for i in range(count)
    )


def _drawn_pin(mark: Mark, placed: Placed, pin: Span, height: float) -> str:
    """The pin, down in the slot or up on the plate, and what is cut out of it."""
    down = mark.standing in (CONFORMS, UNLIMITED)
    foot = (FLOOR if down else SURFACE) * height - 1.2
    top = foot - TALL * height * (0.45 if mark.standing == UNLIMITED else 1.0)
    looks, colour = LOOKS[mark.standing]
    body = Span(
        pin.start + TIP * (placed.past_left and pin is placed.pins[0]),
        pin.end - TIP * (placed.past_right and pin is placed.pins[-1]),
    )
    cuts = _cuts(mark, placed, body, top, foot)
    drawn = _path(looks, _outline(pin, body, top, foot), fill=colour)
    if mark.standing == ACCEPTED:
        hollow = f"M{_n(body.start + SKIN)} {_n((top + foot) / 2)}H{_n(body.end - SKIN)}"
        drawn += _path("gap", hollow, stroke=PAPER, stroke_width=_n(foot - top - 2.0 * SKIN))
    return drawn + (_path("gap", cuts, stroke=PAPER, stroke_width=_n(CUT)) if cuts else "")


def _outline(pin: Span, body: Span, top: float, foot: float) -> str:
    """Rounded where the pin ends, pointed where it goes on past the picture."""
    middle, r = _n((top + foot) / 2.0), min(2.0, (foot - top) / 2.0)
    right = f"H{_n(body.end)}L{_n(pin.end)} {middle}L{_n(body.end)} {_n(foot)}"
    if body.end == pin.end:
        right = f"H{_n(pin.end - r)}q{_n(r)} 0 {_n(r)} {_n(r)}V{_n(foot - r)}q0 {_n(r)} {_n(-r)} {_n(r)}"
    left = f"H{_n(body.start)}L{_n(pin.start)} {middle}L{_n(body.start)} {_n(top)}z"
    if body.start == pin.start:
        left = f"H{_n(pin.start + r)}q{_n(-r)} 0 {_n(-r)} {_n(-r)}V{_n(top + r)}q0 {_n(-r)} {_n(r)} {_n(-r)}z"
    return f"M{_n(max(body.start, pin.start + r))} {_n(top)}{right}{left}"


def _cuts(mark: Mark, placed: Placed, body: Span, top: float, foot: float) -> str:
    """Bars for out, a hatch for undecided; and a pin that lies across a wall is cut through there."""
    if mark.standing == NONCONFORMING:
        count = max(1, round((body.end - body.start) / 5.0) - 1)
        step = (body.end - body.start) / (count + 1)
        return "".join(f"M{_n(body.start + step * (i + 1))} {_n(top)}V{_n(foot)}" for i in range(count))
    if mark.standing not in (UNDECIDED, ACCEPTED) or placed.crossed:
        return ""
    walls = (wall for wall in (placed.left, placed.right) if wall is not None)
    crossing = (_middle(wall) for wall in walls if body.start < wall.start and wall.end < body.end)
    through = "".join(f"M{x} {_n(top)}V{_n(foot)}" for x in crossing)
    return through + (_hatch(body, top, foot) if mark.standing == UNDECIDED else "")


def _hatch(body: Span, top: float, foot: float) -> str:
    """Slanting lines within the skin of a pin."""
    start, end, top, foot = body.start + 1.2, body.end - 1.2, top + 1.2, foot - 1.2
    tall, drawn = foot - top, ""
    for i in range(math.ceil((end - start + tall) / 4.0)):
        low = start - tall + 4.0 * i + 2.0
        first, last = max(low, start), min(low + tall, end)
        if last - first > 0.5:
            drawn += f"M{_n(first)} {_n(foot - (first - low))}L{_n(last)} {_n(foot - (last - low))}"
    return drawn


def _path(looks: str, line: str, fill: str = "none", **stroke: str) -> str:
    lines = "".join(f' {name.replace("_", "-")}="{value}"' for name, value in stroke.items())
    return f'<path class="{looks}" d="{line}" fill="{fill}"{lines}/>'


def _middle(wall: Span) -> str:
    return _n((wall.start + wall.end) / 2.0)


def _n(pixels: float) -> str:
    """A number of pixels, to a hundredth."""
    return f"{pixels:.2f}".rstrip("0").rstrip(".")
