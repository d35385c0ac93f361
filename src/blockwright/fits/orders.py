"""Work ordered from the machine shop against what came back."""

from __future__ import annotations

from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.engine.parts import WorkOrder
from blockwright.engine.positions import Position, position
from blockwright.fits.assessment import OrderResult, Standing
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.metrology.verdict import Rule, Verdict, chances, decide

WORST_FIRST = (Verdict.NONCONFORMING, Verdict.UNDECIDED, Verdict.CONFORMS)


def orders_of(sizes: Sizes) -> tuple[OrderResult, ...]:
    """Every work order at every position that it covers."""
    return tuple(
        _held_against(sizes, order, at) for order in sizes.job.sheet.order for at in _positions(sizes.job, order)
    )


def needed_state(job: Job, feature: str) -> frozenset[str]:
    """State in which a feature is wanted, by the first fit that needs it."""
    needs = (need for fit in REGISTRY.values() for need in fit.needs if need.feature == feature)
    return next((need.state(job.engine) for need in needs), frozenset())


def _positions(job: Job, order: WorkOrder) -> tuple[Position | None, ...]:
    place = FEATURES[order.feature].place
    if place is None:
        return (None,)
    return (position(order.at),) if order.at else job.engine.positions(place)


def _held_against(sizes: Sizes, order: WorkOrder, at: Position | None) -> OrderResult:
    try:
        spots = sizes.of(order.part, order.feature, at, needed_state(sizes.job, order.feature))
    except Lacking as lacking:
        return OrderResult(order, str(at or ""), Standing.OPEN, missing=lacking.missing)
    low, high = order.low_si, order.high_si
    rule = Rule(sizes.job.rules.level, sizes.job.rules.acceptance)
    verdicts = {name: decide(size.estimate, low, high, rule) for name, size in spots.items()}

    def badness(name: str) -> tuple[int, float]:
        return WORST_FIRST.index(verdicts[name]), chances(spots[name].estimate, low, high).inside

    worst = min(spots, key=badness)
    standing = Standing.UNLIMITED if low is None and high is None else Standing(verdicts[worst].value)
    return OrderResult(order, str(at or ""), standing, worst, spots[worst].estimate)
