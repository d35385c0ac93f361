"""Tightening bolts by torque: friction and preload, both ways, and how far preload spreads.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| F | preload_n | pull in the bolt when tight | N |
| T | torque_nm | tightening torque | Nm |
| d | diameter_m | nominal diameter of the thread | m |
| P | pitch_m | pitch of the thread: 25.4 mm over the threads to the inch where it is unified | m |
| d2, d0 | – | pitch diameter; mean of it and the root diameter, or the waist | m |
| Db | head_m | mean diameter of the seat of head or nut, whichever is turned: its face's outside and its hole, halved | m |
| mu | thread_friction | coefficient of friction in the thread | – |
| mu | head_friction | coefficient of friction under what is turned | – |
| mu | friction | coefficient of friction | – |
| u(mu) | friction_u | its standard uncertainty, from bolt to bolt or from set to set | – |
| Rp | yield_pa | yield or 0.2 % proof stress | Pa |
| nu | share | share of the yield that tightening uses | – |
| K | nut_factor | torque over preload times diameter | – |

Friction coefficients differ from bolt to bolt by a quarter and more; `preload_spread` says what follows. Beyond the yield the preload no longer
follows the torque, and nothing here holds. Tightening by angle stands in `joints`, by stretch in `threads`.

References
----------
VDI 2230 part 1, "Systematic calculation of highly stressed bolted joints", 2003 (tables of assembly preloads and tightening torques).
U. C. Jindal, "Machine Design", 2010, chapter 9.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.threads import pitch_diameter_m, root_diameter_m, stress_diameter_m

TURN = 2.0 * math.pi
FLANK = math.cos(math.radians(30.0))
"""Cosine of half the thread's angle: friction on a slope presses harder by its inverse."""
SLIPPERIEST, ROUGHEST = 0.02, 0.6
STRONGEST_PA = 3e9
PRELOADS_N, TORQUES_NM = (0.0, 1e7), (0.0, 1e5)
COLLAR = 0.625
"""Half the mean diameter of an ordinary nut's collar over the thread's: its face is taken as 1.5 d outside and d inside."""


@dataclass(frozen=True)
class Friction:
    """A coefficient of friction with its standard uncertainty within one set of bolts, or from one to another."""

    friction: float
    friction_u: float

    def __post_init__(self) -> None:
        _check_friction(self.friction)
        keep_within("standard uncertainty of the friction", self.friction_u, 0.0, ROUGHEST)


@dataclass(frozen=True)
class PreloadSpread:
    """Preload by torque with its standard uncertainty, and the share that each cause would make alone."""

    preload_n: float
    u_n: float
    by_torque_n: float
    by_thread_n: float
    by_head_n: float

    @property
    def share(self) -> float:
        """Standard uncertainty over the preload."""
        return self.u_n / self.preload_n


def tightening_torque_nm(
    preload_n: Numbers,
    diameter_m: float,
    pitch_m: float,
    head_m: float,
    thread_friction: Numbers,
    head_friction: Numbers | None = None,
) -> Numbers:
    """Torque that gives a preload, Nm.

    Parameters
    ----------
    thread_friction : float or array
        Coefficient of friction in the thread: about 0.08 to 0.16 oiled or greased.
    head_friction : float or array, optional
        The same under head or nut; that of the thread where it is left out.

    Notes
    -----
    T = F (P/(2 pi) + d2 mu_thread/(2 cos 30°) + Db mu_head/2); VDI 2230 rounds the numbers to 0.16 and 0.58.

    Example
    -------
    M10 x 1.25 of class 10.9 at 45.2 kN with 0.14, for which VDI 2230 prints 83 Nm:

    >>> f"{tightening_torque_nm(45.2e3, 0.010, 0.00125, 12.815e-3, 0.14):.0f}"
    '83'
    """
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    return preload_n * _arm_m(diameter_m, pitch_m, head_m, thread_friction, head_friction)


def preload_from_torque_n(
    torque_nm: Numbers,
    diameter_m: float,
    pitch_m: float,
    head_m: float,
    thread_friction: Numbers,
    head_friction: Numbers | None = None,
) -> Numbers:
    """Preload that a torque gives, N. The rest as for `tightening_torque_nm`.

    Example
    -------
    M8 x 1 with 0.10 at 22.8 Nm, for which VDI 2230 prints 20.7 kN:

    >>> f"{preload_from_torque_n(22.8, 0.008, 0.001, 10.315e-3, 0.10) / 1e3:.1f}"
    '20.7'
    """
    keep_within("torque", torque_nm, *TORQUES_NM, "Nm")
    return torque_nm / _arm_m(diameter_m, pitch_m, head_m, thread_friction, head_friction)


def thread_torque_nm(preload_n: Numbers, diameter_m: float, pitch_m: float, thread_friction: Numbers) -> Numbers:
    """The part of the torque that goes through the thread and twists the bolt, Nm."""
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    return preload_n * _thread_arm_m(diameter_m, pitch_m, thread_friction)


def preload_at_yield_n(
    yield_pa: float,
    diameter_m: float,
    pitch_m: float,
    thread_friction: Numbers,
    share: float = 0.9,
    waist_m: float | None = None,
) -> Numbers:
    """Preload at which pull and twist of tightening together use a share of the yield, N.

    Parameters
    ----------
    share : float
        0.9 in the tables of VDI 2230.
    waist_m : float, optional
        Diameter of a waisted shank, where it is thinner than the thread's root, m.

    Notes
    -----
    sigma = nu Rp / sqrt(1 + 3 [1.5 (d2/d0) (P/(pi d2) + mu/cos 30°)]²), F = sigma pi d0²/4. The twist is taken as spread evenly over the section,
    as at the onset of yield; when the wrench is off, part of it springs back.

    Example
    -------
    M10 x 1.25 of class 10.9 with 0.12, for which VDI 2230 prints 46.4 kN:

    >>> f"{preload_at_yield_n(940e6, 0.010, 0.00125, 0.12) / 1e3:.1f}"
    '46.5'
    """
    keep_within("yield", yield_pa, 1e8, STRONGEST_PA, "Pa")
    keep_within("share of the yield", share, 0.05, 1.0)
    d0 = _narrowest_m(diameter_m, pitch_m, waist_m)
    return share * yield_pa * math.pi / 4.0 * d0**2 / _twisted(diameter_m, pitch_m, thread_friction, d0)


def tightening_stress_pa(
    preload_n: Numbers, diameter_m: float, pitch_m: float, thread_friction: Numbers, waist_m: float | None = None
) -> Numbers:
    """Pull and twist of tightening as one stress to hold against the yield, Pa. The rest as for `preload_at_yield_n`."""
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    d0 = _narrowest_m(diameter_m, pitch_m, waist_m)
    return preload_n / (math.pi / 4.0 * d0**2) * _twisted(diameter_m, pitch_m, thread_friction, d0)


def nut_factor(diameter_m: float, pitch_m: float, thread_friction: Numbers, collar_friction: Numbers) -> Numbers:
    """Nut factor K, for T = K F d, of a nut whose collar is as wide as usual.

    Parameters
    ----------
    collar_friction : float or array
        Coefficient of friction under the nut's collar.

    Notes
    -----
    K = dm/(2 d) (tan a + mu sec 30°)/(1 - mu tan a sec 30°) + 0.625 mu_c, tan a = P/(pi dm), dm the mean of nominal and root diameter. Rules of
    thumb take 0.2, and 0.15 to 0.18 where oiled.

    Example
    -------
    M18 x 2.5, 0.15 in the thread and 0.13 under the collar, for which Jindal prints 0.18343 (example 9-3):

    >>> f"{nut_factor(0.018, 0.0025, 0.15, 0.13):.4f}"
    '0.1834'
    """
    _check_friction(thread_friction, collar_friction)
    mean = 0.5 * (diameter_m + root_diameter_m(diameter_m, pitch_m))
    lead, rubbing = pitch_m / (math.pi * mean), thread_friction / FLANK
    return mean / (2.0 * diameter_m) * (lead + rubbing) / (1.0 - rubbing * lead) + COLLAR * collar_friction


def torque_by_nut_factor_nm(preload_n: Numbers, diameter_m: float, factor: Numbers) -> Numbers:
    """Torque for a preload by a nut factor, Nm: K F d.

    Parameters
    ----------
    factor : float or array
        Nut factor, as from `nut_factor`.
    """
    keep_within("preload", preload_n, *PRELOADS_N, "N")
    keep_within("nut factor", factor, 0.03, 1.0)
    return factor * preload_n * diameter_m


def preload_spread(
    torque_nm: float,
    torque_u_nm: float,
    diameter_m: float,
    pitch_m: float,
    head_m: float,
    thread: Friction,
    head: Friction | None = None,
) -> PreloadSpread:
    """Preload by torque with its standard uncertainty, N, to first order.

    Parameters
    ----------
    torque_u_nm : float
        Standard uncertainty of the wrench, Nm.
    thread : Friction
        In the thread.
    head : Friction, optional
        Under the head, free of the thread's; where left out both share one coefficient and err together.

    Notes
    -----
    With the arm h = T/F: u²(F)/F² = (u(T)/T)² + (c_thread u_thread/h)² + (c_head u_head/h)², c_thread = d2/(2 cos 30°), c_head = Db/2; the last two
    are added before they are squared where the friction is one. Spreads of a third and more lean to the side of high preloads; the first
    order does not see that.
    """
    keep_above("torque", torque_nm, 0.0, "Nm")
    keep_within("standard uncertainty of the torque", torque_u_nm, 0.0, torque_nm, "Nm")
    under = thread if head is None else head
    arm = float(_arm_m(diameter_m, pitch_m, head_m, thread.friction, under.friction))
    preload = torque_nm / arm
    wrench = preload * torque_u_nm / torque_nm
    in_thread = preload * pitch_diameter_m(diameter_m, pitch_m) / (2.0 * FLANK) * thread.friction_u / arm
    under_head = preload * head_m / 2.0 * under.friction_u / arm
    rubbing = in_thread + under_head if head is None else math.hypot(in_thread, under_head)
    return PreloadSpread(preload, math.hypot(wrench, rubbing), wrench, in_thread, under_head)


def _arm_m(
    diameter_m: float, pitch_m: float, head_m: float, thread_friction: Numbers, head_friction: Numbers | None
) -> Numbers:
    """Torque over preload."""
    under = thread_friction if head_friction is None else head_friction
    _check_friction(thread_friction, under)
    keep_within("mean diameter of the seat", head_m, diameter_m, 4.0 * diameter_m, "m")
    return _thread_arm_m(diameter_m, pitch_m, thread_friction) + 0.5 * head_m * under


def _thread_arm_m(diameter_m: float, pitch_m: float, thread_friction: Numbers) -> Numbers:
    _check_friction(thread_friction)
    return pitch_m / TURN + pitch_diameter_m(diameter_m, pitch_m) * thread_friction / (2.0 * FLANK)


def _twisted(diameter_m: float, pitch_m: float, thread_friction: Numbers, d0: float) -> Numbers:
    """Pull and twist as one stress, over the pull alone."""
    twist = 3.0 * _thread_arm_m(diameter_m, pitch_m, thread_friction) / d0
    return np.sqrt(1.0 + 3.0 * np.square(twist))


def _narrowest_m(diameter_m: float, pitch_m: float, waist_m: float | None) -> float:
    if waist_m is None:
        return stress_diameter_m(diameter_m, pitch_m)
    keep_within("waist", waist_m, 0.3 * diameter_m, root_diameter_m(diameter_m, pitch_m), "m")
    return waist_m


def _check_friction(*coefficients: Numbers) -> None:
    for each in coefficients:
        keep_within("coefficient of friction", each, SLIPPERIEST, ROUGHEST)
