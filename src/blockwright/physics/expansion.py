"""Hot sizes, hot clearances and hot ring gaps from what was measured at 20 °C.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| D | bore_m | bore diameter at 20 °C | m |
| d | piston_m | diameter of the piston zone (skirt at gauge height, crown, a land) at 20 °C | m |
| s | gap_cold_m | end gap of the ring in its bore at 20 °C | m |
| s_hot | gap_hot_m | end gap of the hot ring in the hot bore; below nil the ends meet and the ring is squeezed | m |
| a | …_expansion_per_k | mean coefficient of expansion from 20 °C to the temperature in question | 1/K |
| T | …_c | temperature of the part | °C |

A part grows by a (T - 20). A ring that touches its bore all round is as long as the bore's girth less the gap; so the gap
changes by what the girth gains on the ring. Every function takes floats or arrays, which broadcast, and is written in differences, so
that a gap of 0.0004 m keeps its digits beside a girth of 0.27 m.

Left out on purpose: gas pressure widening the bore (see `liner.bore_dilation_m`), the bore's unevenness when hot, a temperature that
varies across one ring. A coefficient that changes with temperature is given as its mean up to that temperature.

Not validated: no published number was found. Checked against the geometry of the arc and the circle by another route, and
in its limits.
"""

from __future__ import annotations

import math

from blockwright.materials import REFERENCE_C
from blockwright.physics.guards import Numbers, keep_within

COLDEST_C, HOTTEST_C = -273.15, 1000.0
"""Catches a slip of unit, and leaves room for the tails of temperatures drawn about a mean with a wide spread."""
GREATEST_EXPANSION_PER_K = 50e-6
SMALLEST_BORE_M, LARGEST_BORE_M = 0.005, 1.0
WIDEST_GAP = 0.1
"""Greatest end gap as a share of the bore diameter."""


def hot_length_m(length_m: Numbers, expansion_per_k: Numbers, temperature_c: Numbers) -> Numbers:
    """A length or a diameter at a temperature, from its size at 20 °C.

    Parameters
    ----------
    length_m : float or array
        Length at 20 °C, m, any sign.
    expansion_per_k : float or array
        Mean coefficient of expansion from 20 °C to the temperature, 1/K, nil to 50e-6.
    temperature_c : float or array
        °C, to 1000.

    Raises
    ------
    ValueError
        For a coefficient or a temperature out of range.

    Example
    -------
    100 mm of steel at 25 °C (computed):

    >>> f"{hot_length_m(0.1, 11.5e-6, 25.0):.8f}"
    '0.10000575'
    """
    return length_m + length_m * _growth(expansion_per_k, temperature_c, "part")


def hot_gap_m(
    gap_cold_m: Numbers,
    bore_m: Numbers,
    bore_expansion_per_k: Numbers,
    ring_expansion_per_k: Numbers,
    bore_c: Numbers,
    ring_c: Numbers,
) -> Numbers:
    """End gap of a hot ring in its hot bore, m; below nil the ends meet, and the value is the squeeze along the girth.

    Parameters
    ----------
    gap_cold_m : float or array
        End gap in this bore at 20 °C, m, nil to a tenth of the bore.
    bore_m : float or array
        Bore diameter at 20 °C where the ring sits, m, 0.02 to 1.
    bore_expansion_per_k, ring_expansion_per_k : float or array
        Mean coefficients of expansion, 1/K. A plated or aluminium-silicon bore expands as its block does.
    bore_c, ring_c : float or array
        Mean temperatures of bore wall and ring, °C.

    Raises
    ------
    ValueError
        For a size, a coefficient or a temperature out of range.

    Notes
    -----
    s_hot = pi D (1 + a_b (T_b - 20)) - (pi D - s)(1 + a_r (T_r - 20))

    Example
    -------
    Bore 86 mm, both parts iron, ring 220 °C, bore 120 °C, gap 0.4 mm (computed):

    >>> f"{hot_gap_m(0.0004, 0.086, 11e-6, 11e-6, 120.0, 220.0):.6f}"
    '0.000104'
    """
    return gap_cold_m - closure_m(gap_cold_m, bore_m, bore_expansion_per_k, ring_expansion_per_k, bore_c, ring_c)


def closure_m(
    gap_cold_m: Numbers,
    bore_m: Numbers,
    bore_expansion_per_k: Numbers,
    ring_expansion_per_k: Numbers,
    bore_c: Numbers,
    ring_c: Numbers,
) -> Numbers:
    """How much a gap closes from 20 °C to the hot state, m; below nil it opens. Parameters and errors as for `hot_gap_m`.

    Notes
    -----
    s - s_hot = pi D (a_r (T_r - 20) - a_b (T_b - 20)) - s a_r (T_r - 20)

    Example
    -------
    >>> f"{closure_m(0.0004, 0.086, 11e-6, 11e-6, 120.0, 220.0):.6f}"
    '0.000296'
    """
    _keep_bore(bore_m)
    keep_within("cold gap over bore", gap_cold_m / bore_m, 0.0, WIDEST_GAP)
    bore = _growth(bore_expansion_per_k, bore_c, "bore")
    ring = _growth(ring_expansion_per_k, ring_c, "ring")
    return math.pi * bore_m * (ring - bore) - gap_cold_m * ring


def cold_gap_for(
    gap_hot_m: Numbers,
    bore_m: Numbers,
    bore_expansion_per_k: Numbers,
    ring_expansion_per_k: Numbers,
    bore_c: Numbers,
    ring_c: Numbers,
) -> Numbers:
    """Cold gap that leaves a wanted hot gap, m: the inverse of `hot_gap_m`.

    Parameters
    ----------
    gap_hot_m : float or array
        Wanted hot gap, m; nil for ends that just meet. The rest as for `hot_gap_m`.

    Raises
    ------
    ValueError
        For a size, a coefficient or a temperature out of range.

    Notes
    -----
    s = (s_hot + pi D (a_r (T_r - 20) - a_b (T_b - 20))) / (1 + a_r (T_r - 20)). The result is below nil where the bore gains on the ring
    by more than the wanted gap.

    Example
    -------
    The gap that the ring of `hot_gap_m` needs for its ends to just meet (computed):

    >>> f"{cold_gap_for(0.0, 0.086, 11e-6, 11e-6, 120.0, 220.0):.6f}"
    '0.000297'
    """
    _keep_bore(bore_m)
    keep_within("wanted hot gap over bore", gap_hot_m / bore_m, -WIDEST_GAP, WIDEST_GAP)
    bore = _growth(bore_expansion_per_k, bore_c, "bore")
    ring = _growth(ring_expansion_per_k, ring_c, "ring")
    return (gap_hot_m + math.pi * bore_m * (ring - bore)) / (1.0 + ring)


def hot_clearance_m(
    bore_m: Numbers,
    piston_m: Numbers,
    bore_expansion_per_k: Numbers,
    piston_expansion_per_k: Numbers,
    bore_c: Numbers,
    piston_c: Numbers,
) -> Numbers:
    """Diametral clearance of a hot piston zone in its hot bore, m.

    Parameters
    ----------
    bore_m, piston_m : float or array
        Diameters at 20 °C, m, in the same direction: skirt at its gauge height, or crown, or a land.
    bore_expansion_per_k, piston_expansion_per_k : float or array
        Mean coefficients of expansion, 1/K.
    bore_c, piston_c : float or array
        Mean temperatures of the bore wall and of that zone of the piston, °C.

    Raises
    ------
    ValueError
        For a size, a coefficient or a temperature out of range.

    Notes
    -----
    c_hot = D (1 + a_b (T_b - 20)) - d (1 + a_p (T_p - 20)). Below nil a rigid skirt would be squeezed by so much; a real skirt flexes, so
    that this is a warning and no proof of seizure. A crown or a land does not flex: there it is.

    Example
    -------
    Aluminium piston 0.1 mm under an 86 mm iron bore, skirt 130 °C, bore 125 °C (computed):

    >>> f"{hot_clearance_m(0.086, 0.0859, 11.2e-6, 22.3e-6, 125.0, 130.0):.7f}"
    '-0.0000096'
    """
    _keep_bore(bore_m)
    _keep_bore(piston_m, "piston")
    bore = _growth(bore_expansion_per_k, bore_c, "bore")
    piston = _growth(piston_expansion_per_k, piston_c, "piston")
    return (bore_m - piston_m) + bore_m * bore - piston_m * piston


def cold_clearance_for(
    clearance_hot_m: Numbers,
    bore_m: Numbers,
    bore_expansion_per_k: Numbers,
    piston_expansion_per_k: Numbers,
    bore_c: Numbers,
    piston_c: Numbers,
) -> Numbers:
    """Cold diametral clearance in a given bore that leaves a wanted hot one, m: the inverse of `hot_clearance_m`.

    Notes
    -----
    With b = a_b (T_b - 20) and p = a_p (T_p - 20): D - d = (c_hot + D (p - b)) / (1 + p).

    Example
    -------
    >>> f"{cold_clearance_for(0.0, 0.086, 11.2e-6, 22.3e-6, 125.0, 130.0):.6f}"
    '0.000110'
    """
    _keep_bore(bore_m)
    keep_within("wanted hot clearance over bore", clearance_hot_m / bore_m, -WIDEST_GAP, WIDEST_GAP)
    bore = _growth(bore_expansion_per_k, bore_c, "bore")
    piston = _growth(piston_expansion_per_k, piston_c, "piston")
    return (clearance_hot_m + bore_m * (piston - bore)) / (1.0 + piston)


def _keep_bore(diameter_m: Numbers, what: str = "bore") -> None:
    keep_within(f"{what} diameter", diameter_m, SMALLEST_BORE_M, LARGEST_BORE_M, "m")


def _growth(expansion_per_k: Numbers, temperature_c: Numbers, what: str) -> Numbers:
    """Growth as a share of the length at 20 °C."""
    keep_within(f"expansion of the {what}", expansion_per_k, 0.0, GREATEST_EXPANSION_PER_K, "1/K")
    keep_within(f"temperature of the {what}", temperature_c, COLDEST_C, HOTTEST_C, "°C")
    return expansion_per_k * (temperature_c - REFERENCE_C)
