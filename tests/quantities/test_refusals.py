"""What is refused, and the words in which it is: what is wrong, and what to write instead."""

from __future__ import annotations

import time

import pytest

from blockwright.problems import BlockwrightError
from blockwright.quantities import Kind, QuantityError, convert, parse, show

LENGTH_REFUSALS = [
    ("23", "no-unit", "says 23 and no unit.", "Write 23 mm, 23 in or 23 thou, whichever is meant."),
    ("", "empty", "nothing is written here.", "Write a number and its unit."),
    ("   ", "empty", "nothing is written here.", "Write a number and its unit."),
    ("NaN", "no-number", "'NaN' does not begin with a number.", "Write a number and its unit."),
    ("inf mm", "no-number", "'inf mm' does not begin with a number.", "Write a number and its unit."),
    ("--", "no-number", "'--' does not begin with a number.", "Write a number and its unit."),
    ("mm", "no-number", "'mm' does not begin with a number.", "Write a number and its unit."),
    ("５ mm", "no-number", "'５ mm' does not begin with a number.", "Write a number and its unit."),
    ("1e999 mm", "size", "'1e999 mm' is no size that can be measured.", "Check the digits and the power of ten."),
    ("1e-999 mm", "size", "'1e-999 mm' is no size that can be measured.", "Check the digits and the power of ten."),
    (
        "5 mil",
        "unit-unclear",
        "'mil' is a thousandth of an inch in some shops and a millimetre in others.",
        "Write thou or mm.",
    ),
    (
        "5 MILS",
        "unit-unclear",
        "'MILS' is a thousandth of an inch in some shops and a millimetre in others.",
        "Write thou or mm.",
    ),
    (
        "55 nm",
        "unit-unclear",
        "'nm' is a nanometre, or a torque that lost its capital N.",
        "Write mm, um or in for a length.",
    ),
    (
        "55 Nm",
        "unit-of-another-kind",
        "'Nm' is a unit of torque; a length is wanted.",
        "Write it in mm, in, thou, tenths or um.",
    ),
    ("5 M", "unit-unclear", "'M' could be a metre or a million.", "Write m for metres, or mm."),
    ("5 '", "unit-unclear", "''' is a foot or a minute of arc.", "Write in or mm."),
    (
        "5 furlongs",
        "unit-unknown",
        "'furlongs' is no unit of length known here.",
        "Write it in mm, in, thou, tenths or um.",
    ),
    ("5 m m", "unit-unknown", "'m m' is no unit of length known here.", "Write it in mm, in, thou, tenths or um."),
    ("5--mm", "unit-unknown", "'--mm' is no unit of length known here.", "Write it in mm, in, thou, tenths or um."),
    (
        "12,345 mm",
        "comma",
        "'12,345 mm' can be read as 12.345 or as 12345.",
        "Write 12.345 or 12345, without the comma.",
    ),
    ("1,2,3 mm", "no-number", "the commas and points of '1,2,3 mm' make no number.", "Write one decimal point."),
    ("1.2.3 mm", "no-number", "the commas and points of '1.2.3 mm' make no number.", "Write one decimal point."),
    ("23, mm", "no-number", "the commas and points of '23, mm' make no number.", "Write one decimal point."),
    (
        "-0.5 mm",
        "sign",
        "'-0.5 mm' has a sign, and a length here has none.",
        "Write the length itself, without + or -.",
    ),
    (
        "+0.5 mm",
        "sign",
        "'+0.5 mm' has a sign, and a length here has none.",
        "Write the length itself, without + or -.",
    ),
    (
        "1 234 mm",
        "two-numbers",
        "'1 234 mm' holds more than one number, or a number with a gap in it.",
        "Write one number, without gaps.",
    ),
    (
        "70 to 80 mm",
        "unit-unknown",
        "'to 80 mm' is no unit of length known here.",
        "Write it in mm, in, thou, tenths or um.",
    ),
    (
        "7/15 in",
        "fraction",
        "'7/15 in' is no fraction of a rule: halves, quarters, down to 128ths.",
        "Write it as a decimal, or mend the fraction.",
    ),
    (
        "3 17/16 in",
        "fraction",
        "'3 17/16 in' is no fraction of a rule: halves, quarters, down to 128ths.",
        "Write it as a decimal, or mend the fraction.",
    ),
    (
        "7/0 in",
        "fraction",
        "'7/0 in' is no fraction of a rule: halves, quarters, down to 128ths.",
        "Write it as a decimal, or mend the fraction.",
    ),
    (
        "7/16 mm",
        "fraction",
        "'7/16 mm' is a fraction, and only inches are written in fractions.",
        "Write it as a decimal.",
    ),
]

OTHER_REFUSALS = [
    (
        "1.4 bar",
        Kind.PRESSURE,
        "gauge-or-absolute",
        "'bar' does not say whether the pressure is gauge (above the atmosphere) or absolute.",
        "Write bar g or bar a.",
    ),
    (
        "20 PSI",
        Kind.PRESSURE,
        "gauge-or-absolute",
        "'PSI' does not say whether the pressure is gauge (above the atmosphere) or absolute.",
        "Write PSI g or PSI a.",
    ),
    (
        "-1.1 bar g",
        Kind.PRESSURE,
        "below-floor",
        "'-1.1 bar g' is below a full vacuum.",
        "Check the number and its unit.",
    ),
    ("-1 K", Kind.TEMPERATURE, "below-floor", "'-1 K' is below absolute zero.", "Check the number and its unit."),
    ("-300 °C", Kind.TEMPERATURE, "below-floor", "'-300 °C' is below absolute zero.", "Check the number and its unit."),
    ("194°", Kind.TEMPERATURE, "unit-unclear", "'°' does not say which degree.", "Write °C or °F."),
    (
        "-5 °C",
        Kind.TEMPERATURE_STEP,
        "sign",
        "'-5 °C' has a sign, and a temperature step here has none.",
        "Write the temperature step itself, without + or -.",
    ),
    (
        "520 mPa",
        Kind.PRESSURE_STEP,
        "unit-unclear",
        "'mPa' is a thousandth of a pascal.",
        "Write MPa, with a capital M, for megapascals.",
    ),
    ("40 lb", Kind.TORQUE, "unit-unclear", "'lb' is a weight without its arm.", "Write ft-lb, in-lb or Nm."),
    ("40 kg", Kind.FORCE, "unit-unclear", "'kg' is a mass; a force is wanted.", "Write N or kgf."),
    ("9 gr", Kind.MASS, "unit-unclear", "'gr' is a grain to some and a gram to others.", "Write g for grams."),
    (
        "0.0045 per mm",
        Kind.RATIO,
        "unit-unknown",
        "'per mm' is no unit of ratio known here.",
        "Write it in %, thou/in or um/mm, or as a plain number.",
    ),
    (
        "9,000 rpm",
        Kind.SPEED,
        "comma",
        "'9,000 rpm' can be read as 9.000 or as 9000.",
        "Write 9.000 or 9000, without the comma.",
    ),
    ("9", Kind.ANGLE, "no-unit", "says 9 and no unit.", "Write 9 deg or 9 rad, whichever is meant."),
    (
        "5 mm",
        Kind.ANGLE,
        "unit-of-another-kind",
        "'mm' is a unit of length; an angle is wanted.",
        "Write it in deg or rad.",
    ),
]


@pytest.mark.parametrize(("text", "code", "what", "mend"), LENGTH_REFUSALS)
def test_lengths_refused(text: str, code: str, what: str, mend: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, Kind.LENGTH)
    error = caught.value
    assert (error.code, error.what, error.mend) == (f"quantity-{code}", what, mend)
    assert str(error) == f"{what} {mend}"


@pytest.mark.parametrize(("text", "kind", "code", "what", "mend"), OTHER_REFUSALS)
def test_other_kinds_refused(text: str, kind: Kind, code: str, what: str, mend: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    assert (caught.value.code, caught.value.what, caught.value.mend) == (f"quantity-{code}", what, mend)


def test_the_error_is_one_of_ours_and_carries_one_problem() -> None:
    with pytest.raises(BlockwrightError) as caught:
        parse("?", Kind.MASS)
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize(
    "text", ["1" * 10_000, " " * 10_000 + "1 mm", "1 mm" + "x" * 10_000, "1/" * 5_000, "1," * 5_000, "1 " * 5_000]
)
def test_ten_kilobytes_are_refused_at_once(text: str) -> None:
    began = time.perf_counter()
    with pytest.raises(QuantityError) as caught:
        parse(text, Kind.LENGTH)
    assert time.perf_counter() - began < 0.1
    assert caught.value.code == "quantity-long"
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize("piece", ["1", "1 ", "1/", ",1", "1,", "-", "1-", "1e", ". ", "1 1/", "(", "'"])
def test_no_text_of_the_longest_length_takes_long(piece: str) -> None:
    text = (piece * 80)[:79] + "!"
    began = time.perf_counter()
    with pytest.raises(QuantityError):
        parse(text, Kind.LENGTH)
    assert time.perf_counter() - began < 0.1


def test_what_cannot_be_printed_is_not_echoed() -> None:
    with pytest.raises(QuantityError) as caught:
        parse("5 \x1b[31mmm", Kind.LENGTH)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize("si", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_a_number_is_not_shown(si: float) -> None:
    with pytest.raises(QuantityError, match="an angle that is not a number cannot be shown"):
        show(si, Kind.ANGLE, "deg")


def test_a_unit_of_another_kind_converts_nothing() -> None:
    with pytest.raises(QuantityError, match="'Nm' is a unit of torque; a length is wanted"):
        convert(1.0, Kind.LENGTH, "mm", "Nm")
