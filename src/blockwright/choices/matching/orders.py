"""What to have machined so that a part fits where none does: a work order with the smallest and the largest size, and the same in words."""

from __future__ import annotations

import math

from blockwright.choices.matching.model import Option, width_of
from blockwright.engine.parts import WorkOrder
from blockwright.metrology.estimate import Estimate
from blockwright.metrology.verdict import expanded

STEP_M = 1e-6
"""Ordered sizes end on a whole step: no shop holds less."""


def hone_order(
    block: str, number: int, bore: Estimate, option: Option, *, plate: bool, step_m: float = STEP_M
) -> WorkOrder | None:
    """The bore that a piston wants: `bore` is the governing one as read, `option` the piston in it.

    The window is the limits' own, drawn in at both ends by what the reading of the clearance may be off (95 %), where that leaves one. `None` where
    the bore is not too small, or nobody says how large is too large and where to aim.
    """
    low, high = option.limits.low_value, option.limits.high_value
    width = width_of(option.limits)
    if option.value is None or width is None or low is None or option.value.value >= low:
        return None
    skirt = bore.value - option.value.value
    smallest, largest = skirt + low, skirt + (low + width if high is None else high)
    guard = expanded(option.value)
    if largest - smallest - 2.0 * guard >= 2.0 * step_m:
        smallest, largest = smallest + guard, largest - guard
    low_m, high_m = math.ceil(smallest / step_m - 1e-6) * step_m, math.floor(largest / step_m + 1e-6) * step_m
    if low_m >= high_m:
        return None
    work = f"hone for {option.uses[0]}" + (", plate on" if plate else "")
    return WorkOrder(part=block, feature="bore", at=f"cylinder {number}", work=work, low_si=low_m, high_si=high_m)
