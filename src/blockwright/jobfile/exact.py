"""A quantity as text that reads back as the very same number: as short as it can be, in a unit that a builder would write."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Context, Decimal

from blockwright.quantities import Kind, parse
from blockwright.quantities.lookup import find_unit

WRITTEN_IN: Mapping[Kind, tuple[str, ...]] = {
    Kind.LENGTH: ("mm", "m"), Kind.ROUGHNESS: ("um",), Kind.TORQUE: ("Nm",), Kind.MASS: ("g", "kg"), Kind.FORCE: ("N",),
    Kind.TEMPERATURE: ("°C",), Kind.TEMPERATURE_STEP: ("K",), Kind.SPEED: ("rpm", "rad/s"), Kind.ANGLE: ("deg", "rad"),
    Kind.POWER: ("kW", "W"), Kind.PRESSURE: ("bar a", "Pa a"), Kind.PRESSURE_STEP: ("bar", "Pa"), Kind.VOLUME: ("cc", "m3"),
    Kind.RATIO: ("",), Kind.EXPANSION: ("um/m/K", "1/K"), Kind.DURATION: ("s",),
    Kind.VISCOSITY: ("mPa s", "Pa s"), Kind.KINEMATIC: ("mm2/s", "m2/s"), Kind.AREA: ("mm2", "m2"), Kind.TRAVEL: ("m/s",), Kind.DENSITY: ("kg/m3",),
}  # fmt: skip
"""Units by kind, the first that will do is taken."""
DIGITS = (6, 9, 12, 15, 17)
UTMOST = Context(prec=25)


def quantity_text(value_si: float, kind: Kind) -> str:
    """`0.0005842` of length -> `0.5842 mm`; `parse` gives `value_si` again, to the last bit."""
    for unit in WRITTEN_IN[kind]:
        number = find_unit(kind, unit).number(value_si)
        for digits in DIGITS:
            text = f"{number:.{digits}g} {unit}".strip()
            if parse(text, kind, signed=True).si == value_si:
                return text
    factor = find_unit(kind, unit).factor
    exact = UTMOST.divide(UTMOST.multiply(Decimal(value_si), Decimal(factor.bottom)), Decimal(factor.top))
    return f"{exact:.24e} {unit}".strip()
