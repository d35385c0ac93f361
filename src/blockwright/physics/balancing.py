"""Balance on the bench: weighing rods and sets, the bobweight, what unbalance may be left, and what to take off in two planes.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| – | big_kg | what the rod's big end presses on its support, the rod level | kg |
| – | small_kg | what its small end presses on the other | kg |
| – | whole_kg | the rod on one scale | kg |
| m_rot | rotating_kg | what turns with one rod's big end: its big end, shells, and what locks them | kg |
| m_rec | reciprocating_kg | what goes up and down in one cylinder: piston, rings, pin, locks, the rod's small end | kg |
| f | share | share of the reciprocating mass that the bobweight carries | – |
| – | rods | rods on one pin | – |
| – | bank_rad | angle between the cylinders of two rods on one pin | rad |
| G | grade_m_s | balance quality: speed of the centre of mass, 6.3 mm/s for G 6.3 | m/s |
| w | speed_rad_s | highest service speed | rad/s |
| U | unbalance_kg_m | unbalance: mass times radius | kg m |

What is left over by a whole engine, by order, stands in `layouts_forces`; nothing of it is repeated here.

References
----------
ISO 21940-11:2016, "Procedures and tolerances for rotors with rigid behaviour": permissible residual unbalance, its allocation to bearing planes
(the rule of 0.3 to 0.7 from memory). Shares of reciprocating mass: first-order forces of a pin as two phasors, one turning with the crank and
one against it.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.physics.crank_forces import Rod
from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.layouts_forces import Weight

WITHIN = 2.0
"""Standard uncertainties that ends and whole may differ by before the readings are doubted."""
LEAST_OF_A_PLANE, MOST_OF_A_PLANE = 0.3, 0.7
IRON_KG_M3 = 7800.0


@dataclass(frozen=True)
class WeighedRod:
    """A rod weighed by its ends and whole: by how much the ends miss the whole, what readings allow, and whether they agree."""

    big_kg: float
    small_kg: float
    whole_kg: float
    miss_kg: float
    allowed_kg: float
    agrees: bool

    def as_rod(self, length_m: float, inertia_kg_m2: float | None = None) -> Rod:
        """The rod for `crank_forces`, its centre of gravity by its ends; the ends share what they miss in their own ratio."""
        centroid = length_m * self.small_kg / (self.small_kg + self.big_kg)
        return Rod(self.whole_kg, length_m, centroid, inertia_kg_m2)


@dataclass(frozen=True)
class Shake:
    """Largest and least first-order force of one pin over a turn, as shares of one cylinder's reciprocating mass times r w²."""

    largest: float
    least: float


@dataclass(frozen=True)
class PlaneLimits:
    """What unbalance may be left in each of two planes, kg m."""

    front_kg_m: float
    rear_kg_m: float


@dataclass(frozen=True)
class Corrections:
    """What to add in two planes; opposite to it the same may be taken off."""

    front: Weight
    rear: Weight


def weighed_rod(big_kg: float, small_kg: float, whole_kg: float, u_kg: float) -> WeighedRod:
    """A rod by its ends, held against its whole.

    Parameters
    ----------
    u_kg : float
        Standard uncertainty of one reading, kg.

    Notes
    -----
    The ends must add up to the whole within twice sqrt(3) u. They miss it where a support is not square under its end, rubs, or the rod is not
    level.

    Example
    -------
    428.5 and 161.9 g, the whole 590.6 g, read to 0.2 g (by hand):

    >>> weighed_rod(0.4285, 0.1619, 0.5906, 0.0002).agrees
    True
    """
    for each in (big_kg, small_kg, whole_kg, u_kg):
        keep_above("reading of the scale and its uncertainty", each, 0.0, "kg")
    keep_within("sum of both ends over the whole", (big_kg + small_kg) / whole_kg, 0.9, 1.1)
    miss, allowed = big_kg + small_kg - whole_kg, WITHIN * math.sqrt(3.0) * u_kg
    return WeighedRod(big_kg, small_kg, whole_kg, miss, allowed, abs(miss) <= allowed)


def set_spread_kg(masses_kg: Sequence[float]) -> float:
    """Heaviest less lightest of a set, kg."""
    return max(masses_kg) - min(masses_kg)


def over_the_lightest_kg(masses_kg: Sequence[float]) -> tuple[float, ...]:
    """What to take off each of a set to bring all to the lightest, kg."""
    for each in masses_kg:
        keep_above("mass", each, 0.0, "kg")
    return tuple(each - min(masses_kg) for each in masses_kg)


def bobweight_kg(
    rotating_kg: Numbers, reciprocating_kg: Numbers, rods: int = 1, share: Numbers = 0.5, oil_kg: Numbers = 0.0
) -> Numbers:
    """Bobweight of one pin, kg.

    Parameters
    ----------
    oil_kg : float or array
        Oil in the pin and around it, kg: a few grams, by custom.

    Notes
    -----
    rods (m_rot + f m_rec) + oil. A single takes the share that suits its frame; a V of 90° with shared pins takes half, exactly. Throws that
    balance each other in force and couple, as those of an inline or flat four, need none; where a bench wants them, alike ones of any size do.

    Example
    -------
    Two rods of 440 g rotating and 620 g reciprocating, 4 g of oil (by hand):

    >>> f"{1e3 * bobweight_kg(0.440, 0.620, 2, 0.5, 0.004):.0f}"
    '1504'
    """
    keep_within("rods on a pin", float(rods), 1.0, 3.0)
    keep_above("rotating mass", rotating_kg, 0.0, "kg")
    keep_above("reciprocating mass", reciprocating_kg, 0.0, "kg")
    keep_within("share of the reciprocating mass", share, 0.0, 1.0)
    keep_within("oil", oil_kg, 0.0, 0.1, "kg")
    return rods * (rotating_kg + share * reciprocating_kg) + oil_kg


def shake_left(share: float, rods: int = 1, bank_rad: float = 0.0) -> Shake:
    """First-order force that a pin's own counterweight leaves over, with all that rotates balanced.

    Parameters
    ----------
    bank_rad : float
        Angle between the cylinders of two rods on the pin; it does not matter for one.

    Notes
    -----
    Each cylinder's force along its bore is half a mass turning with the crank and half a mass turning against it. With the crank is left
    rods (1/2 - f); against it, where no bobweight reaches, 1/2 for one rod and |cos A| for two, A the angle between their cylinders; both add up
    and take from each other by turns.

    Example
    -------
    A V of 90° on shared pins, carried by half, leaves nothing:

    >>> f"{shake_left(0.5, 2, 1.5707963267948966).largest:.3f}"
    '0.000'
    """
    keep_within("share of the reciprocating mass", share, 0.0, 1.0)
    keep_within("rods on a pin", float(rods), 1.0, 2.0)
    keep_within("angle between cylinders", bank_rad, 0.0, math.pi, "rad")
    against = 0.5 if rods == 1 else abs(math.sin(math.pi / 2 - bank_rad))
    along = rods * abs(0.5 - share)
    return Shake(along + against, abs(along - against))


def permissible_unbalance_kg_m(grade_m_s: Numbers, mass_kg: Numbers, speed_rad_s: Numbers) -> Numbers:
    """Unbalance that may be left in a rotor of a balance grade, kg m.

    Parameters
    ----------
    mass_kg : float or array
        Mass of the rotor, kg.

    Notes
    -----
    U = G m/w; in g mm, mm/s, kg and rev/min 9549 G m/n.

    Example
    -------
    2 kg at 10 000 rev/min and G 6.3 (12 g mm by the standard's formula):

    >>> f"{1e6 * permissible_unbalance_kg_m(0.0063, 2.0, 1047.2):.1f}"
    '12.0'
    """
    keep_within("balance grade", grade_m_s, 1e-4, 4.0, "m/s")
    keep_above("mass", mass_kg, 0.0, "kg")
    keep_above("speed", speed_rad_s, 0.0, "rad/s")
    return grade_m_s * mass_kg / speed_rad_s


def plane_limits(unbalance_kg_m: float, front_m: float, rear_m: float) -> PlaneLimits:
    """What of a permissible unbalance each of two bearing planes may bear, the centre of mass between them.

    Parameters
    ----------
    front_m, rear_m : float
        From the centre of mass to the front plane and to the rear one, m.

    Notes
    -----
    Each by the other's distance over both, but not under 0.3 nor over 0.7 of the whole.

    Example
    -------
    12 g mm, 100 mm and 300 mm (by hand: 9 and 3, held to 8.4 and 3.6):

    >>> f"{1e6 * plane_limits(12e-6, 0.1, 0.3).front_kg_m:.1f}"
    '8.4'
    """
    for each in (front_m, rear_m):
        keep_above("distance from the centre of mass", each, 0.0, "m")
    keep_above("unbalance", unbalance_kg_m, 0.0, "kg m")
    part = min(max(rear_m / (front_m + rear_m), LEAST_OF_A_PLANE), MOST_OF_A_PLANE)
    return PlaneLimits(part * unbalance_kg_m, (1.0 - part) * unbalance_kg_m)


def corrections(weights: Sequence[Weight], front_m: float, rear_m: float) -> Corrections:
    """What to add in two planes so that neither a force nor a couple is left of turning weights.

    Parameters
    ----------
    weights : sequence of Weight
        What turns out of balance, as `layouts_forces` has it; readings of a balancing machine are two such, at its planes.
    front_m, rear_m : float
        Places of the planes along the crank, m.
    """
    keep_above("distance between the planes", abs(rear_m - front_m), 1e-3, "m")
    lever = rear_m - front_m
    each = [(one.along_m, cmath.rect(one.moment_kg_m, one.angle_rad)) for one in weights]
    front = -sum((rear_m - along) / lever * turning for along, turning in each)
    rear = -sum((along - front_m) / lever * turning for along, turning in each)
    return Corrections(_weight(front_m, front), _weight(rear_m, rear))


def correction_mass_kg(unbalance_kg_m: Numbers, radius_m: Numbers) -> Numbers:
    """Mass that corrects an unbalance at a radius, kg.

    Parameters
    ----------
    radius_m : float or array
        Radius at which its middle is added or taken off, m.
    """
    keep_within("unbalance", unbalance_kg_m, 0.0, 1000.0, "kg m")
    keep_above("radius", radius_m, 0.0, "m")
    return unbalance_kg_m / radius_m


def drill_depth_m(unbalance_kg_m: float, radius_m: float, drill_m: float, density_kg_m3: float = IRON_KG_M3) -> float:
    """Depth of a hole, drilled towards the axis, that takes an unbalance off a counterweight, m; the drill's point is left out.

    Parameters
    ----------
    radius_m : float
        Radius of the face that is drilled, m.
    drill_m : float
        Diameter of the drill, m.
    density_kg_m3 : float
        Of the counterweight, kg/m³.

    Notes
    -----
    U = rho A (R h - h²/2), solved for h: the deeper, the smaller the radius of what is taken.

    Example
    -------
    400 g mm at 80 mm with a drill of 12 mm (computed):

    >>> f"{1e3 * drill_depth_m(400e-6, 0.080, 0.012):.2f}"
    '5.88'
    """
    keep_above("radius", radius_m, 0.0, "m")
    keep_within("drill", drill_m, 0.001, 0.1, "m")
    keep_within("density", density_kg_m3, 1e3, 2.5e4, "kg/m³")
    takes = density_kg_m3 * math.pi / 4.0 * drill_m**2
    keep_within("unbalance (for a hole to the axis)", unbalance_kg_m, 0.0, 0.5 * takes * radius_m**2, "kg m")
    return radius_m - math.sqrt(radius_m**2 - 2.0 * unbalance_kg_m / takes)


def _weight(along_m: float, turning: complex) -> Weight:
    return Weight(along_m, abs(turning), cmath.phase(turning))
