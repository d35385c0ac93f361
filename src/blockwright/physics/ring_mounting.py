"""Getting a ring over the piston: how far it must be spread, what that costs in stress, and whether it may be wound on by hand.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| D_p | piston_m | diameter the ring must pass over: crown or largest land above its groove | m |
| d, a, h, E | bore_m, radial_m, axial_m, modulus_pa | as in `ring_beam` | m, Pa |
| m, k | opening_m | free gap less fitted gap, and its ring parameter, as in `ring_beam` | m |
| r_m | – | radius of the closed ring's neutral line, (d - a)/2 | m |
| e | – | how far the inner face must move out, D_p/2 - (d/2 - a) | m |
| sigma | stress_pa | greatest bending stress, pull at the inner face opposite the gap | Pa |

Wherever curvature changes from 1/rho_1 to 1/rho_2, the stress is E a/2 (1/rho_1 - 1/rho_2). Pulled apart at its ends, a ring takes the
greatest change at its back. Two models of that:

`opening_stress_pa` for small displacements: quick, on arrays, and on the safe side, by 10 to 50 % at usual sizes. `spread_over` follows the
ring's true shape, force and arm. They draw together as the ring gets thinner. What a ring bears is for its maker to say.

Not validated: no measured stress was found. The quick formula agrees with a textbook's within 3 %; the true shape is checked by solving the
bent beam as a boundary-value problem, and needs a gap near the eight thicknesses that the trade's older formulas reckon with.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.ring_beam import ring_parameter

DIVISOR_BY_METHOD = {"by hand": 1.0, "spreader plates": 1.57, "ring pliers": 2.0}
"""How many times less the stress is when the ring is not pulled at its tips alone: Zeinetdinov et al. 2004, page 90, m."""

TALLEST_RAIL_M = 0.7e-3
"""Up to this axial height a steel ring is a rail, which is wound on by hand: common practice, no source."""

CROSSING = 0.5
"""Share of the girth over which a ring that is being wound on climbs from its groove to the land: assumed."""

STEEL_POISSON = 0.3
_NODES = 721


@dataclass(frozen=True)
class Spread:
    """A ring pulled apart at its ends until it passes: gap along the neutral line (m), greatest stress (Pa), pull at the ends (N)."""

    gap_m: float
    stress_pa: float
    pull_n: float


@dataclass(frozen=True)
class Winding:
    """A ring wound on by hand: its stresses (Pa), all at one place, and the two grounds for or against.

    `rail`: thin enough that the trade winds it on. `bears`: the stress is no more than the allowable one. `allowed`: both.
    """

    in_plane_pa: float
    axial_pa: float
    twist_pa: float
    stress_pa: float
    rail: bool
    bears: bool

    @property
    def allowed(self) -> bool:
        """Whether the ring may be wound on."""
        return self.rail and self.bears


def opening_stress_pa(
    piston_m: Numbers,
    opening_m: Numbers,
    bore_m: Numbers,
    radial_m: Numbers,
    modulus_pa: Numbers,
    divisor: Numbers = 1.0,
) -> Numbers:
    """Greatest stress of a ring spread just enough to pass over the piston, Pa, by the small-displacement formula.

    Parameters
    ----------
    piston_m : float or array
        Diameter to pass over, m, more than the closed ring's inner diameter and at most the bore.
    opening_m, bore_m, radial_m, modulus_pa : float or array
        As in `ring_beam`.
    divisor : float or array
        From `DIVISOR_BY_METHOD`, 1 to 2.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    The closed ring's curvature must fall by (C/r_m)(1 + cos theta), which moves back and tips out by C r_m = e; k of it comes free.
    sigma = E a (e/r_m - k) / r_m, nil where the free ring passes by itself. With D_p = d this is
    4 E (1 - m/(3 pi a)) / (d/a - 1)²; more free gap means less stress here and more in the bore.

    Example
    -------
    Bore 90 mm, ring 3.8 mm radially of grey iron, opening 11 mm, crown 89.5 mm (computed):

    >>> f"{opening_stress_pa(0.0895, 0.011, 0.090, 0.0038, 100e9) / 1e6:.0f}"
    '487'

    References
    ----------
    Zeinetdinov et al. 2004 (see `ring_beam`), equation 4.80, with mu = 0: 3.9 E (1 - m/(3 pi a)) / (divisor (d/a - 1)²).
    """
    keep_above("modulus", modulus_pa, unit="Pa")
    keep_within("divisor by method", divisor, 1.0, 2.0)
    _keep_piston(piston_m, bore_m, radial_m)
    k = ring_parameter(opening_m, bore_m, radial_m)
    middle = (bore_m - radial_m) / 2.0
    change = np.maximum(_way_out(piston_m, bore_m, radial_m) / middle - k, 0.0)
    return modulus_pa * radial_m * change / (middle * divisor)


def widest_safe_gap_m(
    allowable_pa: Numbers,
    free_gap_m: Numbers,
    bore_m: Numbers,
    radial_m: Numbers,
    modulus_pa: Numbers,
    divisor: Numbers = 1.0,
) -> Numbers:
    """How far a ring's ends may be pulled apart, m, measured as a gap: where the stop of the ring pliers belongs.

    Parameters
    ----------
    allowable_pa : float or array
        Allowable stress, Pa. Printed for iron: 400 to 500 MPa (Zeinetdinov et al. 2004, page 90).
    free_gap_m : float or array
        Gap of the free ring, m, nil to 0.3 of the bore. The rest as for `opening_stress_pa`.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    gap = free gap + 3 pi (d - a)² sigma divisor / (4 E a): the formula of the closing stress, for the way beyond the free gap. The true stress at
    that gap is lower by a tenth or so (see `spread_over`).

    Example
    -------
    The ring of `opening_stress_pa`, 400 MPa (computed):

    >>> f"{widest_safe_gap_m(400e6, 0.0114, 0.090, 0.0038, 100e9):.4f}"
    '0.0298'
    """
    keep_above("allowable stress", allowable_pa, unit="Pa")
    keep_above("modulus", modulus_pa, unit="Pa")
    keep_within("divisor by method", divisor, 1.0, 2.0)
    ring_parameter(free_gap_m, bore_m, radial_m)
    beyond = 3.0 * math.pi * (bore_m - radial_m) ** 2 * allowable_pa * divisor / (4.0 * modulus_pa * radial_m)
    return free_gap_m + beyond


def spread_over(
    piston_m: float, opening_m: float, bore_m: float, radial_m: float, axial_m: float, modulus_pa: float
) -> Spread:
    """A ring pulled apart at its tips until it just passes over the piston, in its true shape.

    Parameters
    ----------
    piston_m, opening_m, bore_m, radial_m, modulus_pa : float
        As for `opening_stress_pa`.
    axial_m : float
        Axial height, m; it bears on the pull alone.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    Free curvature (1 - k (1 + cos theta))/r_m less P y/(E I), y the arm of the pull P on the bent shape, integrated along the neutral line; P is such
    that the circle through back and tips of the inner face is the piston. The ring's ends are not pushed apart axially or held.

    Example
    -------
    The ring of `opening_stress_pa`, 1.5 mm high (computed); the gap is 7.6 thicknesses:

    >>> spread = spread_over(0.0895, 0.011, 0.090, 0.0038, 0.0015, 100e9)
    >>> f"{1e3 * spread.gap_m:.1f} mm, {spread.stress_pa / 1e6:.0f} MPa, {spread.pull_n:.1f} N"
    '29.0 mm, 346 MPa, 13.7 N'
    """
    quick = float(opening_stress_pa(piston_m, opening_m, bore_m, radial_m, modulus_pa))
    keep_above("axial height", axial_m, unit="m")
    middle = (bore_m - radial_m) / 2.0
    k = float(ring_parameter(opening_m, bore_m, radial_m))
    half = _HalfRing(k, radial_m / middle)

    def lacking(pull: float) -> float:
        return half.passes(*half.bent(pull)[1:]) * middle - piston_m

    most = quick * middle / (modulus_pa * radial_m)
    pull = 0.0 if lacking(0.0) >= 0.0 else _root(lacking, most)
    change, x, *_ = half.bent(pull)
    rigidity = modulus_pa * axial_m * radial_m**3 / 12.0
    return Spread(
        2.0 * middle * float(x[-1]),
        modulus_pa * radial_m / (2.0 * middle) * float(np.max(change)),
        pull * rigidity / middle**2,
    )


def wound_on(
    drop_m: float,
    piston_m: float,
    bore_m: float,
    radial_m: float,
    axial_m: float,
    modulus_pa: float,
    allowable_pa: float,
) -> Winding:
    """Whether a ring may be wound on by hand: one end into the groove, the rest worked round after it.

    Parameters
    ----------
    drop_m : float
        How far the groove lies under the edge that the ring is wound over, m.
    piston_m, bore_m, radial_m, axial_m, modulus_pa : float
        As for `spread_over`.
    allowable_pa : float
        Allowable stress of the ring, Pa: spring steel bears several times what iron does.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    Our own estimate, not validated, for comparing rings. In plane: what lies on the land has its curvature changed from the closed ring's to the
    land's, E a (1/(d - a) - 1/(D_p + a)). Axially: the ring climbs the drop z over a length L = pi (d - a)/2 (`CROSSING`, assumed) in two
    equal arcs, 2 E h z/L². Twist: at mid-crossing the slope 2 z/L turns the section by 2 z/(L r_m) per length; G times that times the thinner side.
    The three are taken at one point: sqrt((in plane + axial)² + 3 twist²).
    That a tall ring wound on stays twisted and seals badly is the trade's word (common practice, no source): hence `rail`.

    Example
    -------
    A steel rail 0.4 × 2.3 mm and an iron ring 1.5 × 3.8 mm (computed):

    >>> rail = wound_on(0.020, 0.0895, 0.090, 0.0023, 0.0004, 200e9, 1000e6)
    >>> ring = wound_on(0.008, 0.0895, 0.090, 0.0038, 0.0015, 100e9, 400e6)
    >>> [f"{each.stress_pa / 1e6:.0f} MPa {each.allowed}" for each in (rail, ring)]
    ['536 MPa True', '541 MPa False']
    """
    keep_within("drop to the groove over bore", drop_m / bore_m, 0.0, 1.0)
    for what, value in (("axial height", axial_m), ("modulus", modulus_pa), ("allowable stress", allowable_pa)):
        keep_above(what, value)
    _keep_piston(piston_m, bore_m, radial_m)
    ring_parameter(0.0, bore_m, radial_m)
    length = CROSSING * math.pi * (bore_m - radial_m)
    in_plane = modulus_pa * radial_m * (1.0 / (bore_m - radial_m) - 1.0 / (piston_m + radial_m))
    axial = 2.0 * modulus_pa * axial_m * drop_m / length**2
    turn_per_m = 4.0 * drop_m / (length * (bore_m - radial_m))
    twist = modulus_pa / (2.0 * (1.0 + STEEL_POISSON)) * min(axial_m, radial_m) * turn_per_m
    stress = math.sqrt((in_plane + axial) ** 2 + 3.0 * twist**2)
    return Winding(in_plane, axial, twist, stress, axial_m <= TALLEST_RAIL_M, stress <= allowable_pa)


class _HalfRing:
    """Half a ring from back to tip, lengths in r_m: the back at (0, 0), heading along x."""

    def __init__(self, k: float, radial: float) -> None:
        self.angle = np.linspace(0.0, math.pi, _NODES)
        self.free = 1.0 - k * (1.0 + np.cos(self.angle))
        self.radial = radial

    def bent(self, pull: float) -> tuple[NDArray[np.float64], ...]:
        """Lost curvature, x, y and heading of the half ring with its tip pulled along x; pull in E I/r_m²."""
        y = 1.0 - np.cos(self.angle)
        for _ in range(500):
            lost = pull * (y[-1] - y)
            heading = self._summed(self.free - lost)
            before, y = y, self._summed(np.sin(heading))
            if np.max(np.abs(y - before)) < 1e-12:
                return lost, self._summed(np.cos(heading)), y, heading
        raise ValueError("spread ring: the shape does not settle; the ring is too soft for this spread.")

    def passes(self, x: NDArray[np.float64], y: NDArray[np.float64], heading: NDArray[np.float64]) -> float:
        """Diameter of the circle through the back and both tips of the inner face."""
        across = x[-1] - math.sin(heading[-1]) * self.radial / 2.0
        up = y[-1] + math.cos(heading[-1]) * self.radial / 2.0 - self.radial / 2.0
        return float((across**2 + up**2) / up)

    def _summed(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        step = self.angle[1]
        return np.concatenate(([0.0], np.cumsum(0.5 * step * (values[1:] + values[:-1]))))


def _root(function: Callable[[float], float], high: float) -> float:
    """Where a function that rises from below nil at 0 to above nil at `high` passes nil: false position, an end that stays twice at half weight."""
    low, at_low, at_high = 0.0, function(0.0), function(high)
    if at_high < 0.0:
        raise ValueError(
            "spread ring: small displacements give too little pull for this spread; the ring is too soft for it."
        )
    middle, before, moved_last = high, math.inf, 0
    while abs(middle - before) > 1e-11:
        before, middle = middle, (low * at_high - high * at_low) / (at_high - at_low)
        at_middle = function(middle)
        if at_middle < 0.0:
            low, at_low, at_high = middle, at_middle, at_high * (0.5 if moved_last < 0 else 1.0)
            moved_last = -1
        else:
            high, at_high, at_low = middle, at_middle, at_low * (0.5 if moved_last > 0 else 1.0)
            moved_last = 1
    return middle


def _way_out(piston_m: Numbers, bore_m: Numbers, radial_m: Numbers) -> Numbers:
    return piston_m / 2.0 - (bore_m / 2.0 - radial_m)


def _keep_piston(piston_m: Numbers, bore_m: Numbers, radial_m: Numbers) -> None:
    keep_within("piston over bore", piston_m / bore_m, 0.5, 1.0)
    keep_above("piston over the closed ring's inside", _way_out(piston_m, bore_m, radial_m), unit="m in radius")
