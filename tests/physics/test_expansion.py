"""What must hold for every hot gap and clearance, whatever the sizes."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.expansion import (
    closure_m,
    cold_clearance_for,
    cold_gap_for,
    hot_clearance_m,
    hot_gap_m,
    hot_length_m,
)

bores = st.floats(0.04, 0.2)
gaps = st.floats(0.0, 0.002)
expansions = st.floats(5e-6, 30e-6)
temperatures = st.floats(-20.0, 400.0)
ROUNDING_M = 16 * np.finfo(float).eps * 0.5
"""What rounding may do to a difference of diameters or girths of half a metre: 2e-15 m, where gaps and clearances are 1e-4 m."""


@given(gaps, bores, expansions, expansions)
def test_at_20_degrees_nothing_changes(gap, bore, bore_expansion, ring_expansion):
    assert hot_gap_m(gap, bore, bore_expansion, ring_expansion, 20.0, 20.0) == gap
    assert hot_clearance_m(bore, bore - gap, bore_expansion, ring_expansion, 20.0, 20.0) == bore - (bore - gap)


@given(gaps, bores, expansions, temperatures)
def test_equal_growth_only_scales(gap, bore, expansion, temperature):
    scale = 1.0 + expansion * (temperature - 20.0)
    assert hot_gap_m(gap, bore, expansion, expansion, temperature, temperature) == pytest.approx(gap * scale, rel=1e-9)
    clearance = hot_clearance_m(bore, bore - gap, expansion, expansion, temperature, temperature)
    assert clearance == pytest.approx((bore - (bore - gap)) * scale, rel=1e-9, abs=ROUNDING_M)


@given(gaps, bores, expansions, expansions, temperatures, temperatures)
def test_cold_gap_undoes_hot_gap(gap, bore, bore_expansion, ring_expansion, bore_c, ring_c):
    rest = (bore, bore_expansion, ring_expansion, bore_c, ring_c)
    assert cold_gap_for(hot_gap_m(gap, *rest), *rest) == pytest.approx(gap, rel=1e-9, abs=ROUNDING_M)
    assert gap - closure_m(gap, *rest) == hot_gap_m(gap, *rest)


@given(st.floats(-0.0005, 0.0005), bores, expansions, expansions, temperatures, temperatures)
def test_cold_clearance_undoes_hot_clearance(clearance, bore, bore_expansion, piston_expansion, bore_c, piston_c):
    rest = (bore_expansion, piston_expansion, bore_c, piston_c)
    cold = cold_clearance_for(clearance, bore, *rest)
    assert hot_clearance_m(bore, bore - cold, *rest) == pytest.approx(clearance, rel=1e-9, abs=ROUNDING_M)


@given(gaps, bores, expansions, expansions, temperatures, temperatures, st.floats(1.0, 50.0))
def test_a_hotter_ring_closes_and_a_hotter_bore_opens(gap, bore, bore_expansion, ring_expansion, bore_c, ring_c, more):
    now = hot_gap_m(gap, bore, bore_expansion, ring_expansion, bore_c, ring_c)
    assert hot_gap_m(gap, bore, bore_expansion, ring_expansion, bore_c, ring_c + more) < now
    assert hot_gap_m(gap, bore, bore_expansion, ring_expansion, bore_c + more, ring_c) > now
    assert hot_gap_m(gap + 1e-5, bore, bore_expansion, ring_expansion, bore_c, ring_c) > now


@given(bores, expansions, temperatures)
def test_a_gap_and_a_clearance_tell_the_same_story(bore, expansion, temperature):
    """A ring without a gap is a closed hoop: what its girth lacks is pi times its clearance."""
    gap = hot_gap_m(0.0, bore, expansion, 12e-6, 120.0, temperature)
    clearance = hot_clearance_m(bore, bore, expansion, 12e-6, 120.0, temperature)
    assert gap == pytest.approx(math.pi * clearance, rel=1e-9, abs=ROUNDING_M)


def test_arrays_broadcast():
    rings = np.array([180.0, 200.0, 220.0])
    bores = np.array([[0.086], [0.1]])
    found = hot_gap_m(0.0004, bores, 11e-6, 11e-6, 120.0, rings)
    assert found.shape == (2, 3)
    assert found[1, 2] == hot_gap_m(0.0004, 0.1, 11e-6, 11e-6, 120.0, 220.0)
    back = cold_gap_for(found, bores, 11e-6, 11e-6, 120.0, rings)
    assert back == pytest.approx(np.full((2, 3), 0.0004), rel=1e-9)


GOOD = {
    "bore_m": 0.086,
    "bore_expansion_per_k": 11e-6,
    "ring_expansion_per_k": 11e-6,
    "bore_c": 120.0,
    "ring_c": 220.0,
}


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"bore_m": 86.0}, "bore diameter: 86 m is outside 0.005 m to 1 m"),
        ({"bore_m": math.nan}, "bore diameter: nan m"),
        ({"bore_m": np.array([0.086, -0.086])}, "bore diameter: -0.086 m"),
        ({"bore_expansion_per_k": 11.0}, "expansion of the bore: 11 1/K"),
        ({"ring_expansion_per_k": -1e-6}, "expansion of the ring: -1e-06 1/K"),
        ({"ring_c": 2200.0}, "temperature of the ring: 2200 °C is outside -273.15 °C to 1000 °C"),
        ({"bore_c": np.array([100.0, math.nan])}, "temperature of the bore: nan °C"),
    ],
)
def test_refusals(wrong, words):
    for function, gap in ((hot_gap_m, {"gap_cold_m": 0.0004}), (cold_gap_for, {"gap_hot_m": 0.0})):
        with pytest.raises(ValueError, match=words):
            function(**gap, **{**GOOD, **wrong})


def test_refusals_of_gap_and_clearance():
    with pytest.raises(ValueError, match=r"cold gap over bore: -0\.0116"):
        hot_gap_m(-0.001, *GOOD.values())
    with pytest.raises(ValueError, match="wanted hot gap over bore"):
        cold_gap_for(0.1, *GOOD.values())
    with pytest.raises(ValueError, match=r"piston diameter: 85\.9 m"):
        hot_clearance_m(0.086, 85.9, 11e-6, 22e-6, 120.0, 130.0)
    with pytest.raises(ValueError, match="wanted hot clearance over bore"):
        cold_clearance_for(0.05, 0.086, 11e-6, 22e-6, 120.0, 130.0)
    with pytest.raises(ValueError, match="temperature of the part"):
        hot_length_m(0.1, 11e-6, 5000.0)
