"""Sketches of pistons and rings: skirt, ring belt, pin bore; gaps, heights, walls and free opening of rings."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.report.colours import SOFT
from blockwright.report.pictures.drawing import text
from blockwright.report.pictures.where.sketch import (
    axis,
    blade,
    box,
    circle,
    fine,
    hollow,
    inside,
    note,
    outside,
    part,
    place_name,
)  # fmt: skip

BELT = {"top": 66.0, "second": 112.0, "oil": 158.0}
TALL_GROOVE = {"top": 16.0, "second": 16.0, "oil": 30.0}
WALL, FLOOR = 214.0, 150.0


def skirt(spot: str) -> Iterator[str]:
    """A piston seen along its pin, over the skirt."""
    yield _piston() + hollow(circle(180, 150, 22)) + outside(92, 182, 268, 182)
    yield fine("M92 182H60M268 182H300", dash="4 4") + note("square to the pin, at the maker's gauge height")


def pin_bore(spot: str) -> Iterator[str]:
    """A piston cut along its pin, front to the left."""
    yield _cut_piston()
    x = 104.0 if spot == "front boss" else 256.0
    yield inside(x, 120, x, 172) + place_name(104, 226, "front boss", spot, anchor="middle")
    yield place_name(256, 226, "rear boss", spot, anchor="middle") + note(
        "along and across the piston's axis, the smaller one", 254
    )


def pin_room(spot: str) -> Iterator[str]:
    """A piston cut along its pin: between what holds the pin."""
    yield _cut_piston() + inside(86, 146, 274, 146) + note("between the clip grooves' outer faces, less both clips")


def groove_width(ring: str) -> Iterator[str]:
    """A groove's axial width."""
    yield _belt(ring)
    y = BELT[ring]
    yield (
        inside(182, y, 182, y + TALL_GROOVE[ring])
        if TALL_GROOVE[ring] > 24
        else outside(182, y + TALL_GROOVE[ring], 182, y)
    )
    yield note("all round; the tightest place is written down")


def groove_depth(ring: str) -> Iterator[str]:
    """From the land to the floor of a groove."""
    yield (
        _belt(ring)
        + inside(FLOOR, BELT[ring] + 8, WALL, BELT[ring] + 8)
        + note("from the land to the floor of the groove")
    )


def land(name: str, ring: str) -> Iterator[str]:
    """The diameter of the land under a ring."""
    yield (
        _belt(ring)
        + outside(60, _land_middle(ring), WALL, _land_middle(ring))
        + note(f"{name}: its diameter, square to the pin")
    )


def land_height(name: str, ring: str) -> Iterator[str]:
    """The height of the land under a ring."""
    top = BELT[ring] + TALL_GROOVE[ring]
    foot = BELT["second" if ring == "top" else "oil"]
    yield _belt(ring) + inside(WALL - 12, top, WALL - 12, foot) + note(f"{name}: from groove to groove")


def gap(ring: str) -> Iterator[str]:
    """A ring in its bore, with a blade in its gap; beside it, how deep it lies."""
    yield part(circle(118, 122, 100)) + hollow(circle(118, 122, 82))
    yield part("M124 40a82 82 0 1 1 -12 0l2 14a68 68 0 1 0 8 0z") + blade(114.5, 26, 7, 30)
    yield part(box(244, 40, 18, 170)) + part(box(326, 40, 18, 170)) + part(box(262, 96, 64, 7))
    yield inside(294, 40, 294, 96) + place_name(294, 30, "depth", "depth", anchor="middle")
    yield note(f"{ring} ring, square in its own bore")


def ring_height(ring: str) -> Iterator[str]:
    """The axial height of a ring."""
    yield _ring_section() + outside(150, 150, 150, 100) + note("axial, at four places; the largest")


def ring_wall(ring: str) -> Iterator[str]:
    """The radial wall of a ring."""
    yield _ring_section() + outside(90, 125, 210, 125) + note("radial, away from the ends")


def free_opening(ring: str) -> Iterator[str]:
    """A ring that lies free."""
    yield part("M208 48a86 86 0 1 1 -56 0l4 17a69 69 0 1 0 48 0z") + inside(154, 57, 206, 57)
    yield note("lying free, between the ends, at the middle of the wall")


def _piston() -> str:
    crown = part("M84 28h192v92l-8 92h-40q-48 -22 -96 0h-40l-8 -92z")
    return crown + "".join(hollow(box(84, y, 192, 8)) for y in (48, 68, 88)) + axis("M180 16V224")


def _cut_piston() -> str:
    solid = part("M66 28h228v184h-26v-24h-40v-84h-96v84h-40v24h-26z")
    holes = hollow(box(66, 120, 66, 52)) + hollow(box(228, 120, 66, 52))
    clips = "".join(hollow(box(x, 112, 8, 68)) for x in (78, 274))
    return solid + holes + clips + axis("M50 146H310")


def _belt(ring: str) -> str:
    """The ring belt cut open, crown upwards, wall to the right, its grooves named."""
    drawn = [part(f"M60 24H{WALL:g}V212H60z"), text(60, 16, "crown", size=14, fill=SOFT)]
    for name, y in BELT.items():
        drawn.append(hollow(f"M{WALL:g} {y:g}H{FLOOR:g}v{TALL_GROOVE[name]:g}H{WALL:g}"))
        drawn.append(place_name(236, y + TALL_GROOVE[name] / 2 + 5, name, ring))
    return "".join(drawn)


def _land_middle(ring: str) -> float:
    below = BELT["second" if ring == "top" else "oil"]
    return (BELT[ring] + TALL_GROOVE[ring] + below) / 2


def _ring_section() -> str:
    face = text(228, 182, "face", size=14, fill=SOFT)
    return part(box(90, 100, 120, 50)) + fine("M222 60V190") + face
