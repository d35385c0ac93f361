"""Thousands of invented rings filed by the planner of this package and by rote: how many end too wide, and in how many passes.

Rings come in sets of one kind on one wheel and are filed one after the other, so that later rings profit from earlier ones. The kind's rate
lies evenly (in its logarithm) within a ratio about the guess; rings and passes scatter; readings err by their own and by a
share common to the whole set. What is true is drawn here and is not told to the planner, which has its usual assumptions.

Sets with like rates are filed side by side, each group within its own part of the range (the draw is stratified): a group then needs few nodes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

from blockwright.choices.filing.advice import REASONS, decide
from blockwright.choices.filing.grid import Fineness, grid
from blockwright.choices.filing.model import USUAL_PRIOR, USUAL_RISK, RatePrior, Reason, Risk, Unit, Window
from blockwright.choices.filing.nodes import Array
from blockwright.choices.filing.view import RingView

_SIDE_BY_SIDE = 50
_NEVER = -1e4
NARROW = Window(0.400e-3, 0.420e-3, 0.440e-3)
TURNS = Unit("turns")
QUICK = Fineness(rate_step=0.4, spreads=7, scatters=9)
"""Fine enough for many thousands of rings; a test holds its probabilities against the usual one's."""


@dataclass(frozen=True)
class Truth:
    """What is true of the invented rings.

    `rate_off` : the kinds' middle rate as a multiple of the guess.
    `shared_part` : the part of a reading's u (m) that is common to a set.
    `to_file_m` : how far under the low limit rings start, at least and at most.
    `tails` : degrees of freedom of the scatter of passes (Student's t, scaled to the same standard deviation); infinite for normal.
    """

    u_m: float
    rate_ratio: float = 3.0
    rate_off: float = 1.0
    ring_spread: float = 0.10
    pass_scatter: float = 0.10
    shared_part: float = 0.5
    to_file_m: tuple[float, float] = (100e-6, 300e-6)
    rings_in_set: int = 6
    tails: float = math.inf

    @property
    def u_shared_m(self) -> float:
        """The part of u that is common to a set."""
        return self.shared_part * self.u_m

    @property
    def u_own_m(self) -> float:
        """The part of u that is new with every reading."""
        return math.sqrt(1.0 - self.shared_part**2) * self.u_m


@dataclass(frozen=True)
class Plan:
    """What the planner is told, and how often a ring is read again where it would stop without proof (no units are filed before that)."""

    window: Window = NARROW
    unit: Unit = TURNS
    risk: Risk = USUAL_RISK
    prior: RatePrior = USUAL_PRIOR
    fineness: Fineness = QUICK
    repeats: int = 0


class Until(StrEnum):
    """When one who files by rote stops: once the reading is inside the limits, or once it is at the aim."""

    INSIDE = "the reading is inside"
    AIM = "the reading is at the aim"


@dataclass(frozen=True)
class Outcome:
    """True gap of every ring at the end, the passes and readings it took, and the reason to stop (an index into `REASONS`)."""

    window: Window
    gap_m: Array
    passes: NDArray[np.intp]
    readings: NDArray[np.intp]
    reason: NDArray[np.intp]

    @property
    def rings(self) -> int:
        """How many rings were filed."""
        return self.gap_m.size

    @property
    def over(self) -> int:
        """Rings past the upper limit."""
        return int(np.sum(self.gap_m > self.window.upper_m))

    @property
    def tight(self) -> int:
        """Rings left under the low limit."""
        return int(np.sum(self.gap_m < self.window.low_m))

    @property
    def stalled(self) -> int:
        """Rings that were left without proof either way."""
        done = [REASONS.index(Reason.CONFORMS), REASONS.index(Reason.TOO_WIDE)]
        return self.rings - int(np.isin(self.reason, done).sum())

    @property
    def over_interval(self) -> tuple[float, float]:
        """The 95 % confidence interval of the chance of ending past the upper limit."""
        return clopper_pearson(self.over, self.rings)


def clopper_pearson(count: int, of: int, level: float = 0.95) -> tuple[float, float]:
    """Confidence interval of a proportion that holds its level for any proportion.

    Source: C. J. Clopper and E. S. Pearson, "The use of confidence or fiducial limits illustrated in the case of the binomial",
    Biometrika 26, 1934; written with the beta distribution.
    """
    tail = 0.5 * (1.0 - level)
    low = 0.0 if count == 0 else float(special.betaincinv(count, of - count + 1, tail))
    high = 1.0 if count == of else float(special.betaincinv(count + 1, of - count, 1.0 - tail))
    return low, high


class Hands:
    """A group of sets side by side: their true rates and gauge errors, and the hands that file and read."""

    def __init__(
        self, truth: Truth, plan: Plan, sets: int, part: tuple[float, float], seed: np.random.SeedSequence
    ) -> None:
        self.truth, self.plan, self.sets = truth, plan, sets
        self.draw = np.random.default_rng(seed)
        self.gauge_error = truth.u_shared_m * self.draw.standard_normal(sets)
        in_range = self.draw.uniform(*part, sets) - 0.5
        self.log_kind = np.log(truth.rate_off * plan.prior.guess_m) + in_range * np.log(truth.rate_ratio)
        self.next_ring()

    def next_ring(self) -> None:
        """Take up a new ring of every set."""
        least, most = self.truth.to_file_m
        self.rate = np.exp(self.log_kind + self.truth.ring_spread * self.draw.standard_normal(self.sets))
        self.gap = self.plan.window.low_m - self.draw.uniform(least, most, self.sets)
        self.passes, self.readings, self.reason = (np.zeros(self.sets, np.intp) for _ in range(3))

    def read(self, which: NDArray[np.intp]) -> Array:
        """Read the gaps of some rings."""
        own = self.truth.u_own_m * self.draw.standard_normal(which.size)
        self.readings[which] += 1
        return np.asarray(self.gap[which] + self.gauge_error[which] + own)

    def file(self, which: NDArray[np.intp], units: float | Array) -> None:
        """File some rings, those with no units not at all."""
        scatter = self.truth.pass_scatter * self._scatter(which.size)
        self.gap[which] += np.maximum(0.0, units * self.rate[which] * (1.0 + scatter))
        self.passes[which] += np.asarray(units) > 0.0

    def done(self) -> Outcome:
        """The rings as they are now."""
        return Outcome(self.plan.window, self.gap, self.passes, self.readings, self.reason)

    def _scatter(self, number: int) -> Array:
        nu = self.truth.tails
        if math.isinf(nu):
            return self.draw.standard_normal(number)
        return math.sqrt((nu - 2.0) / nu) * self.draw.standard_t(nu, number)


def planned(truth: Truth, plan: Plan, rings: int, seed: int = 1) -> Outcome:
    """At least so many rings filed by the planner, each step as `advice.decide` says."""
    return _join(outcome for hands in _groups_of_sets(truth, plan, rings, seed) for outcome in _planned(hands))


def by_rote(truth: Truth, plan: Plan, rings: int, units: float, until: Until, seed: int = 1) -> Outcome:
    """As many rings filed so many units at a time until the reading says so; none of them counts as left without proof."""
    return _join(
        outcome for hands in _groups_of_sets(truth, plan, rings, seed) for outcome in _by_rote(hands, units, until)
    )


def _groups_of_sets(truth: Truth, plan: Plan, rings: int, seed: int) -> Iterator[Hands]:
    groups = -(-rings // (truth.rings_in_set * _SIDE_BY_SIDE))
    for number, spawned in enumerate(np.random.SeedSequence(seed).spawn(groups)):
        yield Hands(truth, plan, _SIDE_BY_SIDE, (number / groups, (number + 1) / groups), spawned)


def _planned(hands: Hands) -> Iterator[Outcome]:
    here = grid(hands.plan.prior, hands.plan.fineness)
    log_kind = np.broadcast_to(here.log_prior, (hands.sets, *here.log_prior.shape))
    for _ in range(hands.truth.rings_in_set):
        hands.next_ring()
        log_kind = log_kind + here.of_kind(_plan_ring(hands, here.of_ring(log_kind)))
        yield hands.done()


def _plan_ring(hands: Hands, log_others: Array) -> Array:
    """File one ring of every set to its end. What was read of them comes back, with the nodes that ceased to count far down."""
    plan = hands.plan
    error = (hands.truth.u_own_m, hands.truth.u_shared_m, "gauge")
    which = np.arange(hands.sets)
    log_evidence = np.full_like(log_others, _NEVER)
    nodes = grid(plan.prior, plan.fineness).blank((hands.sets,)).anew_at(hands.read(which), *error)
    view, kept = RingView(nodes, log_others), np.arange(log_others.shape[-1])
    while which.size:
        kept, view = kept[view.heavy], view.at_nodes(view.heavy)
        share = np.array([plan.risk.share(int(passes) + 1) for passes in hands.passes[which]])
        decision = decide(view, plan.window, plan.unit, share, plan.risk.level)
        hands.reason[which] = decision.reason
        log_evidence[which] = _NEVER
        log_evidence[np.ix_(which, kept)] = view.nodes.log_evidence
        goes_on = np.flatnonzero((decision.units > 0.0) | _reads_again(hands, which, decision.reason))
        which, units = which[goes_on], decision.units[goes_on]
        hands.file(which, units)
        nodes = view.nodes.of_rings(goes_on).filed(units).seen_at(hands.read(which), *error)
        view = RingView(nodes, view.log_others[goes_on])
    return log_evidence


def _reads_again(hands: Hands, which: NDArray[np.intp], reason: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Whether rings that would stop without proof are read again: each pass has been followed by one reading, any more are repeats."""
    done = np.isin(reason, [REASONS.index(Reason.CONFORMS), REASONS.index(Reason.TOO_WIDE)])
    return ~done & (hands.readings[which] - hands.passes[which] - 1 < hands.plan.repeats)


def _by_rote(hands: Hands, units: float, until: Until) -> Iterator[Outcome]:
    window = hands.plan.window
    wanted = window.low_m if until is Until.INSIDE else window.aim_m
    for _ in range(hands.truth.rings_in_set):
        hands.next_ring()
        which = np.arange(hands.sets)
        while (which := which[hands.read(which) < wanted]).size:
            hands.file(which, units)
        yield hands.done()


def _join(outcomes: Iterable[Outcome]) -> Outcome:
    parts = list(outcomes)
    columns = ("gap_m", "passes", "readings", "reason")
    joined = (np.concatenate([getattr(part, column) for part in parts]) for column in columns)
    return Outcome(parts[0].window, *joined)
