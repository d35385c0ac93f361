"""What a physics function refuses: values outside the range its equation holds for, in plain words.

| name here | meaning |
| --- | --- |
| Numbers | one float or an array of them; arrays broadcast |
| keep_within | refuses a value outside both ends, which belong to the range |
| keep_above | refuses a value at or under a bound |

Arrays are looked at by their ends only, so that a check of a hundred thousand draws makes no copy of them. Not-a-number is refused.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Numbers = float | NDArray[np.float64]


def keep_within(what: str, value: Numbers, low: float, high: float, unit: str = "") -> None:
    """Raise ValueError where a value lies outside low to high.

    Example
    -------
    >>> keep_within("bore", 0.086, 0.02, 1.0, "m")
    >>> keep_within("bore", 86.0, 0.02, 1.0, "m")
    Traceback (most recent call last):
    ValueError: bore: 86 m is outside 0.02 m to 1 m, the range this formula is kept to.
    """
    least, most = _ends(value)
    if not (low <= least and most <= high):
        wrong = _shown(least if not low <= least else most, unit)
        raise ValueError(
            f"{what}: {wrong} is outside {_shown(low, unit)} to {_shown(high, unit)}, the range this formula is kept to."
        )


def keep_above(what: str, value: Numbers, bound: float = 0.0, unit: str = "") -> None:
    """Raise ValueError where a value is not greater than a bound, or not finite."""
    least, most = _ends(value)
    if not (bound < least and most < np.inf):
        wrong = _shown(least if not bound < least else most, unit)
        raise ValueError(f"{what}: {wrong} must be greater than {_shown(bound, unit)}, and finite.")


def _ends(value: Numbers) -> tuple[float, float]:
    if isinstance(value, (int, float)):
        return value, value
    return float(np.min(value)), float(np.max(value))


def _shown(value: float, unit: str) -> str:
    return f"{value:g} {unit}".strip()
