"""From SI to the builder's unit: `show`, with as many digits as the uncertainty carries."""

from __future__ import annotations

import math

from blockwright.quantities.errors import QuantityError, with_article
from blockwright.quantities.lookup import find_unit, unit_anywhere
from blockwright.quantities.units import Kind, Unit

_FIRST_DIGITS_THAT_NEED_A_SECOND = "12"


def show(
    si: float,
    kind: Kind,
    unit: str,
    *,
    u: float | None = None,
    signed: bool = False,
    with_unit: bool = True,
) -> str:
    """Write a value in a unit, with fixed decimals.

    `u` is the standard uncertainty in SI; the decimals end where it does (see `decimals_for`). `signed`
    writes a plus as well. A value that rounds to nothing has no sign. Raises QuantityError where the value is
    not finite or the kind lacks the unit.

    >>> show(0.0005842, Kind.LENGTH, "thou")
    '23.0 thou'
    >>> show(0.0005842, Kind.LENGTH, "mm", u=0.000012)
    '0.584 mm'
    """
    if not math.isfinite(si):
        what = f"{with_article(kind)} that is not a number cannot be shown."
        raise QuantityError("not-finite", what, "Show it only where it is known.")
    meant = find_unit(kind, unit)
    text = f"{meant.number(si):+.{_decimals(meant, u)}f}"
    if not text.strip("+-0."):
        text = text[1:]
    elif not signed:
        text = text.removeprefix("+")
    return f"{text} {meant.name}" if with_unit and meant.name else text


def decimals_for(unit: str, u: float | None, *, kind: Kind | None = None) -> int:
    """Decimals of a value in this unit with standard uncertainty `u` in SI.

    The second significant digit of `u` is the last place where its first is 1 or 2, else the first is; never
    more than the unit's utmost. Without a positive finite `u`, the unit's own. `kind` settles a name that two
    kinds share (um of length or of roughness).

    >>> decimals_for("mm", 0.0000035), decimals_for("mm", 0.000012), decimals_for("in", None)
    (3, 3, 4)
    """
    return _decimals(unit_anywhere(unit) if kind is None else find_unit(kind, unit), u)


def _decimals(unit: Unit, u: float | None) -> int:
    if u is None or not math.isfinite(u) or u <= 0.0:
        return unit.decimals
    digits, _, exponent = f"{u / unit.scale:.6e}".partition("e")
    place = -int(exponent) + (digits[0] in _FIRST_DIGITS_THAT_NEED_A_SECOND)
    return min(max(place, 0), unit.most_decimals)
