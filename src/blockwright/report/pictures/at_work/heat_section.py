"""A piston in its bore, in section: metal, rings, pin, coolant and oil; where each place of the heat network lies, and arrows between."""

from __future__ import annotations

import math
from dataclasses import dataclass

from blockwright.report.colours import INK, LINE, OCHRE, PAPER, PLATE, SHADE, SOFT, STEEL
from blockwright.report.pictures.drawing import n, path

AXIS, TALL = 320.0, 500.0
BORE, PISTON, WALL, JACKET = 112.0, 106.0, 24.0, 54.0
"""Half the bore, half the piston; thickness of the bore's wall and of the coolant about it."""
HEAD, CROWN, UNDER, FOOT, BORE_FOOT = 36.0, 120.0, 156.0, 380.0, 430.0
"""How far down the chamber's roof, the crown and its underside, the skirt's foot and the bore's foot lie."""
GROOVES = (138.0, 164.0, 190.0)
GROOVE_TALL, GROOVE_DEEP = 10.0, 18.0
PIN_Y, PIN_R = 282.0, 27.0
SKIRT_WALL, BELT_WALL = 18.0, 40.0
COOLED, OIL_TOP = 420.0, 450.0
GAS_PREFIX = "gas at the "


@dataclass(frozen=True)
class Spot:
    """Where a place lies, from the section's top; on which side its label stands (left -1), and its short name."""

    x: float
    y: float
    side: int
    said: str


IN_WALL, IN_COOLANT = AXIS + BORE + 12.0, AXIS + BORE + WALL + 27.0
SPOTS = {
    "crown": Spot(AXIS - 40, 136, -1, "crown"),
    "belt": Spot(AXIS - 78, 157, -1, "ring belt"),
    "top_ring": Spot(AXIS - PISTON + 3, GROOVES[0] + 5, -1, "top ring"),
    "second_ring": Spot(AXIS - PISTON + 3, GROOVES[1] + 5, -1, "second ring"),
    "oil_ring": Spot(AXIS - PISTON + 3, GROOVES[2] + 5, -1, "oil ring"),
    "pin": Spot(AXIS - 8, PIN_Y, -1, "pin"),
    "skirt": Spot(AXIS - PISTON + 9, 345, -1, "skirt"),
    "oil": Spot(AXIS - 60, 480, -1, "oil"),
    "head": Spot(AXIS + 30, 18, 1, "head"),
    "liner_top": Spot(IN_WALL, 178, 1, "bore top"),
    "liner_middle": Spot(IN_WALL, 270, 1, "bore middle"),
    "liner_bottom": Spot(IN_WALL, 400, 1, "bore foot"),
    "sink": Spot(IN_COOLANT, 298, 1, "coolant or air"),
}


@dataclass(frozen=True)
class Path:
    """Between which points a way of heat is drawn, and where its number may stand (x, foot, anchor)."""

    start: tuple[float, float]
    end: tuple[float, float]
    number: tuple[float, float, str] | None = None

    @property
    def turned(self) -> Path:
        """The other way round."""
        return Path(self.end, self.start, self.number)


PATHS = {
    ("gas", "crown"): Path((AXIS + 18, 66), (AXIS + 18, 131), (AXIS + 33, 92, "start")),
    ("gas", "head"): Path((AXIS - 70, 100), (AXIS - 70, 26), (AXIS - 54, 80, "start")),
    ("gas", "liner_top"): Path((AXIS + 74, 56), (AXIS + 120, 56), (AXIS + 70, 61, "end")),
    ("crown", "belt"): Path((AXIS + 36, 140), (AXIS + 80, 140), (AXIS + 32, 178, "end")),
    ("crown", "oil"): Path((AXIS + 42, 152), (AXIS + 42, 472), (AXIS + 35, 420, "end")),
    ("belt", "liner_top"): Path((AXIS + 84, 143), (AXIS + BORE + 14, 143)),
    ("belt", "liner_middle"): Path((AXIS + 84, 195), (AXIS + BORE + 14, 214)),
    ("belt", "skirt"): Path((AXIS + 92, 206), (AXIS + 97, 268)),
    ("skirt", "liner_middle"): Path((AXIS + 96, 300), (AXIS + BORE + 14, 300)),
    ("skirt", "oil"): Path((AXIS + 96, 374), (AXIS + 84, 472)),
    ("head", "sink"): Path((IN_COOLANT, 18), (IN_COOLANT, 82), (IN_COOLANT, 104, "middle")),
    ("liner_top", "sink"): Path((IN_WALL + 4, 128), (IN_COOLANT + 16, 128), (IN_COOLANT, 156, "middle")),
    ("liner_top", "liner_middle"): Path((IN_WALL, 190), (IN_WALL, 256)),
    ("liner_middle", "sink"): Path((IN_WALL + 4, 240), (IN_COOLANT + 16, 240), (IN_COOLANT, 226, "middle")),
    ("liner_middle", "liner_bottom"): Path((IN_WALL, 284), (IN_WALL, 386)),
    ("liner_bottom", "sink"): Path((IN_WALL + 4, 376), (IN_COOLANT + 16, 376), (IN_COOLANT, 362, "middle")),
    ("skirt", "liner_bottom"): Path((AXIS + 96, 350), (AXIS + BORE + 14, 350)),
    ("liner_bottom", "oil"): Path((IN_WALL - 2, 414), (IN_WALL - 16, 472)),
}


def path_of(start: str, end: str) -> Path | None:
    """How the way of heat from one place to another is drawn; `None` where the section cannot show it."""
    a, b = (_plain(place) for place in (start, end))
    if (a, b) in PATHS:
        return PATHS[a, b]
    return PATHS[b, a].turned if (b, a) in PATHS else None


def section(top: float) -> list[str]:
    """The section, its top at `top`."""
    return [
        *_cooled(top),
        *(_walls(top, side) for side in (-1, 1)),
        path(
            _rect(AXIS - BORE - WALL - JACKET, top, 2 * (BORE + WALL + JACKET), HEAD), stroke=INK, width=1.5, fill=PLATE
        ),
        *_piston(top),
        *_oil(top),
        path(f"M{n(AXIS)} {n(top - 6)}V{n(top + TALL)}", stroke=SOFT, width=0.8, dash="14 3 3 3"),
    ]


def arrow(start: tuple[float, float], end: tuple[float, float], width: float) -> str:
    """An arrow of heat, its shaft as wide as given."""
    (ax, ay), (bx, by) = start, end
    long = math.hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / long, (by - ay) / long
    head = min(0.5 * long, 6.0 + 0.6 * width)
    half, wing = width / 2, width / 2 + 3.5
    cx, cy = bx - head * ux, by - head * uy
    points = [
        (ax - half * uy, ay + half * ux), (cx - half * uy, cy + half * ux), (cx - wing * uy, cy + wing * ux), (bx, by),
        (cx + wing * uy, cy - wing * ux), (cx + half * uy, cy - half * ux), (ax + half * uy, ay - half * ux),
    ]  # fmt: skip
    outline = "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + "z"
    return path(outline, stroke=PAPER, width=2.6) + path(outline, stroke="none", width=0, fill=OCHRE)


def _plain(place: str) -> str:
    return "gas" if place.startswith(GAS_PREFIX) or place == "gas" else place


def _walls(top: float, side: int) -> str:
    """The bore's wall on one side, and the coolant's space outside it."""
    x = AXIS + side * BORE
    wall = f"M{n(x)} {n(top + HEAD)}h{n(side * WALL)}V{n(top + BORE_FOOT)}h{n(-side * WALL)}z"
    return path(wall, stroke=INK, width=1.5, fill=SHADE)


def _cooled(top: float) -> list[str]:
    """The space about the bore: coolant, drawn as fine waves on paper, closed below."""
    drawn = []
    for side in (-1, 1):
        left = AXIS + side * (BORE + WALL) - (JACKET if side < 0 else 0.0)
        drawn.append(path(_rect(left, top + HEAD, JACKET, COOLED - HEAD), stroke=INK, width=1.2, fill=PAPER))
        waves = "".join(f"M{n(left + 5)} {n(top + HEAD + 14 + 16 * i)}q5.5 -5 11 0t11 0t11 0t11 0" for i in range(23))
        drawn.append(path(waves, stroke=LINE, width=1.0))
    return drawn


def _piston(top: float) -> list[str]:
    """Crown, belt and skirt in section, the pin, and the rings on the wall."""
    drawn = [path(_outline(top), stroke=INK, width=1.6, fill=STEEL)]
    for y in GROOVES:
        for side in (-1, 1):
            x = AXIS + side * PISTON
            drawn.append(
                path(
                    _rect(min(x, x - side * GROOVE_DEEP), top + y, GROOVE_DEEP, GROOVE_TALL),
                    stroke=INK,
                    width=1.0,
                    fill=PAPER,
                )
            )
            wall = AXIS + side * BORE
            left = min(wall, wall - side * 17.0)
            drawn.append(path(_rect(left, top + y + 1.5, 17.0, GROOVE_TALL - 2.5), stroke=INK, width=1.0, fill=SOFT))
    drawn.append(
        f'<circle cx="{n(AXIS)}" cy="{n(top + PIN_Y)}" r="{n(PIN_R)}" fill="{SHADE}" stroke="{INK}" stroke-width="1.6"/>'
    )
    return drawn


def _outline(top: float) -> str:
    """The piston's metal: outside up, inside down."""
    belt = GROOVES[-1] + GROOVE_TALL + 14
    right = (
        f"M{n(AXIS - PISTON)} {n(top + FOOT)}V{n(top + CROWN)}H{n(AXIS + PISTON)}V{n(top + FOOT)}"
        f"h{n(-SKIRT_WALL)}V{n(top + belt + 20)}L{n(AXIS + PISTON - BELT_WALL)} {n(top + belt)}V{n(top + UNDER + 16)}"
        f"q0 -16 -16 -16H{n(AXIS - PISTON + BELT_WALL + 16)}q-16 0 -16 16V{n(top + belt)}"
    )
    return f"{right}L{n(AXIS - PISTON + SKIRT_WALL)} {n(top + belt + 20)}V{n(top + FOOT)}z"


def _oil(top: float) -> list[str]:
    """Oil below the bore."""
    left = AXIS - BORE - WALL
    waves = f"M{n(left)} {n(top + OIL_TOP + 14)}" + "q8.5 -7 17 0t17 0" * 8
    level = path(f"{waves}V{n(top + TALL)}H{n(left)}z", stroke=INK, width=1.2, fill=PLATE)
    return [level]


def _rect(left: float, top: float, wide: float, tall: float) -> str:
    return f"M{n(left)} {n(top)}h{n(wide)}v{n(tall)}h{n(-wide)}z"
