"""A job judged with everything that is known of the engine at work: the one call that terminal, sheet and pages make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.assess import assess as assess_fits
from blockwright.fits.assess import judge as judge_fit
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Offer
from blockwright.fits.sizes import Sizes
from blockwright.running import land_strength, ring_heat, wall_heat


def computed_offers(job: Job, fit: Fit, position: Position) -> Sequence[Offer]:
    """What heat demands of a gap, and what a hot land bears."""
    return (*ring_heat.computed_offers(job, fit, position), *land_strength.computed_offers(job, fit, position))


def assess(job: Job) -> Assessment:
    """Every fit of a job, its limits tightened by what heat demands, and what heat makes of its wall clearances."""
    judged = assess_fits(job, computed_offers)
    results = tuple(wall_heat.noted(job, result) for result in judged.results)
    return replace(judged, results=results, flags=(*judged.flags, *wall_heat.flags(job, results)))


def judge(job: Job, fit: Fit, position: Position, sizes: Sizes | None = None) -> FitResult:
    """One fit of a job, judged as `assess` judges it; `sizes` of that job spare working them out once more."""
    return wall_heat.noted(job, judge_fit(sizes or Sizes(job), fit, position, computed_offers))
