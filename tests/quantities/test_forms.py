"""Every form of text that a builder may write, with the SI value worked out by hand from the definitions."""

from __future__ import annotations

import math

import pytest

from blockwright.quantities import Kind, parse, whole_number

LENGTHS = [
    ("0.023 in", 0.023 * 0.0254, "in", 0.001 * 0.0254),
    ('0.023"', 0.023 * 0.0254, "in", 0.001 * 0.0254),
    ("0.023''", 0.023 * 0.0254, "in", 0.001 * 0.0254),
    ("0.023”", 0.023 * 0.0254, "in", 0.001 * 0.0254),
    (".023in", 0.023 * 0.0254, "in", 0.001 * 0.0254),
    ("0.023 inches", 0.023 * 0.0254, "in", 0.001 * 0.0254),
    ("0.0230 IN", 0.023 * 0.0254, "in", 0.0001 * 0.0254),
    ("2 in.", 0.0508, "in", 0.0254),
    ("23 thou", 23 * 0.0000254, "thou", 0.0000254),
    ("23 thou.", 23 * 0.0000254, "thou", 0.0000254),
    ("23thou", 23 * 0.0000254, "thou", 0.0000254),
    ("2.3 Thou", 2.3 * 0.0000254, "thou", 0.00000254),
    ("23. thou", 23 * 0.0000254, "thou", 0.0000254),
    ("2.4 tenths", 2.4 * 0.00000254, "tenths", 0.000000254),
    ("1 tenth", 0.00000254, "tenths", 0.00000254),
    ("3 ten-thousandths", 3 * 0.00000254, "tenths", 0.00000254),
    ("12 microinch", 12 * 0.0254e-6, "uin", 0.0254e-6),
    ("12 uin", 12 * 0.0254e-6, "uin", 0.0254e-6),
    ("12 \u00b5in", 12 * 0.0254e-6, "uin", 0.0254e-6),
    ("12 \u03bcin", 12 * 0.0254e-6, "uin", 0.0254e-6),
    ("0.584 mm", 0.000584, "mm", 1e-6),
    ("0,584 mm", 0.000584, "mm", 1e-6),
    (",584 mm", 0.000584, "mm", 1e-6),
    ("0.584 MM", 0.000584, "mm", 1e-6),
    ("0.584\u00a0mm", 0.000584, "mm", 1e-6),
    ("  0.584\tmm ", 0.000584, "mm", 1e-6),
    ("584 um", 0.000584, "um", 1e-6),
    ("584 \u00b5m", 0.000584, "um", 1e-6),
    ("584 \u03bcm", 0.000584, "um", 1e-6),
    ("584 microns", 0.000584, "um", 1e-6),
    ("8.73 cm", 0.0873, "cm", 1e-4),
    ("0.0873 m", 0.0873, "m", 1e-4),
    ("12,3456 mm", 0.0123456, "mm", 1e-7),
    ("1234,567 mm", 1.234567, "mm", 1e-6),
    ("12,3 mm", 0.0123, "mm", 1e-4),
    ("1,234.5 mm", 1.2345, "mm", 1e-4),
    ("1.234,5 mm", 1.2345, "mm", 1e-4),
    ("1.234.567 um", 1.234567, "um", 1e-6),
    ("1,234,567 um", 1.234567, "um", 1e-6),
    ("5.84e-1 mm", 0.000584, "mm", 1e-6),
    ("5.84E\u22121 mm", 0.000584, "mm", 1e-6),
    ("3 7/16 in", 0.0873125, "in", 0.0254 / 16),
    ("3-7/16 in", 0.0873125, "in", 0.0254 / 16),
    ('3 7/16"', 0.0873125, "in", 0.0254 / 16),
    ("7/16 in", 0.0111125, "in", 0.0254 / 16),
    ("17/16 in", 0.0269875, "in", 0.0254 / 16),
    ("0 mm", 0.0, "mm", 1e-3),
]

OTHERS = [
    ("55 Nm", Kind.TORQUE, 55.0, "Nm"),
    ("55 N·m", Kind.TORQUE, 55.0, "Nm"),
    ("55 N m", Kind.TORQUE, 55.0, "Nm"),
    ("55 N-m", Kind.TORQUE, 55.0, "Nm"),
    ("55 NM", Kind.TORQUE, 55.0, "Nm"),
    ("55 nm", Kind.TORQUE, 55.0, "Nm"),
    *(
        (f"40 {unit}", Kind.TORQUE, 40 * 0.3048 * 4.4482216152605, "ft-lb")
        for unit in (
            "ft-lb",
            "ft lb",
            "lb-ft",
            "lbft",
            "ftlb",
            "ft·lbf",
            "lbf ft",
            "lb*ft",
            "ft-lbs",
            "ft.-lbs.",
            "FT-LB",
            "ft/lbs",
        )
    ),
    ("300 in-lb", Kind.TORQUE, 300 * 0.0254 * 4.4482216152605, "in-lb"),
    ("300 lb·in", Kind.TORQUE, 300 * 0.0254 * 4.4482216152605, "in-lb"),
    ("5 kgf·m", Kind.TORQUE, 49.03325, "kgf m"),
    ("1.4 bar g", Kind.PRESSURE, 241325.0, "bar g"),
    ("1.4 barg", Kind.PRESSURE, 241325.0, "bar g"),
    ("1.4 bar(g)", Kind.PRESSURE, 241325.0, "bar g"),
    ("1.4 bar gauge", Kind.PRESSURE, 241325.0, "bar g"),
    ("\u22120.4 bar g", Kind.PRESSURE, 61325.0, "bar g"),
    ("1.4 bar a", Kind.PRESSURE, 140000.0, "bar a"),
    ("1.4 bar abs", Kind.PRESSURE, 140000.0, "bar a"),
    ("20 psi g", Kind.PRESSURE, 101325 + 20 * 4.4482216152605 / 0.0254**2, "psi g"),
    ("20 psig", Kind.PRESSURE, 101325 + 20 * 4.4482216152605 / 0.0254**2, "psi g"),
    ("14.7 psia", Kind.PRESSURE, 14.7 * 4.4482216152605 / 0.0254**2, "psi a"),
    ("101.3 kPa a", Kind.PRESSURE, 101300.0, "kPa a"),
    ("1013 hPa a", Kind.PRESSURE, 101300.0, "hPa a"),
    ("1.4 bar", Kind.PRESSURE_STEP, 140000.0, "bar"),
    ("1.4 bar g", Kind.PRESSURE_STEP, 140000.0, "bar"),
    ("20 psi", Kind.PRESSURE_STEP, 20 * 4.4482216152605 / 0.0254**2, "psi"),
    ("520 MPa", Kind.PRESSURE_STEP, 5.2e8, "MPa"),
    ("520 MPA", Kind.PRESSURE_STEP, 5.2e8, "MPa"),
    ("520 N/mm2", Kind.PRESSURE_STEP, 5.2e8, "MPa"),
    ("520 N/mm²", Kind.PRESSURE_STEP, 5.2e8, "MPa"),
    ("207 GPa", Kind.PRESSURE_STEP, 2.07e11, "GPa"),
    ("90 °C", Kind.TEMPERATURE, 90.0, "°C"),
    ("90C", Kind.TEMPERATURE, 90.0, "°C"),
    ("90 deg C", Kind.TEMPERATURE, 90.0, "°C"),
    ("90 ℃", Kind.TEMPERATURE, 90.0, "°C"),
    ("90 ºC", Kind.TEMPERATURE, 90.0, "°C"),
    ("-5 °C", Kind.TEMPERATURE, -5.0, "°C"),
    ("194 °F", Kind.TEMPERATURE, 90.0, "°F"),
    ("194F", Kind.TEMPERATURE, 90.0, "°F"),
    ("-40 °F", Kind.TEMPERATURE, -40.0, "°F"),
    ("293.15 K", Kind.TEMPERATURE, 20.0, "K"),
    ("9 K", Kind.TEMPERATURE_STEP, 9.0, "K"),
    ("9 °C", Kind.TEMPERATURE_STEP, 9.0, "°C"),
    ("9 °F", Kind.TEMPERATURE_STEP, 5.0, "°F"),
    ("9000 rpm", Kind.SPEED, 300 * math.pi, "rpm"),
    ("9000 RPM", Kind.SPEED, 300 * math.pi, "rpm"),
    ("9000 rev/min", Kind.SPEED, 300 * math.pi, "rpm"),
    ("9000 rev / min", Kind.SPEED, 300 * math.pi, "rpm"),
    ("9000 1/min", Kind.SPEED, 300 * math.pi, "rpm"),
    ("9000 min⁻¹", Kind.SPEED, 300 * math.pi, "rpm"),
    ("942 rad/s", Kind.SPEED, 942.0, "rad/s"),
    ("612.4 g", Kind.MASS, 0.6124, "g"),
    ("1.2 KG", Kind.MASS, 1.2, "kg"),
    ("2 lb", Kind.MASS, 0.90718474, "lb"),
    ("16 oz", Kind.MASS, 0.45359237, "oz"),
    ("90 deg", Kind.ANGLE, math.pi / 2, "deg"),
    ("90°", Kind.ANGLE, math.pi / 2, "deg"),
    ("1.5 rad", Kind.ANGLE, 1.5, "rad"),
    ("300 kW", Kind.POWER, 300e3, "kW"),
    ("400 hp", Kind.POWER, 400 * 550 * 0.3048 * 4.4482216152605, "hp"),
    ("400 BHP", Kind.POWER, 400 * 550 * 0.3048 * 4.4482216152605, "hp"),
    ("400 PS", Kind.POWER, 400 * 735.49875, "PS"),
    ("400 metric hp", Kind.POWER, 400 * 735.49875, "PS"),
    ("64.5 cc", Kind.VOLUME, 64.5e-6, "cc"),
    ("64.5 cm3", Kind.VOLUME, 64.5e-6, "cc"),
    ("64.5 cm³", Kind.VOLUME, 64.5e-6, "cc"),
    ("64.5 mL", Kind.VOLUME, 64.5e-6, "cc"),
    ("2.0 L", Kind.VOLUME, 0.002, "L"),
    ("2.0 l", Kind.VOLUME, 0.002, "L"),
    ("350 cu in", Kind.VOLUME, 350 * 0.0254**3, "cu in"),
    ("350 cu. in.", Kind.VOLUME, 350 * 0.0254**3, "cu in"),
    ("0.0045", Kind.RATIO, 0.0045, ""),
    ("0.0045 in/in", Kind.RATIO, 0.0045, ""),
    ("10.5:1", Kind.RATIO, 10.5, ""),
    ("15 %", Kind.RATIO, 0.15, "%"),
    ("15%", Kind.RATIO, 0.15, "%"),
    ("4.5 thou/in", Kind.RATIO, 0.0045, "thou/in"),
    ("22.3e-6/K", Kind.EXPANSION, 22.3e-6, "1/K"),
    ("1.15e-5 /K", Kind.EXPANSION, 1.15e-5, "1/K"),
    ("1.15e-5 1/K", Kind.EXPANSION, 1.15e-5, "1/K"),
    ("1.15e-5 K⁻¹", Kind.EXPANSION, 1.15e-5, "1/K"),
    ("22.3 um/m/K", Kind.EXPANSION, 22.3e-6, "um/m/K"),
    ("22.3 µm/(m·K)", Kind.EXPANSION, 22.3e-6, "um/m/K"),
    ("22.3 ppm/K", Kind.EXPANSION, 22.3e-6, "um/m/K"),
    ("22.3 ppm/°C", Kind.EXPANSION, 22.3e-6, "um/m/K"),
    ("5 ppm/°F", Kind.EXPANSION, 9e-6, "uin/in/°F"),
    ("55 kN", Kind.FORCE, 55e3, "kN"),
    ("120 lbf", Kind.FORCE, 120 * 4.4482216152605, "lbf"),
    ("120 lb", Kind.FORCE, 120 * 4.4482216152605, "lbf"),
    ("45 s", Kind.DURATION, 45.0, "s"),
    ("20 min", Kind.DURATION, 1200.0, "min"),
    ("1.5 h", Kind.DURATION, 5400.0, "h"),
    ("0.4 um", Kind.ROUGHNESS, 0.4e-6, "um"),
    ("16 µin", Kind.ROUGHNESS, 16 * 0.0254e-6, "uin"),
    ("16 microinch", Kind.ROUGHNESS, 16 * 0.0254e-6, "uin"),
]

DEVIATIONS = [
    ("+0.012 mm", 12e-6),
    ("-3 tenths", -3 * 0.00000254),
    ("\u221212 um", -12e-6),
    ("– 12 um", -12e-6),
    ("- 12 um", -12e-6),
    ("12 um", 12e-6),
    ("-1/16 in", -0.0254 / 16),
]


@pytest.mark.parametrize(("text", "si", "unit", "step_si"), LENGTHS)
def test_lengths(text: str, si: float, unit: str, step_si: float) -> None:
    q = parse(text, Kind.LENGTH)
    assert q.si == pytest.approx(si, rel=1e-14, abs=0)
    assert q.step_si == pytest.approx(step_si, rel=1e-14, abs=0)
    assert (q.unit, q.kind, q.text) == (unit, Kind.LENGTH, text.strip())


@pytest.mark.parametrize(("text", "kind", "si", "unit"), OTHERS)
def test_other_kinds(text: str, kind: Kind, si: float, unit: str) -> None:
    q = parse(text, kind)
    assert q.si == pytest.approx(si, rel=1e-14, abs=0)
    assert q.unit == unit


@pytest.mark.parametrize(("text", "si"), DEVIATIONS)
def test_signed_deviations(text: str, si: float) -> None:
    assert parse(text, Kind.LENGTH, signed=True).si == pytest.approx(si, rel=1e-14, abs=0)


@pytest.mark.parametrize(
    ("text", "unit", "si"),
    [
        (".0023", "in", 58.42e-6),
        ("23", "thou", 584.2e-6),
        ("0,584", "mm", 584e-6),
        ("3 7/16", "in", 87.3125e-3),
        ("12", "µin", 304.8e-9),
    ],
)
def test_a_bare_number_takes_the_unit_of_its_field(text: str, unit: str, si: float) -> None:
    assert parse(text, Kind.LENGTH, unit=unit).si == pytest.approx(si, rel=1e-14, abs=0)


def test_a_written_unit_overrules_the_field() -> None:
    q = parse("0.584 mm", Kind.LENGTH, unit="in")
    assert (q.si, q.unit) == (0.000584, "mm")


def test_a_bare_ratio_takes_the_per_cent_of_its_field() -> None:
    assert parse("15", Kind.RATIO, unit="%").si == 0.15


def test_the_float_is_the_one_nearest_to_the_text() -> None:
    """0.023 in is 0.5842 mm exactly, and 87.3 mm is 0.0873 m: no digit is lost on the way."""
    assert parse("0.023 in", Kind.LENGTH).si == 0.0005842
    assert parse("87.3 mm", Kind.LENGTH).si == 0.0873
    assert parse("2.4 tenths", Kind.LENGTH).step_si == 2.54e-7
    assert parse("-459.67 °F", Kind.TEMPERATURE).si == -273.15


def test_a_negative_nothing_is_nothing() -> None:
    assert math.copysign(1.0, parse("-0.000 mm", Kind.LENGTH, signed=True).si) == 1.0


def test_the_step_of_a_temperature_has_no_offset() -> None:
    assert parse("194.0 °F", Kind.TEMPERATURE).step_si == pytest.approx(1 / 18, rel=1e-14)
    assert parse("1.40 bar g", Kind.PRESSURE).step_si == pytest.approx(1000.0, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "count"),
    [("3", 3), ("007", 7), ("٣", 3), ("999999999", 999_999_999), ("0", 0), *((each, None) for each in ("", "²", "③", "½", "Ⅷ", "-1", "1.0", "1 2", "9" * 10, "9" * 5000))],
)  # fmt: skip
def test_a_count_is_a_plain_row_of_digits(text: str, count: int | None) -> None:
    assert whole_number(text) == count
