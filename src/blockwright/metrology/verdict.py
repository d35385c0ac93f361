"""Is the true value inside its limits? Probability, verdict, and the best that the gauge in hand could ever say.

| symbol | name here | meaning |
| --- | --- | --- |
| y, u, nu | estimate.value, .u, .dof | what was measured, its standard uncertainty and degrees of freedom |
| T_L, T_U | low, high | limits; `None` where a side is open |
| p_C | Chances.inside | probability that the true value lies inside |

JCGM 106:2012 clauses 7 and 8 give the probability; ISO 14253-1:2017 gives the verdicts. Between "proven inside" and "proven outside"
lies "undecided". A reading known only to lie between two marks is flat, not bell-shaped; where such readings weigh most, their own
distribution is used.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy import special

from blockwright.metrology.estimate import Estimate

Array = NDArray[np.float64]

MOST_SECANTS, CLOSE_ENOUGH = 60, 1e-7
FLAT_MATTERS = 0.25
"""Flat shares are treated as flat once they make up this part of the variance; below it a bell is as good."""

AS_GOOD_AS_NORMAL = 1e6
"""Degrees of freedom above which t and normal differ by less than the last digit of the density's own formula."""


class Verdict(StrEnum):
    """The three verdicts of ISO 14253-1."""

    CONFORMS = "conforms"
    UNDECIDED = "undecided"
    NONCONFORMING = "nonconforming"


class Acceptance(StrEnum):
    """How a shop decides: `GUARDED` wants proof either way, `PLAIN` takes the reading at its word."""

    GUARDED = "guarded"
    PLAIN = "plain"


@dataclass(frozen=True)
class Rule:
    """The shop's rule of decision: the probability wanted, and guarded or plain acceptance."""

    level: float = 0.95
    acceptance: Acceptance = Acceptance.GUARDED


@dataclass(frozen=True)
class Chances:
    """Probabilities that the true value lies below, inside and above the limits; they add up to one."""

    below: float
    inside: float
    above: float


def probability_below(estimate: Estimate, bound: float) -> float:
    """Probability that the true value lies below `bound` (same unit as the estimate).

    Notes
    -----
    Normal for infinite degrees of freedom, else t scaled by u (JCGM 106:2012, A.4.2). Where flat shares weigh at least `FLAT_MATTERS` of the
    variance, the largest is convolved with the rest (normal or t) exactly and a second one by Gauss-Legendre quadrature; any
    further flat share counts with the rest.
    """
    if estimate.u == 0.0:
        return float(estimate.value < bound)
    if _flat_matters(estimate):
        return _with_flat(estimate)(bound - estimate.value)
    z = (bound - estimate.value) / estimate.u
    if math.isinf(estimate.dof):
        return 0.5 * math.erfc(-z / math.sqrt(2.0))
    return float(special.stdtr(estimate.dof, z))


def chances(estimate: Estimate, low: float | None, high: float | None) -> Chances:
    """Probabilities below, inside and above the limits; an open side has none beyond it."""
    below = 0.0 if low is None else probability_below(estimate, low)
    above = 0.0 if high is None else _probability_above(estimate, high)
    return Chances(below, max(0.0, 1.0 - below - above), above)


def decide(estimate: Estimate, low: float | None, high: float | None, rule: Rule) -> Verdict:
    """Verdict under the shop's rule. With two limits the two-sided probability decides.

    A value inside the limits never proves the opposite, however poor the gauge: there the verdict is at worst "undecided".
    """
    inside = (low is None or estimate.value >= low) and (high is None or estimate.value <= high)
    if rule.acceptance is Acceptance.PLAIN:
        return Verdict.CONFORMS if inside else Verdict.NONCONFORMING
    return decide_by(chances(estimate, low, high), inside, rule)


def decide_by(chance: Chances, inside: bool, rule: Rule) -> Verdict:
    """Verdict under the shop's rule from probabilities already known; `inside` says whether the best value lies inside the limits."""
    if rule.acceptance is Acceptance.PLAIN:
        return Verdict.CONFORMS if inside else Verdict.NONCONFORMING
    if chance.inside >= rule.level:
        return Verdict.CONFORMS
    if not inside and 1.0 - chance.inside >= rule.level:
        return Verdict.NONCONFORMING
    return Verdict.UNDECIDED


def best_possible(estimate: Estimate, low: float, high: float) -> float:
    """Highest probability of lying inside that any value could get with this uncertainty: the value in the middle.

    For a normal distribution it is 2 Phi(T / 2u) - 1: with T / 4u under about 0.98, nothing can be proven inside at 95 %.
    """
    return chances(Estimate(0.5 * (low + high), estimate.shares), low, high).inside


def expanded(estimate: Estimate, level: float = 0.95) -> float:
    """Half-width of the coverage interval at `level`: k u, k from the normal or, with few degrees of freedom, from t.

    Where flat shares matter, the half-width within which their own distribution has that probability.
    """
    if estimate.u == 0.0:
        return 0.0
    upper = 0.5 * (1.0 + level)
    if _flat_matters(estimate):
        return _half_width(estimate, upper)
    if math.isinf(estimate.dof):
        return float(special.ndtri(upper)) * estimate.u
    return float(special.stdtrit(estimate.dof, upper)) * estimate.u


def _flat_matters(estimate: Estimate) -> bool:
    flat = sum(share.u**2 for _, share in estimate.budget if share.flat)
    return flat >= FLAT_MATTERS * estimate.u**2


def _half_width(estimate: Estimate, upper: float) -> float:
    """Where the distribution reaches `upper`: by secants within a bracket (Illinois), to a ten-thousandth of u."""
    below = _with_flat(estimate)
    low, high = 0.0, 12.0 * estimate.u
    f_low, f_high = 0.5 - upper, below(high) - upper
    for _ in range(MOST_SECANTS):
        middle = high - f_high * (high - low) / (f_high - f_low)
        f_middle = below(middle) - upper
        if abs(f_middle) < CLOSE_ENOUGH or high - low < 1e-4 * estimate.u:
            return middle
        if f_middle < 0.0:
            low, f_low, f_high = middle, f_middle, 0.5 * f_high
        else:
            high, f_high, f_low = middle, f_middle, 0.5 * f_low
    return high


def _probability_above(estimate: Estimate, bound: float) -> float:
    """A value without error that lies on its upper limit is not above it, as one on its lower limit is not below it."""
    return float(estimate.value > bound) if estimate.u == 0.0 else 1.0 - probability_below(estimate, bound)


def _with_flat(estimate: Estimate) -> Callable[[float], float]:
    """Distribution function of the error of an estimate whose flat shares matter: probability that it is less than an offset."""
    flat = [line for line in estimate.budget if line[1].flat][:2]
    widths = [math.sqrt(3.0) * abs(share.u) for _, share in flat]
    rest = Estimate(0.0, dict(line for line in estimate.budget if line not in flat))
    if len(widths) == 1:
        return lambda offset: float(_flat_and_rest(np.array([offset]), widths[0], rest)[0])
    nodes, weights = _gauss_legendre()
    shifts, halves = widths[1] * nodes, weights / 2.0
    return lambda offset: float(_flat_and_rest(offset - shifts, widths[0], rest) @ halves)


@cache
def _gauss_legendre() -> tuple[Array, Array]:
    """Nodes and weights on -1 to 1; worked out once, they cost more than a whole verdict."""
    nodes, weights = np.polynomial.legendre.leggauss(64)
    return np.asarray(nodes), np.asarray(weights)


def _flat_and_rest(offset: Array, half: float, rest: Estimate) -> Array:
    """Distribution function of a flat error of this half-width plus a normal or t-shaped one."""
    sigma = rest.u
    if sigma < 1e-6 * half:
        return np.asarray(np.clip((offset + half) / (2.0 * half), 0.0, 1.0))
    upper, lower = (offset + half) / sigma, (offset - half) / sigma
    return np.asarray(np.clip(sigma / (2.0 * half) * (_ramp(upper, rest.dof) - _ramp(lower, rest.dof)), 0.0, 1.0))


def _ramp(z: Array, dof: float) -> Array:
    """Integral of the normal's or t's distribution function, up to a constant."""
    if dof > AS_GOOD_AS_NORMAL:
        return np.asarray(z * special.ndtr(z) + np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi))
    if dof < 1.0 + 1e-6:
        return np.asarray(z / 2.0 + (z * np.arctan(z) - 0.5 * np.log1p(z * z)) / math.pi)
    log_peak = math.lgamma((dof + 1.0) / 2.0) - math.lgamma(dof / 2.0) - 0.5 * math.log(dof * math.pi)
    density = np.exp(log_peak - 0.5 * (dof + 1.0) * np.log1p(z * z / dof))
    return np.asarray(z * special.stdtr(dof, z) + (dof + z * z) / (dof - 1.0) * density)
