"""The pairs of ring rate and pass scatter that are weighed, and how a kind's rate, its rings' spread and the scatter hang together beforehand.

| symbol | name here | meaning |
| --- | --- | --- |
| K | log_kind | ln of the kind's rate on this wheel |
| T | spread | standard deviation of ln(rate) from ring to ring |
| R | log_rate | ln of one ring's rate, normal about K with T |
| S | scatter | standard deviation of a pass's growth as a part of it, common to all rings of the kind |

K is normal, T and S log-normal (`RatePrior`). Each is weighed at equal steps (trapezoidal sums, which converge fast for smooth densities), so that
the sums over rings are products of matrices. Arrays of the kind are (..., T x K, S), those of a ring (..., R, S), logarithms throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from blockwright.choices.filing.model import RatePrior
from blockwright.choices.filing.nodes import Array, Nodes

PER_FACTOR = 1.959964
"""Standard deviations between the middle and the end of a range that holds 95 of 100 cases."""

_REACH_KIND = 4.0
_REACH_SPREAD = 2.5
_REACH_RING = 3.0
_SMALLEST = 1e-300


@dataclass(frozen=True)
class Fineness:
    """How finely the rates (step of ln rate), spreads and scatters are weighed. The usual one is shown to be fine enough by a test."""

    rate_step: float = 0.025
    spreads: int = 9
    scatters: int = 9


@dataclass(frozen=True)
class Grid:
    """The nodes (see the module), the log weight of each (T x K, S) beforehand, and how likely each R is for each (T, K)."""

    log_rate: Array
    scatter: Array
    log_kind: Array
    spread: Array
    log_prior: Array
    ring_of_kind: Array

    @property
    def rate_m(self) -> Array:
        """Growth per unit at every node of a ring, in the order of `flat`."""
        return np.repeat(np.exp(self.log_rate), self.scatter.size)

    @property
    def scatter_at(self) -> Array:
        """Pass scatter at every node of a ring, in the order of `flat`."""
        return np.tile(self.scatter, self.log_rate.size)

    def blank(self, rings: tuple[int, ...] = ()) -> Nodes:
        """Rings that nobody has looked at."""
        return Nodes.blank(self.rate_m, self.scatter_at, rings)

    def of_ring(self, log_kind_weight: Array) -> Array:
        """What the kind's weights (..., T x K, S) say of a ring's rate, at the ring's nodes (..., N)."""
        return self.flat(_log_product(self.ring_of_kind.T, log_kind_weight))

    def of_kind(self, log_evidence: Array) -> Array:
        """What one ring's evidence (..., N) says of its kind, (..., T x K, S)."""
        return _log_product(self.ring_of_kind, log_evidence.reshape(*log_evidence.shape[:-1], self.log_rate.size, -1))

    @staticmethod
    def flat(at_nodes: Array) -> Array:
        """(..., R, S) as (..., N)."""
        return at_nodes.reshape(*at_nodes.shape[:-2], -1)


@lru_cache(maxsize=16)
def grid(prior: RatePrior, fineness: Fineness = Fineness()) -> Grid:
    """The grid of an assumption, made once."""
    kind_sd = np.log(prior.factor) / PER_FACTOR
    spread, spread_weight = _log_normal(prior.ring_spread, prior.spread_factor, fineness.spreads)
    scatter, scatter_weight = _log_normal(prior.pass_scatter, prior.spread_factor, fineness.scatters)
    reach = _REACH_KIND * kind_sd
    kind = _steps(reach, 2.0 * fineness.rate_step)
    ring = _steps(reach + _REACH_RING * spread[-1], fineness.rate_step)
    kind_weight = np.exp(-0.5 * (kind / kind_sd) ** 2)
    weight = spread_weight[:, None, None] * kind_weight[:, None] * scatter_weight
    of_kind = np.exp(-0.5 * ((ring - kind[:, None]) / spread[:, None, None]) ** 2)
    of_kind /= of_kind.sum(axis=-1, keepdims=True)
    return Grid(
        log_rate=np.log(prior.guess_m) + ring,
        scatter=scatter,
        log_kind=np.log(prior.guess_m) + kind,
        spread=spread,
        log_prior=np.log(weight / weight.sum()).reshape(-1, scatter.size),
        ring_of_kind=of_kind.reshape(-1, ring.size),
    )


def _steps(reach: float, step: float) -> Array:
    number = int(np.ceil(reach / step))
    return step * np.arange(-number, number + 1)


def _log_normal(middle: float, factor: float, number: int) -> tuple[Array, Array]:
    """Values at equal steps of their logarithm, and their weights."""
    at = np.linspace(-_REACH_SPREAD, _REACH_SPREAD, number)
    weight = np.exp(-0.5 * at**2)
    weight[[0, -1]] *= 0.5
    return middle * np.exp(at * np.log(factor) / PER_FACTOR), weight


def _log_product(matrix: Array, log_values: Array) -> Array:
    """Logarithm of the matrix times exp of the values, which are scaled column by column first."""
    highest = log_values.max(axis=-2, keepdims=True)
    return np.log(np.maximum(matrix @ np.exp(log_values - highest), _SMALLEST)) + highest
