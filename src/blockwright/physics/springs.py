"""Valve springs of round wire: rate, stress, loads at a height, room before the coils bind, and surge.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| d | wire_m | diameter of the wire | m |
| D | mean_m | mean diameter of the coil, between the middles of the wire: outside less one wire | m |
| n | active | coils that move: all but the two that lie on their seats, as a rule | – |
| nt | coils | all coils | – |
| L0 | free_m | free length | m |
| G | shear_pa | shear modulus, steel about 79e9 | Pa |
| rho | density_kg_m3 | density of the wire | kg/m³ |
| R | rate_n_m | rate of the spring | N/m |
| C | – | index: D / d | – |

A spring whose rate rises with lift (beehive, cone, uneven pitch) has its own curve; take its measured loads. For springs in each other add rates
and loads; stress and surge are each spring's own.

References
----------
A. M. Wahl, "Mechanical Springs" (stress, surge), from memory; J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design",
chapter 10: rate, equation 10-9, and surge of a spring between flat plates, 10-25 (numbers from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from blockwright.physics.guards import Numbers, keep_above, keep_within

STEEL_SHEAR_PA, STEEL_KG_M3 = 79.3e9, 7850.0
TIGHTEST, WIDEST = 3.0, 20.0
"""Index D/d: outside of it nobody winds springs."""


@dataclass(frozen=True)
class Spring:
    """A spring as it lies on the bench. `ground` says that its ends are ground flat, as those of valve springs are."""

    wire_m: float
    mean_m: float
    active: float
    coils: float
    free_m: float
    shear_pa: float = STEEL_SHEAR_PA
    density_kg_m3: float = STEEL_KG_M3
    ground: bool = True

    def __post_init__(self) -> None:
        _check(self.wire_m, self.mean_m, self.active)
        keep_within("all coils", self.coils, self.active, self.active + 4.0)
        keep_above("free length", self.free_m, self.bound_m, "m")

    @property
    def rate_n_m(self) -> float:
        """Its rate."""
        return float(spring_rate_n_m(self.wire_m, self.mean_m, self.active, self.shear_pa))

    @property
    def bound_m(self) -> float:
        """Its height with all coils together: one wire for each coil, and one more where the ends are not ground."""
        return self.wire_m * (self.coils + (0.0 if self.ground else 1.0))

    @property
    def surge_hz(self) -> float:
        """Its own first frequency between its seats."""
        return float(surge_hz(self.wire_m, self.mean_m, self.active, self.shear_pa, self.density_kg_m3))


@dataclass(frozen=True)
class SpringFitted:
    """A spring in its place: loads and stresses closed and at full lift, and how much farther it could go before its coils bind."""

    closed_n: float
    open_n: float
    closed_pa: float
    open_pa: float
    bind_margin_m: float


def spring_rate_n_m(wire_m: Numbers, mean_m: Numbers, active: Numbers, shear_pa: Numbers = STEEL_SHEAR_PA) -> Numbers:
    """Rate of a spring, N/m.

    Notes
    -----
    R = G d⁴/(8 D³ n). The wire's diameter goes in with its fourth power: 0.02 mm on 4 mm are 2 %.

    Example
    -------
    Wire of 5 mm, coil of 30 mm, 15 coils, G 84 GPa (by hand):

    >>> f"{spring_rate_n_m(0.005, 0.030, 15, 84e9) / 1e3:.1f}"
    '16.2'
    """
    _check(wire_m, mean_m, active)
    keep_within("shear modulus", shear_pa, 1e10, 1.2e11, "Pa")
    return shear_pa * wire_m**4 / (8.0 * mean_m**3 * active)


def rate_from_loads_n_m(
    first_load_n: Numbers, first_height_m: Numbers, second_load_n: Numbers, second_height_m: Numbers
) -> Numbers:
    """Rate of a spring from loads read at two heights, N/m.

    Parameters
    ----------
    first_load_n, second_load_n : float or array
        Loads, N.
    first_height_m, second_height_m : float or array
        Heights of the spring at these loads, m.

    Example
    -------
    400 N at 38 mm and 820 N at 27 mm (by hand):

    >>> f"{rate_from_loads_n_m(400.0, 0.038, 820.0, 0.027) / 1e3:.2f}"
    '38.18'
    """
    keep_above("height between the two loads", np.abs(first_height_m - second_height_m), 0.0, "m")
    rate: Numbers = (second_load_n - first_load_n) / (first_height_m - second_height_m)
    keep_above("rate (the higher load must be at the lower height)", rate, 0.0, "N/m")
    return rate


def height_for_load_m(load_n: Numbers, read_load_n: Numbers, read_height_m: Numbers, rate_n_m: Numbers) -> Numbers:
    """Height at which a spring gives a load, from one load that was read, m; what it is less than the height in the head is the shim.

    Parameters
    ----------
    load_n : float or array
        Load that is wanted, N.
    read_load_n, read_height_m : float or array
        A load that was read, N, and the height it was read at, m.

    Example
    -------
    The spring of `rate_from_loads_n_m`, for 430 N on the seat (by hand: 30 N are 0.79 mm):

    >>> f"{1e3 * height_for_load_m(430.0, 400.0, 0.038, 38180.0):.2f}"
    '37.21'
    """
    keep_above("rate", rate_n_m, 0.0, "N/m")
    keep_above("load", load_n, 0.0, "N")
    height: Numbers = read_height_m - (load_n - read_load_n) / rate_n_m
    keep_above("height", height, 0.0, "m")
    return height


def wahl_factor(wire_m: Numbers, mean_m: Numbers) -> Numbers:
    """Wahl's factor: what curvature and plain shear add to the stress of twisting.

    Notes
    -----
    (4 C - 1)/(4 C - 4) + 0.615/C, C = D/d.

    Example
    -------
    An index of 6 (by hand: 23/20 + 0.1025):

    >>> f"{wahl_factor(0.005, 0.030):.4f}"
    '1.2525'
    """
    _check(wire_m, mean_m, 1.0)
    index = mean_m / wire_m
    return (4.0 * index - 1.0) / (4.0 * index - 4.0) + 0.615 / index


def wire_stress_pa(load_n: Numbers, wire_m: Numbers, mean_m: Numbers) -> Numbers:
    """Greatest shear stress of the wire, at the inside of the coil, Pa.

    Parameters
    ----------
    load_n : float or array
        Load on the spring, N.

    Notes
    -----
    K 8 F D/(pi d³) with `wahl_factor` K.

    Example
    -------
    500 N on the spring of `spring_rate_n_m` (by hand: 1.2525 · 305.58):

    >>> f"{wire_stress_pa(500.0, 0.005, 0.030) / 1e6:.1f}"
    '382.7'
    """
    keep_within("load", load_n, 0.0, 1e5, "N")
    return wahl_factor(wire_m, mean_m) * 8.0 * load_n * mean_m / (math.pi * wire_m**3)


def spring_fitted(spring: Spring, installed_m: float, lift_m: float) -> SpringFitted:
    """Loads, stresses and the room before coil bind of a spring at its installed height and at full lift.

    Parameters
    ----------
    installed_m : float
        Height of the spring with the valve closed, shims taken off, m.
    lift_m : float
        Full lift of the valve, m.

    Raises
    ------
    ValueError
        For a height that is not under the free length, or a lift beyond coil bind.
    """
    keep_within("installed height", installed_m, spring.bound_m, spring.free_m, "m")
    keep_within("lift (to coil bind)", lift_m, 0.0, installed_m - spring.bound_m, "m")
    closed, opened = (spring.rate_n_m * (spring.free_m - height) for height in (installed_m, installed_m - lift_m))
    at_rest, at_lift = (float(wire_stress_pa(load, spring.wire_m, spring.mean_m)) for load in (closed, opened))
    return SpringFitted(closed, opened, at_rest, at_lift, installed_m - lift_m - spring.bound_m)


def bind_margin_m(installed_m: Numbers, lift_m: Numbers, bound_m: Numbers) -> Numbers:
    """How much farther a spring could go at full lift before its coils bind, m; under nil they bind first.

    Parameters
    ----------
    installed_m, lift_m : float or array
        Height with the valve closed, and full lift, m.
    bound_m : float or array
        Height with all coils together, read in a vice or a tester, m.
    """
    for height in (installed_m, bound_m):
        keep_within("height of the spring", height, 0.005, 0.3, "m")
    keep_within("lift", lift_m, 0.0, 0.05, "m")
    return installed_m - lift_m - bound_m


def retainer_margin_m(seat_to_seal_m: Numbers, lift_m: Numbers) -> Numbers:
    """What is left between retainer and stem seal at full lift, m.

    Parameters
    ----------
    seat_to_seal_m : float or array
        From retainer to seal or guide with the valve closed, m.
    lift_m : float or array
        Full lift, m.
    """
    keep_within("retainer to seal", seat_to_seal_m, 0.0, 0.1, "m")
    keep_within("lift", lift_m, 0.0, 0.05, "m")
    return seat_to_seal_m - lift_m


def surge_hz(
    wire_m: Numbers,
    mean_m: Numbers,
    active: Numbers,
    shear_pa: Numbers = STEEL_SHEAR_PA,
    density_kg_m3: Numbers = STEEL_KG_M3,
) -> Numbers:
    """First frequency at which a spring surges between its seats, Hz.

    Notes
    -----
    d/(2 pi D² n) sqrt(G/(2 rho)): half a wave between both ends. Near coil bind, friction of an inner spring or a damper holds it down.

    Example
    -------
    Wire of 4 mm, coil of 28 mm, 5.5 coils, of steel (computed):

    >>> f"{surge_hz(0.004, 0.028, 5.5):.1f}"
    '331.8'
    """
    _check(wire_m, mean_m, active)
    keep_within("shear modulus", shear_pa, 1e10, 1.2e11, "Pa")
    keep_within("density", density_kg_m3, 1e3, 2e4, "kg/m³")
    return wire_m / (2.0 * math.pi * mean_m**2 * active) * np.sqrt(shear_pa / (2.0 * density_kg_m3))


def surge_order(surge_of_hz: Numbers, speed_rad_s: Numbers) -> Numbers:
    """Order of the camshaft's speed that meets a spring's surge: the lower, the harder it is struck.

    Parameters
    ----------
    surge_of_hz : float or array
        Frequency of surge, as from `surge_hz`.
    speed_rad_s : float or array
        Speed of the crank, rad/s; the camshaft turns half as fast.

    Example
    -------
    331.8 Hz at 7000 rev/min (by hand: 331.8 · 120/7000):

    >>> f"{surge_order(331.8, 733.038):.2f}"
    '5.69'
    """
    keep_above("frequency", surge_of_hz, 0.0, "Hz")
    keep_above("speed", speed_rad_s, 0.0, "rad/s")
    return 4.0 * math.pi * surge_of_hz / speed_rad_s


def _check(wire_m: Numbers, mean_m: Numbers, active: Numbers) -> None:
    keep_within("wire diameter", wire_m, 2e-4, 0.02, "m")
    keep_within("index of the coil (mean diameter over wire)", mean_m / wire_m, TIGHTEST, WIDEST)
    keep_within("coils that move", active, 1.0, 50.0)
