"""What would put a fit right, said with numbers. Each remedy is a function of the job, the position, the value and its limits."""

from __future__ import annotations

from collections.abc import Callable

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.limits import Limits
from blockwright.fits.words import Scale, say

Remedy = Callable[[Job, Position, float, Limits], str]


def target(limits: Limits) -> float | None:
    """Where a corrected fit should end: the aim, else the only limit there is."""
    if limits.aim is not None:
        return limits.aim
    return limits.low_value if limits.low is not None else limits.high_value


def by_size(too_small: str, too_large: str, to: Scale = Scale.CLEARANCE) -> Remedy:
    """Remedy with an amount. `{by}` is how far to the target, `{to}` the target (shown on the scale `to`), `{at}` the position's
    number, `{plate}` a reminder of the torque plate where this engine wants it.
    """

    def remedy(job: Job, position: Position, value: float, limits: Limits) -> str:
        goal, small = target(limits), _too_small(value, limits)
        if goal is None or small is None:
            return ""
        return (too_small if small else too_large).format(
            by=say(job, abs(goal - value), Scale.CLEARANCE if to is Scale.SIZE else to),
            to=say(job, goal, to),
            at=position.label,
            plate=", plate on" if job.engine.torque_plate else "",
        )

    return remedy


def _too_small(value: float, limits: Limits) -> bool | None:
    """Which way a value is off, by the nearer limit; `None` where working it to its target would lead back towards that limit."""
    goal, low, high = target(limits), limits.low_value, limits.high_value
    if goal is None:
        return None
    if high is None or (low is not None and value < 0.5 * (low + high)):
        return True if value < goal else None
    return False if value > goal else None


def always(words: str) -> Remedy:
    """The same remedy whichever side is out."""
    return by_size(words, words)
