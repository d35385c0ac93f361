"""Screw threads and bolts alone: diameters and areas of a thread, strength by class, stretch and stiffness.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| d | diameter_m | nominal diameter of the thread | m |
| P | pitch_m | pitch of the thread: 25.4 mm over the threads to the inch where it is unified | m |
| d2, d3 | – | pitch diameter and root diameter of the bolt's thread | m |
| As | – | stress area: of a circle of the mean of d2 and d3 | m² |
| – | form | metric or unified (UNC, UNF): the root of a unified thread counts as a little deeper | – |
| F | preload_n | pull in the bolt | N |
| l, A | Section | length and area of a piece of the bolt | m, m² |
| E | modulus_pa | Young's modulus of the bolt, steel about 205e9 | Pa |

References
----------
ISO 724 (pitch diameters), ISO 898-1:2013 (root and stress area, Table 3 for classes). ASME B1.1 for unified threads, As = pi/4 (d - 0.9743 P)²,
from memory. Stretch and stiffness: J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design", chapter 8.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.materials.bolts import BoltClass, bolt_class
from blockwright.physics.guards import Numbers, keep_above, keep_within

THINNEST_M, THICKEST_M = 0.0015, 0.1
COARSEST = 0.3
"""Pitch as a share of the diameter: no bolt has more."""
STEEPNESS = math.sqrt(3.0) / 2.0
"""Height of the sharp triangle of a thread of 60° over its pitch."""
PITCH_LINE = 0.75 * STEEPNESS
ROOTS = {"metric": 17.0 / 12.0 * STEEPNESS, "unified": 1.5 * STEEPNESS}
"""What the pitch diameter and the root diameter lie under the nominal one, over the pitch."""


@dataclass(frozen=True)
class Section:
    """A piece of a bolt that stretches: its length and its area."""

    length_m: float
    area_m2: float

    def __post_init__(self) -> None:
        keep_above("length of a piece of the bolt", self.length_m, 0.0, "m")
        keep_above("area of a piece of the bolt", self.area_m2, 0.0, "m²")


def pitch_diameter_m(diameter_m: float, pitch_m: float) -> float:
    """Pitch diameter of a thread, m: d - 0.6495 P.

    Example
    -------
    M10 x 1.25 (ISO 724 prints 9.188 mm, from memory):

    >>> f"{1e3 * pitch_diameter_m(0.010, 0.00125):.3f}"
    '9.188'
    """
    _check(diameter_m, pitch_m)
    return diameter_m - PITCH_LINE * pitch_m


def root_diameter_m(diameter_m: float, pitch_m: float, form: str = "metric") -> float:
    """Root diameter of a bolt's thread, m: d - 1.2269 P, where unified d - 1.2990 P.

    Example
    -------
    M10 x 1.25 (8.466 mm in the tables of DIN 13, from memory):

    >>> f"{1e3 * root_diameter_m(0.010, 0.00125):.3f}"
    '8.466'
    """
    _check(diameter_m, pitch_m)
    return diameter_m - _root_depth(form) * pitch_m


def stress_diameter_m(diameter_m: float, pitch_m: float, form: str = "metric") -> float:
    """Mean of pitch diameter and root diameter, m: a plain rod of it is as strong as the thread."""
    return 0.5 * (pitch_diameter_m(diameter_m, pitch_m) + root_diameter_m(diameter_m, pitch_m, form))


def stress_area_m2(diameter_m: float, pitch_m: float, form: str = "metric") -> float:
    """Stress area of a thread, m².

    Example
    -------
    M10 x 1.25, for which ISO 898-1 prints 61.2 mm²:

    >>> f"{1e6 * stress_area_m2(0.010, 0.00125):.1f}"
    '61.2'
    """
    return math.pi / 4.0 * stress_diameter_m(diameter_m, pitch_m, form) ** 2


def strength_of_class(strength_class: str, diameter_m: float) -> BoltClass:
    """Least tensile strength, yield and proof stress of a strength class.

    Parameters
    ----------
    strength_class : str
        As on the head: 8.8, 10.9, 12.9.
    diameter_m : float
        Nominal diameter of the thread: class 8.8 is a little stronger above 16 mm.

    Raises
    ------
    BlockwrightError
        For a class that ISO 898-1 does not have, or not in that size.
    """
    keep_within("thread diameter", diameter_m, THINNEST_M, THICKEST_M, "m")
    return bolt_class(strength_class, diameter_m)


def proof_load_n(proof_pa: float, diameter_m: float, pitch_m: float, form: str = "metric") -> float:
    """Load that a bolt must bear without lasting stretch, N: proof stress times stress area.

    Example
    -------
    M10 x 1.25 of class 10.9 (ISO 898-1 prints 50.8 kN, from memory):

    >>> f"{proof_load_n(830e6, 0.010, 0.00125) / 1e3:.1f}"
    '50.8'
    """
    keep_above("proof stress", proof_pa, 0.0, "Pa")
    return proof_pa * stress_area_m2(diameter_m, pitch_m, form)


def stretch_m(preload_n: Numbers, sections: Sequence[Section], modulus_pa: float) -> Numbers:
    """How much longer a bolt grows under its preload, m: the sum of F l / (E A) over its pieces.

    Under the head and in the nut or tapped hole it stretches too: about half a diameter at either end (VDI 2230, from memory). Give these as pieces
    of their own where the stretch is measured over the whole bolt.

    Example
    -------
    20 kN on 30 mm of shank of 50 mm² and 20 mm of 40 mm², of steel (by hand: 20000 · 1100 / 205000 µm):

    >>> f"{1e6 * stretch_m(20e3, [Section(0.030, 50e-6), Section(0.020, 40e-6)], 205e9):.1f}"
    '107.3'
    """
    return preload_n / stiffness_n_m(sections, modulus_pa)


def preload_by_stretch_n(stretched_m: Numbers, sections: Sequence[Section], modulus_pa: float) -> Numbers:
    """Preload of a bolt that has grown by a length, N. The rest as for `stretch_m`. Only while it springs back."""
    keep_within("stretch of the bolt", stretched_m, 0.0, 0.02, "m")
    return stretched_m * stiffness_n_m(sections, modulus_pa)


def stiffness_n_m(sections: Sequence[Section], modulus_pa: float) -> float:
    """Stiffness of a bolt of several pieces, N/m: E over the sum of l / A."""
    keep_above("modulus", modulus_pa, 0.0, "Pa")
    if not sections:
        raise ValueError("bolt: give at least one piece, with its length and area.")
    return modulus_pa / math.fsum(each.length_m / each.area_m2 for each in sections)


def bolt_stiffness_n_m(
    shank_length_m: float,
    shank_m: float,
    thread_length_m: float,
    diameter_m: float,
    pitch_m: float,
    modulus_pa: float = 205e9,
) -> float:
    """Stiffness of a bolt with a shank and a length of thread in the grip, N/m.

    Parameters
    ----------
    shank_length_m : float
        Length of the plain shank within the grip, m.
    shank_m : float
        Diameter of that shank, m: the nominal one, or less where it is waisted.
    thread_length_m : float
        Length of thread within the grip, m; it stretches as a rod of its stress area.

    Notes
    -----
    k = E / (l_shank/A_shank + l_thread/A_s).

    Example
    -------
    A rod bolt with 25 mm of waisted shank of 8 mm, 10 mm of thread M9 x 1 (computed):

    >>> f"{bolt_stiffness_n_m(0.025, 0.008, 0.010, 0.009, 0.001) / 1e6:.0f}"
    '296'
    """
    keep_within("shank diameter", shank_m, THINNEST_M, THICKEST_M, "m")
    shank = Section(shank_length_m, math.pi / 4.0 * shank_m**2)
    return stiffness_n_m((shank, Section(thread_length_m, stress_area_m2(diameter_m, pitch_m))), modulus_pa)


def _root_depth(form: str) -> float:
    """What the root lies under the nominal diameter, over the pitch."""
    if form not in ROOTS:
        raise ValueError(f"thread form: write {' or '.join(ROOTS)}.")
    return ROOTS[form]


def _check(diameter_m: float, pitch_m: float) -> None:
    keep_within("thread diameter", diameter_m, THINNEST_M, THICKEST_M, "m")
    keep_within("thread pitch", pitch_m, 1e-4, COARSEST * diameter_m, "m")
