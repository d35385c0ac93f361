"""From what a builder writes to a quantity: `parse`.

Nothing is guessed. A bare number takes the unit that its field states, or is refused.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.quantities.errors import QuantityError, excerpt, with_article
from blockwright.quantities.lookup import find_unit, known_units
from blockwright.quantities.numerals import Numeral, read_numeral
from blockwright.quantities.units import Kind, Unit

_FLOORS = {Kind.TEMPERATURE: (-273.15, "absolute zero"), Kind.PRESSURE: (0.0, "a full vacuum")}


@dataclass(frozen=True)
class Quantity:
    """A value in SI with what was written.

    `text` is as entered, stripped; `unit` the canonical name of the unit written or taken from the field;
    `step_si` one unit of the last digit as entered (for 0.023 in: 0.001 in), in SI and without any offset.
    """

    si: float
    kind: Kind
    text: str
    unit: str
    step_si: float


def parse(text: str, kind: Kind, *, unit: str | None = None, signed: bool = False) -> Quantity:
    """Read a quantity of a kind from text.

    `unit` is what the field says a bare number means. `signed` allows a deviation with its sign; where it is
    false a sign is refused. Temperatures and pressures always take one, down to absolute zero or vacuum: 0 °C
    and the atmosphere are not nothing. Temperatures come back in °C, pressures absolute in Pa. Raises
    QuantityError.

    >>> parse("23 thou", Kind.LENGTH).si
    0.0005842
    >>> parse(".0023", Kind.LENGTH, unit="in")
    Quantity(si=5.842e-05, kind=<Kind.LENGTH: 'length'>, text='.0023', unit='in', step_si=2.54e-06)
    """
    numeral = read_numeral(text)
    meant = _unit_of(numeral, kind, unit, text)
    _check_fraction(numeral, meant, text)
    si = meant.si(numeral.exact)
    _check_sign(numeral, kind, si, signed, text)
    return Quantity(si, kind, text.strip(), meant.name, meant.si_step(numeral.step))


def _unit_of(numeral: Numeral, kind: Kind, field_unit: str | None, text: str) -> Unit:
    if numeral.rest:
        return find_unit(kind, numeral.rest)
    if field_unit is not None:
        return find_unit(kind, field_unit)
    if kind is Kind.RATIO:
        return find_unit(kind, "")
    number = excerpt(text.strip())
    first, second, *more = (f"{number} {name}" for name in known_units(kind)[:3])
    offered = f"{first}, {second} or {more[0]}" if more else f"{first} or {second}"
    raise QuantityError("no-unit", f"says {number} and no unit.", f"Write {offered}, whichever is meant.")


def _check_fraction(numeral: Numeral, unit: Unit, text: str) -> None:
    if numeral.is_fraction and not unit.fractions:
        what = f"'{excerpt(text.strip())}' is a fraction, and only inches are written in fractions."
        raise QuantityError("fraction", what, "Write it as a decimal.")


def _check_sign(numeral: Numeral, kind: Kind, si: float, signed: bool, text: str) -> None:
    shown = excerpt(text.strip())
    if kind in _FLOORS:
        floor_si, floor = _FLOORS[kind]
        if si < floor_si:
            raise QuantityError("below-floor", f"'{shown}' is below {floor}.", "Check the number and its unit.")
    elif numeral.sign and not signed:
        what = f"'{shown}' has a sign, and {with_article(kind)} here has none."
        raise QuantityError("sign", what, f"Write the {kind} itself, without + or -.")
