"""How near a valve comes to its piston around the top between exhaust and intake: along its stem, and beside it in the pocket.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| t | angle_rad | crank angle from the true top, in the direction of rotation: exhaust closes after it, intake opens before it | rad |
| L | lifts | lift of the valve, a table of `valve_motion` | m |
| x | – | how far the piston is below its top | m |
| g0 | closed_m | from valve to pocket along the stem, valve on its seat and piston at the top | m |
| a | lean_rad | angle between the valve's stem and the bore's axis | rad |
| – | radial_m | from the valve's rim to the pocket's wall on the side it nears, across the stem, piston at the top | m |
| – | depth_m | depth of the pocket along the stem at that wall | m |
| r | throw_m | crank radius | m |
| l, d | rod_m, offset_m | rod and pin offset as in `slider_crank` | m |
| H | peak_m | highest lift of a harmonic lift | m |
| D | span_rad | its whole duration, on the crank | rad |

The pocket's floor lies square to the stem. Going down by x, the piston clears the valve by x cos a along the stem and moves x sin a across it.
So the distance along the stem is g0 + x cos a - L, and beside it what was there less x sin a, which counts while the valve is in its pocket.

Everything is rigid and cold: stretch of the rod, float of the valve and slack in the drive are what the least distances of the trade are for.

No published example was found: not validated. Checked by a closed form for a harmonic lift on a long rod, and by corners of valve and pocket
moved in a plane.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.slider_crank import dead_centres_rad, travel_from_top_m
from blockwright.physics.valve_motion import LiftTable

Array = NDArray[np.float64]
AROUND_RAD = math.radians(75)
"""How far to either side of the top it is looked for: beyond, the piston is far down."""
STEPS = 601
FINE_RAD = 1e-7


@dataclass(frozen=True)
class Pocket:
    """A valve over its pocket in the piston, as read at the top: see the table above."""

    closed_m: float
    lean_rad: float = 0.0
    radial_m: float | None = None
    depth_m: float = 0.0

    def __post_init__(self) -> None:
        keep_within("valve to pocket, closed", self.closed_m, 0.0, 0.05, "m")
        keep_within("lean of the valve", self.lean_rad, 0.0, math.radians(60), "rad")
        keep_within("depth of the pocket", self.depth_m, 0.0, 0.03, "m")
        if self.radial_m is not None:
            keep_within("rim of the valve to the pocket's wall", self.radial_m, 0.0, 0.02, "m")


@dataclass(frozen=True)
class Crank:
    """What moves the piston: throw, rod and pin offset."""

    throw_m: float
    rod_m: float
    offset_m: float = 0.0

    def below_top_m(self, angle_rad: Numbers) -> Array:
        """How far the piston is below its top at an angle from the true top."""
        top, _ = dead_centres_rad(self.throw_m, self.rod_m, self.offset_m)
        turned = np.asarray(angle_rad, dtype=np.float64) + top
        return np.asarray(travel_from_top_m(turned, self.throw_m, self.rod_m, self.offset_m))


@dataclass(frozen=True)
class Nearest:
    """The least distance along the stem and its angle; and beside the valve while it is in its pocket; None where there is no wall."""

    axial_m: float
    axial_rad: float
    radial_m: float | None
    radial_rad: float | None


def axial_distance_m(angle_rad: Numbers, lifts: LiftTable, crank: Crank, pocket: Pocket) -> Array:
    """From valve to pocket along the stem at crank angles, m: under nil they have met."""
    return pocket.closed_m + crank.below_top_m(angle_rad) * math.cos(pocket.lean_rad) - lifts.lift_m(angle_rad)


def radial_distance_m(angle_rad: Numbers, crank: Crank, pocket: Pocket) -> Array:
    """From the valve's rim to the pocket's nearer wall at crank angles, m.

    Raises
    ------
    ValueError
        Where the pocket has no wall: no `radial_m`.
    """
    if pocket.radial_m is None:
        raise ValueError("pocket: give the distance from the valve's rim to its wall.")
    return pocket.radial_m - crank.below_top_m(angle_rad) * math.sin(pocket.lean_rad)


def nearest(lifts: LiftTable, crank: Crank, pocket: Pocket, around_rad: float = AROUND_RAD) -> Nearest:
    """The least distances around the top, by search.

    Parameters
    ----------
    around_rad : float
        How far to either side of the top it is looked for, rad.

    Raises
    ------
    ValueError
        Where the table ends above the seat within that.
    """
    keep_within("span around the top", around_rad, 0.1, math.pi, "rad")
    angles = np.linspace(-around_rad, around_rad, STEPS)
    along = axial_distance_m(angles, lifts, crank, pocket)
    axial, at = _lowest(angles, along, lambda t: float(axial_distance_m(t, lifts, crank, pocket)))
    if pocket.radial_m is None:
        return Nearest(axial, at, None, None)
    within = _in_pocket(np.append(angles, at), lifts, crank, pocket)
    if not within.size:
        return Nearest(axial, at, None, None)
    beside = radial_distance_m(within, crank, pocket)
    least = int(np.argmin(beside))
    return Nearest(axial, at, float(beside[least]), float(within[least]))


def harmonic_lift_m(angle_rad: Numbers, peak_m: float, centre_rad: float, span_rad: float) -> Array:
    """Lift of a valve that rises and falls as a cosine, m: a rough stand-in where only peak, centreline and duration are known.

    Parameters
    ----------
    centre_rad : float
        Centreline from the top, rad: intake after it, exhaust before it.

    Notes
    -----
    L = (H/2)(1 + cos(2 pi (t - centre)/D)) within D/2 of the centreline, nothing beyond.
    """
    keep_within("lift", peak_m, 1e-4, 0.05, "m")
    keep_within("duration", span_rad, math.radians(60), 2.0 * math.pi, "rad")
    off = np.asarray(angle_rad, dtype=np.float64) - centre_rad
    lift = 0.5 * peak_m * (1.0 + np.cos(2.0 * math.pi * off / span_rad))
    return np.where(np.abs(off) < 0.5 * span_rad, lift, 0.0)


def harmonic_nearest(peak_m: float, centre_rad: float, throw_m: float, pocket: Pocket) -> tuple[float, float]:
    """Least distance along the stem and its angle for a harmonic lift of 360° on a rod without end, in closed form: a check of the search.

    Notes
    -----
    g0 + r cos a (1 - cos t) - (H/2)(1 + cos(t - c)) is a constant less one cosine, of the size and angle of r cos a + (H/2) e^(ic).
    """
    keep_above("throw", throw_m, 0.0, "m")
    down = throw_m * math.cos(pocket.lean_rad)
    swing = down + 0.5 * peak_m * cmath.exp(1j * centre_rad)
    return pocket.closed_m + down - 0.5 * peak_m - abs(swing), cmath.phase(swing)


def _in_pocket(angles: Array, lifts: LiftTable, crank: Crank, pocket: Pocket) -> Array:
    """Those of the angles at which the valve is in its pocket, and the very angles at which it enters and leaves."""

    def over_rim(angle: float) -> float:
        return float(axial_distance_m(angle, lifts, crank, pocket)) - pocket.depth_m

    angles = np.unique(angles)
    over = axial_distance_m(angles, lifts, crank, pocket) - pocket.depth_m
    crossed = np.flatnonzero((over[1:] < 0.0) != (over[:-1] < 0.0))
    edges = [brentq(over_rim, angles[k], angles[k + 1], xtol=1e-12) for k in crossed]
    return np.append(angles[over < 0.0], edges)


def _lowest(angles: Array, values: Array, of: Callable[[float], float]) -> tuple[float, float]:
    """Lowest value and its angle: the lowest of the grid, made fine between its neighbours."""
    at = int(np.argmin(values))
    low, high = angles[max(at - 1, 0)], angles[min(at + 1, len(angles) - 1)]
    found = minimize_scalar(of, bounds=(low, high), method="bounded", options={"xatol": FINE_RAD})
    if found.fun < values[at]:
        return float(found.fun), float(found.x)
    return float(values[at]), float(angles[at])
