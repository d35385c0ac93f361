"""J. B. Heywood, "Internal Combustion Engine Fundamentals", 1988: Woschni's coefficient by equation 12.19 (from memory); the air-standard Otto cycle.

The cycle's efficiency in its limit is 1 - r^(1-g), as in any textbook of thermodynamics (g 1.4, r 10 -> .60189, computed). Gammas of air and burnt gas: GRI-Mech 3.0
thermodynamic data (1999) as a general reference library gives them; values taken over. The cycle itself has no printed table: it is held by the first law, by the order of
its steps, and by an independent integrator (scipy's) of the same law written anew here.

Tolerance: gammas half a unit of the last digit; Otto 1e-4, since the burn takes .2°; energy and the second integrator 1e-6.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from blockwright.physics.cycle import Breathing, Chamber, Charge, Walls, run_cycle
from blockwright.physics.gas import AIR, BURNT, Gas, mixture
from blockwright.physics.heat_transfer import woschni_w_m2_k

pytestmark = pytest.mark.published

RPM = math.pi / 30
CHAMBER = Chamber(0.086, 0.043, 0.137, 10.0)
CHARGE = Charge(95e3, 350.0, 2.6e6, math.radians(-20), math.radians(55), mixture(AIR), mixture(BURNT))
BREATHING = Breathing(math.radians(-135), math.radians(130), 95e3, 320.0, 105e3)
WALLS = Walls(520.0, 480.0, 420.0)


def run(step_deg=0.5, charge=CHARGE, chamber=CHAMBER, breathing=BREATHING, walls=WALLS, rpm=5500):
    return run_cycle(chamber, charge, breathing, walls, rpm * RPM, math.radians(step_deg))


@pytest.mark.parametrize(
    ("parts", "kelvin", "gamma"),
    [
        *(
            (AIR, kelvin, g)
            for kelvin, g in ((300, 1.3992), (1000, 1.3340), (1500, 1.3095), (2000, 1.2964), (2500, 1.2886))
        ),
        *((BURNT, kelvin, g) for kelvin, g in ((300, 1.3709), (1000, 1.2934), (2000, 1.2524), (2500, 1.2447))),
    ],
)
def test_gammas(parts, kelvin, gamma):
    assert mixture(parts).gamma(float(kelvin)) == pytest.approx(gamma, abs=5e-5)


def test_energy_is_the_integral_of_heat_capacity_and_whole_at_the_joint():
    gas = mixture(BURNT)
    t = np.linspace(298.15, 2800.0, 20001)
    summed = np.trapezoid(gas.cv_j_kg_k(t), t)
    assert float(gas.energy_j_kg(2800.0)) == pytest.approx(summed, rel=1e-7)
    below, above = (float(gas.energy_j_kg(1000.0 + d)) for d in (-1e-6, 1e-6))
    assert below == pytest.approx(above, rel=1e-8)


def plain_gas(gamma: float) -> Gas:
    """A gas whose heat capacity does not change."""
    cv = (1.0 / (gamma - 1.0), 0.0, 0.0, 0.0, 0.0)
    return Gas(287.0, cv, cv, 0.0, cv[0] * 298.15)


@pytest.mark.slow
def test_otto_limit():
    """Burnt within .1° of the top, no heat lost, one gamma, valves at the bottoms: the air-standard efficiency 1 - r^(1-g)."""
    gas = plain_gas(1.4)
    charge = replace(
        CHARGE, burn_start_rad=math.radians(-0.1), burn_span_rad=math.radians(0.2), fresh=gas, burnt=gas, wiebe_a=6.908
    )
    shut = Breathing(-math.pi, math.pi, 95e3, 350.0, 95e3)
    cycle = run(0.02, charge, breathing=shut, walls=replace(WALLS, film_factor=0.0))
    assert float(cycle.heat_to_walls_j) == 0.0
    assert cycle.closed_work_j / cycle.heat_set_free_j == pytest.approx(0.60189, rel=1e-4)


def test_energy_closes_to_a_millionth_and_mass_is_kept():
    cycle = run()
    assert abs(cycle.energy_left_over) < 1e-6
    inside = (cycle.angle_rad >= BREATHING.intake_closes_rad) & (cycle.angle_rad <= BREATHING.exhaust_opens_rad)
    first, last = np.flatnonzero(inside)[[0, -1]]
    for i, r in ((first, CHARGE.fresh.r_j_kg_k), (last, None)):
        if r is not None:
            mass = cycle.pressure_pa[i] * CHAMBER.volume_m3(cycle.angle_rad[i]) / (r * cycle.temperature_k[i])
            assert mass == pytest.approx(cycle.mass_kg, rel=1e-12)


def test_steps_are_of_fourth_order():
    """Without the joint of the polynomials and the start of the burn the error falls by 16 for half the step; with them by 4 at least."""
    fine = run(0.0625)
    errors = [abs(run(step).closed_work_j - fine.closed_work_j) for step in (2.0, 1.0)]
    assert errors[0] / errors[1] > 4.0
    assert errors[1] / fine.closed_work_j < 1e-5


def test_an_independent_integrator_agrees():
    """The same law with scipy's integrator, volume by its own geometry, heat by the equation."""
    bore, r, rod, w = 0.086, 0.043, 0.137, 5500 * RPM
    area, swept = math.pi / 4 * bore**2, math.pi / 4 * bore**2 * 2 * r
    fresh, burnt = CHARGE.fresh, CHARGE.burnt

    def volume(t):
        return swept / 9.0 + area * (r + rod - r * math.cos(t) - math.sqrt(rod**2 - (r * math.sin(t)) ** 2))

    start, end = BREATHING.intake_closes_rad, BREATHING.exhaust_opens_rad
    v0 = volume(start)
    mass = 95e3 * v0 / (fresh.r_j_kg_k * 350.0)
    motored = float(fresh.gamma(600.0)) - 0.02

    def slope(t, y):
        temp = y[0]
        gone = max((t - CHARGE.burn_start_rad) / CHARGE.burn_span_rad, 0.0)
        x = 1 - math.exp(-5 * gone**3)
        dx = 15 / CHARGE.burn_span_rad * gone**2 * math.exp(-5 * gone**3)
        v = volume(t)
        dv = (volume(t + 1e-6) - volume(t - 1e-6)) / 2e-6
        p = mass * ((1 - x) * fresh.r_j_kg_k + x * burnt.r_j_kg_k) * temp / v
        sp = 2 * 2 * r * w / (2 * math.pi)
        over = (
            max(p - 95e3 * (v0 / v) ** motored, 0.0) * swept * 350.0 / (95e3 * v0) if t > CHARGE.burn_start_rad else 0.0
        )
        h = 3.26 * bore**-0.2 * (p / 1e3) ** 0.8 * temp**-0.55 * (2.28 * sp + 3.24e-3 * over) ** 0.8
        walls = (
            area * (temp - 520) + 1.2 * area * (temp - 480) + math.pi * bore * (v - swept / 9.0) / area * (temp - 420)
        )
        cv = (1 - x) * float(fresh.cv_j_kg_k(temp)) + x * float(burnt.cv_j_kg_k(temp))
        shift = float(burnt.energy_j_kg(temp)) - float(fresh.energy_j_kg(temp))
        return [(mass * dx * (2.6e6 - shift) - h * walls / w - p * dv) / (mass * cv), p * dv]

    solved = solve_ivp(slope, (start, end), [350.0, 0.0], rtol=1e-9, atol=1e-9, max_step=math.radians(1.0))
    cycle = run(0.25)
    assert cycle.closed_work_j == pytest.approx(solved.y[1, -1], rel=1e-6)
    last = np.flatnonzero(np.isclose(cycle.angle_rad, end))[0]
    assert cycle.temperature_k[last] == pytest.approx(solved.y[0, -1], rel=1e-6)


def test_woschni_as_its_equation_reads():
    h = woschni_w_m2_k(0.1, 5e6, 2200.0, 20.0)
    assert math.log(h) == pytest.approx(
        math.log(3.26) - 0.2 * math.log(0.1) + 0.8 * math.log(5000) - 0.55 * math.log(2200) + 0.8 * math.log(20)
    )


def test_many_engines_at_once_are_the_same_as_one_by_one():
    charges = np.array([80e3, 95e3, 180e3])
    together = run(1.0, replace(CHARGE, pressure_pa=charges))
    for i, pressure in enumerate(charges):
        alone = run(1.0, replace(CHARGE, pressure_pa=float(pressure)))
        assert together.peak_pa[i] == pytest.approx(float(alone.peak_pa), rel=1e-12)
        assert together.work_j[i] == pytest.approx(float(alone.work_j), rel=1e-12)


@pytest.mark.parametrize(
    ("change", "said"),
    [({"pressure_pa": 0.0}, "pressure at intake closing"), ({"burn_span_rad": -1.0}, "span of the burn")],
)
def test_what_cannot_be_is_refused(change, said):
    with pytest.raises(ValueError, match=said):
        run(charge=replace(CHARGE, **change))
