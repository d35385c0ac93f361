"""What can be chosen: places, the parts in stock, each pairing with its deviation from the aim, the builder's rules, and what was chosen.

| name | meaning |
| --- | --- |
| deviation | (value - aim) / (high - low): 0 on the aim, in units of the limits' width; 0.5 on a limit where the aim is their middle |
| worst | the largest deviation of a set, either way |
| total | the sum of its deviations, each taken as positive |
| spread | largest less smallest mass at a place |

Deviations are compared in steps of a ten-thousandth of the limits' width and masses in steps of 0.01 g: finer than any reading, and whole numbers,
so that two sets are equal or not, and never nearly so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from blockwright.fits.limits import Limits
from blockwright.metrology.estimate import Estimate

DEVIATION_STEP = 1e-4
MASS_STEP_KG = 1e-5
MOST_STEPS = 10**7
"""A thousand times the limits' width: anything farther off counts as that far."""


@dataclass(frozen=True)
class Option:
    """One way to fill a place: the parts it uses, the fit that they make there, and what they weigh together with what stays there.

    `deviation`: see above. `barred`: why it must not be, where a hard limit forbids it; `miss` is then how far outside it lies (SI, signed).
    `mended`: what brings the fit to its aim without another part (a ring that is filed); the reading's error then no longer counts.
    """

    place: str
    uses: tuple[str, ...]
    deviation: float = 0.0
    mass_kg: float | None = None
    barred: str = ""
    miss: float = 0.0
    value: Estimate | None = None
    limits: Limits = field(default_factory=Limits)
    mended: str = ""

    @property
    def key(self) -> tuple[str, tuple[str, ...]]:
        """What tells it from other options: the place and the parts."""
        return self.place, self.uses

    @property
    def steps(self) -> int:
        """How far from the aim, in whole steps."""
        return min(round(abs(self.deviation) / DEVIATION_STEP), MOST_STEPS)

    @property
    def mass_steps(self) -> int:
        """The mass in whole steps, 0 where it is not known."""
        return round((self.mass_kg or 0.0) / MASS_STEP_KG)


@dataclass(frozen=True)
class Stays:
    """A part that is to stay in a place."""

    mark: str
    place: str


@dataclass(frozen=True)
class Never:
    """A part that is not to go in a place."""

    mark: str
    place: str


@dataclass(frozen=True)
class Balance:
    """Two groups of places (a V's banks) whose masses may differ by `step_kg` at most."""

    first: tuple[str, ...]
    second: tuple[str, ...]
    step_kg: float


Rule = Stays | Never | Balance


@dataclass(frozen=True)
class Table:
    """Everything that can be chosen from. `stock`: how many there are of each mark; one where it is not named."""

    places: tuple[str, ...]
    options: tuple[Option, ...]
    rules: tuple[Rule, ...] = ()
    stock: Mapping[str, int] = field(default_factory=dict)


class Objective(NamedTuple):
    """How good a set is, the first thing first: places left empty, worst deviation, sum, mass spread, all in whole steps."""

    empty: int
    worst: int
    total: int
    spread: int

    @property
    def worst_deviation(self) -> float:
        """The worst deviation in units of the limits' width."""
        return self.worst * DEVIATION_STEP

    @property
    def total_deviation(self) -> float:
        """The sum of deviations in units of the limits' width."""
        return self.total * DEVIATION_STEP

    @property
    def spread_kg(self) -> float:
        """Largest less smallest mass at a place."""
        return self.spread * MASS_STEP_KG


@dataclass(frozen=True)
class Chosen:
    """A whole set: an option for each place that has one, in natural order of places, and how good it is."""

    options: tuple[Option, ...]
    objective: Objective

    def at(self, place: str) -> Option | None:
        """What goes in a place; nothing where it stays empty."""
        return next((option for option in self.options if option.place == place), None)


def natural(mark: str) -> tuple[tuple[str, int], ...]:
    """Order of marks as a builder counts: P2 before P10."""
    return tuple((text.lower(), int(digits or 0)) for text, digits in re.findall(r"(\D*)(\d*)", mark) if text or digits)


def by_name(option: Option) -> tuple[object, ...]:
    """Natural order of options: by place, then by the marks used."""
    return natural(option.place), option.place, tuple((natural(mark), mark) for mark in option.uses)


def width_of(limits: Limits) -> float | None:
    """Width of the limits; with one limit, twice the way from the aim to it. `None` where nothing tells how wide."""
    low, high, aim = limits.low_value, limits.high_value, limits.aim
    if low is not None and high is not None:
        return high - low if high > low else None
    only = low if low is not None else high
    if only is None or aim is None or aim == only:
        return None
    return 2.0 * abs(aim - only)


def option_of(
    place: str, uses: tuple[str, ...], value: Estimate, limits: Limits, mass_kg: float | None = None
) -> Option | None:
    """The option that a fit of these parts makes: its deviation, and barred where its best value lies outside a hard limit.

    `None` where no limits tell how wide and where to aim.
    """
    width = width_of(limits)
    if width is None:
        return None
    aim = limits.aim
    if aim is None:
        assert limits.low_value is not None
        aim = limits.low_value + 0.5 * width
    miss, side = _miss(value.value, limits)
    barred = f"{side} its hard limit" if side else ""
    return Option(place, uses, (value.value - aim) / width, mass_kg, barred, miss, value, limits)


def _miss(value: float, limits: Limits) -> tuple[float, str]:
    """How far outside a hard limit, and on which side; nothing where it is inside or the side is soft."""
    low, high = limits.low, limits.high
    if low is not None and low.hard and value < low.value:
        return value - low.value, "under"
    if high is not None and high.hard and value > high.value:
        return value - high.value, "over"
    return 0.0, ""


def outside(option: Option) -> float:
    """How far a set's fit lies outside its limits, hard or soft (SI, signed); 0 inside."""
    if option.value is None or option.mended:
        return 0.0
    low, high = option.limits.low_value, option.limits.high_value
    under = min(option.value.value - low, 0.0) if low is not None else 0.0
    over = max(option.value.value - high, 0.0) if high is not None else 0.0
    return under or over


def finite(option: Option) -> bool:
    """Whether an option's numbers can be reckoned with."""
    return math.isfinite(option.deviation) and (option.mass_kg is None or math.isfinite(option.mass_kg))
