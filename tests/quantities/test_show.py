"""Display: digits that fit the uncertainty, fixed decimals, no negative nothing."""

from __future__ import annotations

import pytest

from blockwright.quantities import Kind, decimals_for, show


@pytest.mark.parametrize(
    ("si", "kind", "unit", "expected"),
    [
        (0.000584, Kind.LENGTH, "mm", "0.584 mm"),
        (0.0873, Kind.LENGTH, "mm", "87.300 mm"),
        (0.0005842, Kind.LENGTH, "in", "0.0230 in"),
        (0.0005842, Kind.LENGTH, "thou", "23.0 thou"),
        (0.0000127, Kind.LENGTH, "tenths", "5 tenths"),
        (0.000584, Kind.LENGTH, "um", "584 um"),
        (0.000584, Kind.LENGTH, "µm", "584 um"),
        (0.4e-6, Kind.ROUGHNESS, "um", "0.40 um"),
        (90.0, Kind.TEMPERATURE, "°F", "194.0 °F"),
        (-40.0, Kind.TEMPERATURE, "°C", "-40.0 °C"),
        (241325.0, Kind.PRESSURE, "bar g", "1.40 bar g"),
        (54.23271793, Kind.TORQUE, "ft-lb", "40.0 ft-lb"),
        (942.477796, Kind.SPEED, "rpm", "9000 rpm"),
        (0.0045, Kind.RATIO, "", "0.0045"),
        (0.15, Kind.RATIO, "%", "15.00 %"),
        (22.3e-6, Kind.EXPANSION, "um/m/K", "22.30 um/m/K"),
        (22.3e-6, Kind.EXPANSION, "1/K", "0.00002230 1/K"),
    ],
)
def test_without_an_uncertainty_each_unit_has_its_own_decimals(si: float, kind: Kind, unit: str, expected: str) -> None:
    assert show(si, kind, unit) == expected


@pytest.mark.parametrize(
    ("u_mm", "decimals"),
    [
        (0.5, 1),
        (0.3, 1),
        (0.25, 2),
        (0.1, 2),
        (0.099, 2),
        (0.03, 2),
        (0.029, 3),
        (0.012, 3),
        (0.01, 3),
        (0.009, 3),
        (0.003, 3),
        (0.0025, 4),
        (0.0012, 4),
        (0.0001, 5),
        (0.0000001, 5),
        (12.0, 0),
        (300.0, 0),
        (1.5, 1),
    ],
)
def test_decimals_end_where_the_uncertainty_does(u_mm: float, decimals: int) -> None:
    """Second significant digit of u where its first is 1 or 2, else the first; in mm never more than five."""
    assert decimals_for("mm", u_mm / 1000) == decimals


@pytest.mark.parametrize("u", [None, 0.0, -1.0, float("nan"), float("inf")])
def test_an_uncertainty_that_is_none_changes_nothing(u: float | None) -> None:
    assert decimals_for("mm", u) == 3
    assert show(0.0873, Kind.LENGTH, "mm", u=u) == "87.300 mm"


def test_the_uncertainty_is_converted_too() -> None:
    """3.5 um is 0.1378 thou: its first digit is 1, so its second is the last place. In inches that is the fifth."""
    assert show(87.3e-3, Kind.LENGTH, "thou", u=3.5e-6) == "3437.01 thou"
    assert show(87.3e-3, Kind.LENGTH, "in", u=3.5e-6) == "3.43701 in"
    assert show(87.3e-3, Kind.LENGTH, "mm", u=3.5e-6) == "87.300 mm"
    assert show(90.0, Kind.TEMPERATURE, "°F", u=0.5) == "194.0 °F"


def test_a_name_that_two_kinds_share_is_settled_by_the_kind() -> None:
    assert decimals_for("um", None) == 0
    assert decimals_for("um", None, kind=Kind.ROUGHNESS) == 2


@pytest.mark.parametrize(
    ("si", "signed", "expected"),
    [
        (12e-6, True, "+0.012 mm"),
        (-12e-6, True, "-0.012 mm"),
        (-12e-6, False, "-0.012 mm"),
        (12e-6, False, "0.012 mm"),
        (0.0, True, "0.000 mm"),
        (-0.0, True, "0.000 mm"),
        (-0.0, False, "0.000 mm"),
        (-0.4e-6, True, "0.000 mm"),
        (-0.4e-6, False, "0.000 mm"),
        (0.4e-6, True, "0.000 mm"),
        (-0.6e-6, False, "-0.001 mm"),
    ],
)
def test_signs(si: float, signed: bool, expected: str) -> None:
    assert show(si, Kind.LENGTH, "mm", signed=signed) == expected


def test_without_its_unit() -> None:
    assert show(0.0873, Kind.LENGTH, "mm", with_unit=False) == "87.300"
    assert show(-0.1e-6, Kind.LENGTH, "um", with_unit=False) == "0"
