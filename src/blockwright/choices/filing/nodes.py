"""The gap of one ring, supposing that its rate and the scatter of passes were known: a Gaussian filter at every pair of them.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| r, s | rate_m, scatter | growth per unit, and scatter of a pass as a part of its growth, at a node | m, 1 |
| x | mean, cov | state: true gap, then the error of each gauge in its own standard deviations | m, 1 |
| | log_evidence | log density of all that was read of this ring, at a node, up to a constant common to all nodes | |

A pass of n units: the gap's mean grows by r n, its variance by (s r n)^2. A reading z = gap + u_shared e_gauge + own error updates the state
(R. E. Kalman, "A new approach to linear filtering and prediction problems", Journal of Basic Engineering 82, 1960). A reading known only
to lie between bounds replaces the shown value's normal by the cut-off one with the same first two moments; its evidence is exact.
The gap starts from nothing (a flat prior): the first reading is the gap, and tells nothing of a rate or of a gauge's error.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray
from scipy import special

from blockwright.choices.filing.model import Between, Reading

Array = NDArray[np.float64]

_LOG_ROOT_2PI = 0.5 * math.log(2.0 * math.pi)
_SMALLEST = 1e-300
_NARROW = 1e-3
"""A cut this many standard deviations wide is flat; the closed formula would lose its digits."""


@dataclass(frozen=True)
class Nodes:
    """State at N nodes. `rate_m`, `scatter`: (N,); `mean`: (1 + gauges, ..., N); `cov`: (1 + gauges, 1 + gauges, ..., N); `log_evidence`: (..., N).

    The dots stand for any number of rings side by side; readings and units then have that shape.
    """

    rate_m: Array
    scatter: Array
    mean: Array
    cov: Array
    log_evidence: Array
    gauges: tuple[str, ...] = ()

    @classmethod
    def blank(cls, rate_m: Array, scatter: Array, rings: tuple[int, ...] = ()) -> Self:
        """Rings of which nothing is known yet; their first look must be taken with `anew`."""
        shape = (*rings, rate_m.size)
        return cls(rate_m, scatter, np.zeros((1, *shape)), np.zeros((1, 1, *shape)), np.zeros(shape))

    def filed(self, units: float | Array) -> Nodes:
        """After a pass of so many units."""
        growth = self.rate_m * _column(units)
        mean, cov = self.mean.copy(), self.cov.copy()
        mean[0] += growth
        cov[0, 0] += (self.scatter * growth) ** 2
        return replace(self, mean=mean, cov=cov)

    def anew(self, seen: Reading | Between) -> Nodes:
        """The gap taken from this reading alone, whatever was thought of it before; what is known of rates stays as it is."""
        if isinstance(seen, Reading):
            return self.anew_at(seen.value_m, seen.u_own_m, seen.u_shared_m, seen.gauge)
        if not seen.bounded:
            raise ValueError("the first look at a ring needs a blade that goes and one that does not")
        own = math.hypot(seen.u_own_m, (seen.high_m - seen.low_m) / math.sqrt(12.0))
        return self.anew_at(0.5 * (seen.low_m + seen.high_m), own, seen.u_shared_m, seen.gauge)

    def anew_at(self, value_m: float | Array, u_own_m: float, u_shared_m: float = 0.0, gauge: str = "") -> Nodes:
        """As `anew`, for a plain reading, and for many rings at once."""
        known = self.knowing(gauge) if u_shared_m else self
        error = known.row((gauge, u_shared_m))
        error[0] = 0.0
        error_mean, error_cov, error_var = known.shown(error)
        mean, cov = known.mean.copy(), known.cov.copy()
        mean[0] = _column(value_m) - error_mean
        cov[0], cov[:, 0] = -error_cov, -error_cov
        cov[0, 0] = u_own_m**2 + error_var
        return replace(known, mean=mean, cov=cov)

    def seen(self, seen: Reading | Between) -> Nodes:
        """After one more reading of the gap."""
        if isinstance(seen, Reading):
            return self.seen_at(seen.value_m, seen.u_own_m, seen.u_shared_m, seen.gauge)
        return self.seen_between(seen)

    def seen_at(self, value_m: float | Array, u_own_m: float, u_shared_m: float = 0.0, gauge: str = "") -> Nodes:
        """As `seen`, for a plain reading, and for many rings at once."""
        known = self.knowing(gauge) if u_shared_m else self
        shown, with_shown, variance = known.shown(known.row((gauge, u_shared_m)))
        variance = variance + u_own_m**2
        off = _column(value_m) - shown
        evidence = -0.5 * (off**2 / variance + np.log(variance)) - _LOG_ROOT_2PI
        return known._moved(off, variance, with_shown, evidence)

    def seen_between(self, seen: Between) -> Nodes:
        """After one more look with blades."""
        known = self.knowing(seen.gauge) if seen.u_shared_m else self
        shown, with_shown, variance = known.shown(known.row((seen.gauge, seen.u_shared_m)))
        variance = variance + seen.u_own_m**2
        sd = np.sqrt(variance)
        evidence, off, left = cut_normal((seen.low_m - shown) / sd, (seen.high_m - shown) / sd)
        return known._moved(off * sd, variance, with_shown, evidence, left)

    def knowing(self, gauge: str) -> Nodes:
        """With a place in the state for the error of this gauge."""
        if gauge in self.gauges:
            return self
        old = len(self.mean)
        mean = np.zeros((old + 1, *self.mean.shape[1:]))
        cov = np.zeros((old + 1, old + 1, *self.mean.shape[1:]))
        mean[:old], cov[:old, :old], cov[old, old] = self.mean, self.cov, 1.0
        return replace(self, mean=mean, cov=cov, gauges=(*self.gauges, gauge))

    def row(self, *shares: tuple[str, float]) -> Array:
        """How a shown value is made up of the state: the gap, and for each gauge so much of its error."""
        row = np.zeros(len(self.mean))
        row[0] = 1.0
        for gauge, share_m in shares:
            if share_m:
                row[1 + self.gauges.index(gauge)] += share_m
        return row

    def of_rings(self, which: NDArray[np.intp]) -> Nodes:
        """Some of the rings that lie side by side."""
        return replace(self, mean=self.mean[:, which], cov=self.cov[:, :, which], log_evidence=self.log_evidence[which])

    def at_nodes(self, keep: NDArray[np.intp]) -> Nodes:
        """Some of the nodes."""
        return Nodes(
            rate_m=self.rate_m[keep],
            scatter=self.scatter[keep],
            mean=self.mean[..., keep],
            cov=self.cov[..., keep],
            log_evidence=self.log_evidence[..., keep],
            gauges=self.gauges,
        )

    def shown(self, row: Array) -> tuple[Array, Array, Array]:
        """Mean of what is made up of the state by `row`, its covariance with the state, and its variance."""
        with_state = np.einsum("i,i...->...", row, self.cov)
        variance = np.einsum("i,i...->...", row, with_state)
        return np.einsum("i,i...->...", row, self.mean), with_state, variance

    def _moved(
        self, off: Array, variance: Array, with_shown: Array, evidence: Array, left: float | Array = 0.0
    ) -> Nodes:
        """The state once the shown value is off its mean by `off`, with a part `left` of its variance."""
        gain = with_shown / variance
        return replace(
            self,
            mean=self.mean + gain * off,
            cov=self.cov - gain[:, None] * (with_shown * (1.0 - left)),
            log_evidence=self.log_evidence + evidence,
        )


def cut_normal(low: Array, high: Array) -> tuple[Array, Array, Array]:
    """Standard normal cut off below `low` and above `high`: log of what is left, and the mean and variance of that.

    Notes: with Z = Phi(b) - Phi(a), mean (phi(a) - phi(b)) / Z, variance 1 + (a phi(a) - b phi(b)) / Z - mean^2 (N. L. Johnson, S. Kotz and
    N. Balakrishnan, Continuous Univariate Distributions, vol. 1, 2nd ed., 1994, section 10.1; from memory). Both bounds are turned to the side
    of the lower tail first, where Phi keeps its digits. A cut far from the middle has its whole weight beside the nearer bound.
    """
    turned = low + high > 0.0
    a, b = np.where(turned, -high, low), np.where(turned, -low, high)
    log_b = special.log_ndtr(b)
    log_z = log_b + np.log(np.maximum(-np.expm1(special.log_ndtr(a) - log_b), _SMALLEST))
    at_a, at_b = np.exp(_log_density(a) - log_z), np.exp(_log_density(b) - log_z)
    mean = at_a - at_b
    variance = 1.0 + _times(a, at_a) - _times(b, at_b) - mean**2
    flat = b - a < _NARROW
    middle = 0.5 * (np.where(np.isfinite(a), a, b) + np.where(np.isfinite(b), b, a))
    mean = np.clip(np.where(flat, middle, mean), a, b)
    variance = np.where(flat, (b - a) ** 2 / 12.0, np.clip(variance, 0.0, 1.0))
    return log_z, np.where(turned, -mean, mean), variance


def _log_density(x: Array) -> Array:
    return -0.5 * x**2 - _LOG_ROOT_2PI


def _times(bound: Array, density: Array) -> Array:
    """Product that is nothing at an infinite bound."""
    return np.where(np.isfinite(bound), bound, 0.0) * density


def _column(value: float | Array) -> Array:
    """One value for each ring, set against the nodes."""
    return np.asarray(value, dtype=np.float64)[..., None]
