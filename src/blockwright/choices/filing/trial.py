"""Thousands of invented rings filed by the planner of this package and by rote: how many end too wide, and in how many passes.

Rings come in sets of one kind on one wheel and are filed one after the other, so that later rings profit from earlier ones. The kind's rate
lies evenly (in its logarithm) within a ratio about the guess; rings and passes scatter; readings err by their own and by a
share common to the whole set. What is true is drawn here and is not told to the planner, which has its usual assumptions.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy import special

from blockwright.choices.filing.advice import REASONS, decide
from blockwright.choices.filing.grid import Fineness, grid
from blockwright.choices.filing.model import RatePrior, Reason, Risk, Unit, Window
from blockwright.choices.filing.nodes import Array
from blockwright.choices.filing.view import RingView

MOST_PASSES = 60
_SIDE_BY_SIDE = 50
COARSE = Fineness(rate_step=0.05, spreads=3, scatters=5)
"""Coarse enough for many thousands of rings; a test compares its advice with the usual one's."""


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
    tails: float = np.inf

    @property
    def u_shared_m(self) -> float:
        """The part of u that is common to a set."""
        return self.shared_part * self.u_m

    @property
    def u_own_m(self) -> float:
        """The part of u that is new with every reading."""
        return float(np.sqrt(1.0 - self.shared_part**2)) * self.u_m


@dataclass(frozen=True)
class Plan:
    """What the planner is told."""

    window: Window = Window(0.400e-3, 0.420e-3, 0.440e-3)
    unit: Unit = Unit("turns")
    risk: Risk = Risk()
    prior: RatePrior = RatePrior()
    fineness: Fineness = COARSE


class Until(StrEnum):
    """When one who files by rote stops: once the reading is inside the limits, or once it is at the aim."""

    INSIDE = "the reading is inside"
    AIM = "the reading is at the aim"


@dataclass(frozen=True)
class Outcome:
    """True gap of every ring at the end, passes it took, and whether it stopped without proof of lying inside."""

    gap_m: Array
    passes: NDArray[np.intp]
    stalled: NDArray[np.bool_]
    window: Window
    reasons: dict[Reason, int] = field(default_factory=dict)

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


class Bench:
    """A run of sets side by side: their true rates and gauge errors, and the hands that file and read."""

    def __init__(self, truth: Truth, plan: Plan, sets: int, seed: np.random.SeedSequence) -> None:
        self.truth, self.plan, self.sets = truth, plan, sets
        self.draw = np.random.default_rng(seed)
        self.gauge_error = truth.u_shared_m * self.draw.standard_normal(sets)
        half = 0.5 * np.log(truth.rate_ratio)
        self.log_kind = np.log(truth.rate_off * plan.prior.guess_m) + self.draw.uniform(-half, half, sets)

    def next_ring(self) -> None:
        """Take up a new ring of every set."""
        least, most = self.truth.to_file_m
        self.rate = np.exp(self.log_kind + self.truth.ring_spread * self.draw.standard_normal(self.sets))
        self.gap = self.plan.window.low_m - self.draw.uniform(least, most, self.sets)

    def read(self, which: NDArray[np.intp]) -> Array:
        """Read the gaps of some rings."""
        own = self.truth.u_own_m * self.draw.standard_normal(which.size)
        return self.gap[which] + self.gauge_error[which] + own

    def file(self, which: NDArray[np.intp], units: float | Array) -> None:
        """File some rings."""
        scatter = self.truth.pass_scatter * self._scatter(which.size)
        self.gap[which] += np.maximum(0.0, units * self.rate[which] * (1.0 + scatter))

    def _scatter(self, number: int) -> Array:
        nu = self.truth.tails
        if np.isinf(nu):
            return self.draw.standard_normal(number)
        return self.draw.standard_t(nu, number) * np.sqrt((nu - 2.0) / nu)


def planned(truth: Truth, plan: Plan, rings: int, seed: int = 1) -> Outcome:
    """At least so many rings filed by the planner, each step as `advice.decide` says."""
    return _join([_planned(bench) for bench in _benches(truth, plan, rings, seed)], plan.window)


def by_rote(truth: Truth, plan: Plan, rings: int, units: float, until: Until, seed: int = 1) -> Outcome:
    """The same rings filed so many units at a time until the reading says so."""
    return _join([_by_rote(bench, units, until) for bench in _benches(truth, plan, rings, seed)], plan.window)


def _benches(truth: Truth, plan: Plan, rings: int, seed: int) -> list[Bench]:
    runs = -(-rings // (truth.rings_in_set * _SIDE_BY_SIDE))
    return [Bench(truth, plan, _SIDE_BY_SIDE, seed) for seed in np.random.SeedSequence(seed).spawn(runs)]


@dataclass(frozen=True)
class _Run:
    gap_m: Array
    passes: NDArray[np.intp]
    reason: NDArray[np.intp]


def _planned(bench: Bench) -> list[_Run]:
    here = grid(bench.plan.prior, bench.plan.fineness)
    log_kind = np.broadcast_to(here.log_prior, (bench.sets, *here.log_prior.shape))
    runs = []
    for _ in range(bench.truth.rings_in_set):
        bench.next_ring()
        run, log_evidence = _plan_ring(bench, here.of_ring(log_kind))
        log_kind = log_kind + here.of_kind(log_evidence)
        runs.append(run)
    return runs


def _plan_ring(bench: Bench, log_others: Array) -> tuple[_Run, Array]:
    """File one ring of every set to its end; what was read of it comes back too."""
    plan, own, shared = bench.plan, bench.truth.u_own_m, bench.truth.u_shared_m
    which = np.arange(bench.sets)
    passes, reason = np.zeros(bench.sets, np.intp), np.zeros(bench.sets, np.intp)
    log_evidence = np.zeros_like(log_others)
    blank = grid(plan.prior, plan.fineness).blank((bench.sets,))
    nodes = blank.anew_at(bench.read(which), own, shared, "gauge")
    for number in range(1, MOST_PASSES + 1):
        view = RingView(nodes, log_others[which])
        decision = decide(view, plan.window, plan.unit, plan.risk.share(number), plan.risk.level)
        reason[which], log_evidence[which] = decision.reason, nodes.log_evidence
        goes_on = np.flatnonzero(decision.units > 0.0)
        which, units = which[goes_on], decision.units[goes_on]
        if not which.size:
            break
        bench.file(which, units)
        passes[which] += 1
        nodes = nodes.of_rings(goes_on).filed(units).seen_at(bench.read(which), own, shared, "gauge")
    return _Run(bench.gap, passes, reason), log_evidence


def _by_rote(bench: Bench, units: float, until: Until) -> list[_Run]:
    window = bench.plan.window
    wanted = window.low_m if until is Until.INSIDE else window.aim_m
    runs = []
    for _ in range(bench.truth.rings_in_set):
        bench.next_ring()
        which, passes = np.arange(bench.sets), np.zeros(bench.sets, np.intp)
        while (which := which[bench.read(which) < wanted]).size:
            bench.file(which, units)
            passes[which] += 1
        runs.append(_Run(bench.gap, passes, np.zeros(bench.sets, np.intp)))
    return runs


def _join(benches: list[list[_Run]], window: Window) -> Outcome:
    runs = [run for bench in benches for run in bench]
    reason = np.concatenate([run.reason for run in runs])
    counts = {name: int(np.sum(reason == number)) for number, name in enumerate(REASONS)}
    return Outcome(
        gap_m=np.concatenate([run.gap_m for run in runs]),
        passes=np.concatenate([run.passes for run in runs]),
        stalled=(reason != REASONS.index(Reason.CONFORMS)) & (reason != REASONS.index(Reason.TOO_WIDE)),
        window=window,
        reasons={name: count for name, count in counts.items() if count},
    )
