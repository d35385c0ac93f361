"""Closed forms for a steadily loaded plain bearing: siblings by which the solver of `reynolds` and the maps of `mobility` are held in check.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| x = B/D | width_ratio | width over diameter | – |
| e | eccentricity | offset of the journal over the radial clearance | – |
| So | – | p̄ psi² / (eta w), p̄ = F / (B D), psi = c / R | – |
| SoV | – | p̄ psi² / (eta de/dt) of a journal that moves straight at the wall, or off it | – |

References
----------
ISO 7902-2 (the same in DIN 31652-2), functions for So and SoV; their coefficients are typed from a copy. F. W. Ocvirk, "Short-bearing approximation
for full journal bearings", 1952.
"""

from __future__ import annotations

import numpy as np

from blockwright.physics.guards import Numbers, keep_within

NARROW, WIDE = 0.25, 1.0
DEEP = 0.97


def sommerfeld_closed(eccentricity: Numbers, width_ratio: float) -> Numbers:
    """So of a steady bearing by ISO 7902-2; within 7 % of Butenschön's table.

    Raises
    ------
    ValueError
        Outside widths of 1/4 to 1 diameter, or eccentricities 0 to 0.97.
    """
    _check(eccentricity, width_ratio)
    e, x = eccentricity, width_ratio
    a1 = 1.1642 - 1.9456 * x + 7.1161 * x**2 - 10.1073 * x**3 + 5.0141 * x**4
    a2 = -1.000026 - 0.023634 * x - 0.4215 * x**2 - 0.038817 * x**3 - 0.090551 * x**4
    found: Numbers = sommerfeld_short(e, x) * a1 * (e - 1.0) / (a2 + e)
    return found


def squeeze_closed(eccentricity: Numbers, width_ratio: float) -> Numbers:
    """SoV of a journal that nears the wall (eccentricity above nil) or leaves it (below nil) by ISO 7902-2.

    Raises
    ------
    ValueError
        Outside widths of 1/4 to 1 diameter, or eccentricities of -0.97 to 0.97.
    """
    _check(np.abs(eccentricity), width_ratio)
    e, x = eccentricity, width_ratio
    a8 = 0.70038 + 3.2415 * x - 12.2486 * x**2 + 18.895 * x**3 - 9.3561 * x**4
    a9 = -0.999935 + 0.0157434 * x - 0.74224 * x**2 + 0.42278 * x**3 - 0.368928 * x**4
    found: Numbers = squeeze_short(e, x) * a8 * (1.0 - e) / (-a9 - e)
    return found


def sommerfeld_short(eccentricity: Numbers, width_ratio: float) -> Numbers:
    """So of a short steady bearing (Ocvirk): x² e sqrt(pi² (1 - e²) + 16 e²) / (2 (1 - e²)²)."""
    keep_within("eccentricity", eccentricity, 0.0, 0.9999)
    e2 = np.square(eccentricity)
    across = np.sqrt(np.pi**2 * (1.0 - e2) + 16.0 * e2)
    found: Numbers = 0.5 * width_ratio**2 * eccentricity * across / (1.0 - e2) ** 2
    return found


def attitude_short_rad(eccentricity: Numbers) -> Numbers:
    """Angle from load to line of centres of a short steady bearing (Ocvirk): tan = pi sqrt(1 - e²) / (4 e)."""
    found: Numbers = np.arctan2(np.pi * np.sqrt(1.0 - np.square(eccentricity)), 4.0 * np.asarray(eccentricity))
    return found


def squeeze_short(eccentricity: Numbers, width_ratio: float) -> Numbers:
    """SoV of a short bearing: 4 x² (1 - e²)^-2.5 [(pi/2 - acos(e)/2)(1 + 2 e²) + 1.5 e sqrt(1 - e²)]; leaving where e is below nil."""
    keep_within("eccentricity", eccentricity, -0.9999, 0.9999)
    e2 = np.square(eccentricity)
    inside = (np.pi / 2 - np.arccos(eccentricity) / 2) * (1.0 + 2.0 * e2) + 1.5 * eccentricity * np.sqrt(1.0 - e2)
    found: Numbers = 4.0 * width_ratio**2 * (1.0 - e2) ** -2.5 * inside
    return found


def _check(eccentricity: Numbers, width_ratio: float) -> None:
    keep_within("eccentricity", eccentricity, 0.0, DEEP)
    keep_within("width over diameter", width_ratio, NARROW, WIDE)
