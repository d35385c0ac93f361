"""An engine's facts in the shape that the models take: chamber, drive, crank."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine, FirstBank, Layout, ThrustSide, Turning
from blockwright.physics.crank_forces import Drive, Rod
from blockwright.physics.cycle import Chamber
from blockwright.physics.layouts_forces import Train, Weight, firing_angles_rad, placed, split_rad
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.work.facts import Facts

TURN = 2.0 * math.pi
ROD_APART = 0.5
"""Rods that share a throw stand apart by this share of their bearing's width on either side of its middle."""


def chamber_of(job: Job, facts: Facts) -> Chamber:
    """One cylinder's chamber, at its nominal sizes."""
    engine = job.engine
    return Chamber(
        engine.bore_m, engine.stroke_m / 2.0, engine.rod_length_m, facts.value("compression"), offset_of(engine)
    )


def offset_of(engine: Engine) -> float:
    """The pin's offset as the models count it: negative towards the major thrust side."""
    return -engine.pin_offset_m if engine.pin_offset_side is ThrustSide.MAJOR else engine.pin_offset_m


def drive_of(job: Job, piston_kg: float, rod_kg: float, big_share: float) -> Drive:
    """One cylinder's moving parts: the rod as two masses, by what its big end weighs."""
    engine = job.engine
    rod = Rod(rod_kg, engine.rod_length_m, engine.rod_length_m * (1.0 - big_share))
    return Drive(engine.bore_m, engine.stroke_m / 2.0, rod, piston_kg, offset_of(engine))


def train_of(job: Job, facts: Facts, drive: Drive, counterweight: float) -> Train:
    """The whole crank. Throws stand evenly, mains between them; counterweights lie opposite each throw."""
    engine = job.engine
    spacing = facts.value("spacing")
    along, mains = _along(engine, spacing, facts.value("rod_width") if facts.get("rod_width") else 0.0)
    banks = _banks(engine)
    numbers = range(1, engine.cylinders + 1)
    fires = fires_rad(engine)
    cylinders = placed([along[n] for n in numbers], [banks[n] for n in numbers], fires)
    pull = counterweight * drive.rod.big_kg * drive.throw_m
    weights = tuple(Weight(one.along_m, pull, one.throw_rad + math.pi) for one in cylinders if pull > 0.0)
    return Train(drive, cylinders, mains, weights)


def mains_worked(engine: Engine) -> int:
    """Main bearings that the crank's bays hold: one at each end of every bay; those beyond carry no load of the crank drive here."""
    return min(engine.main_count, len(engine.throws) + 1)


def _along(engine: Engine, spacing: float, rod_width: float) -> tuple[dict[int, float], tuple[float, ...]]:
    """Places along the crank, from the front: of each cylinder, and of the mains."""
    throws = engine.throws
    pitch = spacing if engine.layout is Layout.INLINE or len(throws[0]) > 1 else spacing / 2.0
    along: dict[int, float] = {}
    for index, on in enumerate(throws):
        for place, number in enumerate(on):
            along[number] = index * pitch + (place - 0.5 * (len(on) - 1)) * 2.0 * ROD_APART * rod_width
    count = max(mains_worked(engine), 2)
    mains = np.linspace(-0.5 * pitch, (len(throws) - 0.5) * pitch, count)
    return along, tuple(float(each) for each in mains)


def _banks(engine: Engine) -> dict[int, float]:
    """Direction of each cylinder, from upright towards the direction of rotation at the top."""
    if engine.layout is Layout.INLINE:
        return dict.fromkeys(engine.numbering[0], 0.0)
    half = math.pi / 2.0 if engine.layout is Layout.FLAT else (engine.bank_angle_rad or 0.0) / 2.0
    left_first = engine.first_bank is FirstBank.LEFT
    towards = 1.0 if left_first == (engine.rotation is Turning.CLOCKWISE) else -1.0
    sides = (towards * half, -towards * half)
    return {number: side for side, bank in zip(sides, engine.numbering, strict=True) for number in bank}


def fires_rad(engine: Engine) -> Sequence[float]:
    """Crank angle at which each cylinder fires, by number: evenly, or, where two share a pin that is not split, as the pin makes it.

    Raises
    ------
    BlockwrightError
        Where the firing order is not given.
    """
    banks = _banks(engine)
    order = engine.firing_order or ((1,) if engine.cylinders == 1 else ())
    if not order:
        what = "the firing order is not given: loads on the crank hang on it."
        raise BlockwrightError(Problem("work-firing", what, "Write firing_order in [engine]: [1, 3, 4, 2]."))
    even = dict(enumerate(firing_angles_rad(order), 1))
    for on in engine.throws:
        if len(on) == 2:
            even[on[1]] = _on_one_pin(even[on[0]], even[on[1]], banks[on[0]], banks[on[1]])
    return [even[number] for number in sorted(even)]


def fires_evenly(engine: Engine) -> bool:
    """Whether the spans from each firing to the next are alike, to a degree."""
    times = sorted(fires_rad(engine))
    spans = np.diff([*times, times[0] + 2.0 * TURN])
    return bool(np.ptp(spans) < math.radians(1.0))


def _on_one_pin(first: float, second: float, bank_one: float, bank_two: float) -> float:
    """When the second cylinder of a shared pin fires: as near to its even time as the pin allows."""
    at = first + bank_two - bank_one
    candidates = [math.fmod(at + turns * TURN, 2.0 * TURN) % (2.0 * TURN) for turns in (0, 1)]
    return min(candidates, key=lambda each: abs(math.remainder(each - second, 2.0 * TURN)))


__all__ = ["chamber_of", "drive_of", "fires_evenly", "fires_rad", "mains_worked", "offset_of", "split_rad", "train_of"]
