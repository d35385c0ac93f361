"""Forces of a whole crank: every cylinder in its place, the load on each main bearing, and what shakes the engine, by order.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| z | along_m | distance along the crank from the front | m |
| b | bank_rad | direction of a cylinder, from the engine's upright towards the direction of rotation | rad |
| k | throw_rad | angle of a cylinder's crankpin when the crank stands at nil, in the direction of rotation | rad |
| f | fires_rad | angle of the crank at which a cylinder fires, 0 to 720° | rad |

Axes of the engine: x up, y the way the crank moves at its top, so that every force is the same whichever way the engine turns; seen from the front, y
is to the right where it turns clockwise. A cylinder's own angle is the crank's + k - b; it fires where that is a whole number of turns, so k = b - f.

**Mains**: the crank is taken as cut at every main bearing and each bay as a beam on its two mains: statically determinate. A real crank
is one piece and bends with its case, which moves load between neighbouring mains; nothing here knows that. What hangs outside the outer mains
is left out.

No measured bearing load was to be had: not validated. Checked against momentum: all forces on the block together are what the moving masses
leave over; and free forces against their closed forms.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.crank_forces import Drive, Forces, cylinder_forces, turned
from blockwright.physics.guards import keep_above

Array = NDArray[np.float64]
Phasors = NDArray[np.complex128]
TURN = 2 * math.pi
SAME_RAD = 1e-6
HIGHEST_ORDER = 8
SAMPLES_A_TURN = 256


@dataclass(frozen=True)
class Cylinder:
    """Where a cylinder works on the crank, and when it fires."""

    along_m: float
    bank_rad: float
    throw_rad: float
    fires_rad: float

    def __post_init__(self) -> None:
        off = math.remainder(self.fires_rad + self.throw_rad - self.bank_rad, TURN)
        if abs(off) > SAME_RAD:
            raise ValueError(
                f"firing: the piston is {math.degrees(off):+.1f}° from its top when it should fire; mend throw, bank or firing."
            )


@dataclass(frozen=True)
class Weight:
    """Something that turns with the crank: mass times radius, and its angle when the crank stands at nil. Pins, webs and counterweights are such."""

    along_m: float
    moment_kg_m: float
    angle_rad: float


@dataclass(frozen=True)
class Train:
    """A whole crank: cylinders that are alike but for their places, main bearings from the front, and what else turns."""

    drive: Drive
    cylinders: tuple[Cylinder, ...]
    mains_m: tuple[float, ...]
    weights: tuple[Weight, ...] = ()

    def __post_init__(self) -> None:
        places = [one.along_m for one in self.cylinders] + [one.along_m for one in self.weights]
        if not self.cylinders or len(self.mains_m) < 2 or sorted(set(self.mains_m)) != list(self.mains_m):
            raise ValueError("crank: needs a cylinder, and two main bearings or more, from the front to the rear.")
        if not (self.mains_m[0] <= min(places) and max(places) <= self.mains_m[-1]):
            raise ValueError("crank: every throw and weight must lie between the first main bearing and the last.")


@dataclass(frozen=True)
class TrainForces:
    """Forces over two turns of the crank. `mains_n` is the crank's push on each main bearing: mains, then angles, then x and y."""

    angle_rad: Array
    cylinders: tuple[Forces, ...]
    mains_n: Array
    torque_nm: Array

    @property
    def mains_in_crank_n(self) -> Array:
        """The bearings' push on the main journals in the crank's own axes: x along its mark, y in the direction of rotation."""
        return turned(-self.mains_n, self.angle_rad)


@dataclass(frozen=True)
class FreeForces:
    """What inertia leaves over, by order of the crank's speed: orders 0 to 8 first, x and y last, as phasors.

    A force in time is the real part of phasor times exp(i order angle). A couple is the sum of place times force, in the plane of crank and force.
    """

    force_n: Phasors
    couple_nm: Phasors

    def largest_force_n(self, order: int) -> float:
        """Largest force of an order in any direction."""
        return _largest(self.force_n[order])

    def largest_couple_nm(self, order: int) -> float:
        """Largest couple of an order in any plane."""
        return _largest(self.couple_nm[order])


def firing_angles_rad(order: Sequence[int], spans_rad: Sequence[float] = ()) -> tuple[float, ...]:
    """Crank angle at which each cylinder fires, by cylinder number from 1, for a firing order.

    `spans_rad` are the spans from each firing to the next in firing order, the last back to the first; even where not given.

    Raises
    ------
    ValueError
        Where the order does not name every cylinder once, or the spans do not make two turns.

    Example
    -------
    >>> [round(math.degrees(each)) for each in firing_angles_rad((1, 3, 4, 2))]
    [0, 540, 180, 360]
    """
    if sorted(order) != list(range(1, len(order) + 1)):
        raise ValueError("firing order: must name every cylinder once, by 1, 2, 3 and so on.")
    spans = tuple(spans_rad) or (2 * TURN / len(order),) * len(order)
    if len(spans) != len(order) or abs(sum(spans) - 2 * TURN) > SAME_RAD:
        raise ValueError("firing order: the spans between firings must be as many as cylinders, and 720° together.")
    times = dict(zip(order, np.concatenate([[0.0], np.cumsum(spans)[:-1]]).tolist(), strict=True))
    return tuple(times[number] for number in sorted(order))


def placed(along_m: Sequence[float], banks_rad: Sequence[float], fires_rad: Sequence[float]) -> tuple[Cylinder, ...]:
    """Cylinders with the throws that their banks and firings ask for, by cylinder number.

    Inline engines have all banks at nil, a V of angle A has -A/2 and A/2, a flat engine -90° and 90°. Whether a pin is shared, split or each
    cylinder has its own shows in the throws; `split_rad` gives the angle between two.
    """
    whole = zip(along_m, banks_rad, fires_rad, strict=True)
    return tuple(Cylinder(z, bank, math.fmod(bank - fires + 2 * TURN, TURN), fires) for z, bank, fires in whole)


def split_rad(one: Cylinder, other: Cylinder) -> float:
    """Angle from one cylinder's crankpin to another's, -180° to 180°: nil where they share a pin, the split of a split pin.

    Example
    -------
    A V6 of 60° that fires evenly needs pins split by 60°:

    >>> half = math.radians(30)
    >>> left, right = placed((0.0, 0.02), (-half, half), (0.0, math.radians(120)))
    >>> round(math.degrees(split_rad(left, right)))
    -60
    """
    return math.remainder(other.throw_rad - one.throw_rad, TURN)


def train_forces(train: Train, gauge_pa: Array, speed_rad_s: float) -> TrainForces:
    """Forces of every cylinder and on every main bearing over two turns, at a steady speed.

    Parameters
    ----------
    gauge_pa : array
        Pressure over the crankcase's at equal steps over 720°, the first at firing top and the end left out; one row for all cylinders, or one each.

    Raises
    ------
    ValueError
        Where the rows are not as many as cylinders.
    """
    count = len(train.cylinders)
    rows = np.atleast_2d(np.asarray(gauge_pa, dtype=np.float64))
    if rows.shape[0] not in {1, count}:
        raise ValueError(f"pressures: {rows.shape[0]} rows for {count} cylinders; one for all, or one each.")
    steps = rows.shape[1]
    angle = np.arange(steps, dtype=np.float64) * (2 * TURN / steps)
    each = tuple(
        cylinder_forces(
            angle + one.throw_rad - one.bank_rad, _shifted(row, angle - one.fires_rad), speed_rad_s, train.drive
        )
        for one, row in zip(train.cylinders, np.broadcast_to(rows, (count, steps)), strict=True)
    )
    mains = np.zeros((len(train.mains_m), steps, 2))
    for one, forces in zip(train.cylinders, each, strict=True):
        _share_out(mains, train.mains_m, one.along_m, turned(forces.crank_n, -one.bank_rad))
    for weight in train.weights:
        pull = weight.moment_kg_m * speed_rad_s**2
        at = angle + weight.angle_rad
        _share_out(mains, train.mains_m, weight.along_m, pull * np.stack([np.cos(at), np.sin(at)], axis=-1))
    return TrainForces(angle, each, mains, np.sum([forces.torque_nm for forces in each], axis=0))


def free_forces(train: Train, speed_rad_s: float, about_m: float | None = None) -> FreeForces:
    """Forces and couples of inertia that leave the engine, by order; couples about a place along the crank, its middle if none is given.

    Where a force of the same order is left over, the couple depends on that place.
    """
    keep_above("speed", speed_rad_s, 0.0, "rad/s")
    middle = (train.mains_m[0] + train.mains_m[-1]) / 2 if about_m is None else about_m
    angle = np.arange(SAMPLES_A_TURN, dtype=np.float64) * (TURN / SAMPLES_A_TURN)
    force, couple = np.zeros((SAMPLES_A_TURN, 2)), np.zeros((SAMPLES_A_TURN, 2))
    for one in train.cylinders:
        forces = cylinder_forces(angle + one.throw_rad - one.bank_rad, 0.0, speed_rad_s, train.drive)
        across = np.stack([np.zeros_like(forces.side_n), -forces.side_n], axis=-1)
        left = turned(forces.crank_n + across, -one.bank_rad)
        force, couple = force + left, couple + (one.along_m - middle) * left
    for weight in train.weights:
        at = angle + weight.angle_rad
        left = weight.moment_kg_m * speed_rad_s**2 * np.stack([np.cos(at), np.sin(at)], axis=-1)
        force, couple = force + left, couple + (weight.along_m - middle) * left
    return FreeForces(_orders(force), _orders(couple))


def _share_out(mains_n: Array, mains_m: tuple[float, ...], along_m: float, force_n: Array) -> None:
    """Add a force on the crank to the two mains it lies between, by the lever."""
    front = min(max(int(np.searchsorted(mains_m, along_m, side="right")) - 1, 0), len(mains_m) - 2)
    share = (along_m - mains_m[front]) / (mains_m[front + 1] - mains_m[front])
    mains_n[front] += (1.0 - share) * force_n
    mains_n[front + 1] += share * force_n


def _shifted(row: Array, angle_rad: Array) -> Array:
    """A cylinder's pressures at other angles of its cycle, straight between the steps."""
    own = np.arange(len(row)) * (2 * TURN / len(row))
    return np.interp(angle_rad, own, row, period=2 * TURN)


def _orders(values: Array) -> Phasors:
    found = np.fft.rfft(values, axis=0)[: HIGHEST_ORDER + 1] * (2.0 / len(values))
    found[0] /= 2.0
    return np.asarray(found)


def _largest(phasor: Phasors) -> float:
    """Long half axis of the ellipse that a pair of phasors draws."""
    size = float(np.sum(np.abs(phasor) ** 2))
    return math.sqrt((size + abs(complex(np.sum(phasor**2)))) / 2)
