"""Sketches of faces, and of what is read on the assembled engine."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.report.pictures.where.sketch import (
    axis,
    blade,
    box,
    circle,
    dial,
    fine,
    hollow,
    inside,
    note,
    part,
    place_name,
)  # fmt: skip

EDGES = {
    "along": (40.0, 125.0, 320.0, 125.0),
    "across": (180.0, 40.0, 180.0, 210.0),
    "corners": (52.0, 52.0, 308.0, 198.0),
}


def deck(spot: str) -> Iterator[str]:
    """A deck face from above, with the straight edge on it."""
    yield part(box(30, 40, 300, 170)) + "".join(hollow(circle(x, 125, 30)) for x in (75, 145, 215, 285))
    for name, (x1, y1, x2, y2) in EDGES.items():
        if name != spot:
            yield fine(f"M{x1:g} {y1:g}L{x2:g} {y2:g}", dash="6 5")
    x1, y1, x2, y2 = EDGES.get(spot, EDGES["along"])
    yield inside(x1, y1, x2, y2) + note(f"{spot or 'along'}: the largest blade that goes under the edge")


def tunnel(spot: str) -> Iterator[str]:
    """A straight edge through the main housings."""
    for x in (30, 110, 190, 270):
        yield part(f"M{x} 90v100h60v-100q-30 26 -60 0z")
    yield part(box(20, 78, 320, 14)) + blade(206, 92, 28, 7) + note("the largest blade under the edge at this one")


def end_float(spot: str) -> Iterator[str]:
    """A dial on the end of the crank."""
    yield part("M120 100h40v-40h34v40h40v-40h34v40h60v50h-60v40h-34v-40h-40v40h-34v-40h-40z") + axis("M110 125H344")
    yield dial(120, 125, (-1.0, 0.0)) + inside(200, 214, 280, 214) + note("levered fore and aft; the needle's travel")


def rod_side(spot: str) -> Iterator[str]:
    """A rod between the cheeks of its throw, and a blade beside it."""
    yield part(box(70, 30, 54, 190)) + part(box(236, 30, 54, 190)) + part(box(124, 100, 112, 50))
    yield part(box(146, 60, 84, 130)) + blade(230, 74, 6, 96) + note("rod held to one side, blade at the other")


def piston_to_deck(spot: str) -> Iterator[str]:
    """A piston at the top of its stroke, dial on the pin's axis; front to the left."""
    yield part(box(30, 60, 44, 160)) + part(box(286, 60, 44, 160)) + part(box(78, 70, 204, 150))
    yield fine("M20 60H340", dash="7 4") + axis("M78 150H282")
    yield dial(130 if spot == "front" else 230, 70, (0.0, -0.6)) + place_name(130, 206, "front", spot, anchor="middle")
    yield place_name(230, 206, "rear", spot, anchor="middle") + note(
        "at top dead centre, on the pin's axis; below the deck is +"
    )


def turning(spot: str) -> Iterator[str]:
    """A torque wrench on the nose of the crank."""
    yield part(circle(110, 130, 58)) + hollow(circle(110, 130, 16)) + part("M122 118l190 -60l8 24l-190 60z")
    yield fine("M110 48a82 82 0 0 1 78 56", dash="6 4") + note("slowly; the steady pull, not the first jerk")
