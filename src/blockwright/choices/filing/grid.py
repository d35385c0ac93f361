"""The pairs of ring rate and pass scatter that are weighed, and how a kind's rate, its rings' spread and the scatter hang together beforehand.

| symbol | name here | meaning |
| --- | --- | --- |
| K | log_kind | ln of the kind's rate on this wheel |
| T | spread | standard deviation of ln(rate) from ring to ring |
| R | log_rate | ln of one ring's rate, normal about K with T |
| S | scatter | standard deviation of a pass's growth as a part of it, common to all rings of the kind |

K is normal, T and S log-normal (`RatePrior`). Each is weighed at equal steps (trapezoidal sums, which converge fast for smooth densities), so that
the sums over rings are products of matrices. Arrays of the kind are (..., T, K, S), those of a ring (..., R, S), or flat (..., N);
logarithms throughout. The products are kept in small pieces (one to a spread): the library of linear algebra would share out large
ones over threads, which wait for each other on a busy machine.
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
    """How finely rates, spreads and scatters are weighed. The usual one is shown to be fine enough by a test.

    `rate_step` : step of ln(rate) as a part of the ring spread or the pass scatter assumed, whichever is smaller.
    `spreads`, `scatters` : how many of each.
    """

    rate_step: float = 0.2
    spreads: int = 9
    scatters: int = 9


USUAL_FINENESS = Fineness()


@dataclass(frozen=True)
class Grid:
    """The nodes (see the module), the log weight of each (T, K, S) beforehand, and how likely each R is for each (T, K)."""

    log_rate: Array
    scatter: Array
    log_kind: Array
    spread: Array
    log_prior: Array
    ring_of_kind: Array

    def blank(self, rings: tuple[int, ...] = ()) -> Nodes:
        """Rings that nobody has looked at."""
        rate_m = np.repeat(np.exp(self.log_rate), self.scatter.size)
        return Nodes.blank(rate_m, np.tile(self.scatter, self.log_rate.size), rings)

    def of_ring(self, log_kind_weight: Array) -> Array:
        """What the kind's weights (..., T, K, S) say of a ring's rate, at the ring's nodes (..., N)."""
        highest: Array = log_kind_weight.max(axis=(-3, -2), keepdims=True)
        at_spreads = self.ring_of_kind.swapaxes(-1, -2) @ np.exp(log_kind_weight - highest)
        at_nodes: Array = _log(at_spreads.sum(axis=-3)) + highest[..., 0, :, :]
        return at_nodes.reshape(*at_nodes.shape[:-2], -1)

    def of_kind(self, log_evidence: Array) -> Array:
        """What one ring's evidence (..., N) says of its kind, (..., T, K, S)."""
        at_nodes = log_evidence.reshape(*log_evidence.shape[:-1], 1, self.log_rate.size, self.scatter.size)
        highest: Array = at_nodes.max(axis=-2, keepdims=True)
        return _log(self.ring_of_kind @ np.exp(at_nodes - highest)) + highest


@lru_cache(maxsize=16)
def grid(prior: RatePrior, fineness: Fineness = USUAL_FINENESS) -> Grid:
    """The grid of an assumption, made once."""
    kind_sd = np.log(prior.factor) / PER_FACTOR
    spread, spread_weight = _log_normal(prior.ring_spread, prior.spread_factor, fineness.spreads)
    scatter, scatter_weight = _log_normal(prior.pass_scatter, prior.spread_factor, fineness.scatters)
    step = fineness.rate_step * min(prior.ring_spread, prior.pass_scatter)
    kind = _steps(_REACH_KIND * kind_sd, 2.0 * step)
    ring = _steps(kind[-1] + _REACH_RING * spread[-1], step)
    kind_weight = np.exp(-0.5 * (kind / kind_sd) ** 2)
    weight = spread_weight[:, None, None] * kind_weight[:, None] * scatter_weight
    of_kind = np.exp(-0.5 * ((ring - kind[:, None]) / spread[:, None, None]) ** 2)
    of_kind /= of_kind.sum(axis=-1, keepdims=True)
    return Grid(
        log_rate=np.log(prior.guess_m) + ring,
        scatter=scatter,
        log_kind=np.log(prior.guess_m) + kind,
        spread=spread,
        log_prior=np.log(weight / weight.sum()),
        ring_of_kind=of_kind,
    )


def _steps(reach: float, step: float) -> Array:
    number = int(np.ceil(reach / step))
    return step * np.arange(-number, number + 1, dtype=np.float64)


def _log_normal(middle: float, factor: float, number: int) -> tuple[Array, Array]:
    """Values at equal steps of their logarithm, and their weights."""
    at = np.linspace(-_REACH_SPREAD, _REACH_SPREAD, number)
    weight = np.exp(-0.5 * at**2)
    weight[[0, -1]] *= 0.5
    return middle * np.exp(at * np.log(factor) / PER_FACTOR), weight


def _log(values: Array) -> Array:
    """Logarithm, of nothing a very small one."""
    log_values: Array = np.log(np.maximum(values, _SMALLEST))
    return log_values
