"""Loads of one engine's crank drive over two turns, and how its bearings are turned and loaded by them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.layouts_forces import Train, TrainForces, train_forces
from blockwright.physics.plain_bearing import Motion

Array = NDArray[np.float64]
TURNS_RAD = 4.0 * math.pi
STEPS = 720
OUTSIDE_PA = 101325.0


@dataclass(frozen=True)
class Loaded:
    """Forces of a whole crank, and the motion of the bearings asked for, in their order."""

    forces: TrainForces
    motion: Motion


def evenly(angle_rad: Array, values: Array, steps: int = STEPS) -> Array:
    """A cycle about firing top, at equal steps over 720° with the first at firing top, as the crank's forces take it."""
    at = np.arange(steps) * (TURNS_RAD / steps)
    return np.asarray(np.interp(at, angle_rad, values, period=TURNS_RAD))


def about_top(values: Array) -> Array:
    """Equal steps from firing top on, turned so that firing top lies in the middle; the last value closes the circle."""
    half = len(values) // 2
    return np.concatenate([values[half:], values[: half + 1]])


def angles_deg(steps: int = STEPS) -> Array:
    """The angles that `about_top` belongs to, -360 to 360°."""
    return np.linspace(-360.0, 360.0, steps + 1)


def loaded(train: Train, pressure_pa: Array, speed_rad_s: float, rods: Sequence[int], mains: Sequence[int]) -> Loaded:
    """Forces and motion for rod bearings of cylinders and for mains, by number from 1; pressure absolute, at equal steps from firing top."""
    forces = train_forces(train, pressure_pa - OUTSIDE_PA, speed_rad_s)
    steps = len(forces.angle_rad)
    drive = train.drive
    load, mean, sliding = [], [], []
    for number in rods:
        own = forces.cylinders[number - 1]
        swing = -speed_rad_s * drive.throw_m * np.cos(own.angle_rad) / (drive.rod.length_m * np.cos(own.tilt_rad))
        load.append(own.shell_in_rod_n)
        mean.append(0.5 * (speed_rad_s - swing))
        sliding.append(speed_rad_s - swing)
    for number in mains:
        load.append(forces.mains_n[number - 1])
        mean.append(np.full(steps, 0.5 * speed_rad_s))
        sliding.append(np.full(steps, speed_rad_s))
    return Loaded(forces, Motion(np.array(load), np.array(mean), np.array(sliding), TURNS_RAD / speed_rad_s))


def curve(values: Array) -> tuple[float, ...]:
    """A curve with as many digits as an eye can use."""
    return tuple(float(f"{each:.6g}") for each in np.asarray(values))
