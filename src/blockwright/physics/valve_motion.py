"""Valve lift as a degree wheel and a dial read it: a table, its centreline and duration at a lift, and how far camshafts are from where they
should be.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| t | angle_rad | crank angle from the top between exhaust and intake, in the direction of rotation: intake about +110°, exhaust about -110° | rad |
| L | lift_m | lift of the valve off its seat, along its stem | m |
| – | intake_rad | centreline of the intake | rad |
| – | exhaust_rad | centreline of the exhaust: before the top, so below nil | rad |
| – | separation_rad | angle between both lobes on the camshaft: half of that on the crank | rad |
| – | lash_m | lash that was read | m |
| – | wanted_m | lash that is wanted | m |
| – | valve_over_cam | travel of the valve over that of the cam's follower | – |

Between readings the lift runs as a smooth curve that rises where they rise and falls where they fall (F. N. Fritsch, J. Butland, SIAM Journal on
Scientific and Statistical Computing 5, 1984, after F. N. Fritsch, R. E. Carlson 1980): it makes no bump that nobody read, and is exact at each
reading.

A centreline is halfway between the same lift on both flanks; where a lobe is lopsided it depends on that lift, so the lift belongs to the number.

No published table with its results was found: not validated. Checked against lifts whose flanks are known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from blockwright.physics.guards import Numbers, keep_above, keep_within

CLOSED_M = 2e-5
"""A lift that a dial does not tell from nothing."""
MOST_LIFT_M = 0.05
FEWEST = 5
LONGEST_RAD = 2.0 * math.pi


@dataclass(frozen=True)
class LiftTable:
    """Lifts of one valve at rising crank angles, both flanks; the lash in it is that which was set when it was read.

    Where the table begins or ends on the seat the valve stays on it; where it begins or ends higher nothing is known beyond.

    Raises
    ------
    ValueError
        For angles that do not rise, lifts that no engine has, fewer than five readings, or a highest one at either end.
    """

    angles_rad: tuple[float, ...]
    lifts_m: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.angles_rad) != len(self.lifts_m) or len(self.angles_rad) < FEWEST:
            raise ValueError(f"lift table: needs {FEWEST} readings or more, each an angle with its lift.")
        if not np.all(np.diff(self.angles_rad) > 0):
            raise ValueError("lift table: the angles must rise, each once.")
        keep_within("span of the lift table", self.angles_rad[-1] - self.angles_rad[0], 0.1, LONGEST_RAD, "rad")
        keep_within("lift", np.asarray(self.lifts_m), -CLOSED_M, MOST_LIFT_M, "m")
        if int(np.argmax(self.lifts_m)) in (0, len(self.lifts_m) - 1):
            raise ValueError("lift table: the highest lift is at its end; both flanks are needed.")

    @cached_property
    def _curve(self) -> PchipInterpolator:
        return PchipInterpolator(self.angles_rad, self.lifts_m, extrapolate=False)

    @property
    def peak_m(self) -> float:
        """Highest lift that was read."""
        return max(self.lifts_m)

    @property
    def peak_rad(self) -> float:
        """Angle of the highest lift: the middle of it where several readings are alike."""
        top = [angle for angle, lift in zip(self.angles_rad, self.lifts_m, strict=True) if lift == self.peak_m]
        return 0.5 * (top[0] + top[-1])

    def lift_m(self, angle_rad: Numbers) -> NDArray[np.float64]:
        """Lift at an angle, m. Raises ValueError beyond a table that does not begin or end on the seat."""
        angle = np.asarray(angle_rad, dtype=np.float64)
        first, last = self.angles_rad[0], self.angles_rad[-1]
        ends = ((self.lifts_m[0], angle < first), (self.lifts_m[-1], angle > last))
        if any(lift > CLOSED_M and np.any(beyond) for lift, beyond in ends):
            raise ValueError("lift table: it does not reach so far; read on to where the valve is on its seat.")
        inside = np.asarray(self._curve(np.clip(angle, first, last)))
        return np.where((angle < first) | (angle > last), 0.0, inside)

    def opens_rad(self, lift_m: float) -> float:
        """Angle on the opening flank at which the valve passes a lift: the last before its highest."""
        return float(self._passes(lift_m)[0])

    def closes_rad(self, lift_m: float) -> float:
        """Angle on the closing flank at which the valve passes a lift: the first after its highest."""
        return float(self._passes(lift_m)[1])

    def centreline_rad(self, lift_m: float) -> float:
        """Halfway between both flanks at a lift."""
        return 0.5 * (self.opens_rad(lift_m) + self.closes_rad(lift_m))

    def duration_rad(self, lift_m: float) -> float:
        """From opening to closing at a lift, on the crank."""
        return self.closes_rad(lift_m) - self.opens_rad(lift_m)

    def turned(self, by_rad: float) -> LiftTable:
        """The table with its camshaft turned: + later, on the crank."""
        return LiftTable(tuple(each + by_rad for each in self.angles_rad), self.lifts_m)

    def _passes(self, lift_m: float) -> tuple[float, float]:
        keep_above("lift at which angles are taken", lift_m, CLOSED_M, "m")
        if not lift_m < self.peak_m:
            raise ValueError(f"lift: {lift_m:g} m is not under the highest of the table, {self.peak_m:g} m.")
        angles = np.asarray(self._curve.solve(lift_m, extrapolate=False), dtype=np.float64)
        before, after = angles[angles < self.peak_rad], angles[angles > self.peak_rad]
        if not (before.size and after.size):
            raise ValueError(f"lift: the table does not come down to {lift_m:g} m on both flanks.")
        return float(before.max()), float(after.min())


def separation_rad(intake_rad: Numbers, exhaust_rad: Numbers) -> Numbers:
    """Angle between the lobes of intake and exhaust on the camshaft, rad.

    Example
    -------
    Intake 108° after and exhaust 112° before the top (by hand):

    >>> f"{math.degrees(separation_rad(1.884956, -1.954769)):.1f}"
    '110.0'
    """
    _check_centres(intake_rad, exhaust_rad)
    return 0.5 * (intake_rad - exhaust_rad)


def advance_rad(intake_rad: Numbers, exhaust_rad: Numbers) -> Numbers:
    """How far both lobes together stand ahead of even, on the crank, rad: separation less the intake's centreline.

    Example
    -------
    Intake 108° after and exhaust 112° before the top (by hand):

    >>> f"{math.degrees(advance_rad(1.884956, -1.954769)):.1f}"
    '2.0'
    """
    _check_centres(intake_rad, exhaust_rad)
    return -0.5 * (intake_rad + exhaust_rad)


def timing_error_rad(centreline_rad: Numbers, wanted_rad: Numbers) -> Numbers:
    """How far a camshaft is from its place, on the crank, rad: + late.

    Parameters
    ----------
    centreline_rad, wanted_rad : float or array
        Centreline that was found and that which is wanted, both at one lift, rad.
    """
    keep_within("centreline", centreline_rad, -LONGEST_RAD, LONGEST_RAD, "rad")
    keep_within("centreline wanted", wanted_rad, -LONGEST_RAD, LONGEST_RAD, "rad")
    return centreline_rad - wanted_rad


def bucket_shim_m(shim_m: Numbers, lash_m: Numbers, wanted_m: Numbers) -> Numbers:
    """Shim for a wanted lash where the cam presses straight on the valve, m.

    Parameters
    ----------
    shim_m : float or array
        Shim that is in now, m.

    Example
    -------
    2.60 mm with a lash of 0.28 mm, 0.20 mm wanted (by hand):

    >>> f"{1e3 * bucket_shim_m(2.60e-3, 0.28e-3, 0.20e-3):.2f}"
    '2.68'
    """
    return finger_shim_m(shim_m, lash_m, wanted_m, 1.0)


def finger_shim_m(shim_m: Numbers, lash_m: Numbers, wanted_m: Numbers, valve_over_cam: Numbers) -> Numbers:
    """Shim on the stem for a wanted lash under a finger, the lash read between cam and finger, m.

    Parameters
    ----------
    shim_m : float or array
        Shim or lash cap that is in now, m.

    Notes
    -----
    new = old + (lash - wanted) times the finger's ratio: what the valve's end gains, the cam's side sees divided by it. Lash read at the stem
    takes ratio 1.

    Example
    -------
    2.60 mm with a lash of 0.28 mm, 0.20 mm wanted, ratio 1.5 (by hand):

    >>> f"{1e3 * finger_shim_m(2.60e-3, 0.28e-3, 0.20e-3, 1.5):.2f}"
    '2.72'
    """
    _check_lash(lash_m, wanted_m, valve_over_cam)
    keep_within("shim", shim_m, 0.0, 0.02, "m")
    return shim_m + valve_over_cam * (lash_m - wanted_m)


def rocker_turn_rad(lash_m: Numbers, wanted_m: Numbers, valve_over_cam: Numbers, pitch_m: Numbers) -> Numbers:
    """How far to turn the screw at the pushrod's or cam's end of a rocker for a wanted lash, read at the stem, rad: + in.

    Parameters
    ----------
    pitch_m : float or array
        Pitch of the screw's thread, m.

    Notes
    -----
    2 pi (lash - wanted)/(ratio P). A screw over the valve itself takes ratio 1.

    Example
    -------
    0.60 mm, 0.45 mm wanted, ratio 1.5, a screw of 1 mm pitch (by hand: a tenth of a turn):

    >>> f"{math.degrees(rocker_turn_rad(0.60e-3, 0.45e-3, 1.5, 0.001)):.1f}"
    '36.0'
    """
    _check_lash(lash_m, wanted_m, valve_over_cam)
    keep_within("thread pitch", pitch_m, 2e-4, 0.005, "m")
    return 2.0 * math.pi * (lash_m - wanted_m) / (valve_over_cam * pitch_m)


def _check_lash(lash_m: Numbers, wanted_m: Numbers, valve_over_cam: Numbers) -> None:
    keep_within("lash", lash_m, 0.0, 0.005, "m")
    keep_within("lash wanted", wanted_m, 0.0, 0.002, "m")
    keep_within("travel of the valve over the cam's", valve_over_cam, 0.5, 3.0)


def _check_centres(intake_rad: Numbers, exhaust_rad: Numbers) -> None:
    keep_within("intake centreline", intake_rad, math.radians(60), math.radians(160), "rad")
    keep_within("exhaust centreline", exhaust_rad, math.radians(-160), math.radians(-60), "rad")
