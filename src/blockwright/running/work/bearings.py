"""Rod and main bearings at work on their measured clearances: film, pressure, loss, flow and temperature, the best values and every draw.

Draws are shared out to processes in blocks; each block needs nothing but numbers, so that its results do not hang on how many processes there are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.physics.plain_bearing import OilSupply, Running, running
from blockwright.running.processes import pool
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import Facts
from blockwright.running.work.geometry import drive_of, train_of
from blockwright.running.work.loads import STEPS, Loaded, evenly, loaded
from blockwright.running.work.matched import Matched
from blockwright.running.work.oil_supply import Oil, oil_of, supply_of
from blockwright.running.work.seats import ROD_FIT, Seat

Array = NDArray[np.float64]
DRAW_STEPS = 360
HOTTEST_FEED_C = 149.0
"""Draws of hotter oil are held here: the film's model goes no further."""
BLOCK = 25
Progress = Callable[[float], None]


@dataclass(frozen=True)
class Columns:
    """What the draws of the bearings rest on: one column each."""

    pressure_pa: Array
    """Draws × steps."""
    piston_kg: Array
    rod_kg: Array
    big_share: Array
    counterweight: Array
    feed_c: Array
    feed_pa: Array
    share: Array
    viscosity: Array


@dataclass(frozen=True)
class Films:
    """Draws × bearings."""

    film_m: Array
    peak_pa: Array
    loss_w: Array
    flow_m3_s: Array
    temperature_c: Array
    out_c: Array


def columns_of(facts: Facts, draws: Draws, cycle: Matched, own_pressure: Array | None) -> Columns:
    """Columns for the draws; `own_pressure` (equal steps) stands for the cycle's where the builder gives it."""
    if own_pressure is None:
        angle = cycle.cycle.angle_rad
        pressure = np.array([evenly(angle, row) for row in cycle.cycle.pressure_pa.T])
    else:
        pressure = np.broadcast_to(own_pressure, (1 + draws.samples, len(own_pressure)))
    names = ("piston_mass", "rod_mass", "big_share", "counterweight", "oil", "oil_pressure", "oil_share", "viscosity")
    return Columns(pressure, *(draws.normal(facts[name]) for name in names))


class Bearings:
    """The bearings of one engine, and everything that was found of them."""

    def __init__(self, job: Job, facts: Facts, seats: Sequence[Seat], columns: Columns) -> None:
        self.job, self.facts, self.seats, self.columns = job, facts, tuple(seats), columns
        self.oil = oil_of(job)
        self.rods = [seat.position.number for seat in seats if seat.fit == ROD_FIT]
        self.mains = [seat.position.number for seat in seats if seat.fit != ROD_FIT]
        self.loaded = self.load(0, STEPS)

    @cached_property
    def best(self) -> Running:
        """The best values."""
        return running([seat.bearing(0) for seat in self.seats], self.loaded.motion, self.supply(0))

    def load(self, index: int, steps: int) -> Loaded:
        """Forces of one draw."""
        c = self.columns
        drive = drive_of(self.job, float(c.piston_kg[index]), float(c.rod_kg[index]), float(c.big_share[index]))
        train = train_of(self.job, self.facts, drive, max(float(c.counterweight[index]), 0.0))
        row = c.pressure_pa[index]
        if steps != len(row):
            row = row[:: len(row) // steps]
        return loaded(train, row, self.facts.value("speed"), self.rods, self.mains)

    def supply(self, index: int, oil: Oil | None = None) -> OilSupply:
        """Oil of one draw; a best value that the model does not take is refused, a draw about one that it does is held."""
        c = self.columns
        feed_c = float(c.feed_c[index])
        return supply_of(
            oil or self.oil, self.facts, feed_c=min(feed_c, HOTTEST_FEED_C) if index else feed_c, feed_pa=float(c.feed_pa[index]),
            share=float(c.share[index]), factor=max(float(c.viscosity[index]), 0.3),
        )  # fmt: skip

    def drawn(self, index: int, near: Running) -> Running:
        """The bearings of one draw."""
        bearings = [seat.bearing(index) for seat in self.seats]
        return running(bearings, self.load(index, DRAW_STEPS).motion, self.supply(index), near)

    def near(self) -> Running:
        """The best values at the steps that the draws take."""
        bearings = [seat.bearing(0) for seat in self.seats]
        return running(bearings, self.load(0, DRAW_STEPS).motion, self.supply(0), self.best)

    def films(self, samples: int, processes: int, progress: Progress) -> Films:
        """The best values and every draw."""
        rows = [_row(self.best)]
        blocks = [range(start, min(start + BLOCK, samples + 1)) for start in range(1, samples + 1, BLOCK)]
        for done, block in enumerate(_shared_out(self, blocks, processes), 1):
            rows += block
            progress(done / len(blocks))
        return Films(*(np.array(each) for each in zip(*rows, strict=True)))


_HERE: tuple[Bearings, Running] | None = None


def _begin(bearings: Bearings) -> None:
    global _HERE
    _HERE = (bearings, bearings.near())


def _block(indices: range) -> list[tuple[Array, ...]]:
    assert _HERE is not None
    bearings, near = _HERE
    return [_row(_sure(bearings.drawn(index, near))) for index in indices]


def _sure(found: Running) -> Running:
    """A draw whose film came to no rest has none that could be relied on."""
    return replace(found, film_m=np.where(found.settled, found.film_m, 0.0))


def _shared_out(bearings: Bearings, blocks: Sequence[range], processes: int) -> Iterator[list[tuple[Array, ...]]]:
    if processes <= 1 or len(blocks) < 2:
        _begin(bearings)
        yield from map(_block, blocks)
        return
    with pool(processes, _begin, bearings) as hands:
        yield from hands.map(_block, blocks)


def _row(found: Running) -> tuple[Array, ...]:
    return (
        found.film_m, found.peak_pa, found.loss_w, found.side_flow_m3_s + found.feed_flow_m3_s, found.temperature_c, found.out_c,
    )  # fmt: skip
