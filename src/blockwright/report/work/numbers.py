"""A number with its spread as a builder reads it: as many digits as the spread leaves, lengths in the shop's unit."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.engine.job import Job
from blockwright.fits.words import Scale, unit_of
from blockwright.quantities import Kind, show
from blockwright.running.work.result import Spread

DIGITS = 0.03
"""A number without a spread is shown as if this share of it were its uncertainty: that makes three digits."""
FILM_UNIT = {"mm": "um", "um": "um", "thou": "uin", "in": "uin", "tenths": "uin", "uin": "uin"}
"""Unit of an oil film beside the unit of its clearance."""
A_MINUTE_S = 60.0


@dataclass(frozen=True)
class Shop:
    """The units that lengths are shown in: of clearances, of sizes, of oil films."""

    clearance: str
    size: str
    film: str


def shop_of(job: Job, unit: str = "") -> Shop:
    """The shop's units; `unit` where another is wanted for clearances."""
    clearance = unit or unit_of(job, Scale.CLEARANCE)
    return Shop(clearance, unit_of(job, Scale.SIZE), FILM_UNIT.get(clearance, "um"))


def fineness(value: float, sd: float = 0.0) -> float | None:
    """How finely to show a value: to its standard deviation, or to three digits where it has none."""
    return sd or DIGITS * abs(value) or None


def plainly(value: float, kind: Kind, unit: str, *, u: float | None = None, with_unit: bool = True) -> str:
    """A number that has no spread, to three digits or to `u`."""
    return show(value, kind, unit, u=u or fineness(value), with_unit=with_unit)


def spread(told: Spread, kind: Kind, unit: str, *, with_unit: bool = True) -> str:
    """`93 ± 8 bar`: best value and half of the span that holds 95 % of the draws; the value alone where nothing was drawn."""
    u = fineness(told.value, told.sd)
    if not told.drawn:
        return show(told.value, kind, unit, u=u, with_unit=with_unit)
    value = show(told.value, kind, unit, u=u, with_unit=False)
    return f"{value} ± {show(half(told), kind, unit, u=u, with_unit=with_unit)}"


def half(told: Spread) -> float:
    """Half of the span that holds 95 % of the draws; nil without draws."""
    return max(0.5 * (told.high - told.low), 0.0) if told.drawn else 0.0


def a_minute(told: Spread) -> Spread:
    """What comes together in a minute of something that comes a second."""
    return Spread(*(A_MINUTE_S * each for each in (told.value, told.sd, told.low, told.high, told.error)))


def percent(share: float, sd: float = 0.0) -> str:
    """A share in percent, to its standard deviation."""
    return show(share, Kind.RATIO, "%", u=fineness(share, sd))


def capital(text: str) -> str:
    """The first letter a capital."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """A capital at its head, and an end."""
    return capital(text) if not text or text.endswith((".", "!", "?")) else f"{capital(text)}."
