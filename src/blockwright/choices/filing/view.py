"""One ring weighed over all pairs of rate and scatter: where its gap is now, and where it would be after more units.

The gap is a mixture of normals, one to a node, so every mean and probability below is in closed form. All take any number of rings side by
side (leading axes), and units and bounds of that shape.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

from blockwright.choices.filing.model import Window
from blockwright.choices.filing.nodes import Array, Nodes

_NO_WEIGHT = 1e-13


@dataclass(frozen=True)
class RingView:
    """State of a ring at its nodes, and the log weight (..., N) that all other rings of its kind give to each node."""

    nodes: Nodes
    log_others: Array

    @cached_property
    def weight(self) -> Array:
        """Weight of each node once everything is known; adds up to one."""
        log_weight = self.log_others + self.nodes.log_evidence
        weight: Array = np.exp(log_weight - log_weight.max(axis=-1, keepdims=True))
        total: Array = weight.sum(axis=-1, keepdims=True)
        return weight / total

    @property
    def heavy(self) -> NDArray[np.intp]:
        """The nodes that weigh anything, in any ring."""
        return np.flatnonzero((self.weight > _NO_WEIGHT).reshape(-1, self.weight.shape[-1]).any(axis=0))

    def at_nodes(self, keep: NDArray[np.intp]) -> RingView:
        """The same from some of the nodes."""
        return RingView(self.nodes.at_nodes(keep), self.log_others[..., keep])

    @cached_property
    def gap_m(self) -> Array:
        """Expected gap now."""
        return self._average(self.nodes.mean[0])

    @cached_property
    def rate_m(self) -> Array:
        """Expected growth per unit."""
        return self._average(np.broadcast_to(self.nodes.rate_m, self.weight.shape))

    @cached_property
    def u_gap_m(self) -> Array:
        """Standard uncertainty of the gap now."""
        off = self.nodes.mean[0] - self.gap_m[..., None]
        return np.sqrt(self._average(self.nodes.cov[0, 0] + off**2))

    @cached_property
    def u_log_rate(self) -> Array:
        """Standard uncertainty of ln(rate)."""
        log_rate = np.broadcast_to(np.log(self.nodes.rate_m), self.weight.shape)
        return np.sqrt(self._average((log_rate - self._average(log_rate)[..., None]) ** 2))

    def gap_after(self, units: float | Array) -> Array:
        """Expected gap after so many more units."""
        return self.gap_m + units * self.rate_m

    def below(self, bound_m: float | Array, units: float | Array = 0.0) -> Array:
        """Chance that the gap lies below the bound after so many more units."""
        return self._chance(special.ndtr(self._standard(bound_m, units)))

    def above(self, bound_m: float | Array, units: float | Array = 0.0) -> Array:
        """Chance that the gap lies above the bound after so many more units."""
        return self._chance(special.ndtr(-self._standard(bound_m, units)))

    def inside(self, window: Window, units: float | Array = 0.0) -> Array:
        """Chance that the gap lies inside the limits after so many more units. A side without a limit has none beyond it."""
        inside = special.ndtr(-self._standard(window.low_m, units))
        if window.high_m is not None:
            inside = inside - special.ndtr(-self._standard(window.high_m, units))
        return self._chance(inside)

    def _standard(self, bound_m: float | Array, units: float | Array) -> Array:
        """The bound in standard deviations of each node's gap."""
        growth = self.nodes.rate_m * np.asarray(units, dtype=np.float64)[..., None]
        sd: Array = np.sqrt(self.nodes.cov[0, 0] + (self.nodes.scatter * growth) ** 2)
        off: Array = np.asarray(bound_m, dtype=np.float64)[..., None] - self.nodes.mean[0] - growth
        return off / sd

    def _chance(self, at_nodes: Array) -> Array:
        """The average of chances, which rounding must not take over one."""
        return np.minimum(self._average(at_nodes), 1.0)

    def _average(self, at_nodes: Array) -> Array:
        average: Array = np.asarray(np.einsum("...n,...n->...", self.weight, at_nodes))
        return average
