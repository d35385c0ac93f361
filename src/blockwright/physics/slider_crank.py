"""Crank, rod and piston: where the pin is, how fast it moves and how hard it is accelerated, at any crank angle.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| r | throw_m | crank radius, half the stroke where the pin has no offset | m |
| l | rod_m | rod length, centre to centre | m |
| d | offset_m | offset of the pin from the bore's axis: + towards the crankpin's side at 90° after the top | m |
| t | angle_rad | crank angle from crank upright, in the direction of rotation | rad |
| x | – | height of the pin above the crank's axis | m |
| w | speed_rad_s | crank speed | rad/s |

The crankpin at 90° after the top lies on the minor thrust side, so an offset to the major thrust side, as most pistons have it, is negative. With
an offset the top comes a little after crank upright (before it where the offset is negative).

References
----------
R. S. Khurmi, J. K. Gupta, "Theory of Machines", chapter 15, examples 15.4 and 15.5 (their two-term series differs from the exact motion by a
stated amount). H. N. Gupta, "Fundamentals of Internal Combustion Engines", example 16.1.
"""

from __future__ import annotations

import math

import numpy as np

from blockwright.physics.guards import Numbers, keep_above

LONGEST_OFFSET = 0.2
"""Offset as a share of the throw: beyond it nobody builds engines."""


def pin_height_m(angle_rad: Numbers, throw_m: float, rod_m: float, offset_m: float = 0.0) -> Numbers:
    """Height of the piston pin above the crank's axis, m.

    Notes
    -----
    x = r cos t + sqrt(l² - (r sin t - d)²).

    Raises
    ------
    ValueError
        Where the rod is not longer than throw and offset together.

    Example
    -------
    >>> f"{pin_height_m(0.0, 0.043, 0.137):.3f}"
    '0.180'
    """
    _check(throw_m, rod_m, offset_m)
    return throw_m * np.cos(angle_rad) + _rod_height(angle_rad, throw_m, rod_m, offset_m)


def pin_speed_m_s(
    angle_rad: Numbers, speed_rad_s: float, throw_m: float, rod_m: float, offset_m: float = 0.0
) -> Numbers:
    """Speed of the pin, m/s, positive away from the crank: the exact first derivative of its height."""
    _check(throw_m, rod_m, offset_m)
    s, c = throw_m * np.sin(angle_rad), throw_m * np.cos(angle_rad)
    return speed_rad_s * (-s - (s - offset_m) * c / _rod_height(angle_rad, throw_m, rod_m, offset_m))


def pin_acceleration_m_s2(
    angle_rad: Numbers, speed_rad_s: float, throw_m: float, rod_m: float, offset_m: float = 0.0
) -> Numbers:
    """Acceleration of the pin at steady crank speed, m/s², positive away from the crank; at the top it is the largest, and negative.

    Example
    -------
    r 45 mm, l 150 mm, 6000 rev/min, at the top: r w² (1 + r/l), computed.

    >>> f"{pin_acceleration_m_s2(0.0, 6000 * math.pi / 30, 0.045, 0.150):.0f}"
    '-23095'
    """
    _check(throw_m, rod_m, offset_m)
    s, c = throw_m * np.sin(angle_rad), throw_m * np.cos(angle_rad)
    height = _rod_height(angle_rad, throw_m, rod_m, offset_m)
    across = s - offset_m
    bent = (c * c - across * s) / height + (across * c) ** 2 / height**3
    return speed_rad_s**2 * (-c - bent)


def rod_tilt_rad(angle_rad: Numbers, throw_m: float, rod_m: float, offset_m: float = 0.0) -> Numbers:
    """How far the rod leans from the bore's axis, rad: + where its big end lies on the minor thrust side."""
    _check(throw_m, rod_m, offset_m)
    return np.arcsin((throw_m * np.sin(angle_rad) - offset_m) / rod_m)


def dead_centres_rad(throw_m: float, rod_m: float, offset_m: float = 0.0) -> tuple[float, float]:
    """Crank angles of the top and of the bottom of the stroke, rad.

    Example
    -------
    r 43, l 137, d 0.8 mm (computed):

    >>> top, bottom = dead_centres_rad(0.043, 0.137, 0.0008)
    >>> f"{math.degrees(top):.4f} {math.degrees(bottom):.4f}"
    '0.2546 180.4876'
    """
    _check(throw_m, rod_m, offset_m)
    return math.asin(offset_m / (rod_m + throw_m)), math.pi + math.asin(offset_m / (rod_m - throw_m))


def stroke_m(throw_m: float, rod_m: float, offset_m: float = 0.0) -> float:
    """Travel of the pin from the bottom to the top, m; with an offset a little more than twice the throw.

    Example
    -------
    r 43, l 137, d 0.8 mm (computed):

    >>> f"{1e3 * stroke_m(0.043, 0.137, 0.0008):.6f}"
    '86.001627'
    """
    _check(throw_m, rod_m, offset_m)
    return math.sqrt((rod_m + throw_m) ** 2 - offset_m**2) - math.sqrt((rod_m - throw_m) ** 2 - offset_m**2)


def travel_from_top_m(angle_rad: Numbers, throw_m: float, rod_m: float, offset_m: float = 0.0) -> Numbers:
    """How far the piston is below the top of its stroke, m."""
    top, _ = dead_centres_rad(throw_m, rod_m, offset_m)
    return pin_height_m(top, throw_m, rod_m, offset_m) - pin_height_m(angle_rad, throw_m, rod_m, offset_m)


def mean_piston_speed_m_s(speed_rad_s: Numbers, stroke_of_m: float) -> Numbers:
    """Mean piston speed, m/s: two strokes a turn."""
    return stroke_of_m * speed_rad_s / math.pi


def _rod_height(angle_rad: Numbers, throw_m: float, rod_m: float, offset_m: float) -> Numbers:
    return np.sqrt(rod_m**2 - (throw_m * np.sin(angle_rad) - offset_m) ** 2)


def _check(throw_m: float, rod_m: float, offset_m: float) -> None:
    keep_above("throw", throw_m, 0.0, "m")
    keep_above("rod length", rod_m, throw_m + abs(offset_m), "m")
    if abs(offset_m) > LONGEST_OFFSET * throw_m:
        raise ValueError(
            f"pin offset: {offset_m:g} m is more than {LONGEST_OFFSET:g} of the throw; no engine is built so."
        )
