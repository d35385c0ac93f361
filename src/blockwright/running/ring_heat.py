"""How far a ring's gap closes when it is hot, and the cold gap that keeps its ends apart.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| s | gap | true gap in its bore at 20 °C | m |
| s_min | least_gap_m | cold gap at which the ends just touch | m |
| T_r, T_b | temperatures of ring and bore, with their spread | °C |
| a_r, a_b | expansion of ring and bore, with their spread | 1/K |

Temperatures and coefficients are drawn together (normal, seeded); the least cold gap of each draw gives a distribution. The
computed limit is its quantile at the level the shop states. Not validated against a measured engine: the closure is geometry with
published coefficients, the temperatures are assumed unless given.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Offer
from blockwright.fits.strength import ring_alloy
from blockwright.materials import alloy
from blockwright.metrology.estimate import Estimate
from blockwright.physics.expansion import cold_gap_for
from blockwright.running.temperatures import Temperature, temperature

SAMPLES = 100_000
SEED = 20
RING_OF_FIT = {
    "top end gap": "top_ring",
    "second end gap": "second_ring",
    "upper rail gap": "oil_ring",
    "lower rail gap": "oil_ring",
}
Normal = tuple[float, float]
"""Mean and standard deviation."""


@dataclass(frozen=True)
class Weight:
    """How much of the spread one input brings, 0 to 1, in words."""

    words: str
    share: float


@dataclass(frozen=True)
class RingHeat:
    """What heat does to a ring's gap in its bore.

    `least_gap_m` is the cold gap that keeps P(ends touch) at `level`, with `standard_error_m` from the sampling; `closure_m` and
    `closure_sd_m` the mean closing and its spread; `weights` what the spread comes from, heaviest first.
    """

    ring: Temperature
    bore: Temperature
    level: float
    least_gap_m: float
    standard_error_m: float
    closure_m: float
    closure_sd_m: float
    weights: tuple[Weight, ...]
    sorted_least_m: np.ndarray

    def chance_of_touching(self, gap: Estimate) -> float:
        """P(the ends touch) for a gap as read, its own uncertainty included (normal)."""
        if gap.u == 0.0:
            return float(np.mean(self.sorted_least_m >= gap.value))
        from scipy.special import ndtr

        return float(np.mean(ndtr((self.sorted_least_m - gap.value) / gap.u)))


def ring_heat(job: Job, fit_name: str, position: Position) -> RingHeat:
    """What heat does to the gap of a fit's ring at a cylinder."""
    ring = alloy(ring_alloy(job, job.in_cylinder(position.number).rings, fit_name))
    bore = alloy(job.engine.running_surface)
    ring_c, bore_c = temperature(job, RING_OF_FIT[fit_name]), temperature(job, "bore")
    least, closure, sd, weights = _sampled(
        job.engine.bore_m,
        (ring_c.value_c, ring_c.u_k),
        (bore_c.value_c, bore_c.u_k),
        (ring.expansion_per_k, ring.expansion_u_per_k),
        (bore.expansion_per_k, bore.expansion_u_per_k),
    )
    level = job.rules.touch
    return RingHeat(
        ring_c,
        bore_c,
        level,
        float(np.quantile(least, 1.0 - level)),
        _quantile_error(least, 1.0 - level),
        closure,
        sd,
        weights,
        least,
    )


def computed_offers(job: Job, fit: Fit, position: Position) -> Sequence[Offer]:
    """The computed low limit of an end gap; nothing for other fits."""
    if fit.name not in RING_OF_FIT or position.place is not Place.CYLINDER:
        return ()
    heat = ring_heat(job, fit.name, position)
    words = (
        f"ends touch with {heat.level:.1%} chance at ring {heat.ring.value_c:.0f} °C, bore {heat.bore.value_c:.0f} °C "
        f"({heat.ring.origin}, give or take {heat.ring.u_k:.0f} K); not validated on a measured engine"
    )
    return (Offer(Authority.COMPUTED, words, low=heat.least_gap_m),)


@lru_cache(maxsize=64)
def _sampled(
    bore_m: float, ring_c: Normal, bore_c: Normal, ring_per_k: Normal, bore_per_k: Normal
) -> tuple[np.ndarray, float, float, tuple[Weight, ...]]:
    rng = np.random.default_rng(SEED)
    inputs = (bore_per_k, ring_per_k, bore_c, ring_c)
    draws = [rng.normal(mean, sd, SAMPLES) for mean, sd in inputs]
    least = np.asarray(cold_gap_for(0.0, bore_m, *draws))
    return np.sort(least), float(least.mean()), float(least.std(ddof=1)), _weights(bore_m, inputs)


def _weights(bore_m: float, inputs: tuple[Normal, ...]) -> tuple[Weight, ...]:
    """Share of the variance by input, first order about the means."""
    words = ("expansion of the bore", "expansion of the ring", "temperature of the bore", "temperature of the ring")
    means = [mean for mean, _ in inputs]
    effects = []
    for index, (mean, sd) in enumerate(inputs):
        high, low = ([*means[:index], mean + step * sd, *means[index + 1 :]] for step in (0.5, -0.5))
        effects.append(float(cold_gap_for(0.0, bore_m, *high) - cold_gap_for(0.0, bore_m, *low)) ** 2)
    total = sum(effects) or 1.0
    return tuple(
        sorted((Weight(word, e / total) for word, e in zip(words, effects, strict=True)), key=lambda w: -w.share)
    )


def _quantile_error(values: np.ndarray, q: float) -> float:
    """Standard error of a quantile of sorted draws, from the spacing of the order statistics about it."""
    n = len(values)
    step = math.sqrt(n * q * (1.0 - q))
    low, high = (min(n - 1, max(0, round(n * q + sign * step))) for sign in (-1.0, 1.0))
    return float(values[high] - values[low]) / 2.0
