"""The ring bench: where every ring of a job stands, what the passes so far have taught, and what to take now.

It joins the planner (`choices.filing`, which knows gaps and units only) to the job: limits and aim of the fit, the gauge's
uncertainty, what the grinder counts. The planner works on the gap at the depth where it is read; limits hold where the bore is smallest in the
ring's travel, so they are moved by the difference.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockwright.choices.filing.advice import advise
from blockwright.choices.filing.belief import Filing, PoolKey
from blockwright.choices.filing.model import (
    Advice,
    Between,
    RatePrior,
    Reading,
    Reason,
    Risk,
    Step,
    Surprise,
    Unit,
    Window,
)
from blockwright.choices.filing.noticing import notice
from blockwright.engine.filing import RINGS, Pass, since_last_filing
from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position, position
from blockwright.fits.assessment import FitResult
from blockwright.fits.practice import GAP_AIM_M
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Sizes, serves
from blockwright.metrology.estimate import Cause, Estimate
from blockwright.metrology.readings import Reading as GapReading
from blockwright.running.assess import judge

RING_ALIASES = {"top ring": "top", "second ring": "second", "upper": "upper rail", "lower": "lower rail"}
BORE_FITS = ("wall clearance", "bore taper", "out-of-round", "bell-mouth")
BELIEVED = 2
"""Readings after which a surprising pass is taken as it is."""
FIT_OF_RING = {ring: ring + (" gap" if "rail" in ring else " end gap") for ring in RINGS}


@dataclass(frozen=True)
class RingId:
    """One ring: its set, which of the set, and the cylinder that it is for."""

    rings: str
    ring: str
    at: Position

    def __str__(self) -> str:
        return f"{self.rings} {self.ring}, {self.at}"

    @property
    def name(self) -> str:
        """Its name in the planner."""
        return f"{self.rings} {self.ring}"


@dataclass(frozen=True)
class RingState:
    """Where one ring stands. `advice` is `None` until its gap is read; `blocked` says why nothing can be planned."""

    ring: RingId
    result: FitResult
    window: Window | None
    passes: tuple[Pass, ...]
    advice: Advice | None
    surprise: Surprise | None = None
    blocked: str = ""

    @property
    def read_again(self) -> bool:
        """Whether the gap after the last pass is not known, or hard to believe and read only once: read before more is taken."""
        unread = self.advice is not None and self.advice.reason is Reason.READ_FIRST
        return unread or (self.surprise is not None and len(since_last_filing(self.passes)) < BELIEVED)

    @property
    def taken(self) -> float:
        """Units taken in all."""
        return sum(each.units for each in self.passes)

    @property
    def done(self) -> bool:
        """Whether nothing is to be filed any more."""
        return self.advice is not None and self.advice.units == 0.0 and not self.read_again


@dataclass
class _Look:
    """A ring looked at, after so many units on a wheel: all readings of that look."""

    ring: RingId
    wheel: str
    units: float
    readings: list[GapReading]


@dataclass(frozen=True)
class RingBench:
    """All rings of a job that are filed, in the order of cylinders and of the pack, and the rate that each kind shows."""

    job: Job
    rings: tuple[RingState, ...]
    filing: Filing

    def state(self, ring: RingId) -> RingState:
        """Where one ring stands."""
        return next(state for state in self.rings if state.ring == ring)

    def rate_m(self, kind: str) -> tuple[float, float] | None:
        """Expected growth per unit of a kind of ring on the wheel that is on, and its relative spread; `None` where nothing was filed."""
        pool = self.filing.pools.get(PoolKey(kind, self.job.sheet.grinder.wheel))
        if pool is None or not any(record.passes for record in pool.rings.values()):
            return None
        view = pool.unfiled()
        return float(view.rate_m), float(view.u_log_rate)


def rings_to_file(job: Job) -> tuple[RingId, ...]:
    """Every ring of every set that is assigned to a cylinder, unless its pack is not made for filing."""
    return tuple(_rings(job))


def ring_bench(job: Job) -> RingBench:
    """Where every ring stands."""
    rings = rings_to_file(job)
    filing, surprises = _taught(job, rings)
    return RingBench(job, tuple(_state(job, filing, ring, surprises.get(ring.name)) for ring in rings), filing)


def _rings(job: Job) -> Iterator[RingId]:
    for place in job.engine.positions(Place.CYLINDER):
        mark = job.in_cylinder(place.number).rings
        part = job.parts.get(mark)
        if part is None or part.file_fit is False:
            continue
        for ring in RINGS:
            if ring == "second" and (not part.second_ring or part.gapless_second):
                continue
            yield RingId(mark, ring, place)


def _state(job: Job, filing: Filing, ring: RingId, surprise: Surprise | None) -> RingState:
    result = judge(job, REGISTRY[FIT_OF_RING[ring.ring]], ring.at)
    passes = passes_of(job, ring)
    window, blocked = _window(result)
    blocked = blocked or _bore_to_cut(job, ring)
    key = PoolKey(ring.ring, job.sheet.grinder.wheel)
    if window is None or blocked or ring.name not in filing.homes:
        return RingState(ring, result, window, passes, None, surprise, blocked)
    advice = advise(filing.at(key, ring.name), ring.name, window, unit_of(job), _risk(job))
    return RingState(ring, result, window, passes, advice, surprise)


def passes_of(job: Job, ring: RingId) -> tuple[Pass, ...]:
    """All entries of one ring, withdrawn ones too: what they took off is off."""
    return tuple(each for each in job.passes if each.rings == ring.rings and each.ring == ring.ring)


def unit_of(job: Job) -> Unit:
    """What the grinder counts, for the planner."""
    grinder = job.sheet.grinder
    return Unit(grinder.counted_in, grinder.whole, grinder.smallest)


def _bore_to_cut(job: Job, ring: RingId) -> str:
    """Why no ring is filed for a bore that is still to be cut: every 0.010 mm that comes off its walls opens the gap by 0.031 mm."""
    for name in BORE_FITS:
        result = judge(job, REGISTRY[name], ring.at)
        if result.out:
            return f"{name} of {ring.at} is out: put the bore right first, since that opens the gap"
    return ""


def _risk(job: Job) -> Risk:
    return Risk(job.sheet.grinder.risk, job.rules.level)


def _window(result: FitResult) -> tuple[Window | None, str]:
    """Limits and aim at the depth where the gap is read, or why there are none."""
    limits = result.limits
    if limits.low is None:
        return None, "nobody gives a low limit: write the maker's into job.toml"
    if limits.empty:
        return None, limits.notes[-1]
    aim = limits.low.value + GAP_AIM_M if limits.aim is None else limits.aim
    offset = _offset(result)
    high = limits.high_value
    if high is not None and aim >= high:
        return None, "the aim is not under the high limit"
    return Window(limits.low.value - offset, aim - offset, None if high is None else high - offset), ""


def _offset(result: FitResult) -> float:
    """Gap where it governs less gap where it is read."""
    if result.found is None:
        return 0.0
    read = next(size for role, size in result.found.sizes if role.endswith(" gap"))
    return result.found.estimate.value - read.estimate.value


def _taught(job: Job, rings: Sequence[RingId]) -> tuple[Filing, dict[str, Surprise]]:
    """What all entries teach, in their order; the last surprise of each ring. A surprising pass teaches no rate."""
    filing = Filing(RatePrior(guess_m=job.sheet.grinder.guess_m))
    surprises: dict[str, Surprise] = {}
    sizes = Sizes(job)
    for ring, wheel, step in _looks(job, sizes, rings):
        key = PoolKey(ring.ring, wheel)
        surprise = notice(filing.at(key, ring.name), step)
        if surprise is not None:
            surprises[ring.name] = surprise
        else:
            surprises.pop(ring.name, None)
        filing = filing.after(key, step, forgiving=surprise is not None)
    return filing, surprises


def _looks(job: Job, sizes: Sizes, rings: Sequence[RingId]) -> Iterator[tuple[RingId, str, Step]]:
    """What was read before any filing, then entries as looks: re-readings without a pass between belong to the look before.

    A withdrawn entry teaches no gap, but what it took off is off: its look holds what was read again after it.
    """
    by_name = {ring.name: ring for ring in rings}
    looks = [_Look(ring, job.sheet.grinder.wheel, 0.0, read) for ring in rings if (read := _read_before(sizes, ring))]
    latest = {look.ring.name: look for look in looks}
    for each in job.passes:
        ring = by_name.get(f"{each.rings} {each.ring}")
        if ring is None or position(each.at) != ring.at:
            continue
        if each.units > 0.0 or ring.name not in latest:
            latest[ring.name] = _Look(ring, each.wheel, each.units, [])
            looks.append(latest[ring.name])
        if each.counts:
            latest[ring.name].readings.append(each.reading)
    for look in looks:
        if look.readings or look.units:
            yield (
                look.ring,
                look.wheel,
                Step(look.ring.name, tuple(_reading(sizes, each) for each in look.readings), look.units),
            )


def _read_before(sizes: Sizes, ring: RingId) -> list[GapReading]:
    """Readings of a ring's gap in its own bore that stand in the readings, in the state that is wanted."""
    job = sizes.job
    wanted = (ring.rings, f"{ring.ring} gap", str(ring.at))
    return [
        each
        for each in job.readings
        if (each.part, each.feature, each.at) == wanted
        and each.taken
        and each.gauge in job.gauges
        and serves(each, job.engine.bore_state)
    ]


def _reading(sizes: Sizes, each: GapReading) -> Reading | Between:
    """A gap at 20 °C, its uncertainty split into what its gauge always brings and what is its own."""
    size = sizes.alone(each)
    shared = _u(size.estimate, Cause.CALIBRATION)
    half, gauge = each.half_width_si, each.gauge
    if half:
        own = _u(size.estimate, *(cause for cause in Cause if cause not in (Cause.CALIBRATION, Cause.INTERVAL)))
        return Between(size.estimate.value - half, size.estimate.value + half, own, shared, gauge)
    return Reading(size.estimate.value, math.sqrt(max(size.estimate.u**2 - shared**2, 1e-16)), shared, gauge)


def _u(estimate: Estimate, *causes: Cause) -> float:
    return math.sqrt(estimate.share_of(*causes)) * estimate.u
