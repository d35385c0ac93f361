"""How well a gauge repeats itself, and whether one reading among its siblings is believable.

Pooled standard deviation over groups i of n_i repeats: s_p^2 = sum (n_i - 1) s_i^2 / sum (n_i - 1), JCGM 100:2008, H.3.6 and 4.2.4.
Improbable reading: of three or more Grubbs' test (F. E. Grubbs, "Procedures for detecting outlying observations in samples",
Technometrics 11, 1969), by their own spread and by the gauge's; of two the critical difference of repeatability of ISO
5725-6:1994, clause 4.1, with t for the degrees of freedom at hand in place of the 1.96 of a known spread.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

IMPROBABLE_LEVEL = 0.01
"""Chance of calling a good reading improbable."""


@dataclass(frozen=True)
class Spread:
    """Standard deviation of one reading, its degrees of freedom, and where it comes from in words."""

    s: float
    dof: float
    origin: str


def pooled(
    groups: Sequence[Sequence[float]], study_s: float | None = None, study_dof: float = 0
) -> tuple[float, float]:
    """Pooled standard deviation and degrees of freedom of repeats in groups, with those of an earlier study if there is one."""
    squares = sum((len(group) - 1) * float(np.var(group, ddof=1)) for group in groups if len(group) > 1)
    dof = float(sum(len(group) - 1 for group in groups if len(group) > 1))
    if study_s is not None:
        earlier = study_dof or math.inf
        if math.isinf(earlier):
            return study_s, math.inf
        squares += earlier * study_s**2
        dof += earlier
    return (math.sqrt(squares / dof), dof) if dof else (0.0, 0.0)


def grubbs_critical(n: int, level: float = IMPROBABLE_LEVEL) -> float:
    """Two-sided critical value of Grubbs' statistic max|x - mean| / s for n readings (n >= 3)."""
    if n < 3:
        raise ValueError("Grubbs' test needs three readings or more")
    t = float(special.stdtrit(n - 2, 1.0 - level / (2.0 * n)))
    return (n - 1) / math.sqrt(n) * math.sqrt(t * t / (n - 2 + t * t))


def improbable(values: Sequence[float], spread: Spread, step: float = 0.0) -> int | None:
    """Index of the reading that its siblings make improbable, or None.

    Parameters
    ----------
    values : repeats at one spot, any unit
    spread : how the gauge repeats, same unit; not used where it is not known (no degrees of freedom)
    step : one step of the gauge's scale; differences of up to one step are never called improbable

    Notes
    -----
    With three or more, Grubbs' test by the readings' own spread stands beside the same test by the spread of the gauge (Grubbs' case of an
    outside estimate, by the bound t(1 - level / 2n) sqrt((n - 1) / n)), each at half the level: three readings alone can hardly
    show anything. The variance of rounding to whole steps (step^2 / 12) is added to that of the readings: two of three that
    round to the same figure would otherwise pass Grubbs' limit however small the third one's deviation.
    """
    n = len(values)
    if n < 2 or max(values) - min(values) <= step * (1.0 + 1e-9):
        return None
    centre = float(np.mean(values))
    suspect = int(np.argmax([abs(value - centre) for value in values]))
    known = spread.s > 0.0 and spread.dof > 0.0
    level = IMPROBABLE_LEVEL / 2.0 if known and n > 2 else IMPROBABLE_LEVEL
    limits = [_known_spread_limit(n, level, spread)] if known else []
    if n > 2:
        own = math.hypot(float(np.std(values, ddof=1)), step / math.sqrt(12.0))
        limits.append(grubbs_critical(n, level) * own)
    return suspect if limits and abs(values[suspect] - centre) > min(limits) else None


def alike(readings: Sequence[tuple[float, float]]) -> bool:
    """Whether readings of one thing, each with its own standard uncertainty, can all be right: no two farther apart than twice the sum of theirs."""
    pairs = itertools.combinations(readings, 2)
    return all(abs(one - other) <= 2.0 * (one_u + other_u) for (one, one_u), (other, other_u) in pairs)


def u_of_disagreement(values: Sequence[float]) -> float:
    """Standard uncertainty of the mean of n readings that disagree, from their scatter alone: s / sqrt(n), for two half their distance.

    JCGM 100:2008, 4.2.3; added to what the gauge allows, which such readings have belied. No degrees of freedom are given it: what drives
    them apart is a slip, which does not scatter by chance.
    """
    return float(np.std(values, ddof=1)) / math.sqrt(len(values))


def _known_spread_limit(n: int, level: float, spread: Spread) -> float:
    """Largest believable deviation from the mean of n; for two it is half the critical difference t sqrt(2) s."""
    upper = 1.0 - level / (2.0 * n if n > 2 else 2.0)
    t = float(special.stdtrit(spread.dof, upper)) if math.isfinite(spread.dof) else float(special.ndtri(upper))
    return t * math.sqrt((n - 1) / n) * spread.s
