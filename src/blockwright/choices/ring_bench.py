"""The ring bench: where every ring of a job stands, what the passes so far have taught, and what to take now.

It joins the planner (`choices.filing`, which knows gaps and units only) to the job: limits and aim of the fit, what was read and taken
(`ring_looks`), what the grinder counts. All gaps are those at the place of the bore that governs, as in the fit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from blockwright.choices.filing.advice import advise
from blockwright.choices.filing.belief import Filing
from blockwright.choices.filing.model import Advice, Between, RatePrior, Reading, Reason, Risk, Surprise, Unit, Window
from blockwright.choices.filing.noticing import notice
from blockwright.choices.ring_looks import Look, looks_of, name_of, pool_of
from blockwright.engine.filing import RINGS, Pass, taken_unread
from blockwright.engine.job import Job
from blockwright.engine.pack import OilRing
from blockwright.engine.positions import Place, Position
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.practice import GAP_AIM_M
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Sizes
from blockwright.metrology.repeats import alike
from blockwright.running.assess import judge

RING_ALIASES = {"top ring": "top", "second ring": "second", "upper": "upper rail", "lower": "lower rail"}
BORE_FITS = ("wall clearance", "bore taper", "out-of-round", "bell-mouth")
BELIEVED = 2
"""So many readings that agree make a surprising pass believed."""
STALLED = (Reason.AIM, Reason.RISK, Reason.WORSENS)
"""Filing stops here with nothing proven; one more reading may help."""
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
        return name_of(self.rings, self.ring, str(self.at))


@dataclass(frozen=True)
class RingState:
    """Where one ring stands. `advice` is `None` until its gap is read; `blocked` says why nothing can be planned.

    `passes` are all its entries, withdrawn ones too; `last` what was read since the last pass; `change_m` what the gap opens by from
    where it was read to where it governs (less than nothing where the bore is narrower there).
    """

    ring: RingId
    result: FitResult
    window: Window | None
    passes: tuple[Pass, ...]
    advice: Advice | None
    last: tuple[Reading | Between, ...] = ()
    surprise: Surprise | None = None
    blocked: str = ""

    @property
    def read_again(self) -> bool:
        """Whether it is to be read before more is taken: the gap is not known, its readings disagree, or the last pass is hard to believe."""
        too_few = self.surprise is not None and len(self.last) < BELIEVED
        return self._unread or too_few or self.disagree

    @property
    def disagree(self) -> bool:
        """Whether what was read since the last pass cannot all be right."""
        return not alike([_middle(reading) for reading in self.last])

    @property
    def waiting(self) -> float:
        """Units taken since the gap was last read; nothing where it is known."""
        return taken_unread(self.passes) if self.advice is None or self._unread else 0.0

    @property
    def _unread(self) -> bool:
        return self.advice is not None and self.advice.reason is Reason.READ_FIRST

    @property
    def taken(self) -> float:
        """Units taken in all; what a withdrawn entry took is off too."""
        return sum(each.units for each in self.passes)

    @property
    def done(self) -> bool:
        """Whether nothing is to be filed any more."""
        return self.advice is not None and self.advice.units == 0.0 and not self.read_again

    @property
    def short_of_proof(self) -> bool:
        """Whether one more reading may help a ring at which filing stops."""
        stalled = self.advice is not None and self.advice.reason in STALLED
        return self.done and (stalled or self.result.standing is not Standing.CONFORMS)

    @property
    def moved_from(self) -> str:
        """The cylinder in whose bore it was last read, where that is not the one it is for now; it is read anew there."""
        last = next((each for each in reversed(self.passes) if each.counts and each.reading.taken), None)
        return last.at if last is not None and last.at != str(self.ring.at) and not self.last else ""

    @cached_property
    def change_m(self) -> float:
        """Gap where it governs less gap as it was read, at 20 °C."""
        if self.result.found is None:
            return 0.0
        read = next(size for role, size in self.result.found.sizes if role.endswith(" gap"))
        return self.result.found.estimate.value - read.estimate.value


@dataclass(frozen=True)
class OneMore:
    """A pass of one step more than is advised: where the gap would be expected, and the chance of passing what must not be passed."""

    units: float
    expected_gap_m: float
    p_over: float


@dataclass(frozen=True)
class RingBench:
    """All rings of a job that are filed, in the order of cylinders and of the pack, and the rate that each kind shows."""

    job: Job
    rings: tuple[RingState, ...]
    filing: Filing

    def state(self, ring: RingId) -> RingState:
        """Where one ring stands. Raises KeyError for a ring that is not, or no longer, filed in this job."""
        found = next((state for state in self.rings if state.ring == ring), None)
        if found is None:
            raise KeyError(str(ring))
        return found

    @property
    def next(self) -> RingState | None:
        """The next ring to work on: the first, in the order of cylinders, that is neither done nor blocked."""
        return next((state for state in self.rings if not state.done and not state.blocked), None)

    def one_more(self, state: RingState) -> OneMore | None:
        """What one step more than advised would do; `None` where nothing is to be taken."""
        if state.advice is None or state.window is None or state.advice.units <= 0.0:
            return None
        grinder = self.job.sheet.grinder
        units = state.advice.units + grinder.smallest
        pool = pool_of(state.ring.ring, grinder.counted_in, grinder.wheel)
        view = self.filing.at(pool, state.ring.name).ring(state.ring.name)
        return OneMore(units, float(view.gap_after(units)), float(view.above(state.window.upper_m, units)))

    def rate_m(self, kind: str) -> tuple[float, float] | None:
        """Expected growth per unit of a kind of ring on the wheel that is on, and its relative spread; `None` where nothing was filed."""
        grinder = self.job.sheet.grinder
        pool = self.filing.pools.get(pool_of(kind, grinder.counted_in, grinder.wheel))
        if pool is None or not any(record.passes for record in pool.rings.values()):
            return None
        view = pool.unfiled()
        return float(view.rate_m), float(view.u_log_rate)


def rings_of(job: Job) -> tuple[RingId, ...]:
    """Every ring with a gap, of every set that is assigned to a cylinder, in the order of cylinders and of the pack."""
    return tuple(ring for ring, _ in _rings(job))


def rings_to_file(job: Job) -> tuple[RingId, ...]:
    """Those that are filed: not of a pack that is not made for it, and no gapless second."""
    return tuple(ring for ring, filed in _rings(job) if filed)


def _rings(job: Job) -> Iterator[tuple[RingId, bool]]:
    for place in job.engine.positions(Place.CYLINDER):
        mark = job.in_cylinder(place.number).rings
        part = job.parts.get(mark)
        if part is None:
            continue
        there = {"second": part.second_ring}
        there |= dict.fromkeys(("upper rail", "lower rail"), part.oil_ring is OilRing.THREE_PIECE)
        for ring in RINGS:
            if there.get(ring, True):
                yield (
                    RingId(mark, ring, place),
                    part.file_fit is not False and not (ring == "second" and part.gapless_second),
                )


def ring_bench(job: Job) -> RingBench:
    """Where every ring stands."""
    sizes = Sizes(job)
    looks = looks_of(sizes)
    filing, surprises = _taught(job, looks)
    last = {look.step.ring: look.step.readings for look in looks}
    bores: dict[Position, str] = {}
    states = []
    for ring in rings_to_file(job):
        if ring.at not in bores:
            bores[ring.at] = _bore_to_cut(sizes, ring.at)
        result = judge(job, REGISTRY[FIT_OF_RING[ring.ring]], ring.at, sizes)
        window, blocked = _window(result)
        blocked = blocked or bores[ring.at] or _grinder_fault(job)
        advice = None if window is None or blocked else _advice(job, filing, ring, window)
        states.append(
            RingState(
                ring,
                result,
                window,
                passes_of(job, ring),
                advice,
                last.get(ring.name, ()),
                surprises.get(ring.name),
                blocked,
            )
        )
    return RingBench(job, tuple(states), filing)


def passes_of(job: Job, ring: RingId) -> tuple[Pass, ...]:
    """All entries of one ring, withdrawn ones too: what they took off is off."""
    return tuple(each for each in job.passes if each.rings == ring.rings and each.ring == ring.ring)


def _taught(job: Job, looks: tuple[Look, ...]) -> tuple[Filing, Mapping[str, Surprise]]:
    """What all looks teach, in their order; the last surprise of each ring. A pass that surprises, or is doubtful, teaches no rate."""
    filing = Filing(RatePrior(guess_m=job.sheet.grinder.guess_m))
    surprises: dict[str, Surprise] = {}
    for look in looks:
        step = look.step
        surprise = None if look.doubtful else notice(filing.at(look.pool, step.ring), step)
        surprises.pop(step.ring, None)
        if surprise is not None:
            surprises[step.ring] = surprise
        forgiving = bool(step.readings) and (look.doubtful or surprise is not None)
        filing = filing.after(look.pool, step, forgiving=forgiving)
    return filing, surprises


def _advice(job: Job, filing: Filing, ring: RingId, window: Window) -> Advice | None:
    grinder = job.sheet.grinder
    if ring.name not in filing.homes:
        return None
    belief = filing.at(pool_of(ring.ring, grinder.counted_in, grinder.wheel), ring.name)
    unit = Unit(grinder.counted_in, grinder.whole, grinder.smallest)
    return advise(belief, ring.name, window, unit, Risk(grinder.risk, job.rules.level))


def _middle(reading: Reading | Between) -> tuple[float, float]:
    """A reading, or the middle of an interval, with its own standard uncertainty."""
    if isinstance(reading, Reading):
        return reading.value_m, reading.u_own_m
    return 0.5 * (reading.low_m + reading.high_m), math.hypot(
        reading.u_own_m, (reading.high_m - reading.low_m) / math.sqrt(12.0)
    )


def _grinder_fault(job: Job) -> str:
    grinder = job.sheet.grinder
    if grinder.whole and not float(grinder.smallest).is_integer():
        return f"the grinder takes whole {grinder.counted_in} only, yet its smallest step is {grinder.smallest:g}: mend [grinder] in job.toml"
    return ""


def _bore_to_cut(sizes: Sizes, at: Position) -> str:
    """Why no ring is filed for a bore that is still to be cut: every 0.010 mm that comes off its walls opens the gap by 0.031 mm."""
    for name in BORE_FITS:
        if judge(sizes.job, REGISTRY[name], at, sizes).out:
            return f"{name} of {at} is out: put the bore right first, since that opens the gap"
    return ""


def _window(result: FitResult) -> tuple[Window | None, str]:
    """Limits and aim of the fit, or why there are none."""
    limits = result.limits
    if limits.low is None:
        return None, "nobody gives a low limit: write the maker's into job.toml"
    if limits.empty:
        return None, limits.notes[-1]
    aim = limits.low.value + GAP_AIM_M if limits.aim is None else limits.aim
    high = limits.high_value
    if high is not None and aim >= high:
        return None, "the aim is not under the high limit"
    return Window(limits.low.value, aim, high), ""
