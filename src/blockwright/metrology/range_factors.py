"""The range of a normal sample: what turns ranges of repeats into a standard deviation.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| d2 | mean | mean of (largest - smallest) of n readings, standard deviation 1 | 1 |
| d3 | sd | standard deviation of that range | 1 |
| d2* | | root mean square range when g ranges are averaged: sqrt(d2^2 + d3^2 / g) | 1 |
| K1, K2, K3 | k1, k2, k3 | 1/d2* over trials, appraisers, parts | 1 |
| D4 | d4 | 1 + 3 d3/d2: mean range to its upper control limit | 1 |

Nothing is tabled: the moments are integrated from the distribution of the range (L. H. C. Tippett, On the extreme individuals and the
range of samples taken from a normal population, Biometrika 17, 1925). d2* after A. J. Duncan, Quality Control and Industrial
Statistics, appendix D3 (from memory); the rule "d2 once more than 15 ranges are averaged" is that of AIAG, Measurement Systems
Analysis, 4th ed., 2010, chapter III B.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

MANY_RANGES = 15
"""Above so many ranges the average is taken as the mean range itself."""

_WIDEST = 18.0
_PLACE = np.linspace(-12.0, 12.0, 601)
_WIDTH, _WEIGHT = np.polynomial.legendre.leggauss(120)


@dataclass(frozen=True)
class RangeMoments:
    """Mean (d2) and standard deviation (d3) of the range of a normal sample with standard deviation 1."""

    mean: float
    sd: float


@dataclass(frozen=True)
class RangeFactors:
    """The factors of one average-and-range study. k2 is None with one appraiser, k3 with one part."""

    k1: float
    k2: float | None
    k3: float | None
    d4: float


@lru_cache(maxsize=512)
def range_moments(size: int) -> RangeMoments:
    """Moments of the range of `size` independent normal readings (2 or more), to about ten digits.

    Notes: P(R <= w) = n int phi(x) (Phi(x + w) - Phi(x))^(n-1) dx; then E R = int (1 - P) dw and E R^2 = int 2 w (1 - P) dw.
    The integral over x is a trapezoidal sum (exponentially convergent for a normal tail), the one over w Gauss-Legendre.

    Raises ValueError for fewer than two readings, which have no range.
    """
    if size < 2:
        raise ValueError("a range needs two readings or more")
    width = 0.5 * _WIDEST * (_WIDTH + 1)
    weight = 0.5 * _WIDEST * _WEIGHT
    density = np.exp(-0.5 * _PLACE**2) / math.sqrt(2 * math.pi)
    within = (ndtr(_PLACE + width[:, None]) - ndtr(_PLACE)) ** (size - 1)
    below = size * (within @ density) * (_PLACE[1] - _PLACE[0])
    mean = float(weight @ (1 - below))
    square = float(weight @ (2 * width * (1 - below)))
    return RangeMoments(mean, math.sqrt(square - mean**2))


def sd_per_range(size: int, ranges: int = 1) -> float:
    """1/d2*: multiplies the mean of `ranges` ranges of `size` readings each into a standard deviation.

    With more than 15 ranges this is 1/d2, as the published tables have it (the step there is below one per cent).
    """
    moments = range_moments(size)
    extra = 0.0 if ranges > MANY_RANGES else moments.sd**2 / ranges
    return 1 / math.sqrt(moments.mean**2 + extra)


def limit_per_range(size: int) -> float:
    """D4: mean range of `size` readings to the range that chance alone seldom passes (mean plus three standard deviations)."""
    moments = range_moments(size)
    return 1 + 3 * moments.sd / moments.mean


def range_factors(appraisers: int, parts: int, trials: int) -> RangeFactors:
    """The factors for a study of this shape: K1 by trials, K2 by appraisers, K3 by parts, D4 by trials."""
    return RangeFactors(
        k1=sd_per_range(trials, appraisers * parts),
        k2=sd_per_range(appraisers) if appraisers > 1 else None,
        k3=sd_per_range(parts) if parts > 1 else None,
        d4=limit_per_range(trials),
    )
