"""Values that do not look right: what else may have been meant. Nothing here changes a value."""

from __future__ import annotations

import math
from collections.abc import Iterator

from blockwright.problems import Problem
from blockwright.quantities.entering import Quantity
from blockwright.quantities.errors import excerpt, with_article
from blockwright.quantities.lookup import find_unit
from blockwright.quantities.numerals import plain_digits, read_numeral
from blockwright.quantities.showing import show
from blockwright.quantities.units import UNITS, Kind, Ratio, Unit

_SHIFTS = (-1, 1, -2, 2, -3, 3)
_SUGGESTED = 3
_EDGE = 1e-9
_OFTEN_SWAPPED = {
    "mm": ("in", "um", "thou"),
    "in": ("mm", "thou"),
    "thou": ("tenths", "in", "um", "mm"),
    "tenths": ("thou", "um"),
    "um": ("mm", "tenths", "thou", "uin"),
    "uin": ("um",),
    "Nm": ("ft-lb", "in-lb"),
    "ft-lb": ("Nm", "in-lb"),
    "in-lb": ("ft-lb", "Nm"),
}


def did_you_mean(
    quantity_or_si: Quantity | float, kind: Kind, low_si: float, high_si: float, *, around: str
) -> tuple[str, ...]:
    """What may have been meant by a value outside low to high (SI): texts such as `23 thou`, likeliest first.

    First the same digits in another unit of the kind, then a decimal point misplaced by one to three places,
    then both at once between mm and in; a value is suggested in one unit only. `around` is the unit of a plain
    float. Empty where none lands from low to high.
    """
    count, power, negative, unit = _digits(quantity_or_si, kind, around)
    found: dict[float, str] = {}
    slack = _EDGE * max(abs(low_si), abs(high_si))
    for shift, other in _intents(unit, kind):
        number = plain_digits(count, power + shift)
        si = other.si(_exact(count, power + shift, negative))
        known = any(math.isclose(si, other_si) for other_si in found)
        if low_si - slack <= si <= high_si + slack and not known:
            found[si] = f"{'-' if negative else ''}{number} {other.name}".rstrip()
    return tuple(found.values())


def plausible(q: Quantity, low_si: float, high_si: float, *, what: str, unit: str) -> Problem | None:
    """None where a quantity lies from low to high (SI, ends included), else what may have been meant.

    `what` names the thing ("bore", "an end gap"); `unit` is the one that the reader of the message thinks in.
    """
    if low_si <= q.si <= high_si:
        return None
    entered = q.text if read_numeral(q.text).rest else f"{q.text} {q.unit}".rstrip()
    named = f"{with_article(what)} of {excerpt(entered)}"
    expected = f"{_short(low_si, q.kind, unit)} to {_short(high_si, q.kind, unit)} {find_unit(q.kind, unit).name}"
    meant = did_you_mean(q, q.kind, low_si, high_si, around=unit)[:_SUGGESTED]
    if not meant:
        mend = "Check the number and its unit."
        return Problem("quantity-implausible", f"{named}: {expected.rstrip()} is expected.", mend)
    asked = " or ".join(_beside(text, q.kind, unit) for text in meant)
    return Problem("quantity-implausible", f"{named}: did you mean {asked}?", f"{expected.rstrip()} is expected.")


def _digits(quantity_or_si: Quantity | float, kind: Kind, around: str) -> tuple[int, int, bool, Unit]:
    """Digits, power of ten, whether negative, and unit, as entered; a fraction as a decimal."""
    if not isinstance(quantity_or_si, Quantity):
        unit = find_unit(kind, around)
        numeral = read_numeral(f"{unit.number(quantity_or_si):.7g}")
    else:
        unit = find_unit(kind, quantity_or_si.unit)
        numeral = read_numeral(quantity_or_si.text)
    if numeral.is_fraction:
        numeral = read_numeral(f"{float(numeral.exact)}")
    return numeral.count, numeral.power, numeral.sign == "-", unit


def _intents(unit: Unit, kind: Kind) -> Iterator[tuple[int, Unit]]:
    """Places to shift the decimal point by, and the unit to read the digits in, likeliest first."""
    for other in _other_units(unit, kind):
        yield 0, other
    for shift in _SHIFTS:
        yield shift, unit
    if kind is Kind.LENGTH and unit.name in ("mm", "in"):
        for shift in _SHIFTS:
            yield shift, find_unit(kind, "in" if unit.name == "mm" else "mm")


def _other_units(unit: Unit, kind: Kind) -> list[Unit]:
    swapped = {name: place for place, name in enumerate(_OFTEN_SWAPPED.get(unit.name, ()))}
    others = [other for other in UNITS[kind] if other is not unit]
    return sorted(others, key=lambda other: swapped.get(other.name, len(swapped)))


def _exact(count: int, power: int, negative: bool) -> Ratio:
    size = -count if negative else count
    return Ratio(size * 10**power) if power >= 0 else Ratio(size, 10**-power)


def _beside(text: str, kind: Kind, unit: str) -> str:
    """The suggestion, with its value in the reader's unit where it is in another."""
    suggested = find_unit(kind, read_numeral(text).rest)
    if suggested is find_unit(kind, unit):
        return text
    return f"{text} ({show(suggested.si(read_numeral(text).exact), kind, unit)})"


def _short(si: float, kind: Kind, unit: str) -> str:
    number = show(si, kind, unit, with_unit=False)
    return number.rstrip("0").rstrip(".") if "." in number else number
