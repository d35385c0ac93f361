"""What would put a fit right, said with numbers. Each remedy is a function of the job, the position, the value and its limits."""

from __future__ import annotations

from collections.abc import Callable

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.limits import Limits
from blockwright.fits.words import Scale, say

Remedy = Callable[[Job, Position, float, Limits], str]


def target(limits: Limits) -> float | None:
    """Where a corrected fit should end: the aim, else just inside the only limit there is."""
    if limits.aim is not None:
        return limits.aim
    return limits.low_value if limits.low is not None else limits.high_value


def by_size(too_small: str, too_large: str, scale: Scale = Scale.CLEARANCE) -> Remedy:
    """Remedy with an amount. `{by}` is how far to the target, `{to}` the target, `{at}` the position's number."""

    def remedy(job: Job, position: Position, value: float, limits: Limits) -> str:
        goal = target(limits)
        if goal is None:
            return ""
        words = too_small if value < goal else too_large
        return words.format(
            by=say(job, abs(goal - value), scale),
            to=say(job, goal, scale),
            at=position.label,
            position=position,
        )

    return remedy


def always(words: str) -> Remedy:
    """The same remedy whichever side is out."""
    return by_size(words, words)
