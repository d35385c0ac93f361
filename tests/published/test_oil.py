"""ASTM International, "Standard Practice for Calculating Viscosity Index from Kinematic Viscosity at 40 °C and 100 °C", D2270-10, 2016; SAE J300-2015.

D2270's worked example: 73.30 mm²/s at 40 °C and 8.86 at 100 °C have index 92. The formulas for more than 70 mm²/s at 100 °C are not built. The line of D341 has a second route:
straight in the standard's own coordinates, at any third point.

Tolerance: the example to its printed digits, J300 exact, the table's rows .25 % of the parabola through their neighbours (they are rounded to .1 %).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.materials.oils import grade, grade_names, reference_oils
from blockwright.physics.oil import density_kg_m3, film_viscosity_pa_s, viscosity_index, walther
from blockwright.problems import BlockwrightError

pytestmark = pytest.mark.published

J300 = [  # grade; at 100 °C from, below, mm²/s; HTHS, mPa s
    ("SAE 20", 6.9, 9.3, 2.6),
    ("5W-30", 9.3, 12.5, 2.9),
    ("10W-40", 12.5, 16.3, 3.5),
    ("15W-40", 12.5, 16.3, 3.7),
    ("SAE 40", 12.5, 16.3, 3.7),
    ("20W-50", 16.3, 21.9, 3.7),
    ("60", 21.9, 26.1, 3.7),
]


def test_d2270_example():
    assert round(viscosity_index(73.30e-6, 8.86e-6)) == 92


def test_the_reference_oils_have_index_0_and_100():
    for y, low, high in zip(*reference_oils(), strict=True):
        assert viscosity_index(low * 1e-6, y * 1e-6) == pytest.approx(0.0, abs=1e-9)
        assert viscosity_index(high * 1e-6, y * 1e-6) == pytest.approx(100.0)


def test_the_reference_oils_run_evenly():
    """A slip of the pen in a row would stand out from the parabola through its neighbours; rows are rounded to about .1 %."""
    rows, *columns = (np.array(each) for each in reference_oils())
    for column in columns:
        for i in range(3, len(rows) - 3):
            near = [i - 3, i - 2, i - 1, i + 1, i + 2, i + 3]
            wanted = np.polyval(np.polyfit(rows[near] - rows[i], column[near], 2), 0.0)
            assert column[i] == pytest.approx(wanted, rel=2.5e-3), rows[i]


@pytest.mark.parametrize(("written", "least", "below", "hths"), J300)
def test_j300(written, least, below, hths):
    found = grade(written)
    assert (found.least_100_m2_s, found.most_100_m2_s) == pytest.approx((least * 1e-6, below * 1e-6))
    assert found.hths_pa_s == pytest.approx(hths * 1e-3)


def test_a_grade_that_is_not_known_is_told_with_those_that_are():
    with pytest.raises(BlockwrightError, match="10W-40") as caught:
        grade("soup")
    assert all(name in str(caught.value) for name in grade_names())


@given(
    cool=st.floats(20.0, 300.0), ratio=st.floats(3.0, 15.0), at=st.floats(0.0, 180.0)
)  # mm²/s at 40 °C, ratio to 100 °C
def test_d341_is_a_straight_line_in_its_own_coordinates(cool, ratio, at):
    warm = max(cool / ratio, 2.5)
    line = walther(40.0, cool * 1e-6, 100.0, warm * 1e-6)

    def up(v):
        return math.log10(math.log10(v + 0.7))

    def along(c):
        return math.log10(c + 273.15)

    share = (along(at) - along(40.0)) / (along(100.0) - along(40.0))
    wanted = up(cool) + share * (up(warm) - up(cool))
    assert up(1e6 * line.kinematic_m2_s(at)) == pytest.approx(wanted, rel=1e-9)


def test_film_viscosity_meets_its_hths_value_and_only_scales():
    line = walther(40.0, 90e-6, 100.0, 14.0e-6)
    t = np.linspace(60.0, 160.0, 11)
    plain = film_viscosity_pa_s(t, line, 870.0)
    assert plain == pytest.approx(density_kg_m3(t, 870.0) * line.kinematic_m2_s(t))
    sheared = film_viscosity_pa_s(t, line, 870.0, 3.5e-3)
    assert float(film_viscosity_pa_s(150.0, line, 870.0, 3.5e-3)) == pytest.approx(3.5e-3)
    assert sheared / plain == pytest.approx(np.full(11, sheared[0] / plain[0]))
