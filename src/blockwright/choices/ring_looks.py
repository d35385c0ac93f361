"""What was read and taken of every ring of a job, as looks for the planner: each gap at the place of its bore that governs, with its doubt.

A look is what was read after so many units. Readings without a pass between belong to one look. Gaps read at several depths of a bore are
brought to where the bore is smallest in the ring's travel, else its taper would pass for growth; the doubt of the bore's own readings goes along.

What is off is off: a pass taken while the ring was read in another bore, in another state, or in an entry that was withdrawn still counts, and
the next reading tells what it did. From a withdrawn entry, and from the pass after it, no rate is learnt: nobody knows whether the count was
the slip, or was written a second time.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from blockwright.choices.filing.belief import PoolKey
from blockwright.choices.filing.model import Between, Reading, Step
from blockwright.engine.filing import GAP, RINGS, Pass, before_filing, still_shows
from blockwright.engine.positions import position
from blockwright.fits.rings import change_to_governing
from blockwright.fits.sizes import Sizes, serves
from blockwright.metrology.estimate import Cause, Estimate, exact
from blockwright.metrology.readings import Reading as GapReading

LEAST_OWN_U_M = 1e-8
"""No reading repeats better than this."""


@dataclass(frozen=True)
class Look:
    """A step of the planner, the pool that it teaches, and whether its pass is believed."""

    pool: PoolKey
    step: Step
    doubtful: bool


Ring = tuple[str, str]
"""Mark of the ring set, and which of the set."""


def name_of(rings: str, ring: str, at: str) -> str:
    """What the planner calls a ring in a bore: moved to another, it is read anew there."""
    return f"{rings} {ring}, {at}"


def pool_of(kind: str, counted_in: str, wheel: str) -> PoolKey:
    """Rings that share a rate: a kind on a wheel, counted alike."""
    return PoolKey(kind, f"{counted_in.strip().lower().removesuffix('s')} {wheel.strip()}")


def looks_of(sizes: Sizes) -> tuple[Look, ...]:
    """Every look of a job, in order. The first of a ring in a bore has no units before it."""
    return tuple(_closed(sizes, each) for each in _Gathering(sizes).looks if each.readings or each.units)


@dataclass
class _Open:
    """A look while its readings are gathered; `withdrawn` where the entry of its pass was."""

    rings: str
    ring: str
    at: str
    pool: PoolKey
    units: float = 0.0
    doubtful: bool = False
    withdrawn: bool = False
    readings: list[GapReading] = field(default_factory=list)


class _Gathering:
    """The looks of all rings, gathered from the readings and the entries of a job."""

    def __init__(self, sizes: Sizes) -> None:
        self.sizes, self.job = sizes, sizes.job
        self.looks: list[_Open] = []
        self._latest: defaultdict[Ring, dict[str, _Open]] = defaultdict(dict)
        entries: defaultdict[Ring, list[Pass]] = defaultdict(list)
        for each in self.job.passes:
            entries[(each.rings, each.ring)].append(each)
        plain = [(r, entries[_ring_of(r)]) for r in self.job.readings if _is_gap(r) and self._serves(r)]
        self._plain(reading for reading, passes in plain if before_filing(reading, passes))
        for each in self.job.passes:
            self._entry(each)
        self._plain(r for r, passes in plain if not before_filing(r, passes) and still_shows(r, passes))

    def _plain(self, readings: Iterable[GapReading]) -> None:
        grinder = self.job.sheet.grinder
        for reading in readings:
            ring = _ring_of(reading)
            self._here(ring, reading.at, pool_of(ring[1], grinder.counted_in, grinder.wheel)).readings.append(reading)

    def _entry(self, each: Pass) -> None:
        ring, pool = (each.rings, each.ring), pool_of(each.ring, each.unit, each.wheel)
        if each.units > 0.0:
            for at, before in list(self._latest[ring].items()):
                after_slip = before.withdrawn and not before.readings
                self._open(_Open(*ring, at, pool, each.units, after_slip or not each.counts, not each.counts))
        if each.counts and self._serves(each.reading):
            self._here(ring, each.at, pool).readings.append(each.reading)

    def _here(self, ring: Ring, at: str, pool: PoolKey) -> _Open:
        """The look of a ring in a bore to which a reading belongs: its latest, else its first."""
        return self._latest[ring].get(at) or self._open(_Open(*ring, at, pool))

    def _open(self, look: _Open) -> _Open:
        self.looks.append(look)
        self._latest[(look.rings, look.ring)][look.at] = look
        return look

    def _serves(self, reading: GapReading) -> bool:
        return reading.taken and reading.gauge in self.job.gauges and serves(reading, self.job.engine.bore_state)


def _is_gap(reading: GapReading) -> bool:
    return reading.feature.removesuffix(GAP) in RINGS


def _ring_of(reading: GapReading) -> Ring:
    return reading.part, reading.feature.removesuffix(GAP)


def _closed(sizes: Sizes, look: _Open) -> Look:
    readings = tuple(_reading(sizes, each, look.ring) for each in look.readings)
    return Look(look.pool, Step(name_of(look.rings, look.ring, look.at), readings, look.units), look.doubtful)


def gap_read(sizes: Sizes, each: GapReading, ring: str) -> tuple[Estimate, Estimate]:
    """A gap at 20 °C as one reading shows it, and what is added to it where it governs. Raises Lacking where that cannot be told."""
    here = position(each.at)
    change = change_to_governing(sizes, here, ring, each.depth_m) if here else exact(0.0)
    return sizes.alone(each).estimate, change


def _reading(sizes: Sizes, each: GapReading, ring: str) -> Reading | Between:
    """A gap at 20 °C where it governs, its uncertainty split into what stays from reading to reading and what is its own."""
    read, change = gap_read(sizes, each, ring)
    value, half = read.value + change.value, each.half_width_si
    shared = math.hypot(_u(read, Cause.CALIBRATION), change.u)
    own = _u(read, *(cause for cause in Cause if cause not in (Cause.CALIBRATION, Cause.INTERVAL)))
    if half:
        return Between(value - half, value + half, own, shared, each.gauge)
    return Reading(value, max(own, LEAST_OWN_U_M), shared, each.gauge)


def _u(estimate: Estimate, *causes: Cause) -> float:
    return math.sqrt(estimate.share_of(*causes)) * estimate.u
