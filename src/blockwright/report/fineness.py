"""How finely to show a value and its limits: as finely as the uncertainty warrants, or finer where rounding would tell another verdict.

A value of 0.11183 mm that is proven to lie under a limit of 0.11185 mm must not be shown as 0.112 under 0.112. Fineness is a size in SI,
as `show` takes it for an uncertainty.
"""

from __future__ import annotations

from collections.abc import Sequence

from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.words import KIND, PLAIN_U_SI
from blockwright.quantities import show

MOST_DIGITS_MORE = 6


def value_fineness(result: FitResult, unit: str, limits_si: float) -> float:
    """How finely to show the value beside limits that are shown to `limits_si`."""
    return _agreeing(result, unit, limits_si)[0]


def limits_fineness(results: Sequence[FitResult], unit: str) -> float:
    """How finely to show limits that these results of one fit share."""
    fineness = PLAIN_U_SI[results[0].fit.scale]
    while True:
        finest = min((_agreeing(result, unit, fineness)[1] for result in results if result.found), default=fineness)
        if finest == fineness:
            return fineness
        fineness = finest


def _agreeing(result: FitResult, unit: str, limits_si: float) -> tuple[float, float]:
    """The coarsest pair of finenesses, no coarser for the limits than `limits_si`, at which the shown value tells the verdict."""
    plain = result.estimate.u or PLAIN_U_SI[result.fit.scale]
    finer = (plain * 10.0**-more for more in range(MOST_DIGITS_MORE))
    pairs = [(plain, limits_si), *((fineness, min(limits_si, fineness)) for fineness in finer)]
    if result.standing is Standing.UNDECIDED:
        pairs = pairs[:2]
    return next((pair for pair in pairs if _tells(result, unit, *pair)), pairs[0])


def _tells(result: FitResult, unit: str, value_si: float, limits_si: float) -> bool:
    """Whether the value as shown lies on the same side of each limit as shown as it does in truth; an undecided one may lie on it."""
    kind, true = KIND[result.fit.scale], result.estimate.value
    shown = float(show(true, kind, unit, u=value_si, with_unit=False))
    bounds = [(bound, float(show(bound, kind, unit, u=limits_si, with_unit=False)))
              for bound in (result.limits.low_value, result.limits.high_value) if bound is not None]  # fmt: skip
    if result.standing is Standing.UNDECIDED:
        return all((true - bound) * (shown - said) >= 0.0 for bound, said in bounds)
    return all((true < bound, true > bound) == (shown < said, shown > said) or true == bound for bound, said in bounds)
