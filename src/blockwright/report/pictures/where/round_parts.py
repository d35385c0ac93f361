"""Sketches of round things: bores, housings, journals, pins, shells."""

from __future__ import annotations

import math
from collections.abc import Iterator

from blockwright.engine.layout import HEIGHTS
from blockwright.report.pictures.drawing import n
from blockwright.report.pictures.where.sketch import (
    across,
    axis,
    blade,
    box,
    circle,
    dial,
    fine,
    hollow,
    inside,
    note,
    outside,
    over,
    part,
    place_name,
)  # fmt: skip

ROWS = dict(zip(HEIGHTS, (62.0, 104.0, 146.0), strict=True))
CUTS = {"square": 0.0, "left": -45.0, "right": 45.0}


def bore(spot: str) -> Iterator[str]:
    """A cylinder cut open, with its three heights; below it the direction, seen from above."""
    height, _, way = spot.partition(" ")
    yield part(box(40, 30, 42, 150)) + part(box(222, 30, 42, 150)) + fine("M30 30H274")
    yield place_name(290, 24, "deck", "")
    for name, y in ROWS.items():
        yield fine(f"M82 {y:g}H222") if name != height else inside(82, y, 222, y)
        yield place_name(290, y + 5, name, height)
    yield hollow("M152 218m-54 0a54 21 0 1 0 108 0a54 21 0 1 0 -108 0z")
    yield inside(98, 218, 206, 218) if way == "thrust" else inside(152, 197, 152, 239)
    yield place_name(290, 213, "thrust", way) + place_name(290, 235, "axial", way)
    yield fine("M152 180V190") + note("'axial' is along the crank", 257)


def bore_finish(spot: str) -> Iterator[str]:
    """A stylus drawn along a bore."""
    yield part(box(60, 30, 50, 190)) + part(box(250, 30, 50, 190)) + axis("M180 20V228")
    yield blade(112, 92, 5, 66) + inside(128, 92, 128, 158) + note("along the bore, middle of the ring travel")


def housing(spot: str) -> Iterator[str]:
    """A housing with its cap: upright and 45° to either side."""
    yield part(box(70, 20, 220, 105)) + part(box(90, 125, 180, 96)) + hollow(circle(180, 125, 74))
    yield fine("M40 125H106M254 125H320", dash="7 4") + place_name(322, 118, "joint", "", anchor="end")
    for name, degrees in CUTS.items():
        if name != spot:
            yield _faint(180, 125, 74, degrees)
    yield across(180, 125, 74, CUTS.get(spot, 0.0))
    yield note(f"{spot or 'square'}, of 'square', 'left' and 'right'")


def shelled(spot: str) -> Iterator[str]:
    """A housing with its shells in."""
    yield (
        part(box(70, 20, 220, 105))
        + part(box(90, 125, 180, 96))
        + hollow(circle(180, 125, 74))
        + hollow(circle(180, 125, 64))
    )
    yield fine("M40 125H106M254 125H320", dash="7 4") + across(180, 125, 64, 0.0)
    yield note("square to the joint, shells in, at full torque")


def journal(spot: str) -> Iterator[str]:
    """A journal from the side, front to the left, and from its end."""
    end, _, way = spot.partition(" ")
    yield part(box(20, 30, 34, 170)) + part(box(54, 70, 126, 90)) + part(box(180, 30, 34, 170)) + axis("M8 115H226")
    x = 78.0 if end == "front" else 156.0
    yield fine(f"M{n(234 - x)} 70V160", dash="5 4") + outside(x, 160, x, 70)
    yield place_name(62, 222, "front", end) + place_name(140, 222, "rear", end)
    yield part(circle(284, 115, 36)) + over(284, 115, 36, 90.0 if way == "across" else 0.0)
    yield place_name(284, 222, way, way, anchor="middle")
    yield note("clear of the fillets and of the oil hole")


def journal_finish(spot: str) -> Iterator[str]:
    """A stylus drawn along a journal."""
    yield part(box(60, 40, 40, 170)) + part(box(100, 80, 160, 90)) + part(box(260, 40, 40, 170))
    yield blade(140, 74, 80, 5) + inside(140, 62, 220, 62) + note("along the journal, clear of the oil hole")


def runout(spot: str) -> Iterator[str]:
    """A crank on blocks under a dial."""
    yield part("M20 150h60v-20h40v-34h40v34h40v-34h40v34h40v20h60v24h-60v20h-40v34h-40v-34h-40v34h-40v-34h-40v-20h-60z")
    yield fine("M40 174l-18 46h50zM320 174l-18 46h50z") + axis("M8 162H352")
    yield dial(180, 130, (0.0, -1.0)) + note("one slow turn, the needle's whole travel")


def bore_of_rod(spot: str) -> Iterator[str]:
    """A big end with its cap, the rod upwards."""
    yield part("M160 10h40l14 58h-68z") + part(box(96, 68, 168, 66)) + part("M96 134h168v28q-20 52 -84 52t-84 -52z")
    yield hollow(circle(180, 134, 54)) + fine("M70 134H126M234 134H290", dash="7 4")
    for name, degrees in CUTS.items():
        if name != spot:
            yield _faint(180, 134, 54, degrees)
    yield across(180, 134, 54, CUTS.get(spot, 0.0)) + note(f"{spot or 'square'}: 'square' is along the rod")


def rod_shelled(spot: str) -> Iterator[str]:
    """A big end with its shells in."""
    yield part("M160 10h40l14 58h-68z") + part(box(96, 68, 168, 66)) + part("M96 134h168v28q-20 52 -84 52t-84 -52z")
    yield hollow(circle(180, 134, 54)) + hollow(circle(180, 134, 46)) + across(180, 134, 46, 0.0)
    yield note("along the rod, shells in, bolts at full torque")


def small_end(spot: str) -> Iterator[str]:
    """The eye of a rod."""
    yield part(circle(180, 90, 62)) + part("M146 140h68l10 90h-88z") + hollow(circle(180, 90, 40))
    yield across(180, 90, 40, 0.0 if spot == "along" else 90.0)
    yield (
        place_name(262, 60, "along", spot) + place_name(262, 96, "across", spot) + note("'along' is along the rod", 254)
    )


def pin(spot: str) -> Iterator[str]:
    """A pin from the side, front to the left."""
    places = {"front": 84.0, "middle": 180.0, "rear": 276.0}
    yield part(box(50, 90, 260, 74)) + axis("M36 127H324") + fine("M50 104H310M50 150H310", dash="4 4")
    for name, x in places.items():
        yield outside(x, 164, x, 90) if name == spot else fine(f"M{x:g} 90V164", dash="5 4")
        yield place_name(x, 222, name, spot, anchor="middle")


def pin_length(spot: str) -> Iterator[str]:
    """A pin, over its ends."""
    yield part(box(80, 90, 200, 74)) + axis("M66 127H294") + outside(80, 127, 280, 127) + note("over the ends")


def shell_wall(spot: str) -> Iterator[str]:
    """A half shell at its crown."""
    yield part("M70 190a110 110 0 0 1 220 0h-16a94 94 0 0 0 -188 0z") + outside(180, 96, 180, 80, 40)
    yield note("at the crown, with a ball end inside")


def shell_crush(spot: str) -> Iterator[str]:
    """A half shell standing proud of its housing."""
    yield part("M50 110h40a90 90 0 0 0 180 0h40v110h-260z") + hollow(
        "M90 110a90 90 0 0 0 180 0v-9h-12v9a78 78 0 0 1 -156 0z"
    )
    yield fine("M40 110H320", dash="7 4") + dial(264, 101, (0.0, -1.0)) + place_name(60, 96, "held flush", "")
    yield note("how far it stands proud of the joint")


def _faint(x: float, y: float, r: float, degrees: float) -> str:
    dx, dy = r * math.sin(math.radians(degrees)), r * math.cos(math.radians(degrees))
    return fine(f"M{n(x - dx)} {n(y + dy)}L{n(x + dx)} {n(y - dy)}", dash="4 4")
