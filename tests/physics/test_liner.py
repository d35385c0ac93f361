"""What must hold for every liner in every housing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.liner import Tube, bore_dilation_m, liner_in_housing


def pair(press_m, wall_m=0.003, liner_expansion=11.2e-6):
    liner = Tube(0.043, 0.043 + wall_m, 110e9, liner_expansion, 0.26)
    return liner, Tube(0.043 + wall_m - press_m, 0.056, 72.4e9, 21.4e-6, 0.33)


presses = st.floats(-5e-5, 1e-4)
walls = st.floats(0.0015, 0.008)
temperatures = st.floats(0.0, 250.0)
ROUNDING_M = 16 * np.finfo(float).eps * 0.056
"""What rounding may do to a difference of radii of 56 mm: 2e-16 m, where play and press are 1e-5 m."""
ONE_KELVIN_M = 0.043 * 11.2e-6
"""What the liner's bore grows by for each kelvin."""


@given(presses, walls)
def test_no_heat_no_growth(press, wall):
    assert liner_in_housing(*pair(press, wall), 20.0, 20.0).growth_m == 0.0


@given(presses, walls, temperatures, temperatures)
def test_the_interface_lies_between_the_free_radii(press, wall, liner_c, housing_c):
    liner, housing = pair(press, wall)
    fit = liner_in_housing(liner, housing, liner_c, housing_c)
    liner_free = liner.outer_radius_m * (1 + liner.expansion_per_k * (liner_c - 20.0))
    housing_free = housing.inner_radius_m * (1 + housing.expansion_per_k * (housing_c - 20.0))
    assert fit.pressure_pa >= 0.0
    assert fit.play_m >= 0.0
    assert fit.pressure_pa * fit.play_m == 0.0
    if fit.pressure_pa > 0.0:
        slack = 1e-12
        assert housing_free - slack <= fit.interface_radius_m <= liner_free + slack
        pushed_out = housing.yield_to_inner_pressure_m_per_pa * fit.pressure_pa
        assert fit.interface_radius_m == pytest.approx(housing_free + pushed_out, rel=1e-12)
    else:
        assert fit.interface_radius_m == pytest.approx(liner_free, rel=1e-12)
        assert fit.play_m == pytest.approx(housing_free - liner_free, rel=1e-9, abs=ROUNDING_M)


@given(presses, walls, temperatures, temperatures, st.floats(0.1, 50.0))
def test_a_hotter_liner_presses_harder_and_a_hotter_housing_less(press, wall, liner_c, housing_c, more):
    parts = pair(press, wall)
    now = liner_in_housing(*parts, liner_c, housing_c)
    assert liner_in_housing(*parts, liner_c + more, housing_c).pressure_pa >= now.pressure_pa
    hotter = liner_in_housing(*parts, liner_c, housing_c + more)
    assert hotter.pressure_pa <= now.pressure_pa
    assert hotter.bore_radius_m >= now.bore_radius_m


@given(walls, temperatures)
def test_one_material_keeps_its_press_as_it_warms(wall, temperature):
    """Liner and housing of one material at one temperature grow as one piece: pressure and squeeze scale with the size alone."""
    liner = Tube(0.043, 0.043 + wall, 110e9, 11.2e-6)
    housing = Tube(0.043 + wall - 5e-5, 0.056, 110e9, 11.2e-6)
    cold, hot = liner_in_housing(liner, housing, 20.0, 20.0), liner_in_housing(liner, housing, temperature, temperature)
    scale = 1 + 11.2e-6 * (temperature - 20.0)
    assert hot.pressure_pa == pytest.approx(cold.pressure_pa * scale, rel=1e-9)
    assert hot.growth_m == pytest.approx(cold.bore_radius_m * (scale - 1), rel=1e-3, abs=2e-6 * ONE_KELVIN_M)


@given(walls)
def test_a_very_stiff_housing_makes_the_liner_follow_it(wall):
    """Where the housing hardly gives, the interface is the housing's."""
    liner = Tube(0.043, 0.043 + wall, 110e9, 11.2e-6)
    housing = Tube(0.043 + wall - 5e-5, 0.2, 1e16, 11.2e-6)
    fit = liner_in_housing(liner, housing, 60.0, 20.0)
    assert fit.interface_radius_m == pytest.approx(housing.inner_radius_m, rel=1e-7)


def test_dilation_is_linear_and_a_thicker_wall_gives_less():
    thin, thick = Tube(0.043, 0.046, 110e9, 11e-6), Tube(0.043, 0.05, 110e9, 11e-6)
    assert bore_dilation_m(thin, 8e6) == pytest.approx(2 * bore_dilation_m(thin, 4e6), rel=1e-12)
    assert bore_dilation_m(thick, 8e6) < bore_dilation_m(thin, 8e6)
    assert bore_dilation_m(thin, 0.0) == 0.0


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ((0.043, 0.042, 110e9, 11e-6), "outer over inner radius"),
        ((-0.043, 0.046, 110e9, 11e-6), "inner radius: -0.043 m must be greater than 0 m"),
        ((0.043, 0.046, 0.0, 11e-6), "modulus: 0 Pa"),
        ((0.043, 0.046, 110e9, 11e-6, 0.6), "Poisson's ratio: 0.6"),
    ],
)
def test_tubes_refused(sizes, words):
    with pytest.raises(ValueError, match=words):
        Tube(*sizes)


def test_pairs_and_pressures_refused():
    liner, housing = pair(0.001)
    with pytest.raises(ValueError, match="press or play at 20 °C over the radius"):
        liner_in_housing(liner, housing, 100.0, 100.0)
    with pytest.raises(ValueError, match="temperature"):
        liner_in_housing(*pair(0.0), 2000.0, 100.0)
    with pytest.raises(ValueError, match="gas pressure"):
        bore_dilation_m(liner, 1e9)
