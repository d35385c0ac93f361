"""Cases of a sweep: the duty, the oil, and what is changed of the clearances as measured.

| name here | meaning | unit |
| --- | --- | --- |
| speed_rad_s, power_w, boost_pa | the duty; boost above the air outside | rad/s, W, Pa |
| oil | grade as written, '10W-40'; empty for the job's own | – |
| coolant_c, oil_c | coolant and oil at work; None for the job's own | °C |
| wall, top_gap, second_gap, rod_film, main_film | change to the cold size, diametral for clearances | m |
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from itertools import product
from typing import NamedTuple

from blockwright.engine.job import Job
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.work.loads import OUTSIDE_PA

MOST_CASES = 100_000


@dataclass(frozen=True)
class Change:
    """A cold size of every cylinder or bearing: set to `metres`, or where it is a step, moved by them from what was measured."""

    metres: float = 0.0
    step: bool = True

    @property
    def none(self) -> bool:
        """Whether all stays as measured."""
        return self.step and self.metres == 0.0

    def on(self, measured_m: float) -> float:
        """The size that a measured one becomes."""
        return measured_m + self.metres if self.step else self.metres


AS_MEASURED = Change()


class Duty(NamedTuple):
    """What a cycle hangs on."""

    speed_rad_s: float
    power_w: float
    boost_pa: float
    coolant_c: float | None
    oil_c: float | None


@dataclass(frozen=True)
class Case:
    """One engine at one duty, on one oil, with its clearances as measured or changed."""

    speed_rad_s: float
    power_w: float
    boost_pa: float
    coolant_c: float | None = None
    oil_c: float | None = None
    oil: str = ""
    wall: Change = AS_MEASURED
    top_gap: Change = AS_MEASURED
    second_gap: Change = AS_MEASURED
    rod_film: Change = AS_MEASURED
    main_film: Change = AS_MEASURED

    @property
    def duty(self) -> Duty:
        """The part of it that the cycle hangs on."""
        return Duty(self.speed_rad_s, self.power_w, self.boost_pa, self.coolant_c, self.oil_c)


@dataclass(frozen=True)
class Ranges:
    """Values of each number of a case; none given leaves the job's own. Power not given goes with speed and air: see `power_at`."""

    speed_rad_s: tuple[float, ...] = ()
    power_w: tuple[float, ...] = ()
    boost_pa: tuple[float, ...] = ()
    coolant_c: tuple[float, ...] = ()
    oil_c: tuple[float, ...] = ()
    oil: tuple[str, ...] = ()
    wall: tuple[Change, ...] = field(default=())
    top_gap: tuple[Change, ...] = ()
    second_gap: tuple[Change, ...] = ()
    rod_film: tuple[Change, ...] = ()
    main_film: tuple[Change, ...] = ()

    @property
    def count(self) -> int:
        """How many cases their product holds."""
        return math.prod(max(len(getattr(self, each.name)), 1) for each in fields(self))

    @property
    def varied(self) -> tuple[str, ...]:
        """Names of the ranges that hold more than one value."""
        return tuple(each.name for each in fields(self) if len(getattr(self, each.name)) > 1)


def cases(job: Job, ranges: Ranges) -> tuple[Case, ...]:
    """Every case of the product, duties outermost, so that cases of one cycle follow each other.

    Raises
    ------
    BlockwrightError
        For more cases than can be held.
    """
    if ranges.count > MOST_CASES:
        what = f"these ranges make {ranges.count} cases."
        raise BlockwrightError(
            Problem("sweep-cases", what, f"Give fewer values: {MOST_CASES} cases are the most at once.")
        )
    own = job.duty
    duties = product(
        ranges.speed_rad_s or (own.at_speed_rad_s,), ranges.power_w or (None,), ranges.boost_pa or (own.boost_pa,),
        ranges.coolant_c or (None,), ranges.oil_c or (None,),
    )  # fmt: skip
    rest = tuple(product(
        ranges.oil or ("",), _or_measured(ranges.wall), _or_measured(ranges.top_gap), _or_measured(ranges.second_gap),
        _or_measured(ranges.rod_film), _or_measured(ranges.main_film),
    ))  # fmt: skip
    return tuple(
        Case(speed, power_at(job, speed, boost) if power is None else power, boost, coolant, oil_c, *each)
        for speed, power, boost, coolant, oil_c in duties
        for each in rest
    )


def power_at(job: Job, speed_rad_s: float, boost_pa: float) -> float:
    """The duty's power in proportion to speed and to the manifold's absolute pressure: cylinders filled and burning alike.

    A rule of thumb (common practice, no source): an engine's power over its speed is a curve of its own. Give it where it is known.
    """
    own = job.duty
    air = (OUTSIDE_PA + boost_pa) / (OUTSIDE_PA + own.boost_pa)
    return own.power_w * speed_rad_s / own.at_speed_rad_s * air


def _or_measured(changes: Sequence[Change]) -> Sequence[Change]:
    return changes or (AS_MEASURED,)
