"""A. M. Wahl, "Mechanical Springs", 1963; J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design", 2004, chapter 10 (both
from memory): rate, stress factor and surge of round wire springs.

The stress factor at an index of 6 is printed 1.2525 wherever it is tabulated (from memory, 1.25 on charts); rate and surge were worked out from
the cited formulas before the program was written: d 5, D 30, n 15, G 84 GPa gives 16.2 N/mm; d 4, D 28, n 5.5, G 79.3 GPa, 7850 kg/m³ gives
331.8 Hz.

No worked example with printed answers could be read, so each formula is held against a second route: the rate against twist and shear summed along
the wire, surge against a row of masses and springs whose frequencies are eigenvalues.

Tolerance: half a unit of the last digit given; the helix 1e-9; the row of masses 1e-5, its own step.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh_tridiagonal

from blockwright.physics.springs import (
    Spring,
    bind_margin_m,
    height_for_load_m,
    rate_from_loads_n_m,
    retainer_margin_m,
    spring_fitted,
    spring_rate_n_m,
    surge_hz,
    surge_order,
    wahl_factor,
    wire_stress_pa,
)


@pytest.mark.published
def test_wahl_factor():
    assert wahl_factor(1e-3, 6e-3) == pytest.approx(1.2525, abs=5e-5)


def test_rate_and_surge_as_worked_before_the_program_was_written():
    assert spring_rate_n_m(0.005, 0.030, 15, 84e9) / 1e3 == pytest.approx(16.2, abs=0.05)
    assert surge_hz(0.004, 0.028, 5.5, 79.3e9, 7850) == pytest.approx(331.8, abs=0.05)


@pytest.mark.parametrize(("wire", "mean", "active"), [(0.004, 0.028, 5.5), (0.0032, 0.021, 4.2), (0.005, 0.030, 15)])
def test_rate_by_the_twist_of_a_straightened_wire(wire, mean, active):
    """A load turns the end of a bar of the wire's length by T l/(G J); the end of the lever goes down by that times half the coil."""
    length, polar = math.pi * mean * active, math.pi / 32 * wire**4
    twist = (1.0 * mean / 2) * length / (79.3e9 * polar)
    assert spring_rate_n_m(wire, mean, active) == pytest.approx(1 / (twist * mean / 2), rel=1e-9)


@pytest.mark.parametrize(("wire", "mean", "active"), [(0.004, 0.028, 5.5), (0.0032, 0.021, 4.2)])
def test_surge_as_a_row_of_masses(wire, mean, active):
    """The spring cut into pieces, each a mass with a spring to either side, both ends held."""
    count = 2000
    mass = 7850 * math.pi / 4 * wire**2 * math.pi * mean * active
    rate = 79.3e9 * wire**4 / (8 * mean**3 * active)
    stiff, each = rate * count, mass / count
    diagonal, beside = np.full(count - 1, 2 * stiff / each), np.full(count - 2, -stiff / each)
    lowest = eigh_tridiagonal(diagonal, beside, select="i", select_range=(0, 0), eigvals_only=True)[0]
    assert surge_hz(wire, mean, active) == pytest.approx(math.sqrt(lowest) / (2 * math.pi), rel=1e-5)


def test_stress_with_and_without_curvature():
    """Twist and plain shear of a straight bar add up to 8 F D/(pi d³)·(1 + 0.5/C); curvature adds more, and nothing for wide coils."""
    more = []
    for index in (4, 6, 10, 20):
        wire = 0.004
        mean = index * wire
        straight = 16 * (300 * mean / 2) / (math.pi * wire**3) + 300 / (math.pi / 4 * wire**2)
        more.append(float(wire_stress_pa(300.0, wire, mean)) / straight)
    assert more == sorted(more, reverse=True)
    assert 1.0 < more[-1] < 1.05 < 1.15 < more[0] < 1.3


WOUND = Spring(0.004, 0.028, 5.5, 7.5, 0.052)


def test_a_spring_in_its_place():
    found = spring_fitted(WOUND, 0.042, 0.0105)
    rate = 79.3e9 * 0.004**4 / (8 * 0.028**3 * 5.5)
    assert found.closed_n == pytest.approx(rate * 0.010)
    assert found.open_n == pytest.approx(rate * 0.0205)
    assert found.bind_margin_m == pytest.approx(0.0015, rel=1e-9)
    assert found.bind_margin_m == pytest.approx(bind_margin_m(0.042, 0.0105, WOUND.bound_m))
    assert found.open_pa / found.closed_pa == pytest.approx(2.05)


def test_ends_that_are_not_ground_take_a_wire_more():
    rough = Spring(0.004, 0.028, 5.5, 7.5, 0.052, ground=False)
    assert rough.bound_m - WOUND.bound_m == pytest.approx(0.004)


def test_bind_and_heights_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="coil bind"):
        spring_fitted(WOUND, 0.042, 0.0121)
    with pytest.raises(ValueError, match="installed height"):
        spring_fitted(WOUND, 0.053, 0.005)
    with pytest.raises(ValueError, match="free length"):
        Spring(0.004, 0.028, 5.5, 7.5, 0.029)
    with pytest.raises(ValueError, match="index"):
        spring_rate_n_m(0.004, 0.010, 5.5)
    with pytest.raises(ValueError, match="higher load"):
        rate_from_loads_n_m(400.0, 0.027, 820.0, 0.038)


@given(rate=st.floats(1e4, 1e5), free=st.floats(0.04, 0.06), a=st.floats(0.030, 0.034), b=st.floats(0.035, 0.039))
def test_a_measured_rate_gives_back_heights(rate, free, a, b):
    loads = [rate * (free - each) for each in (a, b)]
    found = rate_from_loads_n_m(loads[0], a, loads[1], b)
    assert found == pytest.approx(rate, rel=1e-9)
    assert height_for_load_m(loads[1], loads[0], a, found) == pytest.approx(b, rel=1e-9)


def test_margins():
    assert retainer_margin_m(0.0125, 0.0105) == pytest.approx(0.002)
    assert bind_margin_m(0.042, 0.0105, 0.032) == pytest.approx(-0.0005)
    assert surge_order(331.8, 7000 * math.pi / 30) == pytest.approx(331.8 / (7000 / 120))
