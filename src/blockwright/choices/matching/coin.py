"""Is the choice more than chance? The probability that, with the true sizes, the second best set is the better one.

The errors of all fits of both sets are drawn together. What two fits share (a gauge's calibration, a setting, a temperature) is drawn once: their
covariances come from the uncertainties of their sums and differences. Errors are taken as normal. Masses are taken as weighed.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.choices.matching.model import DEVIATION_STEP, Chosen, Option, width_of
from blockwright.metrology.estimate import Estimate

Array = NDArray[np.float64]
DRAWS, SEED = 20_000, 20_260
SAME = 1e-2
"""Steps within which two sums are one: two pistons that change places leave the sum of their clearances as it was, whatever the readings are off."""
TOSS = 0.30
"""From this chance on a choice is called a coin-toss, unless said otherwise."""


@dataclass(frozen=True)
class Coin:
    """The chance that the second best set is truly the better one, its standard error by sampling, and what counts as a coin-toss.

    `alike`: the chance that neither is, as where two parts change places and the same fit stays the worst.
    """

    chance: float
    standard_error: float
    toss: float
    alike: float = 0.0

    @property
    def is_toss(self) -> bool:
        """Whether the readings cannot tell the two sets apart."""
        return self.chance + 0.5 * self.alike >= self.toss


def coin(best: Chosen, second: Chosen, toss: float = TOSS, draws: int = DRAWS) -> Coin:
    """The chance that `second` is truly better than `best`. Sets that differ in empty places are never within the readings' error."""
    if best.objective.empty != second.objective.empty:
        return Coin(0.0, 0.0, toss)
    options = list({option.key: option for option in (*best.options, *second.options)}.values())
    drawn = np.abs(_drawn(options, draws)) / DEVIATION_STEP
    (worst, total), (other_worst, other_total) = (_told(drawn, options, chosen) for chosen in (best, second))
    same = np.abs(other_worst - worst) < SAME
    less = other_total - total
    won = float(np.mean((~same & (other_worst < worst)) | (same & (less < -SAME))))
    alike = float(np.mean(same & (np.abs(less) <= SAME)))
    return Coin(won, math.sqrt(max(won * (1.0 - won), 1.0 / draws) / draws), toss, alike)


def covariances(estimates: Sequence[Estimate]) -> Array:
    """Covariances of estimates, with what they share: of a sum's and a difference's variance a quarter of the difference."""
    found = np.diag([each.u**2 for each in estimates])
    for (i, one), (j, other) in itertools.combinations(enumerate(estimates), 2):
        found[i, j] = found[j, i] = 0.25 * ((one + other).u ** 2 - (one - other).u ** 2)
    return found


def _drawn(options: Sequence[Option], draws: int) -> Array:
    """Deviations as they might truly be: a row a draw, a column an option."""
    centres = np.array([option.deviation for option in options])
    scaled = [
        Estimate(0.0)
        if each.value is None or each.mended
        else each.value.scaled(1.0 / (width_of(each.limits) or math.inf))
        for each in options
    ]
    values, vectors = np.linalg.eigh(covariances(scaled))
    factor = vectors * np.sqrt(np.clip(values, 0.0, None))
    noise = np.random.default_rng(SEED).standard_normal((draws, len(options)))
    return np.asarray(centres + noise @ factor.T)


def _told(drawn: Array, options: Sequence[Option], chosen: Chosen) -> tuple[Array, Array]:
    """Worst and sum of a set in every draw."""
    index = {option.key: number for number, option in enumerate(options)}
    columns = [index[option.key] for option in chosen.options]
    if not columns:
        nothing = np.zeros(len(drawn))
        return nothing, nothing
    return drawn[:, columns].max(axis=1), drawn[:, columns].sum(axis=1)
