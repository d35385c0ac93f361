"""What the calculation rests on: every input with its doubt, and whether it was given, read or assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockwright.quantities import Kind, show
from blockwright.report.work.numbers import Shop, fineness
from blockwright.running.work.result import Fact, Work

SHOWN: Mapping[str, tuple[Kind, str]] = {
    "Pa": (Kind.PRESSURE_STEP, "bar"),
    "W": (Kind.POWER, "kW"),
    "rad/s": (Kind.SPEED, "rpm"),
    "rad": (Kind.ANGLE, "deg"),
    "°C": (Kind.TEMPERATURE, "°C"),
    "K": (Kind.TEMPERATURE_STEP, "K"),
    "kg": (Kind.MASS, "g"),
    "m3": (Kind.VOLUME, "cc"),
    "m³": (Kind.VOLUME, "cc"),
    "m2/s": (Kind.KINEMATIC, "mm2/s"),
    "m²/s": (Kind.KINEMATIC, "mm2/s"),
    "Pa s": (Kind.VISCOSITY, "mPa s"),
    "N": (Kind.FORCE, "kN"),
    "N m": (Kind.TORQUE, "Nm"),
    "1/K": (Kind.EXPANSION, "um/m/K"),
    "": (Kind.RATIO, ""),
    "1": (Kind.RATIO, ""),
}
"""Kind and unit that an input is shown in, by the unit it is held in; lengths are the shop's."""
SMALL_M = 2e-4
"""A length below this is shown in the unit of oil films."""


@dataclass(frozen=True)
class FactRow:
    """One input: what it is, its value with its standard uncertainty, where it comes from, and whether nobody gave it."""

    words: str
    value: str
    origin: str
    assumed: bool


def fact_rows(work: Work, shop: Shop) -> tuple[FactRow, ...]:
    """Every input, in the order of the calculation."""
    return tuple(FactRow(fact.words, fact_value(fact, shop), fact.origin, fact.assumed) for fact in work.facts)


def fact_value(fact: Fact, shop: Shop) -> str:
    """`86 kW, u = 2 kW`: value and standard uncertainty, in a unit of the trade; as it is held where no such unit is known."""
    kind, unit = _unit(fact, shop)
    if kind is None:
        doubt = f" (u {fact.u:.2g})" if fact.u else ""
        return f"{fact.value:.4g} {fact.unit}{doubt}".strip()
    u = fineness(fact.value, fact.u)
    value = show(fact.value, kind, unit, u=u)
    if not fact.u:
        return value
    step = Kind.TEMPERATURE_STEP if kind is Kind.TEMPERATURE else kind
    return f"{value} (u {show(fact.u, step, unit, u=u, with_unit=False)})"


def _unit(fact: Fact, shop: Shop) -> tuple[Kind | None, str]:
    if fact.unit == "m":
        return Kind.LENGTH, shop.film if abs(fact.value) < SMALL_M else shop.size
    return SHOWN.get(fact.unit, (None, ""))
