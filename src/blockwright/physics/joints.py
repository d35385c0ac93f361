"""Bolted joints: stiffness of bolt against what it clamps, tightening by angle, load on the bolt at work, separation, and use again.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| kb | bolt_n_m | stiffness of the bolt | N/m |
| km | joint_n_m | stiffness of what it clamps | N/m |
| C | share | part of a load on the joint that the bolt feels: kb/(kb + km) | – |
| Fi | preload_n | preload | N |
| P | load_n | load on the joint, for each bolt, + where it pulls apart | N |
| D | face_m | diameter of the face of head, nut or washer | m |
| d | hole_m | diameter of the hole | m |
| t | thickness_m | thickness of a layer, or of the part of it within one cone | m |
| l | grip_m | thickness of all that is clamped | m |
| P | pitch_m | pitch of the thread | m |
| E | modulus_pa | Young's modulus of what is clamped | Pa |

What is clamped is taken as cones that spread from both faces to the middle, 30° to the axis. Rod caps and bearing caps are narrower than such a cone
and bend, so their joints are softer than this says: their bolts feel more. A load off the bolt's axis pries, which nothing here knows.

References
----------
J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design", chapter 8: equations 8-20 and 8-22 for cones, 8-24 to 8-30 for loads.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from blockwright.physics.guards import Numbers, keep_above, keep_within

TURN = 2.0 * math.pi
SPREADING = math.tan(math.radians(30.0))
PRELOADS_N = (0.0, 1e7)


@dataclass(frozen=True)
class Layer:
    """One of the parts that a bolt clamps: its thickness and its modulus."""

    thickness_m: float
    modulus_pa: float


@dataclass(frozen=True)
class Growth:
    """How much longer a used bolt is than it was new, that over its stretched length, and whether that is within its limit."""

    growth_m: float
    strain: float
    within: bool


def cone_stiffness_n_m(face_m: float, thickness_m: float, hole_m: float, modulus_pa: float) -> float:
    """Stiffness of one cone of clamped material, N/m.

    Parameters
    ----------
    face_m : float
        Diameter of the cone's narrow end, m.
    thickness_m : float
        Its height, m.

    Notes
    -----
    k = pi E d tan 30° / ln[(2 t tan 30° + D - d)(D + d) / ((2 t tan 30° + D + d)(D - d))].

    Raises
    ------
    ValueError
        For a face that is no wider than the hole.

    Example
    -------
    Half an inch of steel of 30 Mpsi under a face of .75 in around a bolt of .5 in, for which the authors' solutions to chapter 8 print
    33.30 Mlbf/in:

    >>> f"{cone_stiffness_n_m(0.01905, 0.0127, 0.0127, 206.843e9) / 175.127e6:.2f}"
    '33.30'
    """
    keep_above("diameter of the hole", hole_m, 0.0, "m")
    keep_above("diameter of the face", face_m, hole_m, "m")
    keep_above("thickness", thickness_m, 0.0, "m")
    keep_above("modulus", modulus_pa, 0.0, "Pa")
    wide = face_m + 2.0 * SPREADING * thickness_m
    log = math.log((wide - hole_m) * (face_m + hole_m) / ((wide + hole_m) * (face_m - hole_m)))
    return math.pi * modulus_pa * hole_m * SPREADING / log


def joint_stiffness_n_m(face_m: float, grip_m: float, hole_m: float, modulus_pa: float) -> float:
    """Stiffness of what a bolt clamps where it is all of one material and both faces are alike, N/m.

    Example
    -------
    40 mm of steel under faces of 15 mm around a bolt of 10 mm (computed from equation 8-22):

    >>> f"{joint_stiffness_n_m(0.015, 0.040, 0.010, 205e9) / 1e6:.0f}"
    '1735'
    """
    return 0.5 * cone_stiffness_n_m(face_m, 0.5 * grip_m, hole_m, modulus_pa)


def stack_stiffness_n_m(face_m: float, hole_m: float, layers: Sequence[Layer]) -> float:
    """Stiffness of several clamped layers, from one face to the other, N/m: cones from both faces that meet in the middle."""
    if not layers:
        raise ValueError("joint: give at least one layer, with its thickness and modulus.")
    half = 0.5 * math.fsum(each.thickness_m for each in layers)
    soft = _softness(face_m, hole_m, layers, half) + _softness(face_m, hole_m, tuple(reversed(layers)), half)
    return 1.0 / soft


def bolt_share(bolt_n_m: Numbers, joint_n_m: Numbers) -> Numbers:
    """Part of a load on the joint that its bolt feels, while nothing gapes."""
    keep_above("stiffness of the bolt", bolt_n_m, 0.0, "N/m")
    keep_above("stiffness of the joint", joint_n_m, 0.0, "N/m")
    return bolt_n_m / (bolt_n_m + joint_n_m)


def separation_load_n(preload_n: Numbers, share: Numbers) -> Numbers:
    """Load on each bolt at which the joint begins to gape, N.

    Notes
    -----
    P = Fi/(1 - C).

    Example
    -------
    30 kN of preload, a bolt that feels a fifth (by hand):

    >>> f"{separation_load_n(30e3, 0.2):.0f}"
    '37500'
    """
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    keep_within("share of the load", share, 0.0, 0.99)
    return preload_n / (1.0 - share)


def separation_margin(preload_n: Numbers, load_n: Numbers, share: Numbers) -> Numbers:
    """How many times the load it takes to open the joint: under 1 it gapes.

    Example
    -------
    A rod bolt at 30 kN that feels a fifth of 15 kN (by hand):

    >>> f"{separation_margin(30e3, 15e3, 0.2):.2f}"
    '2.50'
    """
    keep_above("load", load_n, 0.0, "N")
    return separation_load_n(preload_n, share) / load_n


def clamp_left_n(preload_n: Numbers, load_n: Numbers, share: Numbers) -> Numbers:
    """What still holds the joint together under a load, N: nil where it gapes."""
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    keep_within("share of the load", share, 0.0, 0.99)
    return np.maximum(0.0, preload_n - (1.0 - share) * load_n)


def bolt_load_n(preload_n: Numbers, load_n: Numbers, share: Numbers) -> Numbers:
    """Pull in the bolt under a load on the joint, N: preload and its part of the load; all of the load where the joint gapes.

    Example
    -------
    30 kN of preload, 15 kN of load of which the bolt feels a fifth (by hand):

    >>> f"{bolt_load_n(30e3, 15e3, 0.2):.0f}"
    '33000'
    """
    return clamp_left_n(preload_n, load_n, share) + load_n


def bolt_stress_pa(load_n: Numbers, area_m2: float) -> Numbers:
    """Mean stress of a bolt under a pull, Pa.

    Parameters
    ----------
    load_n : float or array
        Pull in the bolt, N, as from `bolt_load_n`.
    area_m2 : float
        Stress area of its thread, or its narrowest section, m².
    """
    keep_above("area", area_m2, 0.0, "m²")
    return load_n / area_m2


def turn_for_preload_rad(preload_n: Numbers, pitch_m: float, bolt_n_m: float, joint_n_m: float) -> Numbers:
    """Angle through which a bolt is turned, from snug, for a rise of its preload, rad.

    Notes
    -----
    2 pi F (1/kb + 1/km)/P: the thread's advance stretches the bolt and squeezes the joint. What seats, bends or gaskets take comes on top.

    Example
    -------
    30 kN with a pitch of 1 mm, a bolt of 300 and a joint of 1200 N/µm (by hand: 0.125 mm of advance, an eighth of a turn):

    >>> f"{math.degrees(turn_for_preload_rad(30e3, 0.001, 300e6, 1200e6)):.1f}"
    '45.0'
    """
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    return TURN * preload_n / (pitch_m * _in_series_n_m(pitch_m, bolt_n_m, joint_n_m))


def preload_after_turn_n(
    turn_rad: Numbers, pitch_m: float, bolt_n_m: float, joint_n_m: float, snug_n: Numbers = 0.0
) -> Numbers:
    """Preload after a turn by an angle from snug, N.

    Parameters
    ----------
    turn_rad : float or array
        Angle of turning after the first torque, rad.
    snug_n : float or array
        Preload that the first torque left, as from `preload_from_torque_n`.

    Example
    -------
    8 kN by the first torque, and the eighth of a turn of `turn_for_preload_rad` (by hand):

    >>> f"{preload_after_turn_n(0.7853981634, 0.001, 300e6, 1200e6, 8e3):.0f}"
    '38000'
    """
    keep_within("angle", turn_rad, 0.0, 4.0 * TURN, "rad")
    keep_within("preload", snug_n, *PRELOADS_N, "N")
    return snug_n + turn_rad / TURN * pitch_m * _in_series_n_m(pitch_m, bolt_n_m, joint_n_m)


def growth_in_use(new_m: float, used_m: float, stretched_m: float, limit_m: float) -> Growth:
    """What a used bolt has grown for good, and whether it may be used again.

    Parameters
    ----------
    new_m, used_m : float
        Length of the bolt, free and at one temperature, new and now, m.
    stretched_m : float
        Length of what stretches, m: shank and thread within the grip.
    limit_m : float
        Growth that the maker allows, m; 25 µm is common practice, no source.

    Example
    -------
    A bolt of 60.000 mm that now has 60.018 mm, 36 mm of it in the grip (by hand):

    >>> growth_in_use(0.060, 0.060018, 0.036, 25e-6).within
    True
    """
    keep_within("length of the bolt", new_m, 0.005, 1.0, "m")
    keep_within("length of the bolt now", used_m, 0.99 * new_m, 1.1 * new_m, "m")
    keep_within("length that stretches", stretched_m, 0.001, new_m, "m")
    keep_within("growth allowed", limit_m, 0.0, 0.001, "m")
    growth = used_m - new_m
    return Growth(growth, growth / stretched_m, growth <= limit_m)


def _softness(face_m: float, hole_m: float, layers: Sequence[Layer], half_m: float) -> float:
    """Inverse stiffness of the cone that spreads from one face to the middle."""
    soft, reached = 0.0, 0.0
    for each in layers:
        part = min(each.thickness_m, half_m - reached)
        if part <= 1e-12 * half_m:
            break
        soft += 1.0 / cone_stiffness_n_m(face_m + 2.0 * SPREADING * reached, part, hole_m, each.modulus_pa)
        reached += part
    return soft


def _in_series_n_m(pitch_m: float, bolt_n_m: float, joint_n_m: float) -> float:
    keep_above("thread pitch", pitch_m, 0.0, "m")
    keep_above("stiffness of the bolt", bolt_n_m, 0.0, "N/m")
    keep_above("stiffness of the joint", joint_n_m, 0.0, "N/m")
    return 1.0 / (1.0 / bolt_n_m + 1.0 / joint_n_m)
