"""What must hold for every ring: its tension, and its way over the piston."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics import ring_beam, ring_mounting

bores = st.floats(0.05, 0.15)
thicknesses = st.floats(0.03, 0.05)
openings = st.floats(0.05, 0.18)
moduli = st.floats(80e9, 210e9)


def force(opening, bore, radial, modulus=100e9):
    return ring_beam.tangential_force_n(opening, bore, radial, 0.0015, modulus)


@given(st.floats(0.002, 0.02), st.floats(0.0, 0.001), st.floats(0.0, 0.002))
def test_filing_leaves_the_tension(beyond, fitted, filed):
    before = ring_beam.opening_m(beyond + fitted, fitted)
    after = ring_beam.opening_m(beyond + fitted + filed, fitted + filed)
    assert after == pytest.approx(before, rel=1e-12)


@given(bores, thicknesses, openings, moduli)
def test_tension_is_linear_in_opening_and_modulus(bore, thin, wide, modulus):
    radial, opening = thin * bore, wide * bore
    assert force(opening, bore, radial, 2 * modulus / 2) == pytest.approx(
        2 * force(opening / 2, bore, radial, modulus), rel=1e-9
    )
    assert force(0.0, bore, radial, modulus) == 0.0
    assert ring_beam.closing_stress_pa(0.0, bore, radial, modulus) == 0.0


@given(bores, thicknesses, openings, moduli)
def test_stress_and_tension_balance(bore, thin, wide, modulus):
    """The moment at the back is 2 F_t r_m, whatever the material."""
    radial, opening = thin * bore, wide * bore
    moment = 2 * force(opening, bore, radial, modulus) * (bore - radial) / 2
    stress = ring_beam.closing_stress_pa(opening, bore, radial, modulus)
    assert stress == pytest.approx(6 * moment / (0.0015 * radial**2), rel=1e-9)


@given(bores, thicknesses, openings, st.floats(1e-5, 5e-4))
def test_a_smaller_bore_makes_the_ring_bear_harder(bore, thin, wide, less):
    radial, opening = thin * bore, wide * bore
    tighter = ring_beam.opening_in_bore_m(opening, bore, bore - less)
    assert tighter == pytest.approx(opening + math.pi * less, rel=1e-9)
    assert force(tighter, bore - less, radial) > force(opening, bore, radial)
    assert ring_beam.opening_in_bore_m(tighter, bore - less, bore) == pytest.approx(opening, rel=1e-9)


@given(bores, thicknesses, openings, moduli)
def test_opening_and_closing_share_one_total(bore, thin, wide, modulus):
    """Over a piston as wide as the bore the ring loses curvature 2 a/(d - a) in all: what it keeps from closing it saves in opening."""
    radial, opening = thin * bore, wide * bore
    closing = ring_beam.closing_stress_pa(opening, bore, radial, modulus)
    spreading = ring_mounting.opening_stress_pa(bore, opening, bore, radial, modulus)
    total = 4 * modulus * radial**2 / (bore - radial) ** 2
    assert spreading == pytest.approx(max(0.0, total - closing), rel=1e-9, abs=1.0)


@given(bores, thicknesses, st.floats(0.0, 0.1), st.floats(0.985, 1.0))
def test_the_stop_of_the_pliers_by_the_quick_formula(bore, thin, wide, narrower):
    """Spread to the widest gap that its own opening stress allows, the ring stands at e r_m 3 pi, where the formula put it."""
    radial, opening, piston = thin * bore, wide * bore, narrower * bore
    stress = ring_mounting.opening_stress_pa(piston, opening, bore, radial, 100e9)
    out = piston / 2 - (bore / 2 - radial)
    if stress > 0.0:
        gap = ring_mounting.widest_safe_gap_m(stress, opening, bore, radial, 100e9)
        assert gap == pytest.approx(3 * math.pi * out, rel=1e-9)


@given(st.floats(0.055, 0.12), st.floats(0.032, 0.048), st.floats(0.08, 0.16), st.floats(0.99, 0.999))
def test_true_shape_is_milder_and_grows_with_the_piston(bore, thin, wide, narrower):
    radial, opening, piston = thin * bore, wide * bore, narrower * bore
    spread = ring_mounting.spread_over(piston, opening, bore, radial, 0.0015, 100e9)
    assert 0.0 < spread.stress_pa < ring_mounting.opening_stress_pa(piston, opening, bore, radial, 100e9)
    assert spread.gap_m > opening
    wider = ring_mounting.spread_over(piston + 2e-5, opening, bore, radial, 0.0015, 100e9)
    assert wider.stress_pa > spread.stress_pa
    assert wider.gap_m > spread.gap_m
    assert wider.pull_n > spread.pull_n
    taller = ring_mounting.spread_over(piston, opening, bore, radial, 0.003, 200e9)
    assert taller.stress_pa == pytest.approx(2 * spread.stress_pa, rel=1e-6)
    assert taller.pull_n == pytest.approx(4 * spread.pull_n, rel=1e-6)


def test_a_ring_that_passes_by_itself_needs_no_pull():
    spread = ring_mounting.spread_over(0.0835, 0.02, 0.09, 0.0038, 0.0015, 100e9)
    assert spread.pull_n == spread.stress_pa == 0.0
    assert spread.gap_m > 0.02
    assert ring_mounting.opening_stress_pa(0.0835, 0.02, 0.09, 0.0038, 100e9) == 0.0


WINDING = {
    "drop_m": 0.01,
    "piston_m": 0.0895,
    "bore_m": 0.09,
    "radial_m": 0.003,
    "axial_m": 0.0005,
    "modulus_pa": 200e9,
    "allowable_pa": 1e9,
}


@given(st.floats(0.0, 0.03), st.floats(0.001, 0.01))
def test_a_deeper_groove_costs_more(drop, more):
    near, far = (ring_mounting.wound_on(**{**WINDING, "drop_m": each}) for each in (drop, drop + more))
    assert far.stress_pa > near.stress_pa
    assert far.in_plane_pa == near.in_plane_pa
    level = ring_mounting.wound_on(**{**WINDING, "drop_m": 0.0})
    assert level.axial_pa == level.twist_pa == 0.0
    assert level.stress_pa == level.in_plane_pa


def test_winding_by_the_shape_of_the_ring():
    """Second route: the climb drawn point by point, its curvature and its twist taken from the drawing."""
    winding = ring_mounting.wound_on(**WINDING)
    middle, length = (
        (WINDING["bore_m"] - WINDING["radial_m"]) / 2,
        math.pi * (WINDING["bore_m"] - WINDING["radial_m"]) / 2,
    )
    along = np.linspace(0.0, length, 4001)
    climb = np.where(along < length / 2, along**2, length**2 / 2 - (length - along) ** 2)
    climb *= WINDING["drop_m"] / climb[-1]
    slope = np.gradient(climb, along)
    bend = np.gradient(slope, along)[10:1990]
    assert WINDING["modulus_pa"] * WINDING["axial_m"] / 2 * bend.max() == pytest.approx(winding.axial_pa, rel=1e-3)
    twist_per_m = slope.max() / middle
    shear = WINDING["modulus_pa"] / 2.6 * WINDING["axial_m"] * twist_per_m
    assert shear == pytest.approx(winding.twist_pa, rel=2e-3)
    change = 1 / middle - 1 / ((WINDING["piston_m"] + WINDING["radial_m"]) / 2)
    assert WINDING["modulus_pa"] * WINDING["radial_m"] / 2 * change == pytest.approx(winding.in_plane_pa, rel=1e-12)


@pytest.mark.parametrize(
    ("axial_m", "allowable_pa", "rail", "bears"),
    [(0.0005, 1e9, True, True), (0.0005, 1e8, True, False), (0.0015, 2e9, False, True), (0.0015, 1e8, False, False)],
)
def test_winding_needs_both_grounds(axial_m, allowable_pa, rail, bears):
    winding = ring_mounting.wound_on(**{**WINDING, "axial_m": axial_m, "allowable_pa": allowable_pa})
    assert (winding.rail, winding.bears, winding.allowed) == (rail, bears, rail and bears)


def test_arrays_broadcast():
    openings, radials = np.array([0.009, 0.011]), np.array([[0.0036], [0.0038], [0.004]])
    tension = force(openings, 0.09, radials)
    stress = ring_mounting.opening_stress_pa(0.0895, openings, 0.09, radials, 100e9)
    gaps = ring_mounting.widest_safe_gap_m(400e6, openings, 0.09, radials, 100e9)
    assert tension.shape == stress.shape == gaps.shape == (3, 2)
    assert tension[1, 1] == pytest.approx(force(0.011, 0.09, 0.0038), rel=1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: ring_beam.opening_m(0.0004, 0.011), "free gap less fitted gap: -0.0106 m"),
        (lambda: ring_beam.opening_m(0.011, -0.001), "fitted gap: -0.001 m"),
        (lambda: ring_beam.ring_parameter(0.011, 90.0, 3.8), "bore diameter: 90 m"),
        (lambda: ring_beam.ring_parameter(0.011, 0.09, 0.02), "radial thickness over bore: 0.222222"),
        (lambda: ring_beam.ring_parameter(0.05, 0.09, 0.0038), "opening over bore: 0.555556"),
        (lambda: ring_beam.opening_in_bore_m(0.001, 0.09, 0.0905), "opening over bore: -0.0063"),
        (
            lambda: ring_beam.tangential_force_n(0.011, 0.09, 0.0038, 0.0, 100e9),
            "axial height: 0 m must be greater than 0 m",
        ),
        (
            lambda: ring_beam.tangential_force_n(0.011, 0.09, 0.0038, 0.0015, math.inf),
            "modulus: inf Pa must be .* finite",
        ),
        (lambda: ring_beam.contact_pressure_pa(-1.0, 0.09, 0.0015), "tangential force: -1 N"),
        (lambda: ring_beam.closing_stress_pa(0.011, 0.09, 0.0038, -1.0), "modulus: -1 Pa"),
        (lambda: ring_mounting.opening_stress_pa(0.095, 0.011, 0.09, 0.0038, 100e9), "piston over bore: 1.05556"),
        (
            lambda: ring_mounting.opening_stress_pa(0.08, 0.011, 0.09, 0.0038, 100e9),
            "piston over the closed ring's inside",
        ),
        (lambda: ring_mounting.opening_stress_pa(0.0895, 0.011, 0.09, 0.0038, 100e9, 0.5), "divisor by method: 0.5"),
        (lambda: ring_mounting.widest_safe_gap_m(0.0, 0.011, 0.09, 0.0038, 100e9), "allowable stress: 0 Pa"),
        (lambda: ring_mounting.spread_over(0.0895, 0.011, 0.09, 0.0038, -0.0015, 100e9), "axial height: -0.0015 m"),
        (lambda: ring_mounting.wound_on(**{**WINDING, "drop_m": -0.01}), "drop to the groove over bore"),
        (lambda: ring_mounting.wound_on(**{**WINDING, "allowable_pa": math.nan}), "allowable stress: nan"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()
