"""How far a ring's gap closes when it is hot, and the cold gap that keeps its ends apart.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| s | gap | true gap in its bore at 20 °C | m |
| s_min | least_gap_m | cold gap at which the ends just touch | m |
| T_r, T_b | temperatures of ring and bore, with their spread | °C |
| a_r, a_b | expansion of ring and bore, with their spread | 1/K |

Temperatures and coefficients are drawn together (normal, independent, seeded); the least cold gap of each draw gives a distribution. It is nearly
that of the formula made straight about the means, which is normal and known without drawing; so only the difference between the two is taken from
the draws (a control variate), and hardly any of the sampling's own error is left. The computed limit is the quantile at the level that the
shop states. In an engine ring and bore grow hot together, which would make the spread smaller than it is taken here.

Not validated against a measured engine: the closure is geometry with published coefficients, the temperatures are assumed unless given.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache, partial
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Offer
from blockwright.fits.strength import ring_alloy
from blockwright.materials import alloy
from blockwright.metrology.estimate import Estimate
from blockwright.physics.expansion import cold_gap_for
from blockwright.physics.guards import Numbers
from blockwright.running.sampling import Normal, sampled
from blockwright.running.temperatures import Temperature, temperature

SAMPLES = 100_000
SEED = 20
BATCHES = 20
Array = NDArray[np.float64]
RING_OF_FIT = {
    "top end gap": "top_ring",
    "second end gap": "second_ring",
    "upper rail gap": "oil_ring",
    "lower rail gap": "oil_ring",
}


@dataclass(frozen=True)
class Weight:
    """How much of the spread one input brings, 0 to 1, in words."""

    words: str
    share: float


@dataclass(frozen=True)
class Draws:
    """Least cold gaps (m) as drawn, those of the straight formula for the same draws, and the normal distribution of the latter."""

    least_m: Array
    straight_m: Array
    normal: NormalDist
    weights: tuple[Weight, ...]
    known: dict[float, tuple[float, float]] = field(default_factory=dict, compare=False, repr=False)
    """Quantiles that were asked for before: the same draws serve every ring of a kind."""

    @cached_property
    def closure(self) -> tuple[float, float]:
        """Mean and spread of the least cold gaps, m."""
        return float(self.least_m.mean()), float(self.least_m.std(ddof=1))

    def quantile(self, q: float) -> tuple[float, float]:
        """Quantile of the least cold gap, and its standard error from the scatter of the correction between batches."""
        if q not in self.known:
            self.known[q] = self._quantile(q)
        return self.known[q]

    def _quantile(self, q: float) -> tuple[float, float]:
        correction = np.quantile(self.least_m, q) - np.quantile(self.straight_m, q)
        batches = [np.quantile(each.reshape(BATCHES, -1), q, axis=1) for each in (self.least_m, self.straight_m)]
        error = np.std(batches[0] - batches[1], ddof=1) / math.sqrt(BATCHES)
        return self.normal.inv_cdf(q) + float(correction), float(error)

    def chance_over(self, gap_m: float, u_m: float) -> float:
        """Chance that the least cold gap is over a gap that is known with a standard uncertainty."""
        widened = NormalDist(self.normal.mean - gap_m, math.hypot(self.normal.stdev, u_m))
        straight = 0.5 * math.erfc(-widened.mean / widened.stdev / math.sqrt(2.0))
        if u_m == 0.0:
            correction = np.mean(self.least_m >= gap_m) - np.mean(self.straight_m >= gap_m)
        else:
            from scipy.special import ndtr

            correction = np.mean(ndtr((self.least_m - gap_m) / u_m) - ndtr((self.straight_m - gap_m) / u_m))
        return min(1.0, max(0.0, straight + float(correction)))


@dataclass(frozen=True)
class RingHeat:
    """What heat does to a ring's gap in its bore.

    `least_gap_m` is the cold gap that keeps P(ends touch) at `level`, with `standard_error_m` from the sampling; `closure_m` and
    `closure_sd_m` the mean closing, of a gap whose ends then just touch, and its spread; `weights` what the spread comes from, heaviest first.
    """

    ring: Temperature
    bore: Temperature
    level: float
    least_gap_m: float
    standard_error_m: float
    closure_m: float
    closure_sd_m: float
    weights: tuple[Weight, ...]
    draws: Draws = field(compare=False, repr=False)

    def chance_of_touching(self, gap: Estimate) -> float:
        """P(the ends touch) for a gap as read, its own uncertainty included (normal)."""
        return self.draws.chance_over(gap.value, gap.u)


def ring_heat(job: Job, fit_name: str, position: Position) -> RingHeat:
    """What heat does to the gap of a fit's ring at a cylinder."""
    ring = alloy(ring_alloy(job, job.in_cylinder(position.number).rings, fit_name))
    bore = alloy(job.engine.running_surface)
    ring_c, bore_c = temperature(job, RING_OF_FIT[fit_name]), temperature(job, "bore")
    draws = _sampled(
        job.engine.bore_m,
        (ring_c.value_c, ring_c.u_k),
        (bore_c.value_c, bore_c.u_k),
        (ring.mean_expansion_per_k(ring_c.value_c), ring.expansion_u_per_k),
        (bore.mean_expansion_per_k(bore_c.value_c), bore.expansion_u_per_k),
    )
    level = job.rules.touch
    least, error = draws.quantile(1.0 - level)
    mean, sd = draws.closure
    return RingHeat(ring_c, bore_c, level, least, error, mean, sd, draws.weights, draws)


def computed_offers(job: Job, fit: Fit, position: Position) -> Sequence[Offer]:
    """The computed low limit of an end gap; nothing for other fits, nor where heat opens the gap."""
    if fit.name not in RING_OF_FIT or position.place is not Place.CYLINDER:
        return ()
    heat = ring_heat(job, fit.name, position)
    if heat.least_gap_m <= 0.0:
        return ()
    words = (
        f"ends touch with {100.0 * heat.level:g} % chance at {_temperatures(heat)}; not validated on a measured engine"
    )
    return (Offer(Authority.COMPUTED, words, low=heat.least_gap_m),)


def _temperatures(heat: RingHeat) -> str:
    """Both temperatures, each with its spread and where it comes from; said once where it is the same."""
    ring, bore = (f"{each.value_c:.0f} °C" for each in (heat.ring, heat.bore))
    known_ring, known_bore = (f"({each.origin}, give or take {each.u_k:.0f} K)" for each in (heat.ring, heat.bore))
    if known_ring == known_bore:
        return f"ring {ring}, bore {bore} {known_bore}"
    return f"ring {ring} {known_ring}, bore {bore} {known_bore}"


@lru_cache(maxsize=32)
def _sampled(bore_m: float, ring_c: Normal, bore_c: Normal, ring_per_k: Normal, bore_per_k: Normal) -> Draws:
    inputs = (bore_per_k, ring_per_k, bore_c, ring_c)
    formula = partial(cold_gap_for, 0.0, bore_m)
    mean = float(formula(*(mean for mean, _ in inputs)))
    effects = _effects(formula, inputs)

    def straight(*draws: Numbers) -> Numbers:
        steps = zip(effects, draws, inputs, strict=True)
        return mean + sum(effect * ((draw - at) / sd) for effect, draw, (at, sd) in steps if sd)

    least, line = (sampled(each, inputs, SAMPLES, SEED) for each in (formula, straight))
    return Draws(least, line, NormalDist(mean, math.hypot(*effects)), _weights(effects))


def _effects(formula: Callable[..., Numbers], inputs: Sequence[Normal]) -> list[float]:
    """What one standard deviation of each input does to the result, about the means."""
    means = [mean for mean, _ in inputs]
    effects = []
    for index, (mean, sd) in enumerate(inputs):
        high, low = ([*means[:index], mean + step * sd, *means[index + 1 :]] for step in (0.5, -0.5))
        effects.append(float(formula(*high) - formula(*low)))
    return effects


def _weights(effects: Sequence[float]) -> tuple[Weight, ...]:
    """Share of the variance by input, first order about the means."""
    words = ("expansion of the bore", "expansion of the ring", "temperature of the bore", "temperature of the ring")
    total = sum(effect**2 for effect in effects)
    weights = (Weight(word, effect**2 / total) for word, effect in zip(words, effects, strict=True))
    return tuple(sorted(weights, key=lambda weight: -weight.share))
