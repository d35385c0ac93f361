"""A job's fits with their cold sizes changed: everything that is worked out from an assessment then follows.

A clearance is changed at its inner part (the skirt, not the bore; a bearing's shells, not its journal); a gap as filed. Of a bearing that was not
read the middle of its limits is changed. A gap that was not read can be set, not moved.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.fit import Found
from blockwright.fits.limits import Bound, Limits
from blockwright.metrology.estimate import Estimate, exact
from blockwright.running.sweep.cases import Change
from blockwright.running.work.hot import GAPS
from blockwright.running.work.seats import MAIN_FIT, ROD_FIT

WALL_FIT = "wall clearance"
TOP_FIT, SECOND_FIT = GAPS
FITS: Mapping[str, str] = {
    "wall": WALL_FIT, "top_gap": TOP_FIT, "second_gap": SECOND_FIT, "rod_film": ROD_FIT, "main_film": MAIN_FIT,
}  # fmt: skip
"""Fit that each change of a case belongs to."""


def changed(assessment: Assessment, changes: Mapping[str, Change]) -> Assessment:
    """The assessment with the cold sizes of some fits (by name) changed; verdicts stay those of what was measured."""
    wanted = {fit: change for fit, change in changes.items() if not change.none}
    if not wanted:
        return assessment
    results = tuple(
        _result(each, wanted[each.fit.name]) if each.fit.name in wanted else each for each in assessment.results
    )
    return replace(assessment, results=results)


def _result(result: FitResult, change: Change) -> FitResult:
    found = result.found
    if found is not None:
        return replace(result, found=_found(found, change, inner=result.fit.name == WALL_FIT))
    if result.fit.name in GAPS and not change.step:
        return replace(result, found=Found(exact(change.metres), ()))
    return replace(result, limits=_limits(result.limits, change))


def _found(found: Found, change: Change, *, inner: bool) -> Found:
    by = change.on(found.estimate.value) - found.estimate.value
    if not inner:
        return replace(found, estimate=_positive(found.estimate.moved(by)))
    outer, (role, size), *rest = found.sizes
    moved = (outer, (role, replace(size, estimate=size.estimate.moved(-by))), *rest)
    return replace(found, estimate=found.estimate.moved(by), sizes=moved)


def _positive(estimate: Estimate) -> Estimate:
    """Steps that leave less than nothing are beyond what a model can be asked."""
    if estimate.value < 0.0:
        raise ValueError(f"the change leaves a cold size of {1e3 * estimate.value:.3f} mm")
    return estimate


def _limits(limits: Limits, change: Change) -> Limits:
    """Limits about a changed middle, for a bearing that was not read."""
    if limits.low is None or limits.high is None:
        return limits
    middle = 0.5 * (limits.low.value + limits.high.value)
    by = change.on(middle) - middle

    def moved(bound: Bound) -> Bound:
        return replace(bound, value=bound.value + by)

    return replace(limits, low=moved(limits.low), high=moved(limits.high))
