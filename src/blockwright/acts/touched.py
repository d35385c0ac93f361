"""The fits that a reading touches, judged: what the bench shows the moment a gauge is read.

Only those are judged; what a reading changes elsewhere (how well its gauge repeats, say) shows with the next whole assessment.
"""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.acts.event import Event
from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position, position
from blockwright.fits.assess import idle
from blockwright.fits.assessment import FitResult
from blockwright.fits.fit import Fit
from blockwright.fits.registry import REGISTRY, own_features
from blockwright.fits.sizes import Sizes
from blockwright.metrology.readings import Reading
from blockwright.running.assess import judge


def touched(job: Job, event: Event) -> tuple[FitResult, ...]:
    """The fits that rest on what an act said of a reading or a gap, in the order of the registry; none for other acts.

    `job` is the job after the act.
    """
    reading = reading_of(job, event)
    if reading is None:
        return ()
    sizes, own = Sizes(job), own_features(job.engine)
    judged = (judge(job, fit, at, sizes) for fit, at in _resting_on(job, reading))
    return tuple(result for result in judged if not idle(sizes, result, own))


def reading_of(job: Job, event: Event) -> Reading | None:
    """The reading, or the gap at the grinder, that an act was about."""
    body = event.body
    if event.kind in ("reading taken", "reading withdrawn"):
        return next((each for each in job.readings if each.id == body["row"]), None)
    if event.kind in ("pass filed", "gap read", "pass withdrawn"):
        mark = body["pass"] if event.kind == "pass withdrawn" else body["cells"]["id"]
        return next((each.reading for each in job.passes if each.reading.id == mark), None)
    return None


def _resting_on(job: Job, reading: Reading) -> Iterator[tuple[Fit, Position]]:
    at, home = position(reading.at), job.home(reading.part)
    for fit in REGISTRY.values():
        if any(need.feature == reading.feature for need in fit.needs):
            for each in fit.positions(job.engine):
                if each in (at, home) or each.place is Place.ENGINE or _same_throw(job, at, each):
                    yield fit, each


def _same_throw(job: Job, at: Position | None, each: Position) -> bool:
    """Whether a crank throw was read that a cylinder's rod runs on, or a stage, which its neighbours are held against."""
    if at is None:
        return False
    if at.place is Place.THROW and each.place is Place.CYLINDER:
        return job.engine.throw_of(each.number) == at
    return at.place is Place.STAGE and each.place is Place.STAGE
