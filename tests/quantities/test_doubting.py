"""What a builder may have meant by a value that cannot be right."""

from __future__ import annotations

import pytest

from blockwright.quantities import Kind, did_you_mean, parse, plausible

BORE_M = (0.070, 0.110)
GAP_M = (0.0001, 0.0015)


@pytest.mark.parametrize(
    ("text", "window", "expected"),
    [
        ("3.437 mm", BORE_M, ("3.437 in",)),
        ("87.3 in", BORE_M, ("87.3 mm",)),
        ("34.37 mm", BORE_M, ("3.437 in",)),
        ("8.73 mm", BORE_M, ("8.73 cm",)),
        ("873 mm", BORE_M, ("87.3 mm",)),
        ("23 mm", GAP_M, ("23 thou", "0.23 mm")),
        ("0.584 in", GAP_M, ("0.584 mm", "0.0584 in", "0.00584 in")),
        ("0.0023 in", GAP_M, ("0.023 in", "0.23 mm")),
        ("584 mm", GAP_M, ("584 um", "584 tenths")),
        ("2.3 thou", GAP_M, ("23 thou",)),
        ("0 mm", GAP_M, ()),
    ],
)
def test_lengths(text: str, window: tuple[float, float], expected: tuple[str, ...]) -> None:
    """Worked out by hand: same digits in another unit, then the point moved, then both between mm and in."""
    meant = did_you_mean(parse(text, Kind.LENGTH), Kind.LENGTH, *window, around="mm")
    assert meant[: len(expected)] == expected
    assert bool(meant) == bool(expected)


def test_the_digits_are_kept_as_entered() -> None:
    q = parse("3,4370", Kind.LENGTH, unit="mm")
    assert did_you_mean(q, Kind.LENGTH, *BORE_M, around="mm")[0] == "3.4370 in"


def test_a_plain_float_counts_in_the_unit_around() -> None:
    assert did_you_mean(0.023, Kind.LENGTH, *GAP_M, around="mm")[0] == "23 thou"


def test_a_fraction_is_suggested_as_a_decimal() -> None:
    q = parse("3 7/16 in", Kind.LENGTH)
    assert "0.34375 in" in did_you_mean(q, Kind.LENGTH, 0.008, 0.009, around="in")


def test_temperatures_and_torques() -> None:
    oil = did_you_mean(parse("194 °C", Kind.TEMPERATURE), Kind.TEMPERATURE, 60.0, 150.0, around="°C")
    bolt = did_you_mean(parse("660 Nm", Kind.TORQUE), Kind.TORQUE, 60.0, 80.0, around="Nm")
    assert oil[0] == "194 °F"
    assert bolt == ("660 in-lb", "66.0 Nm")


def test_the_point_moves_by_up_to_three_places_the_nearest_first() -> None:
    q = parse("50 s", Kind.DURATION)
    assert did_you_mean(q, Kind.DURATION, 0.04, 600.0, around="s") == ("5.0 s", "500 s", "0.50 s", "0.050 s")
    assert did_you_mean(q, Kind.DURATION, 5000.0, 60000.0, around="s") == ("5000 s", "50000 s")


def test_deviations_keep_their_sign() -> None:
    q = parse("-12 mm", Kind.LENGTH, signed=True)
    assert did_you_mean(q, Kind.LENGTH, -50e-6, 50e-6, around="mm")[0] == "-12 um"


@pytest.mark.parametrize(
    ("text", "window", "what", "unit", "message"),
    [
        (
            "3.437 mm",
            BORE_M,
            "bore",
            "mm",
            "a bore of 3.437 mm: did you mean 3.437 in (87.300 mm)? 70 to 110 mm is expected.",
        ),
        (
            "23 mm",
            GAP_M,
            "end gap",
            "mm",
            "an end gap of 23 mm: did you mean 23 thou (0.584 mm) or 0.23 mm? 0.1 to 1.5 mm is expected.",
        ),
        (
            "87.3 in",
            BORE_M,
            "the bore",
            "in",
            "the bore of 87.3 in: did you mean 87.3 mm (3.4370 in)? 2.7559 to 4.3307 in is expected.",
        ),
        ("0 mm", BORE_M, "a bore", "mm", "a bore of 0 mm: 70 to 110 mm is expected. Check the number and its unit."),
    ],
)
def test_the_message(text: str, window: tuple[float, float], what: str, unit: str, message: str) -> None:
    problem = plausible(parse(text, Kind.LENGTH), *window, what=what, unit=unit)
    assert problem is not None
    assert problem.code == "quantity-implausible"
    assert str(problem) == message


def test_a_bare_number_is_repeated_with_the_unit_it_was_given() -> None:
    problem = plausible(parse("3.437", Kind.LENGTH, unit="mm"), *BORE_M, what="bore", unit="mm")
    assert problem is not None
    assert problem.what.startswith("a bore of 3.437 mm: did you mean 3.437 in")


@pytest.mark.parametrize("text", ["70 mm", "87.3 mm", "3.437 in", "110 mm"])
def test_what_is_plausible_raises_nothing(text: str) -> None:
    assert plausible(parse(text, Kind.LENGTH), *BORE_M, what="bore", unit="mm") is None


def test_a_ratio_has_no_unit_to_show() -> None:
    problem = plausible(parse("15", Kind.RATIO), 0.0, 1.0, what="share at full load", unit="")
    assert problem is not None
    assert (
        str(problem)
        == "a share at full load of 15: did you mean 15 % (0.1500) or 15 thou/in (0.0150)? 0 to 1 is expected."
    )
