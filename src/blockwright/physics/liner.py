"""A liner in its housing: how hard the two press on each other, hot and cold, and how far the bore grows.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| r_i, r_o | inner_radius_m, outer_radius_m | radii of a tube, free and at 20 °C | m |
| E, nu | modulus_pa, poisson | Young's modulus and Poisson's ratio | Pa, – |
| a | expansion_per_k | mean coefficient of expansion from 20 °C | 1/K |
| R | interface_radius_m | radius that liner and housing share | m |
| p | pressure_pa | pressure between them | Pa |
| u | growth_m | change of the bore's radius | m |

Thick tubes after Lamé, in plane stress: each is free to grow along its axis. The interface lies between the two free radii; where the
housing outgrows the liner the pressure is nil, and the liner sits loose and goes its own way. A block is no tube: its outer radius is a
stand-in (half the bore spacing, or the water wall's radius); try two and see what it matters. Each tube has one temperature.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.materials import REFERENCE_C
from blockwright.physics.expansion import hot_length_m
from blockwright.physics.guards import keep_above, keep_within

THINNEST, THICKEST = 1.005, 20.0
"""Outer over inner radius of a tube."""

GREATEST_INTERFERENCE = 0.01
"""Interference or play at 20 °C as a share of the interface radius."""


@dataclass(frozen=True)
class Tube:
    """A round tube, free and at 20 °C: radii (m), Young's modulus (Pa), expansion (1/K), Poisson's ratio."""

    inner_radius_m: float
    outer_radius_m: float
    modulus_pa: float
    expansion_per_k: float
    poisson: float = 0.3

    def __post_init__(self) -> None:
        keep_above("inner radius", self.inner_radius_m, unit="m")
        keep_within("outer over inner radius", self.outer_radius_m / self.inner_radius_m, THINNEST, THICKEST)
        keep_above("modulus", self.modulus_pa, unit="Pa")
        keep_within("Poisson's ratio", self.poisson, 0.0, 0.5)

    @property
    def yield_to_inner_pressure_m_per_pa(self) -> float:
        """How far the inner radius grows for each pascal inside: r_i/E ((r_o² + r_i²)/(r_o² - r_i²) + nu)."""
        inner, outer = self.inner_radius_m**2, self.outer_radius_m**2
        return self.inner_radius_m / self.modulus_pa * ((outer + inner) / (outer - inner) + self.poisson)

    @property
    def yield_to_outer_pressure_m_per_pa(self) -> float:
        """How far the outer radius shrinks for each pascal outside: r_o/E ((r_o² + r_i²)/(r_o² - r_i²) - nu)."""
        inner, outer = self.inner_radius_m**2, self.outer_radius_m**2
        return self.outer_radius_m / self.modulus_pa * ((outer + inner) / (outer - inner) - self.poisson)

    @property
    def bore_yield_to_outer_pressure_m_per_pa(self) -> float:
        """How far the inner radius shrinks for each pascal outside: 2 r_i r_o² / (E (r_o² - r_i²))."""
        inner, outer = self.inner_radius_m**2, self.outer_radius_m**2
        return 2.0 * self.inner_radius_m * outer / (self.modulus_pa * (outer - inner))


@dataclass(frozen=True)
class LinerFit:
    """A liner in its housing at given temperatures.

    `pressure_pa` between the two, nil where the liner is loose by `play_m` (radial); `interface_radius_m` the liner's outer radius;
    `bore_radius_m` the liner's inner radius; `growth_m` how far that grew since the same pair stood at 20 °C, fitted (radial).
    """

    pressure_pa: float
    play_m: float
    interface_radius_m: float
    bore_radius_m: float
    growth_m: float


def liner_in_housing(liner: Tube, housing: Tube, liner_c: float, housing_c: float) -> LinerFit:
    """Pressure between a liner and its housing, and the growth of the bore since both stood at 20 °C.

    Parameters
    ----------
    liner, housing : Tube
        Both free and at 20 °C. `liner.outer_radius_m` over `housing.inner_radius_m` is a press fit, under it a slip fit; 1 % at most.
    liner_c, housing_c : float
        Their temperatures, °C.

    Raises
    ------
    ValueError
        For sizes that do not fit each other, or a temperature or coefficient out of range.

    Notes
    -----
    With R_l and R_h the free hot radii at the interface and y_l, y_h how far each gives way per unit of pressure:
    p = max(0, (R_l - R_h)/(y_l + y_h)); R = R_l - y_l p, which is R_h + y_h p while p > 0.

    Example
    -------
    Grey iron liner, 86 mm bore and 3 mm wall, pressed 0.05 mm (diametral) into aluminium, both at 120 °C (computed). The aluminium
    outgrows the iron, the grip is gone, and the bore grows by the iron's own 0.048 mm and by what the grip had squeezed it:

    >>> liner = Tube(0.043, 0.046, 110e9, 11.2e-6, 0.26)
    >>> block = Tube(0.045975, 0.054, 72.4e9, 21.4e-6, 0.33)
    >>> cold, hot = (liner_in_housing(liner, block, t, t) for t in (20.0, 120.0))
    >>> f"{cold.pressure_pa / 1e6:.1f} {hot.pressure_pa / 1e6:.1f} MPa, bore grows {1e3 * hot.growth_m:.3f} mm in radius"
    '2.4 0.0 MPa, bore grows 0.063 mm in radius'

    References
    ----------
    Lamé's equations of the thick tube, as in E. J. Hearn, "Mechanics of Materials 1", 3rd ed. 1997, chapter 10.
    """
    interference = (liner.outer_radius_m - housing.inner_radius_m) / housing.inner_radius_m
    keep_within("press or play at 20 °C over the radius", interference, -GREATEST_INTERFERENCE, GREATEST_INTERFERENCE)
    cold = _fitted(liner, housing, REFERENCE_C, REFERENCE_C)
    hot = _fitted(liner, housing, liner_c, housing_c)
    return LinerFit(*hot, growth_m=hot[-1] - cold[-1])


def bore_dilation_m(tube: Tube, gas_pressure_pa: float) -> float:
    """Growth of a tube's inner radius under gas pressure, m, with nothing outside: shown apart from the growth by heat.

    Parameters
    ----------
    tube : Tube
        Liner or parent bore that carries the pressure alone: the worst case of a wet liner.
    gas_pressure_pa : float
        Gauge pressure in the cylinder, Pa, nil to 50 MPa.

    Example
    -------
    86 mm bore, 6 mm of grey iron, 10 MPa (computed):

    >>> f"{1e6 * bore_dilation_m(Tube(0.043, 0.049, 110e9, 11.2e-6, 0.26), 10e6):.1f} µm"
    '31.1 µm'
    """
    keep_within("gas pressure", gas_pressure_pa, 0.0, 50e6, "Pa")
    return tube.yield_to_inner_pressure_m_per_pa * gas_pressure_pa


def _fitted(liner: Tube, housing: Tube, liner_c: float, housing_c: float) -> tuple[float, float, float, float]:
    """Pressure, play, interface radius, bore radius."""
    liner_free = float(hot_length_m(liner.outer_radius_m, liner.expansion_per_k, liner_c))
    housing_free = float(hot_length_m(housing.inner_radius_m, housing.expansion_per_k, housing_c))
    squeeze = liner_free - housing_free
    gives = liner.yield_to_outer_pressure_m_per_pa + housing.yield_to_inner_pressure_m_per_pa
    pressure = max(0.0, squeeze / gives)
    bore_free = float(hot_length_m(liner.inner_radius_m, liner.expansion_per_k, liner_c))
    return (
        pressure,
        max(0.0, -squeeze),
        liner_free - liner.yield_to_outer_pressure_m_per_pa * pressure,
        bore_free - liner.bore_yield_to_outer_pressure_m_per_pa * pressure,
    )
