"""What would decide an undecided fit: how many repeats, or what a gauge would have to be worth.

Repeats shrink only the share called repeatability. If even without it the fit stays undecided, no number of repeats will do.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.metrology.estimate import Cause, Estimate, Source
from blockwright.metrology.verdict import Rule, Verdict, best_possible, decide

ENDLESS = 1_000_000
"""So many repeats leave nothing of their share that could still turn a verdict."""

REPEATABLE = (Cause.REPEATABILITY,)
OF_THE_GAUGE = (Cause.REPEATABILITY, Cause.RESOLUTION, Cause.INTERVAL, Cause.CALIBRATION, Cause.SETTING)


@dataclass(frozen=True)
class Decider:
    """What it would take, if the value stays where it is.

    `repeats` in all at each spot, None where none would do; `largest` the source that weighs most besides repeatability;
    `gauge_factor` by how much the gauge's own errors would have to shrink (0.5: half), None where even a perfect gauge could not tell;
    `best_possible` the highest probability inside that this uncertainty allows, None with one limit.
    """

    repeats: int | None
    largest: Source | None
    gauge_factor: float | None
    best_possible: float | None


def what_would_decide(estimate: Estimate, low: float | None, high: float | None, rule: Rule, taken: int = 1) -> Decider:
    """What would turn an undecided estimate into a verdict; `taken` is how often each spot has been read."""
    return Decider(
        _repeats(estimate, low, high, rule, taken),
        _largest(estimate),
        _gauge_factor(estimate, low, high, rule),
        None if low is None or high is None else best_possible(estimate, low, high),
    )


def _decided(estimate: Estimate, low: float | None, high: float | None, rule: Rule) -> bool:
    return decide(estimate, low, high, rule) is not Verdict.UNDECIDED


def _repeats(estimate: Estimate, low: float | None, high: float | None, rule: Rule, taken: int) -> int | None:
    def decided_with(n: int) -> bool:
        return _decided(estimate.with_scaled((taken / n) ** 0.5, *REPEATABLE), low, high, rule)

    too_few, enough = taken, ENDLESS
    if not decided_with(enough):
        return None
    while enough - too_few > 1:
        middle = (too_few + enough) // 2
        if decided_with(middle):
            enough = middle
        else:
            too_few = middle
    return enough


def _largest(estimate: Estimate) -> Source | None:
    others = [source for source, _ in estimate.budget if source.cause is not Cause.REPEATABILITY]
    return others[0] if others else None


def _gauge_factor(estimate: Estimate, low: float | None, high: float | None, rule: Rule) -> float | None:
    if not _decided(estimate.with_scaled(0.0, *OF_THE_GAUGE), low, high, rule):
        return None
    enough, too_much = 0.0, 1.0
    for _ in range(20):
        middle = 0.5 * (enough + too_much)
        if _decided(estimate.with_scaled(middle, *OF_THE_GAUGE), low, high, rule):
            enough = middle
        else:
            too_much = middle
    return enough
