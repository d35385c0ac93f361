"""Forces of one cylinder's crank drive at steady speed: on the pin, the wall, the rod's bearing and the crank, at any crank angle.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| t | angle_rad | crank angle from crank upright, in the direction of rotation | rad |
| w | speed_rad_s | crank speed | rad/s |
| F | – | gas force on the crown, over the crankcase's pressure | N |
| mp | piston_kg | piston with rings, pin and locks | kg |
| m, j, I | Rod | mass of the rod, its centre of gravity from the big end, its inertia about that | kg, m, kg m² |
| ms, mb | small_kg, big_kg | the rod as two masses: at the pin m j / l, at the crankpin the rest | kg |
| S | side_n | thrust on the wall: + on the major thrust side | N |

Axes of a cylinder: x along the bore, up; y square to bore and crank, + to the side on which the crankpin is 90° after the top, the minor thrust side.
Forces are arrays with x and y last. Weight, friction and the flow of oil are left out; the speed does not waver within a turn.

Two masses have the rod's mass and centre of gravity, and m j (l - j) for its inertia. Where the true inertia is given, the difference is
added as a couple, which is exactly what a third mass at the centre of gravity would do.

No measured bearing load was to be had: not validated. Checked by a second route, Lagrange's equation with the kinetic energy differentiated
numerically.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.slider_crank import pin_acceleration_m_s2, rod_tilt_rad

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Rod:
    """A connecting rod: mass, length between centres, centre of gravity from the big end's centre; inertia about that, where it is known."""

    mass_kg: float
    length_m: float
    centroid_m: float
    inertia_kg_m2: float | None = None

    def __post_init__(self) -> None:
        keep_above("mass of the rod", self.mass_kg, 0.0, "kg")
        keep_above("rod length", self.length_m, 0.0, "m")
        keep_within("centre of gravity of the rod, from the big end", self.centroid_m, 0.0, self.length_m, "m")
        if self.inertia_kg_m2 is not None:
            keep_above("inertia of the rod", self.inertia_kg_m2, 0.0, "kg m²")

    @property
    def small_kg(self) -> float:
        """What moves with the pin."""
        return self.mass_kg * self.centroid_m / self.length_m

    @property
    def big_kg(self) -> float:
        """What turns with the crankpin."""
        return self.mass_kg - self.small_kg

    @property
    def inertia_left_over_kg_m2(self) -> float:
        """True inertia less that of the two masses: nearly always negative, and nil where the true one is not given."""
        if self.inertia_kg_m2 is None:
            return 0.0
        return self.inertia_kg_m2 - self.mass_kg * self.centroid_m * (self.length_m - self.centroid_m)


@dataclass(frozen=True)
class Drive:
    """One cylinder's moving parts. `offset_m` as in `slider_crank`: negative towards the major thrust side."""

    bore_m: float
    throw_m: float
    rod: Rod
    piston_kg: float
    offset_m: float = 0.0

    def __post_init__(self) -> None:
        keep_above("bore", self.bore_m, 0.0, "m")
        keep_above("mass of the piston", self.piston_kg, 0.0, "kg")

    @property
    def piston_area_m2(self) -> float:
        """Plain area of the bore."""
        return math.pi / 4 * self.bore_m**2

    @property
    def reciprocating_kg(self) -> float:
        """Piston and the rod's upper mass."""
        return self.piston_kg + self.rod.small_kg


@dataclass(frozen=True)
class Forces:
    """Forces of one cylinder. Arrays over crank angle; where they have x and y these come last.

    `pin_n` is the rod's push on the pin; `side_n` the piston's on the wall, + on the major thrust side; `shell_n` the crankpin's on the
    rod's shell, the load on the journal that a moving-load method takes; `crank_n` its opposite, the rod's push on the crank; `torque_nm` what
    turns the crank.
    """

    angle_rad: Array
    gas_n: Array
    pin_n: Array
    side_n: Array
    shell_n: Array
    torque_nm: Array
    tilt_rad: Array

    @property
    def crank_n(self) -> Array:
        """The rod's push on the crankpin, in the cylinder's axes."""
        return -self.shell_n

    @property
    def shell_in_rod_n(self) -> Array:
        """The crankpin's push on the rod's shell in the rod's own axes: along the rod, + towards the pin; and square to it, + to the minor side."""
        return turned(self.shell_n, -self.tilt_rad)

    @property
    def crank_in_throw_n(self) -> Array:
        """The rod's push on the crankpin in the crank's own axes: along the throw, + outward; and square to it, + in the direction of rotation."""
        return turned(self.crank_n, self.angle_rad)

    @property
    def on_major_side(self) -> NDArray[np.bool_]:
        """Whether the piston leans on the major thrust side."""
        return np.asarray(self.side_n > 0.0)


def cylinder_forces(
    angle_rad: Numbers, gauge_pa: Numbers, speed_rad_s: float, drive: Drive, inertia: bool = True
) -> Forces:
    """Forces at crank angles and the pressure there over the crankcase's; both may be arrays of one shape.

    Notes
    -----
    With a the pin's acceleration, f the rod's tilt, dI the inertia left over: along the bore P_x = F + mp a; side thrust
    S = (F + (mp + ms) a) tan f - dI f'' / (l cos f), and P_y = -S; on the shell Q = P + ms a + mb (acceleration of the crankpin); the torque is
    the moment of -Q about the crank's axis.

    Raises
    ------
    ValueError
        For a speed below nil, a pressure more than an atmosphere under the crankcase's, or a rod too short.
    """
    keep_within("speed", speed_rad_s, 0.0, 5000.0, "rad/s")
    keep_within("pressure over the crankcase's", gauge_pa, -2e5, 1e8, "Pa")
    t = np.asarray(angle_rad, dtype=np.float64)
    r, length = drive.throw_m, drive.rod.length_m
    tilt = np.asarray(rod_tilt_rad(t, r, length, drive.offset_m))
    w2 = speed_rad_s**2 if inertia else 0.0
    a = w2 * np.asarray(pin_acceleration_m_s2(t, 1.0, r, length, drive.offset_m))
    gas = drive.piston_area_m2 * np.asarray(gauge_pa) * np.ones_like(t)
    couple = drive.rod.inertia_left_over_kg_m2 * w2 * _tilting(t, r, length, tilt)
    side = (gas + drive.reciprocating_kg * a) * np.tan(tilt) - couple / (length * np.cos(tilt))
    pin = np.stack([gas + drive.piston_kg * a, -side], axis=-1)
    throw = np.stack([np.cos(t), np.sin(t)], axis=-1)
    lift = np.stack([drive.rod.small_kg * a, np.zeros_like(a)], axis=-1)
    shell = pin + lift - drive.rod.big_kg * r * w2 * throw
    torque = r * (throw[..., 1] * shell[..., 0] - throw[..., 0] * shell[..., 1])
    return Forces(t, gas, pin, side, shell, torque, tilt)


def rod_bolt_load_n(drive: Drive, cap_kg: float, speed_rad_s: Numbers) -> Numbers:
    """Pull on both bolts of a rod together at the top between exhaust and intake, where no gas helps, N.

    Notes
    -----
    m_recip r w² (1 + r/l) + (m_rot - m_cap) r w². The pin's offset, which changes it by less than (d/l)², is left out. Bending of the cap and the
    pull that a separating joint adds are not in it.

    Raises
    ------
    ValueError
        For a cap heavier than the rod's big end.

    Example
    -------
    r 45, l 150 mm, 0.5 kg of piston, a rod of 0.6 kg with its centre of gravity 45 mm from the big end, cap .15 kg, 6000 rev/min (computed):

    >>> drive = Drive(0.086, 0.045, Rod(0.6, 0.150, 0.045), 0.5)
    >>> f"{rod_bolt_load_n(drive, 0.15, 6000 * math.pi / 30):.0f}"
    '20501'
    """
    keep_within("mass of the cap", cap_kg, 0.0, drive.rod.big_kg, "kg")
    turning = drive.throw_m * np.square(speed_rad_s)
    stretched = 1.0 + drive.throw_m / drive.rod.length_m
    pull: Numbers = turning * (drive.reciprocating_kg * stretched + drive.rod.big_kg - cap_kg)
    return pull


def turned(force_n: Array, by_rad: Numbers) -> Array:
    """Forces in axes that are turned by an angle from x towards y; x and y last.

    Example
    -------
    >>> turned(np.array([1.0, 0.0]), math.pi / 2).round(12).tolist()
    [0.0, -1.0]
    """
    c, s = np.cos(by_rad), np.sin(by_rad)
    x, y = force_n[..., 0], force_n[..., 1]
    return np.stack([c * x + s * y, c * y - s * x], axis=-1)


def _tilting(t: Array, r: float, length: float, tilt: Array) -> Array:
    """Second derivative of the rod's tilt by the crank angle."""
    across = r * np.cos(t) / length
    sine, cosine = np.sin(tilt), np.cos(tilt)
    return np.asarray(-r * np.sin(t) / (length * cosine) + across**2 * sine / cosine**3)
