"""The one judgement of a job: every fit of its engine worked out, limited, decided and, where it is out, told how to mend."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.engine.rules import Accepted, Authority, Record
from blockwright.fits.assessment import Assessment, FitResult, Standing
from blockwright.fits.fit import Fit, Found
from blockwright.fits.flags import flags_of
from blockwright.fits.honing import after_honing
from blockwright.fits.limits import Limits, Offer, offer_from, resolve
from blockwright.fits.orders import orders_of
from blockwright.fits.registry import OwnFeatures, fits_of, own_features
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.fits.words import say
from blockwright.metrology.deciding import what_would_decide
from blockwright.metrology.estimate import Cause
from blockwright.metrology.verdict import Rule, Verdict, chances, decide, expanded

STANDING = {
    Verdict.CONFORMS: Standing.CONFORMS,
    Verdict.UNDECIDED: Standing.UNDECIDED,
    Verdict.NONCONFORMING: Standing.NONCONFORMING,
}
OF_THE_TOOL = (Authority.PRACTICE, Authority.COMPUTED)
"""Authorities that nobody of the job has named."""
MOST_OF_THE_DOUBT = 0.5
READ_AGAIN = "read it again: its readings disagree"
"""Nothing is decided on readings whose disagreement makes up more of the variance than everything else together."""
EVENT_FOR = {Standing.NONCONFORMING: Accepted.CONCESSION, Standing.UNDECIDED: Accepted.JUDGEMENT}


Computed = Callable[[Job, Fit, Position], Sequence[Offer]]
"""Gives the limits that an analysis of the engine at work has computed for a fit, if any."""


def nothing_computed(job: Job, fit: Fit, position: Position) -> Sequence[Offer]:
    """No analysis."""
    return ()


def assess(job: Job, computed: Computed = nothing_computed) -> Assessment:
    """Judge every fit of a job on the readings as they are. Pure: the same job gives the same assessment."""
    sizes = Sizes(job)
    judged = (judge(sizes, fit, position, computed) for fit, position in fits_of(job.engine))
    own = own_features(job.engine)
    results = tuple(result for result in judged if not idle(sizes, result, own))
    return Assessment(job, results, orders_of(sizes), flags_of(sizes))


def judge(sizes: Sizes, fit: Fit, position: Position, computed: Computed = nothing_computed) -> FitResult:
    """One fit at one position: value, limits, verdict, remedy, and what was signed for it."""
    job = sizes.job
    limits = limits_for(job, fit, position, computed)
    try:
        found = fit.work_out(sizes, position)
    except Lacking as lacking:
        return FitResult(fit, position, limits, Standing.OPEN, missing=lacking.missing)
    if not limits.known:
        return FitResult(fit, position, limits, Standing.UNLIMITED, found)
    if limits.empty:
        record, notes = _signed(job, fit, position, found, Standing.UNDECIDED)
        return FitResult(fit, position, limits, Standing.UNDECIDED, found, record=record, notes=(*limits.notes, *notes))
    decided = _decided(job, fit, position, limits, found)
    beware = after_honing(
        sizes, fit, position, decided.remedy, lambda other: limits_for(job, other, position, computed)
    )
    return replace(decided, beware=tuple(beware))


def limits_for(job: Job, fit: Fit, position: Position, computed: Computed = nothing_computed) -> Limits:
    """Every source's limits for a fit at a position, and the ones that hold. A rule for one position goes before a general one."""
    size = fit.size(job.engine)
    rules = [rule for rule in job.sheet.limit if rule.fit == fit.name and rule.at in ("", str(position))]
    offers: list[Offer] = [offer_from(rule, size) for rule in sorted(rules, key=lambda rule: rule.at == "")]
    usual = fit.practice(job, position)
    if usual is not None:
        offers.append(usual)
    return resolve([*offers, *computed(job, fit, position)], fit.hard)


def _decided(job: Job, fit: Fit, position: Position, limits: Limits, found: Found) -> FitResult:
    rule = Rule(job.rules.level, job.rules.acceptance)
    low, high = limits.low_value, limits.high_value
    found = _least_inside(found, low, high)
    estimate = found.estimate
    apart = estimate.share_of(Cause.DISAGREEMENT) > MOST_OF_THE_DOUBT
    standing = Standing.UNDECIDED if apart else STANDING[decide(estimate, low, high, rule)]
    decider = None
    if standing is Standing.UNDECIDED and not apart:
        taken = max((len(size.readings) for _, size in found.sizes), default=1)
        decider = what_would_decide(estimate, low, high, rule, taken)
    remedy = "" if standing is Standing.CONFORMS else fit.remedy(job, position, estimate.value, limits)
    remedy = READ_AGAIN if apart else remedy
    record, notes = _signed(job, fit, position, found, standing)
    return FitResult(
        fit,
        position,
        limits,
        standing,
        found,
        (),
        chances(estimate, low, high),
        decider,
        remedy,
        record,
        (*limits.notes, *notes),
    )


def _least_inside(found: Found, low: float | None, high: float | None) -> Found:
    """Of a fit with a place of its own for each side, the place that is least likely inside."""

    def inside(each: Found) -> tuple[float, float]:
        value = each.estimate.value
        room = min(value - low if low is not None else math.inf, high - value if high is not None else math.inf)
        return chances(each.estimate, low, high).inside, room

    return min((found, *found.also), key=inside) if found.also else found


def _signed(
    job: Job, fit: Fit, position: Position, found: Found, standing: Standing
) -> tuple[Record | None, tuple[str, ...]]:
    """The latest acceptance that still covers this fit, and a note where one no longer does."""
    signed = [record for record in job.records if record.fit == fit.name and record.at == str(position)]
    if not signed or standing not in EVENT_FOR:
        return None, ()
    latest = signed[-1]
    then = say(job, latest.value_si, fit.scale, u=found.estimate.u, signed=fit.signed)
    if latest.event is not EVENT_FOR[standing]:
        return None, (f"the {latest.event} by {latest.by} was for another verdict: sign again",)
    if abs(latest.value_si - found.estimate.value) > max(expanded(found.estimate), abs(found.estimate.value) * 1e-6):
        return None, (f"the {latest.event} by {latest.by} was for {then}: sign again",)
    return latest, ()


def idle(sizes: Sizes, result: FitResult, own: OwnFeatures) -> bool:
    """Whether a fit that is only looked at on request was neither begun nor limited by anyone of this job."""
    fit = result.fit
    if not fit.on_request or result.standing is not Standing.OPEN:
        return False
    limited = any(offer.authority not in OF_THE_TOOL for offer in result.limits.offers)
    return not limited and not any(sizes.begun(feature, state, result.position) for feature, state in own[fit.name])
