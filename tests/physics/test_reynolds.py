"""The solver for a plain bearing's pressure: how it converges, what it keeps to, what it refuses."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.physics.bearing_formulas import sommerfeld_closed, squeeze_closed
from blockwright.physics.reynolds import squeeze, steady, steady_under

SIZES = ((48, 6), (96, 12), (192, 24))


def order(coarse: float, middle: float, fine: float) -> float:
    """Observed order of convergence where each grid has twice the cells of the one before."""
    return math.log2(abs(coarse - middle) / abs(middle - fine))


@pytest.mark.parametrize("e", [0.3, 0.8, 0.97])
@pytest.mark.parametrize("x", [0.25, 1.0])
def test_load_converges_with_the_square_of_the_cells(e, x):
    assert 1.7 < order(*(steady(e, x, cells).sommerfeld for cells in SIZES)) < 2.5


@pytest.mark.parametrize("e", [0.3, 0.9])
def test_a_moving_journals_load_converges_too(e):
    assert 1.7 < order(*(squeeze(e, 1.0, 0.4, cells).load_size for cells in SIZES)) < 2.5


@pytest.mark.parametrize("e", [0.3, 0.9])
def test_side_flow_and_inflow_converge(e):
    assert order(*(steady(e, 0.5, cells).flow for cells in SIZES)) > 0.9
    assert order(*(squeeze(e, 0.5, 0.5, cells).edge_flow for cells in SIZES)) > 0.9


@pytest.mark.parametrize("e", [0.0, 0.5, 0.95])
@pytest.mark.parametrize("direction", [0.3, 1.2, 2.5])
def test_what_leaves_at_the_edges_is_what_the_film_pushes_out(e, direction):
    """Where the film is full, the gap's closing must equal the flow out of its sides and ends; ends without pressure let none through."""
    found = squeeze(e, direction, 0.5)
    full = found.pressure > 0.0
    sources = 12.0 * np.diff(np.sin(found.grid.face_rad - direction))[:, None] * found.grid.along
    closing = float(np.where(full, sources, 0.0).sum())
    out = found.edge_flow / 0.5**2
    assert out == pytest.approx(closing, rel=0.02)


@settings(max_examples=25, deadline=None)
@given(e=st.floats(0.0, 0.99), direction=st.floats(0.0, math.pi), x=st.floats(0.1, 1.0))
def test_no_suction_and_power_is_lost(e, direction, x):
    found = squeeze(e, direction, x, (96, 8))
    assert found.pressure.min() >= 0.0
    assert found.load[0] * math.cos(direction) + found.load[1] * math.sin(direction) > 0.0


@settings(max_examples=15, deadline=None)
@given(e=st.floats(0.0, 0.99), direction=st.floats(0.05, 3.0), x=st.floats(0.1, 1.0))
def test_the_other_way_round_is_the_mirror_image(e, direction, x):
    one, other = squeeze(e, direction, x, (96, 8)), squeeze(e, -direction, x, (96, 8))
    assert other.load == pytest.approx((one.load[0], -one.load[1]), rel=1e-6, abs=1e-6 * one.load_size)


def test_at_the_centre_every_direction_is_alike():
    sizes = [squeeze(0.0, a, 0.5).load_size for a in np.linspace(0.0, 3.0, 7)]
    assert sizes == pytest.approx([sizes[0]] * 7, rel=2e-3)


@pytest.mark.parametrize("x", [0.25, 0.5, 1.0])
def test_siblings_agree_over_the_range(x):
    e = np.linspace(0.05, 0.95, 19)
    ours = np.array([steady(each, x).sommerfeld for each in e])
    assert np.all(np.diff(ours) > 0.0)
    assert ours == pytest.approx(sommerfeld_closed(e, x), rel=0.07)
    leaving = np.array([squeeze(each, math.pi, x).load_size for each in e])
    assert np.all(np.diff(leaving) < 0.0)
    assert float(squeeze_closed(0.0, x)) == pytest.approx(squeeze(0.0, 0.0, x).load_size, rel=0.05)


def test_what_is_refused():
    with pytest.raises(ValueError, match="eccentricity"):
        steady(1.0, 0.5)
    with pytest.raises(ValueError, match="width over diameter"):
        steady(0.5, 2.0)
    with pytest.raises(ValueError, match="bearing load"):
        steady_under(1e9, 0.5)
