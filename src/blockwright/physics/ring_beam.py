"""A piston ring as a curved beam: the force and the pressure it bears on its bore with, and its stress when closed.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| d | bore_m | bore diameter, which is the closed ring's outer diameter | m |
| a | radial_m | radial thickness of the ring | m |
| h | axial_m | axial height of the ring | m |
| r_m | – | radius of the neutral line, (d - a)/2 | m |
| E | modulus_pa | Young's modulus of the ring | Pa |
| I | – | second moment of the section, h a³/12 | m⁴ |
| m | opening_m | free gap less fitted gap, along the neutral line | m |
| k | parameter | half the greatest change of curvature, times r_m | – |
| F_t | tangential_n | pull of a thin band that closes the ring | N |
| p | pressure_pa | pressure of the ring on the bore by its own tension | Pa |
| theta | – | angle from the back of the ring, the point opposite its gap | rad |

The ring is of plain rectangular section and bears on its bore evenly all round. Closed, its bending moment is F_t r_m (1 + cos theta), greatest
at the back. Small displacements: the gap that such a ring shows when free is some 2 % wider than m. Rings pushed out by an expander
(oil rails), slotted or bevelled sections are not meant.

Not validated against a measured ring. The closing stress and the radial thickness of a textbook example agree with printed figures; force
and pressure are checked by numerical integration along the beam.

References
----------
S. P. Timoshenko, "Strength of Materials", part II, curved bars (Castigliano's theorem). R. A. Zeinetdinov, I. F. Dyakov, S. V. Yarygin,
"Design of automobile and tractor engines" (in Russian), Ulyanovsk 2004, equation 4.79, with mu = 0 for even pressure.
"""

from __future__ import annotations

import math

from blockwright.physics.guards import Numbers, keep_above, keep_within

SMALLEST_BORE_M, LARGEST_BORE_M = 0.02, 1.0
THINNEST, THICKEST = 0.005, 0.1
"""Radial thickness as a share of the bore: beyond a tenth the ring is no thin beam."""
WIDEST_OPENING = 0.3
"""Opening as a share of the bore: beyond it displacements are no longer small."""


def opening_m(free_gap_m: Numbers, fitted_gap_m: Numbers) -> Numbers:
    """How far closing a ring brings its ends together, m: what its tension comes from.

    Parameters
    ----------
    free_gap_m, fitted_gap_m : float or array
        Gap of the free ring and of the ring in its bore, m, along the neutral line. Filing widens both alike, so that the tension of a
        filed ring stays what it was.

    Raises
    ------
    ValueError
        For a fitted gap below nil, or a free gap under it.

    Example
    -------
    >>> f"{opening_m(0.0114, 0.0004):.4f} {opening_m(0.0115, 0.0005):.4f}"
    '0.0110 0.0110'
    """
    keep_within("fitted gap", fitted_gap_m, 0.0, WIDEST_OPENING * LARGEST_BORE_M, "m")
    keep_within("free gap less fitted gap", free_gap_m - fitted_gap_m, 0.0, WIDEST_OPENING * LARGEST_BORE_M, "m")
    return free_gap_m - fitted_gap_m


def opening_in_bore_m(nominal_opening_m: Numbers, nominal_bore_m: Numbers, bore_m: Numbers) -> Numbers:
    """Opening of a ring in another bore than the one it was stated for, m.

    Notes
    -----
    m = m_nominal + pi (d_nominal - d): a ring in a smaller bore is closed further by what the girth has lost, and bears harder.

    Example
    -------
    A ring for 90 mm in a bore 0.5 mm smaller (computed):

    >>> f"{opening_in_bore_m(0.011, 0.090, 0.0895):.5f}"
    '0.01257'
    """
    for diameter in (nominal_bore_m, bore_m):
        keep_within("bore diameter", diameter, SMALLEST_BORE_M, LARGEST_BORE_M, "m")
    opening = nominal_opening_m + math.pi * (nominal_bore_m - bore_m)
    keep_within("opening over bore", opening / bore_m, 0.0, WIDEST_OPENING)
    return opening


def ring_parameter(opening_m: Numbers, bore_m: Numbers, radial_m: Numbers) -> Numbers:
    """The ring parameter k: the free ring's curvature at theta is (1 - k (1 + cos theta)) / r_m.

    Parameters
    ----------
    opening_m : float or array
        Free gap less fitted gap, m, nil to 0.3 of the bore.
    bore_m : float or array
        Bore diameter, m, 0.02 to 1.
    radial_m : float or array
        Radial thickness, m, 0.005 to 0.1 of the bore.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    k = 2 m / (3 pi (d - a))

    Example
    -------
    Bore 90 mm, 3.8 mm radially, opening 11 mm (computed):

    >>> f"{ring_parameter(0.011, 0.090, 0.0038):.6f}"
    '0.027080'
    """
    keep_within("bore diameter", bore_m, SMALLEST_BORE_M, LARGEST_BORE_M, "m")
    keep_within("radial thickness over bore", radial_m / bore_m, THINNEST, THICKEST)
    keep_within("opening over bore", opening_m / bore_m, 0.0, WIDEST_OPENING)
    return 2.0 * opening_m / (3.0 * math.pi * (bore_m - radial_m))


def tangential_force_n(
    opening_m: Numbers, bore_m: Numbers, radial_m: Numbers, axial_m: Numbers, modulus_pa: Numbers
) -> Numbers:
    """Pull of a thin band round the ring that closes it, N.

    Parameters
    ----------
    opening_m, bore_m, radial_m : float or array
        As for `ring_parameter`.
    axial_m : float or array
        Axial height of the ring, m.
    modulus_pa : float or array
        Young's modulus, Pa: grey iron about 100e9, ductile iron about 160e9, steel about 200e9.

    Raises
    ------
    ValueError
        For a size out of range.

    Notes
    -----
    F_t = 4 E I k / (d - a)², I = h a³/12.

    Example
    -------
    The ring of `ring_parameter`, 1.5 mm high, of grey iron (computed):

    >>> f"{tangential_force_n(0.011, 0.090, 0.0038, 0.0015, 100e9):.2f}"
    '10.00'
    """
    keep_above("axial height", axial_m, unit="m")
    keep_above("modulus", modulus_pa, unit="Pa")
    k = ring_parameter(opening_m, bore_m, radial_m)
    second_moment = axial_m * radial_m**3 / 12.0
    return 4.0 * modulus_pa * second_moment * k / (bore_m - radial_m) ** 2


def contact_pressure_pa(tangential_n: Numbers, bore_m: Numbers, axial_m: Numbers) -> Numbers:
    """Pressure of the ring on its bore by its own tension, Pa, gauge: p = 2 F_t / (d h).

    Notes
    -----
    0.12 to 0.25 MPa is printed for compression rings to the standards (a ring maker's handbook, 2008, section "tangential force"), 0.11 to
    0.37 MPa by Zeinetdinov et al. 2004, page 90. Gas behind the ring adds many times that.

    Example
    -------
    The ring of `tangential_force_n` (computed):

    >>> f"{contact_pressure_pa(10.0, 0.090, 0.0015) / 1e6:.3f}"
    '0.148'
    """
    keep_within("tangential force", tangential_n, 0.0, 1e4, "N")
    keep_within("bore diameter", bore_m, SMALLEST_BORE_M, LARGEST_BORE_M, "m")
    keep_above("axial height", axial_m, unit="m")
    return 2.0 * tangential_n / (bore_m * axial_m)


def closing_stress_pa(opening_m: Numbers, bore_m: Numbers, radial_m: Numbers, modulus_pa: Numbers) -> Numbers:
    """Greatest bending stress of the ring in its bore, Pa: pull at its outer face, opposite the gap.

    Notes
    -----
    sigma = 4 E a m / (3 pi (d - a)²) = E a k / r_m, as for a straight beam; curvature adds about a/(3 d) of it at the inner face
    (under pressure there). 220 to 450 MPa is printed as allowable (Zeinetdinov et al. 2004, page 90), the lower for larger bores.

    Example
    -------
    The ring of `ring_parameter`, of grey iron (computed):

    >>> f"{closing_stress_pa(0.011, 0.090, 0.0038, 100e9) / 1e6:.1f}"
    '238.8'

    References
    ----------
    Zeinetdinov et al. 2004, equation 4.79: 1.275 E (m/a) / ((3 - mu)(d/a - 1)²); 4/(3 pi) = 0.4244 is printed as 1.275/3.
    """
    keep_above("modulus", modulus_pa, unit="Pa")
    k = ring_parameter(opening_m, bore_m, radial_m)
    return 2.0 * modulus_pa * radial_m * k / (bore_m - radial_m)
