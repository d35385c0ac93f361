"""What must hold for every ring land, and for the fatigue table."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.materials.alloys import alloy_names
from blockwright.materials.fatigue import fatigue_table
from blockwright.physics.lands import (
    FatigueStrength,
    hot_fatigue_strength,
    land_bending,
    land_load_pa,
    land_safety,
    strip_stress_pa,
)
from blockwright.problems import BlockwrightError

radii = st.floats(0.03, 0.06)
roots = st.floats(0.86, 0.97)
stubs = st.floats(0.2, 1.8)
loads = st.floats(1e5, 5e7)
ALLOYS = ("aluminium 2618", "aluminium 4032", "aluminium cast eutectic", "aluminium cast hypereutectic")


def land(load, radius, root, stub, modulus=65e9):
    return land_bending(load, radius, root * radius, stub * radius * (1 - root), modulus)


@given(loads, radii, roots, stubs)
def test_bending_is_linear_in_the_load(load, radius, root, stub):
    one, two, up = (land(each, radius, root, stub) for each in (load, 2 * load, -load))
    assert two.stress_pa == pytest.approx(2 * one.stress_pa, rel=1e-12)
    assert two.deflection_m == pytest.approx(2 * one.deflection_m, rel=1e-12)
    assert up.deflection_m == pytest.approx(-one.deflection_m, rel=1e-12)
    assert up.moment_n == pytest.approx(-one.moment_n, rel=1e-12)
    assert up.stress_pa == one.stress_pa > 0.0


@given(loads, radii, roots, stubs)
def test_thinner_or_deeper_lands_fare_worse(load, radius, root, stub):
    now = land(load, radius, root, stub)
    thickness = stub * radius * (1 - root)
    thinner = land_bending(load, radius, root * radius, 0.9 * thickness, 65e9)
    deeper = land_bending(load, radius, root * radius * 0.99, thickness, 65e9)
    assert thinner.stress_pa == pytest.approx(now.stress_pa / 0.81, rel=1e-9)
    assert thinner.deflection_m == pytest.approx(now.deflection_m / 0.729, rel=1e-9)
    assert deeper.stress_pa > now.stress_pa
    assert deeper.deflection_m > now.deflection_m


@given(loads, radii, roots, stubs)
def test_never_less_than_the_strip_and_not_much_more(load, radius, root, stub):
    depth = radius * (1 - root)
    strip = strip_stress_pa(load, depth, stub * depth)
    assert 1.0 < land(load, radius, root, stub).stress_pa / strip < 1.0 + 0.8 * (1 - root)


@given(st.floats(0.0, 1e7), st.floats(0.0, 1e7), st.floats(-1e4, 1e4), radii, roots, st.floats(1.0, 10.0))
def test_load_is_what_the_parts_add_up_to(above, below, reaction, radius, root, knock):
    area = math.pi * radius**2 * (1 - root**2)
    load = land_load_pa(above, below, reaction, radius, root * radius, knock)
    assert load * area == pytest.approx(knock * ((above - below) * area + reaction), rel=1e-9, abs=1e-6)


def test_even_pressure_and_no_ring_leave_nothing():
    assert land_load_pa(5e6, 5e6, 0.0, 0.043, 0.039, 3.0) == 0.0


@given(st.sampled_from(ALLOYS), st.floats(20.0, 350.0), st.floats(20.0, 350.0))
def test_hotter_is_weaker(name, one_c, other_c):
    cool, hot = (hot_fatigue_strength(name, each) for each in sorted((one_c, other_c)))
    assert 0.0 < hot.low_pa < hot.high_pa
    assert hot.low_pa <= cool.low_pa
    assert hot.high_pa <= cool.high_pa


@pytest.mark.parametrize(("name", "typical_mpa"), [("aluminium 2618", 125.0), ("aluminium 4032", 110.0)])
def test_cold_strength_spans_the_handbooks_typical_value(name, typical_mpa):
    """At 500 million turns and 20 °C, from memory; see the head of the table."""
    strength = hot_fatigue_strength(name, 20.0)
    assert strength.low_pa < typical_mpa * 1e6 < strength.high_pa


@pytest.mark.parametrize("name", ALLOYS)
def test_the_table_is_read_as_written(name):
    table = fatigue_table(name)
    assert len(table.temperatures_c) == len(table.low_pa) == len(table.high_pa)
    assert list(table.temperatures_c) == sorted(table.temperatures_c)
    for at, low, high in zip(table.temperatures_c, table.low_pa, table.high_pa, strict=True):
        strength = hot_fatigue_strength(name, at)
        assert (strength.low_pa, strength.high_pa) == (low, high)


def test_piston_alloys_of_the_materials_list_have_a_table():
    pistons = {"aluminium 2618", "aluminium 4032", "aluminium cast hypereutectic"}
    assert pistons <= set(alloy_names())
    assert all(fatigue_table(name).name == name for name in pistons)


def test_an_alloy_without_a_table_is_named():
    with pytest.raises(BlockwrightError, match=r"'aluminium 2816'\. Did you mean 'aluminium 2618'\?"):
        hot_fatigue_strength("aluminium 2816", 200.0)


@given(st.floats(1e6, 2e8), st.floats(1.0, 4.0))
def test_safety_is_never_better_than_goodmans_line(stress, notch):
    """For any strength in tension that is at least the fatigue strength."""
    strength = FatigueStrength(50e6, 80e6)
    safety = land_safety(stress, strength, notch)
    for tensile in (80e6, 150e6, 400e6):
        half = notch * stress / 2
        assert safety.high <= 1 / (half / strength.high_pa + half / tensile) * (1 + 1e-12)
    assert safety.low == pytest.approx(safety.high * 50 / 80, rel=1e-12)


def test_arrays_broadcast():
    thickness, load = np.array([0.0025, 0.003, 0.0035]), np.array([[5e6], [8e6]])
    bent = land_bending(load, 0.0427, 0.039, thickness, 65e9)
    assert bent.stress_pa.shape == bent.deflection_m.shape == (2, 3)
    assert bent.stress_pa[1, 0] == pytest.approx(land_bending(8e6, 0.0427, 0.039, 0.0025, 65e9).stress_pa, rel=1e-12)
    safety = land_safety(bent.stress_pa, hot_fatigue_strength("aluminium 4032", np.array([200.0, 230.0, 260.0])))
    assert safety.low.shape == (2, 3)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: land_load_pa(8e6, 3e6, 0.0, 42.7, 39.0), "radius of the land: 42.7 m"),
        (lambda: land_load_pa(8e6, 3e6, 0.0, 0.039, 0.0427), "root radius over land radius"),
        (lambda: land_load_pa(8e6, 3e6, 0.0, 0.0427, 0.039, 0.5), "knock factor: 0.5 is outside 1 to 10"),
        (lambda: land_bending(5e6, 0.0427, 0.039, 0.0, 65e9), "thickness of the land: 0 m"),
        (lambda: land_bending(5e6, 0.0427, 0.039, 0.01, 65e9), "thickness of the land over its depth: 2.7027"),
        (lambda: land_bending(5e6, 0.0427, 0.039, 0.003, 0.0), "modulus: 0 Pa"),
        (lambda: land_bending(5e6, 0.0427, 0.039, 0.003, 65e9, -0.1), "Poisson's ratio: -0.1"),
        (lambda: strip_stress_pa(5e6, -0.003, 0.003), "depth of the land: -0.003 m"),
        (
            lambda: hot_fatigue_strength("aluminium 4032", 400.0),
            "temperature of the groove root: 400 °C is outside 20 °C to 350 °C",
        ),
        (lambda: land_safety(0.0, FatigueStrength(50e6, 80e6)), "stress: 0 Pa"),
        (lambda: land_safety(30e6, FatigueStrength(50e6, 80e6), 5.0), "notch factor: 5"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ValueError, match=words):
        call()
