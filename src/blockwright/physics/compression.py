"""Compression of one cylinder: volumes, ratio, what to take off or leave for another, quench, and what is left of it when the intake closes.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| B | bore_m | bore | m |
| S | stroke_m | stroke | m |
| – | deck_m | how far the crown's flat lies under the block's face at the top, on the pin's axis: + below, - above | m |
| – | gasket_bore_m | bore of the gasket | m |
| – | gasket_m | thickness of the gasket when tight | m |
| – | chamber_m3 | volume of the head's chamber | m³ |
| – | crown_m3 | volume of dish and valve pockets less that of a dome | m³ |
| – | land_m | diameter of the top land | m |
| – | land_height_m | height of the top land, from crown to top ring | m |
| Vs, Vc | – | swept volume, and volume at the top | m³ |
| r | ratio | compression ratio: (Vs + Vc)/Vc | – |
| l | rod_m | rod length, centre to centre | m |
| d | offset_m | offset of the pin from the bore's axis: + towards the crankpin's side at 90° after the top | m |

A piston rocks in its bore: the deck read over one edge of the crown differs from the other by twice the rock, so both are read and halved, or it
is read over the pin. Fields may be arrays, one value a cylinder. Uncertainty is left to whoever calls: each field is one input.

References
----------
H. N. Gupta, "Fundamentals of Internal Combustion Engines", example 16.1. Volumes are plain geometry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.slider_crank import dead_centres_rad, travel_from_top_m

LEAST_RATIO, MOST_RATIO = 2.0, 40.0


@dataclass(frozen=True)
class Space:
    """All that encloses the gas of a cylinder when its piston is at the top."""

    bore_m: Numbers
    stroke_m: Numbers
    deck_m: Numbers
    gasket_bore_m: Numbers
    gasket_m: Numbers
    chamber_m3: Numbers
    crown_m3: Numbers = 0.0
    land_m: Numbers | None = None
    land_height_m: Numbers = 0.0

    def __post_init__(self) -> None:
        keep_within("bore", self.bore_m, 0.02, 1.0, "m")
        keep_within("stroke", self.stroke_m, 0.02, 2.0, "m")
        keep_within("deck", self.deck_m, -0.02, 0.02, "m")
        keep_within("gasket bore over the bore", self.gasket_bore_m / self.bore_m, 0.95, 1.2)
        keep_within("gasket", self.gasket_m, 0.0, 0.01, "m")
        keep_within("land height", self.land_height_m, 0.0, 0.05, "m")
        if self.land_m is not None:
            keep_within("land over the bore", self.land_m / self.bore_m, 0.9, 1.0)
        keep_above("volume at the top", self.clearance_m3, 0.0, "m³")

    @property
    def swept_m3(self) -> Numbers:
        """What the piston sweeps."""
        return _round_m2(self.bore_m) * self.stroke_m

    @property
    def over_crown_m3(self) -> Numbers:
        """Between the crown's flat and the block's face: below nil where the piston stands out."""
        return _round_m2(self.bore_m) * self.deck_m

    @property
    def in_gasket_m3(self) -> Numbers:
        """Within the gasket."""
        return _round_m2(self.gasket_bore_m) * self.gasket_m

    @property
    def crevice_m3(self) -> Numbers:
        """Around the top land, down to the top ring; nil where the land is not given."""
        if self.land_m is None:
            return 0.0 * self.bore_m
        return (_round_m2(self.bore_m) - _round_m2(self.land_m)) * self.land_height_m

    @property
    def clearance_m3(self) -> Numbers:
        """Volume at the top."""
        return self.chamber_m3 + self.crown_m3 + self.over_crown_m3 + self.in_gasket_m3 + self.crevice_m3

    @property
    def ratio(self) -> Numbers:
        """Compression ratio."""
        return 1.0 + self.swept_m3 / self.clearance_m3

    @property
    def quench_m(self) -> Numbers:
        """Between the crown's flat and the head's face, cold: deck and gasket."""
        return self.deck_m + self.gasket_m


@dataclass(frozen=True)
class Change:
    """What would bring a wanted ratio, each alone: volume to lose (- to gain), and what that is off the head, off the block, or in gasket.

    `crown_m3` is what dish less dome must become, `chamber_m3` what the chamber must.
    """

    lose_m3: Numbers
    off_head_m: Numbers
    off_block_m: Numbers
    gasket_m: Numbers
    crown_m3: Numbers
    chamber_m3: Numbers


def ratio_of(swept_m3: Numbers, clearance_m3: Numbers) -> Numbers:
    """Compression ratio of two volumes.

    Parameters
    ----------
    swept_m3, clearance_m3 : float or array
        What the piston sweeps, and what is left at its top, m³.
    """
    keep_above("swept volume", swept_m3, 0.0, "m³")
    keep_above("volume at the top", clearance_m3, 0.0, "m³")
    return 1.0 + swept_m3 / clearance_m3


def clearance_for_ratio_m3(swept_m3: Numbers, ratio: Numbers) -> Numbers:
    """Volume at the top that a ratio asks for, m³.

    Parameters
    ----------
    swept_m3 : float or array
        What the piston sweeps, m³.

    Example
    -------
    Half a litre and 9 to 1, for which Gupta prints 62.5 cm³ (example 16.1):

    >>> f"{1e6 * clearance_for_ratio_m3(500e-6, 9.0):.1f}"
    '62.5'
    """
    keep_above("swept volume", swept_m3, 0.0, "m³")
    keep_within("compression ratio", ratio, LEAST_RATIO, MOST_RATIO)
    return swept_m3 / (ratio - 1.0)


def change_for_ratio(space: Space, ratio: float, chamber_area_m2: Numbers | None = None) -> Change:
    """What to take off or leave for a wanted ratio, each way alone.

    Parameters
    ----------
    ratio : float
        Compression ratio that is wanted.
    chamber_area_m2 : float, optional
        Area of the chamber's mouth in the head's face, m²; the gasket's bore where it is left out. While it is shallow the chamber is a cylinder;
        a wide cut wants its volume read again.

    Notes
    -----
    Milling the head or the block, or a thinner gasket, also closes the quench, brings the valves nearer to the pistons, and makes a camshaft in the
    head late.
    """
    lose = space.clearance_m3 - clearance_for_ratio_m3(space.swept_m3, ratio)
    mouth = _round_m2(space.gasket_bore_m) if chamber_area_m2 is None else chamber_area_m2
    keep_above("area of the chamber's mouth", mouth, 0.0, "m²")
    return Change(
        lose,
        lose / mouth,
        lose / _round_m2(space.bore_m),
        space.gasket_m - lose / _round_m2(space.gasket_bore_m),
        space.crown_m3 - lose,
        space.chamber_m3 - lose,
    )


def volume_at_m3(space: Space, angle_rad: Numbers, rod_m: float, offset_m: float = 0.0) -> Numbers:
    """Volume over the piston at an angle of the crank from upright, m³; for one cylinder.

    Parameters
    ----------
    angle_rad : float or array
        Crank angle from crank upright, in the direction of rotation, rad.
    """
    throw = throw_for_stroke_m(float(space.stroke_m), rod_m, offset_m)
    return space.clearance_m3 + _round_m2(space.bore_m) * travel_from_top_m(angle_rad, throw, rod_m, offset_m)


def effective_ratio(space: Space, closes_rad: Numbers, rod_m: float, offset_m: float = 0.0) -> Numbers:
    """Compression ratio from where the intake closes.

    Parameters
    ----------
    closes_rad : float or array
        Angle at which the intake closes, after the degree wheel's bottom mark (half a turn after the top), rad. Say by which lift; the last
        tenths of a millimetre take long.

    Notes
    -----
    V(closing)/Vc. How full the cylinder is at a speed is another matter.
    """
    keep_within("angle after the bottom", closes_rad, -math.pi / 2, math.pi, "rad")
    throw = throw_for_stroke_m(float(space.stroke_m), rod_m, offset_m)
    top, _ = dead_centres_rad(throw, rod_m, offset_m)
    return volume_at_m3(space, top + math.pi + closes_rad, rod_m, offset_m) / space.clearance_m3


def throw_for_stroke_m(stroke_m: float, rod_m: float, offset_m: float = 0.0) -> float:
    """Throw of a crank that gives a stroke, m: half of it, and a little less with an offset.

    Notes
    -----
    r = (S/2) sqrt((4 l² - 4 d² - S²)/(4 l² - S²)), from the stroke of `slider_crank` solved for r.

    Example
    -------
    The stroke of r 43, l 137, d 0.8 mm, turned round (computed):

    >>> f"{1e3 * throw_for_stroke_m(0.086001627, 0.137, 0.0008):.4f}"
    '43.0000'
    """
    keep_above("stroke", stroke_m, 0.0, "m")
    keep_above("rod length", rod_m, 0.5 * stroke_m + abs(offset_m), "m")
    inside = (4.0 * rod_m**2 - 4.0 * offset_m**2 - stroke_m**2) / (4.0 * rod_m**2 - stroke_m**2)
    return 0.5 * stroke_m * math.sqrt(inside)


def deck_on_pin_m(front_m: Numbers, rear_m: Numbers) -> Numbers:
    """Deck on the pin's axis from readings over opposite edges of the crown, square to the pin, m: the rock of the piston drops out.

    Parameters
    ----------
    front_m, rear_m : float or array
        Deck over the thrust edge and over the one opposite, as far from the pin's axis, m: + below the block's face.
    """
    for each in (front_m, rear_m):
        keep_within("deck", each, -0.02, 0.02, "m")
    return 0.5 * (front_m + rear_m)


def _round_m2(diameter_m: Numbers) -> Numbers:
    return math.pi / 4.0 * np.square(diameter_m)
