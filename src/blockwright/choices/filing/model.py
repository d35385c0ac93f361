"""What goes into the planning of a ring's filing and what comes out: plain data, checked where it is made.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| g | | true gap of a ring in its bore at 20 °C | m |
| r | rate | growth of the gap per unit of the grinder | m |
| n | units | turns, strokes or dialled infeed of one pass | 1 or m |
| u | u_own_m, u_shared_m | standard uncertainty of a reading: its own, and what all readings by that gauge have in common | m |
| alpha | Risk.alpha | risk of passing the upper limit, for each finished ring | 1 |

The assumptions about rates (`RatePrior`) are this program's own, common practice without a source; they matter little once a few passes
are read, and a builder may state his own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


def _finite(what: str, value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"{what} is not a number: {value}")


def _uncertainties(*values: float) -> None:
    for value in values:
        _finite("an uncertainty", value)
        if value < 0.0:
            raise ValueError("an uncertainty cannot be negative")


@dataclass(frozen=True)
class Unit:
    """What the grinder counts in: its name, whether only whole numbers of it can be taken, and the smallest step."""

    name: str
    whole: bool = True
    smallest: float = 1.0

    def __post_init__(self) -> None:
        _finite("the smallest step of the grinder", self.smallest)
        if self.smallest <= 0.0:
            raise ValueError("the smallest step of the grinder must be more than nothing")
        if self.whole and not float(self.smallest).is_integer():
            raise ValueError(f"{self.name} are taken whole, so the smallest step cannot be {self.smallest:g}")

    def check(self, units: float) -> None:
        """Raises ValueError for a number of units that this grinder cannot take."""
        if self.whole and not float(units).is_integer():
            raise ValueError(f"{self.name} are taken whole, not {units:g}")


@dataclass(frozen=True)
class Reading:
    """A gap as read, corrected to 20 °C, with its standard uncertainty in two parts.

    `u_shared_m` is the part that stays the same in every reading by `gauge` (its calibration); `u_own_m` is new with every reading, and only
    that part is lessened by repeats.
    """

    value_m: float
    u_own_m: float
    u_shared_m: float = 0.0
    gauge: str = ""

    def __post_init__(self) -> None:
        _finite("a reading", self.value_m)
        _uncertainties(self.u_own_m, self.u_shared_m)
        if self.u_own_m == 0.0:
            raise ValueError("a reading without any uncertainty of its own does not exist; state how well it repeats")


@dataclass(frozen=True)
class Between:
    """A gap known to lie between two bounds: the blade of `low_m` goes, that of `high_m` does not. Uncertainties as in `Reading`.

    `high_m` may be infinite (or `low_m` minus infinity) for any but the first look at a ring.
    """

    low_m: float
    high_m: float
    u_own_m: float = 0.0
    u_shared_m: float = 0.0
    gauge: str = ""

    def __post_init__(self) -> None:
        if math.isnan(self.low_m) or math.isnan(self.high_m):
            raise ValueError("a blade's thickness is not a number")
        if not self.low_m < self.high_m:
            raise ValueError(
                f"the blade that goes ({self.low_m * 1e3:.3f} mm) must be thinner than the one that does not ({self.high_m * 1e3:.3f} mm)"
            )
        if math.isinf(self.low_m) and math.isinf(self.high_m):
            raise ValueError("a blade that says nothing on either side is no reading")
        _uncertainties(self.u_own_m, self.u_shared_m)

    @property
    def bounded(self) -> bool:
        """Whether both bounds are known."""
        return math.isfinite(self.low_m) and math.isfinite(self.high_m)


@dataclass(frozen=True)
class Step:
    """One look at a ring, after `units` of filing since the look before (none before its first), with all repeats of that look.

    A pass after which nothing was read has no readings.
    """

    ring: str
    readings: tuple[Reading | Between, ...] = ()
    units: float = 0.0

    def __post_init__(self) -> None:
        _finite("the units of a pass", self.units)
        if self.units < 0.0:
            raise ValueError(
                f"ring {self.ring}: metal cannot be put back, so units cannot be negative ({self.units:g})"
            )
        if not self.readings and self.units == 0.0:
            raise ValueError(f"ring {self.ring}: neither a reading nor units")


LEAST_SPREAD = 0.03
"""No grinder is assumed to be steadier than this; the planner's grid is fine enough down to here."""


@dataclass(frozen=True)
class RatePrior:
    """What is assumed of a kind of ring on a wheel before anything is read: four assumptions, each log-normal.

    `guess_m` : growth per unit. 10 µm is a hand grinder's turn (common practice, no source).
    `factor` : the kind's rate lies within this factor of the guess, either way, in 95 of 100 cases.
    `ring_spread` : standard deviation of ln(rate) from ring to ring of a kind, at the middle of what is thought possible.
    `pass_scatter` : standard deviation of one pass's growth from its ring's rate, as a part of that growth, likewise.
    `spread_factor` : both of these lie within this factor of their middle, either way, in 95 of 100 cases.

    alpha holds as far as these do. Simulated with 1 %: rings or passes that scatter by 20 % keep it; at the edge of what is thought possible,
    30 %, 1.3 % (passes) and 2.2 % (rings) end too wide (`tools/simulate_filing.py`). Where a grinder is that unsteady, say so here.
    """

    guess_m: float = 10e-6
    factor: float = 3.0
    ring_spread: float = 0.12
    pass_scatter: float = 0.12
    spread_factor: float = 2.5

    def __post_init__(self) -> None:
        for name in ("guess_m", "factor", "ring_spread", "pass_scatter", "spread_factor"):
            _finite(name, getattr(self, name))
            if getattr(self, name) <= 0.0:
                raise ValueError(f"an assumption about the rate must be more than nothing: {name}")
        if self.factor < 1.1 or self.spread_factor <= 1.0:
            raise ValueError("within a factor either way: 1.1 or more for the rate, more than 1 for the spreads")
        if min(self.ring_spread, self.pass_scatter) < LEAST_SPREAD:
            raise ValueError(f"rings and passes that scatter by less than {LEAST_SPREAD:.0%} are not to be assumed")


USUAL_PRIOR = RatePrior()


@dataclass(frozen=True)
class Window:
    """The limits of the gap and the aim between them. Where there is no upper limit, aim + `margin_m` is what filing must not pass."""

    low_m: float
    aim_m: float
    high_m: float | None = None
    margin_m: float = 50e-6

    def __post_init__(self) -> None:
        for name, value in (("low limit", self.low_m), ("aim", self.aim_m), ("margin", self.margin_m)):
            _finite(f"the {name}", value)
        if self.high_m is not None:
            _finite("the upper limit", self.high_m)
        if not self.low_m <= self.aim_m < self.upper_m:
            raise ValueError("the aim must lie at or over the low limit and under the upper one")

    @property
    def upper_m(self) -> float:
        """What filing must not pass."""
        return self.aim_m + self.margin_m if self.high_m is None else self.high_m


@dataclass(frozen=True)
class Risk:
    """What the shop will risk: `alpha` of passing the upper limit with a ring, and the `level` of proof wanted to call it done."""

    alpha: float = 0.01
    level: float = 0.95

    def __post_init__(self) -> None:
        if not (0.0 < self.alpha < 0.5 and 0.5 < self.level < 1.0):
            raise ValueError("the risk must lie between 0 and 0.5, the level of proof between 0.5 and 1")

    def share(self, number: int) -> float:
        """The part of alpha that pass `number` (1 is the first) may spend: a half, a quarter, an eighth ... never more than alpha in all."""
        return math.ldexp(self.alpha, -number)


USUAL_RISK = Risk()


class Reason(StrEnum):
    """Why this much, or why nothing more."""

    FILE = "file"
    CONFORMS = "conforms"
    TOO_WIDE = "proven past the upper limit"
    WORSENS = "more filing could only worsen it"
    AIM = "the smallest step would pass the aim"
    RISK = "no step is permitted at this risk with this gauge"
    READ_FIRST = "read the gap first"


@dataclass(frozen=True)
class Help:
    """What would let the filing go on, or end it well, if the gap stays where it is thought to be; None where nothing of that sort would.

    `repeats` : further readings like the last.
    `gauge_u_m` : largest standard uncertainty that one reading by another gauge may have, in tenths of a µm; at most that of the last reading.
    """

    repeats: int | None
    gauge_u_m: float | None


@dataclass(frozen=True)
class Advice:
    """Units to take now (none where `reason` is a reason to stop), with what is thought of the gap before and after them.

    `p_over` is the chance of lying past what must not be passed (`Window.upper_m`) after these units, `share` what pass number
    `pass_number` may risk; `p_inside_*` the chance of lying inside the limits.
    """

    units: float
    reason: Reason
    pass_number: int
    share: float
    gap_now_m: float
    u_now_m: float
    expected_gap_m: float
    p_over: float
    p_inside_now: float
    p_inside_after: float
    help: Help | None = None


class Oddity(StrEnum):
    """How a reading departs from all that was thought possible."""

    TOO_MUCH = "grew too much"
    TOO_LITTLE = "grew too little"
    SHRANK = "shrank"


@dataclass(frozen=True)
class Surprise:
    """A look that no honest model would have predicted: how it departs, how improbable that was (two-sided), and the growths.

    Too much: a ring that slipped or stood askew, or miscounted units. Too little: a clogged or slipping wheel. Shrank: a wrong reading, a
    burr, a ring still warm, or another bore.
    """

    kind: Oddity
    probability: float
    expected_growth_m: float
    seen_growth_m: float
