"""The table of units against an independent unit library and against printed conversion factors."""

from __future__ import annotations

import subprocess
import sys

import pint
import pytest

from blockwright.quantities import Kind, convert, known_units, parse
from blockwright.quantities.lookup import unit_key
from blockwright.quantities.units import UNITS, Unit

# The library's own words. Its `thou` is a thousandth of an inch, its torque is ft*lbf; its `horsepower` is 550 ft lbf/s.
ORACLE = {
    Kind.LENGTH: {
        "mm": "millimeter",
        "in": "inch",
        "thou": "thou",
        "tenths": "0.1 * thou",
        "um": "micrometer",
        "uin": "microinch",
        "cm": "centimeter",
        "m": "meter",
    },
    Kind.ROUGHNESS: {"um": "micrometer", "uin": "microinch"},
    Kind.TEMPERATURE_STEP: {"K": "kelvin", "°C": "delta_degC", "°F": "delta_degF"},
    Kind.TORQUE: {
        "Nm": "newton * meter",
        "ft-lb": "foot * force_pound",
        "in-lb": "inch * force_pound",
        "kgf m": "force_kilogram * meter",
    },
    Kind.PRESSURE_STEP: {
        "bar": "bar",
        "psi": "psi",
        "kPa": "kilopascal",
        "MPa": "newton / millimeter ** 2",
        "GPa": "gigapascal",
        "ksi": "1000 * psi",
        "mbar": "millibar",
        "kgf/cm2": "force_kilogram / centimeter ** 2",
        "Pa": "pascal",
    },
    Kind.PRESSURE: {
        f"{name} {side}": oracle
        for name, oracle in {
            "bar": "bar",
            "psi": "psi",
            "kPa": "kilopascal",
            "mbar": "millibar",
            "hPa": "hectopascal",
            "MPa": "megapascal",
            "Pa": "pascal",
        }.items()
        for side in "ga"
    },
    Kind.SPEED: {"rpm": "revolution / minute", "rad/s": "radian / second"},
    Kind.MASS: {"g": "gram", "kg": "kilogram", "lb": "pound", "oz": "ounce"},
    Kind.ANGLE: {"deg": "degree", "rad": "radian"},
    Kind.POWER: {"kW": "kilowatt", "hp": "horsepower", "PS": "metric_horsepower", "W": "watt"},
    Kind.VOLUME: {"cc": "centimeter ** 3", "L": "liter", "cu in": "inch ** 3", "m3": "meter ** 3"},
    Kind.RATIO: {"": "dimensionless", "%": "percent", "thou/in": "thou / inch", "um/mm": "micrometer / millimeter"},
    Kind.EXPANSION: {
        "um/m/K": "micrometer / meter / kelvin",
        "1/K": "1 / kelvin",
        "uin/in/°F": "microinch / inch / delta_degF",
        "1/°F": "1 / delta_degF",
    },
    Kind.FORCE: {"N": "newton", "kN": "kilonewton", "lbf": "force_pound", "kgf": "force_kilogram"},
    Kind.DURATION: {"s": "second", "min": "minute", "h": "hour"},
    Kind.VISCOSITY: {"mPa s": "millipascal * second", "Pa s": "pascal * second"},
    Kind.KINEMATIC: {"mm2/s": "millimeter ** 2 / second", "m2/s": "meter ** 2 / second"},
    Kind.AREA: {"mm2": "millimeter ** 2", "cm2": "centimeter ** 2", "sq in": "inch ** 2", "m2": "meter ** 2"},
    Kind.TRAVEL: {"m/s": "meter / second", "ft/min": "foot / minute", "ft/s": "foot / second"},
    Kind.DENSITY: {"kg/m3": "kilogram / meter ** 3", "g/cm3": "gram / centimeter ** 3"},
}
SI_OF_KIND = {
    Kind.LENGTH: "meter",
    Kind.ROUGHNESS: "meter",
    Kind.TEMPERATURE_STEP: "kelvin",
    Kind.TORQUE: "newton * meter",
    Kind.PRESSURE_STEP: "pascal",
    Kind.PRESSURE: "pascal",
    Kind.SPEED: "radian / second",
    Kind.MASS: "kilogram",
    Kind.ANGLE: "radian",
    Kind.POWER: "watt",
    Kind.VOLUME: "meter ** 3",
    Kind.RATIO: "dimensionless",
    Kind.EXPANSION: "1 / kelvin",
    Kind.FORCE: "newton",
    Kind.DURATION: "second",
    Kind.VISCOSITY: "pascal * second",
    Kind.KINEMATIC: "meter ** 2 / second",
    Kind.AREA: "meter ** 2",
    Kind.TRAVEL: "meter / second",
    Kind.DENSITY: "kilogram / meter ** 3",
}

# A. Thompson and B. N. Taylor, Guide for the Use of the International System of Units (SI), NIST Special Publication 811,
# 2008, appendix B.8: factors as printed, to seven digits (from memory).
PRINTED = [
    (Kind.LENGTH, "in", "2.540000e-02"),
    (Kind.MASS, "lb", "4.535924e-01"),
    (Kind.MASS, "oz", "2.834952e-02"),
    (Kind.FORCE, "lbf", "4.448222e+00"),
    (Kind.FORCE, "kgf", "9.806650e+00"),
    (Kind.TORQUE, "ft-lb", "1.355818e+00"),
    (Kind.TORQUE, "in-lb", "1.129848e-01"),
    (Kind.PRESSURE_STEP, "psi", "6.894757e+03"),
    (Kind.PRESSURE_STEP, "kgf/cm2", "9.806650e+04"),
    (Kind.POWER, "hp", "7.456999e+02"),
    (Kind.POWER, "PS", "7.354988e+02"),
    (Kind.VOLUME, "cu in", "1.638706e-05"),
    (Kind.SPEED, "rpm", "1.047198e-01"),
    (Kind.ANGLE, "deg", "1.745329e-02"),
    (Kind.TEMPERATURE_STEP, "°F", "5.555556e-01"),
    (Kind.AREA, "sq in", "6.451600e-04"),
    (Kind.TRAVEL, "ft/min", "5.080000e-03"),
    (Kind.TRAVEL, "ft/s", "3.048000e-01"),
]

EVERY_UNIT = [pytest.param(kind, unit, id=f"{kind}: {unit.name}") for kind, units in UNITS.items() for unit in units]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "unit"), [case for case in EVERY_UNIT if case.values[0] is not Kind.TEMPERATURE])
def test_each_factor_agrees_with_the_unit_library(registry: pint.UnitRegistry, kind: Kind, unit: Unit) -> None:
    expected = (1.0 * registry.parse_expression(ORACLE[kind][unit.name])).to(SI_OF_KIND[kind]).magnitude
    assert unit.scale == pytest.approx(expected, rel=1e-13, abs=0)


@pytest.mark.parametrize(("name", "oracle"), [("°C", "degC"), ("°F", "degF"), ("K", "kelvin")])
@pytest.mark.parametrize("number", ["0", "20", "194", "451.5"])
def test_temperatures_agree_with_the_unit_library(
    registry: pint.UnitRegistry, name: str, oracle: str, number: str
) -> None:
    expected = registry.Quantity(float(number), oracle).to("degC").magnitude
    assert parse(f"{number} {name}", Kind.TEMPERATURE).si == pytest.approx(expected, rel=1e-12, abs=1e-12 * 273.15)


def test_gauge_pressure_counts_from_the_standard_atmosphere(registry: pint.UnitRegistry) -> None:
    atmosphere_pa = registry.Quantity(1.0, "atmosphere").to("pascal").magnitude
    for unit in UNITS[Kind.PRESSURE]:
        assert unit.shift == (atmosphere_pa if unit.name.endswith(" g") else 0.0)


@pytest.mark.parametrize(("kind", "name", "printed"), PRINTED)
def test_each_factor_agrees_with_the_printed_one(kind: Kind, name: str, printed: str) -> None:
    (unit,) = (unit for unit in UNITS[kind] if unit.name == name)
    half_a_printed_digit = 0.5e-6 * 10.0 ** int(printed.partition("e")[2]) * (1 + 1e-9)
    assert abs(unit.scale - float(printed)) <= half_a_printed_digit, "Thompson and Taylor, NIST SP 811, 2008, B.8"


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT)
def test_every_spelling_of_a_unit_is_read_as_that_unit(kind: Kind, unit: Unit) -> None:
    for name in (unit.name, *unit.aliases):
        q = parse(f"400 {name}", kind)
        assert (q.unit, q.si) == (unit.name, parse(f"400 {unit.name}", kind).si)


@pytest.mark.parametrize("kind", list(Kind))
def test_no_spelling_belongs_to_two_units_of_a_kind(kind: Kind) -> None:
    seen: dict[str, str] = {}
    for unit in UNITS[kind]:
        for key in {unit_key(name) for name in (unit.name, *unit.aliases)}:
            assert seen.setdefault(key, unit.name) == unit.name


def test_units_are_offered_in_their_order() -> None:
    assert known_units(Kind.LENGTH) == ("mm", "in", "thou", "tenths", "um", "uin", "cm", "m")
    assert known_units(Kind.RATIO) == ("", "%", "thou/in", "um/mm")
    assert all(known_units(kind) for kind in Kind)


@pytest.mark.parametrize(
    ("value", "kind", "start", "end", "expected"),
    [
        (23.0, Kind.LENGTH, "thou", "mm", 0.5842),
        (3.437, Kind.LENGTH, "in", "mm", 87.2998),
        (194.0, Kind.TEMPERATURE, "°F", "°C", 90.0),
        (20.0, Kind.TEMPERATURE, "°C", "K", 293.15),
        (9.0, Kind.TEMPERATURE_STEP, "°F", "K", 5.0),
        (0.0, Kind.PRESSURE, "bar g", "kPa a", 101.325),
        (55.0, Kind.TORQUE, "Nm", "ft-lb", 55 / 1.3558179483314004),
        (1.0, Kind.EXPANSION, "ppm/°F", "ppm/K", 1.8),
    ],
)
def test_convert(value: float, kind: Kind, start: str, end: str, expected: float) -> None:
    assert convert(value, kind, start, end) == pytest.approx(expected, rel=1e-12)
    assert convert(expected, kind, end, start) == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_the_package_loads_nothing_heavy() -> None:
    """The start of the command line must stay quick, so neither numbers nor units come from a library."""
    heavy = "numpy, scipy, pint, decimal, fractions, difflib, typing_extensions, pydantic"
    code = f"import sys, blockwright.quantities; print([m for m in '{heavy}'.split(', ') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
