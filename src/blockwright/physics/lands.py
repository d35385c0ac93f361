"""Ring lands of a piston as annular plates held at the groove root: how they bend, and why thin ones break under knock.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| A | outer_radius_m | radius of the land | m |
| b | root_radius_m | radius of the groove root | m |
| w | – | depth of the land, A - b | m |
| t | thickness_m | axial thickness of the land | m |
| q | load_pa | evenly spread load: pressure above less pressure below, and the ring's reaction | Pa |
| E, nu | modulus_pa, poisson | Young's modulus hot, Poisson's ratio | Pa, – |
| D_p | – | plate stiffness, E t³/(12 (1 - nu²)) | N m |
| y | deflection_m | how far the rim bends down | m |
| M | moment_n | bending moment at the root, per length of it | N |
| sigma | stress_pa | bending stress at the root, 6 M/t² | Pa |

Thin plate, clamped at the root, free at the rim, loaded evenly. A real land is stubby (t near w): the moment at its root is that of the
equation all the same, for it follows from balance, but stress gathers in the root's fillet (give a notch factor), and the rim
bends further than a thin plate would. The root is not quite rigid either. Knock strikes one side, the model takes it all round.

Not validated on a measured land. The plate's constants agree with printed tables; the case itself is checked by solving the plate's
differential equation.

References
----------
W. C. Young, R. G. Budynas, "Roark's Formulas for Stress and Strain", 7th ed. 2002, Table 11.2, case 2l (outer edge free, inner edge fixed, load
over the whole plate).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from blockwright.materials.fatigue import fatigue_table
from blockwright.physics.guards import Numbers, keep_above, keep_within

ALUMINIUM_POISSON = 0.33
LEAST_ROOT, GREATEST_ROOT = 0.05, 0.995
"""Root radius over land radius; nearer to 1 the terms of the plate cancel and the strip serves."""
STUBBIEST = 2.0
"""Thickness over depth: beyond it the land is a block, and bending says nothing."""


@dataclass(frozen=True)
class LandBending:
    """A loaded land: deflection of its rim (m), moment at the root per length (N), nominal bending stress there (Pa)."""

    deflection_m: Numbers
    moment_n: Numbers
    stress_pa: Numbers


@dataclass(frozen=True)
class FatigueStrength:
    """Alternating bending borne at a temperature, low and high end of the spread, Pa."""

    low_pa: Numbers
    high_pa: Numbers


@dataclass(frozen=True)
class Safety:
    """Strength over stress at the low and the high end of the strength: under 1 it breaks in time."""

    low: Numbers
    high: Numbers


@dataclass(frozen=True)
class _Plate:
    """Roark's plate constants for a load over the whole plate, by his names."""

    c2: Numbers
    c3: Numbers
    c8: Numbers
    c9: Numbers
    l11: Numbers
    l17: Numbers


def land_load_pa(
    above_pa: Numbers,
    below_pa: Numbers,
    ring_reaction_n: Numbers,
    outer_radius_m: Numbers,
    root_radius_m: Numbers,
    knock: Numbers = 1.0,
) -> Numbers:
    """Load on a land, spread evenly over it, Pa; downwards is positive.

    Parameters
    ----------
    above_pa, below_pa : float or array
        Pressures in the spaces above and below the land, Pa, both absolute or both gauge.
    ring_reaction_n : float or array
        Force of the ring that sits on this land, N: down positive, from the ring above; up negative, from the ring below.
    outer_radius_m, root_radius_m : float or array
        Radius of the land and of the root, m.
    knock : float or array
        How many times the ordinary load knock makes it, 1 to 10, on pressure and reaction alike: the ring passes on what it gets. There is no
        source for a figure; try several.

    Raises
    ------
    ValueError
        For radii or a factor out of range.

    Example
    -------
    8 MPa above, 3 MPa below, 2 kN from the ring, land 85.4 mm, root 78 mm in diameter (computed):

    >>> f"{land_load_pa(8e6, 3e6, 2000.0, 0.0427, 0.039) / 1e6:.3f}"
    '7.106'
    """
    _keep_radii(outer_radius_m, root_radius_m)
    keep_within("knock factor", knock, 1.0, 10.0)
    area = math.pi * (outer_radius_m**2 - root_radius_m**2)
    return knock * (above_pa - below_pa + ring_reaction_n / area)


def land_bending(
    load_pa: Numbers,
    outer_radius_m: Numbers,
    root_radius_m: Numbers,
    thickness_m: Numbers,
    modulus_pa: Numbers,
    poisson: Numbers = ALUMINIUM_POISSON,
) -> LandBending:
    """Deflection, moment and stress of a land under an even load.

    Parameters
    ----------
    load_pa : float or array
        Load, Pa, of either sign; see `land_load_pa`.
    outer_radius_m, root_radius_m, thickness_m : float or array
        Radius of the land, radius of the groove root, axial thickness (the thinner side where grooves differ), m.
    modulus_pa : float or array
        Young's modulus at temperature, Pa: aluminium loses about a fifth of it by 250 °C (from memory).
    poisson : float or array
        Poisson's ratio.

    Raises
    ------
    ValueError
        For sizes out of range, or a land thicker than twice its depth.

    Notes
    -----
    y = -Ky q A⁴/D_p and M = -KM q A² in Roark's signs, where KM = -(C9 (A² - b²)/(2 A b) - L17)/C8 and
    Ky = KM C2 + C3 (A² - b²)/(2 A b) - L11, both below nil. Towards b = A: M = q w²/2, sigma = 3 q w²/t², y = q w⁴/(8 D_p).

    Example
    -------
    The load of `land_load_pa` on a land 3 mm thick, 3.7 mm deep (computed):

    >>> bent = land_bending(7.106e6, 0.0427, 0.039, 0.003, 65e9)
    >>> f"{bent.moment_n:.1f} N, {bent.stress_pa / 1e6:.1f} MPa, {1e6 * bent.deflection_m:.2f} µm"
    '51.1 N, 34.1 MPa, 1.04 µm'
    """
    _keep_radii(outer_radius_m, root_radius_m)
    keep_above("thickness of the land", thickness_m, unit="m")
    keep_within("thickness of the land over its depth", thickness_m / (outer_radius_m - root_radius_m), 0.0, STUBBIEST)
    keep_above("modulus", modulus_pa, unit="Pa")
    keep_within("Poisson's ratio", poisson, 0.0, 0.5)
    deflection, moment = _plate_factors(root_radius_m / outer_radius_m, poisson)
    stiffness = modulus_pa * thickness_m**3 / (12.0 * (1.0 - poisson**2))
    moment_n = -moment * load_pa * outer_radius_m**2
    return LandBending(
        -deflection * load_pa * outer_radius_m**4 / stiffness, moment_n, 6.0 * np.abs(moment_n) / thickness_m**2
    )


def strip_stress_pa(load_pa: Numbers, depth_m: Numbers, thickness_m: Numbers) -> Numbers:
    """Root stress of a straight strip, Pa: what a land comes to where its depth is small beside its radius.

    Notes
    -----
    sigma = 3 q w²/t². A land with the root at 0.9 of its radius has 1.06 times this: load near the rim spreads over a longer rim than the root.

    Example
    -------
    >>> f"{strip_stress_pa(7.106e6, 0.0037, 0.003) / 1e6:.1f}"
    '32.4'
    """
    keep_above("depth of the land", depth_m, unit="m")
    keep_above("thickness of the land", thickness_m, unit="m")
    return 3.0 * np.abs(load_pa) * depth_m**2 / thickness_m**2


def hot_fatigue_strength(alloy: str, temperature_c: Numbers) -> FatigueStrength:
    """Alternating bending that a piston alloy bears at a temperature, low and high.

    Parameters
    ----------
    alloy : str
        Name in `materials/fatigue.toml`.
    temperature_c : float or array
        Temperature of the groove root, °C, 20 to 350.

    Raises
    ------
    BlockwrightError
        For an alloy without a table.
    ValueError
        For a temperature outside the table.

    Notes
    -----
    Straight lines between the table's temperatures. All values are from memory.

    Example
    -------
    >>> strength = hot_fatigue_strength("aluminium 4032", 200.0)
    >>> f"{strength.low_pa / 1e6:.0f} to {strength.high_pa / 1e6:.0f} MPa"
    '70 to 100 MPa'
    """
    table = fatigue_table(alloy)
    keep_within(
        "temperature of the groove root", temperature_c, table.temperatures_c[0], table.temperatures_c[-1], "°C"
    )
    low, high = (np.interp(temperature_c, table.temperatures_c, each) for each in (table.low_pa, table.high_pa))
    return FatigueStrength(low, high)


def land_safety(stress_pa: Numbers, strength: FatigueStrength, notch: Numbers = 1.0) -> Safety:
    """Strength of a land over its stress, for the low and the high end of the strength.

    Parameters
    ----------
    stress_pa : float or array
        Nominal root stress at the height of the load, Pa.
    strength : FatigueStrength
        From `hot_fatigue_strength`, or a maker's.
    notch : float or array
        How many times the nominal stress the fillet makes it, 1 to 4.

    Raises
    ------
    ValueError
        For a stress that is not above nil, or a notch factor out of range.

    Notes
    -----
    The load pulses from nil to its height: its mean and its amplitude are each half the stress. By Goodman's line
    1/n = sigma/2 (1/sigma_f + 1/sigma_u); a hot aluminium's strength sigma_u falls towards its fatigue strength sigma_f, so n is set to
    sigma_f/sigma, which is never more than that.

    Example
    -------
    >>> safety = land_safety(34.1e6, hot_fatigue_strength("aluminium 4032", 200.0), 1.5)
    >>> f"{safety.low:.1f} to {safety.high:.1f}"
    '1.4 to 2.0'
    """
    keep_above("stress", stress_pa, unit="Pa")
    keep_within("notch factor", notch, 1.0, 4.0)
    return Safety(strength.low_pa / (notch * stress_pa), strength.high_pa / (notch * stress_pa))


def _plate_factors(ratio: Numbers, nu: Numbers) -> tuple[Numbers, Numbers]:
    """Ky of the rim and KM of the root, case 2l, for b/A."""
    plate = _plate_constants(ratio, nu)
    shear = (1.0 - ratio**2) / (2.0 * ratio)
    moment = -(plate.c9 * shear - plate.l17) / plate.c8
    return moment * plate.c2 + shear * plate.c3 - plate.l11, moment


def _plate_constants(ratio: Numbers, nu: Numbers) -> _Plate:
    square, log = ratio**2, -np.log(ratio)
    return _Plate(
        c2=(1.0 - square * (1.0 + 2.0 * log)) / 4.0,
        c3=ratio / 4.0 * ((square + 1.0) * log + square - 1.0),
        c8=(1.0 + nu + (1.0 - nu) * square) / 2.0,
        c9=ratio * ((1.0 + nu) / 2.0 * log + (1.0 - nu) / 4.0 * (1.0 - square)),
        l11=(1.0 + 4.0 * square - 5.0 * square**2 - 4.0 * square * (2.0 + square) * log) / 64.0,
        l17=(1.0 - (1.0 - nu) / 4.0 * (1.0 - square**2) - square * (1.0 + (1.0 + nu) * log)) / 4.0,
    )


def _keep_radii(outer_radius_m: Numbers, root_radius_m: Numbers) -> None:
    keep_within("radius of the land", outer_radius_m, 0.01, 0.5, "m")
    keep_within("root radius over land radius", root_radius_m / outer_radius_m, LEAST_ROOT, GREATEST_ROOT)
