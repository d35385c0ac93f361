"""A quantity as text in a unit that suits its size, with no more digits than anybody reads."""

from __future__ import annotations

import math
from collections.abc import Mapping

from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind, known_units
from blockwright.quantities.lookup import find_unit
from blockwright.report.formulas.measures import Measure

DIGITS = 6
SHOWN_IN: Mapping[Kind, tuple[tuple[float, str], ...]] = {
    Kind.LENGTH: ((2.0, "m"), (1e-5, "mm"), (0.0, "um")),
    Kind.PRESSURE_STEP: ((1e10, "GPa"), (1e5, "MPa"), (1e2, "kPa"), (0.0, "Pa")),
    Kind.PRESSURE: ((1e3, "bar a"), (0.0, "Pa a")),
    Kind.SPEED: ((0.0, "rpm"),),
    Kind.ANGLE: ((0.0, "deg"),),
    Kind.MASS: ((1.0, "kg"), (0.0, "g")),
    Kind.FORCE: ((1e4, "kN"), (0.0, "N")),
    Kind.VOLUME: ((1e-2, "L"), (0.0, "cc")),
    Kind.POWER: ((1e3, "kW"), (0.0, "W")),
    Kind.VISCOSITY: ((0.0, "mPa s"),),
    Kind.KINEMATIC: ((0.0, "mm2/s"),),
    Kind.EXPANSION: ((0.0, "um/m/K"),),
    Kind.AREA: ((1e-3, "cm2"), (0.0, "mm2")),
    Kind.TRAVEL: ((0.0, "m/s"),),
    Kind.DENSITY: ((0.0, "kg/m3"),),
}
"""For each kind: units with the size from which on they are taken, the largest first. Other kinds are shown in their first unit."""


def told(value: float, measure: Measure, unit: str = "", count: int = DIGITS) -> str:
    """A value of the physics floor with its unit: in `unit`, or in one that suits its size; with `count` significant digits.

    Raises QuantityError for a unit that the kind lacks, BlockwrightError where the kind has but one.
    """
    kind = measure.kind
    if kind is None:
        return f"{digits(value, count)} {_only(measure, unit)}".rstrip()
    if measure.above_zero_k and not unit:
        return f"{digits(value, count)} K"
    meant = find_unit(kind, unit) if unit else find_unit(kind, suiting(measure.to_kind(value), kind))
    return f"{digits(meant.number(measure.to_kind(value)), count)} {meant.name}".rstrip()


def suiting(si: float, kind: Kind) -> str:
    """The unit of a kind that suits a size; nothing is nothing in the unit that builders write first."""
    if si == 0.0 and kind is not Kind.PRESSURE:
        return known_units(kind)[0]
    for least, unit in SHOWN_IN.get(kind, ()):
        if abs(si) >= least:
            return unit
    return {Kind.TORQUE: "Nm", Kind.TEMPERATURE: "°C", Kind.DURATION: "s"}.get(kind, "")


def digits(number: float, count: int = DIGITS) -> str:
    """So many significant digits, without noughts at the end; as a power of ten only where the number is beyond all reading."""
    if number == 0.0 or not math.isfinite(number):
        return "0" if number == 0.0 else str(number)
    place = math.floor(math.log10(abs(number)))
    if not -6 <= place <= 9:
        return f"{number:.{count - 1}e}"
    text = f"{number:.{max(0, count - 1 - place)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _only(measure: Measure, unit: str) -> str:
    if unit and unit != measure.symbol:
        what = f"this is shown in {measure.symbol or 'plain numbers'} only."
        raise BlockwrightError(Problem("reckon-unit", what, "Leave the unit out."))
    return measure.symbol
