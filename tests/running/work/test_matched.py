"""The cycle at the duty's power: power and peak met, energy closed, and what cannot be had refused or said."""

import math

import numpy as np
import pytest

from blockwright.problems import BlockwrightError
from blockwright.running.work import matched
from blockwright.running.work.matched import HALF, friction_pa

OUTSIDE_PA = 101325.0


def swept_m3(bore=0.086, stroke=0.086):
    return math.pi / 4 * bore**2 * stroke


@pytest.fixture(scope="module")
def plain(engines):
    return engines.heat_of(engines.reference(), samples=60)


def test_power_by_hand(plain):
    """21.75 kW at 6000 rev/min: 435 J a cycle, 8.71 bar; friction .97 + .9 + 1.8 = 3.67 bar (Heywood 13.6)."""
    found = plain.found
    brake_pa = 21.75e3 / 50.0 / swept_m3()
    assert float(found.friction_pa[0]) == pytest.approx(3.67e5, rel=1e-12)
    assert float(found.indicated_pa[0]) == pytest.approx(brake_pa + 3.67e5, rel=1e-6)
    assert float(np.atleast_1d(found.cycle.work_j)[0]) == pytest.approx((brake_pa + 3.67e5) * swept_m3(), rel=1e-6)


def test_every_draw_gives_its_own_power(plain):
    power = plain.draws.normal(plain.facts["power"]) / 4.0
    friction = 3.67e5 * plain.draws.normal(plain.facts["friction"])
    wanted = power / 50.0 + friction * swept_m3()
    assert np.asarray(plain.found.cycle.work_j) == pytest.approx(wanted, rel=1e-6)
    assert plain.found.matched.all()
    assert plain.found.peak_met.all()


def test_work_is_the_area_of_the_diagram(plain):
    """From bottom to bottom, the volume written out again: a finer sum than the cycle's own 1° would ask for is not to be had, so .3 %."""
    cycle = plain.found.cycle
    angle, p = cycle.angle_rad, cycle.pressure_pa[:, 0]
    inside = np.abs(angle) <= math.pi + 1e-9
    x = 0.043 * np.cos(angle[inside]) + np.sqrt(0.143**2 - (0.043 * np.sin(angle[inside])) ** 2)
    volume = math.pi / 4 * 0.086**2 * (0.186 - x)
    assert float(np.trapezoid(p[inside], volume)) == pytest.approx(float(np.asarray(cycle.work_j)[0]), rel=3e-3)


def test_energy_closes(plain):
    """To 1e-6 for the best values; a draw that burns quickly leaves a little more over at steps of 1°."""
    left = np.abs(np.asarray(plain.found.cycle.energy_left_over))
    assert left[0] < 1e-6
    assert left.max() < 5e-6


def test_half_is_burnt_where_the_facts_say(plain):
    """Wiebe's law written out: 1 - exp(-5 f³) is a half at f = HALF."""
    assert 1.0 - math.exp(-5.0 * HALF**3) == pytest.approx(0.5, rel=1e-12)
    assert float(plain.found.half_burnt_rad[0]) == plain.facts.value("half_burnt")


def test_friction_with_and_without_breathing():
    """6000 rev/min by hand: 3.67 and 1.87 bar."""
    assert friction_pa(200.0 * math.pi) == pytest.approx(3.67e5)
    assert friction_pa(200.0 * math.pi, breathing=False) == pytest.approx(1.87e5)


def test_a_given_peak_is_met_by_every_draw(engines):
    found = engines.heat_of(engines.reference(duty={"peak_pressure_pa": 70e5}), samples=40)
    wanted = found.draws.normal(found.facts["peak"]) + OUTSIDE_PA
    assert wanted[0] == 70e5 + OUTSIDE_PA
    assert found.found.peak_met.all()
    assert found.found.cycle.peak_pa == pytest.approx(wanted, rel=2e-4)
    power = found.draws.normal(found.facts["power"]) / 200.0 + found.found.friction_pa * swept_m3()
    assert np.asarray(found.found.cycle.work_j) == pytest.approx(power, rel=1e-6)


def test_a_peak_that_comes_out_anyhow_changes_nothing(engines):
    """The smooth one is met through its highest step of 1°, which a shift of the burn does not move smoothly: a tenth of a degree."""
    free = engines.heat_of(engines.reference())
    peak = float(free.found.cycle.peak_pa[0]) - OUTSIDE_PA
    held = engines.heat_of(engines.reference(duty={"peak_pressure_pa": peak}))
    assert float(held.found.half_burnt_rad[0]) == pytest.approx(
        float(free.found.half_burnt_rad[0]), abs=math.radians(0.1)
    )
    for place, value in free.places.items():
        assert float(held.places[place][0]) == pytest.approx(float(value[0]), abs=0.3), place


def test_a_higher_peak_burns_earlier_and_needs_less_charge(engines):
    """As long as it burns later than is best."""
    runs = [engines.heat_of(engines.reference(duty={"peak_pressure_pa": bar * 1e5})).found for bar in (42, 52)]
    assert np.all(np.diff([float(run.half_burnt_rad[0]) for run in runs]) < 0.0)
    assert np.all(np.diff([float(run.charge_pa[0]) for run in runs]) < 0.0)


@pytest.mark.parametrize(("bar", "end_deg"), [(250, -5.0), (22, 45.0)])
def test_a_peak_that_cannot_be_had_is_said_and_the_nearest_taken(engines, bar, end_deg):
    found = engines.heat_of(engines.reference(duty={"peak_pressure_pa": bar * 1e5})).found
    assert not found.peak_met[0]
    assert found.matched[0], "the power is met all the same"
    assert math.degrees(float(found.half_burnt_rad[0])) == pytest.approx(end_deg)


def test_a_power_that_no_charge_gives_is_refused(engines, monkeypatch):
    """By ten rounds the charge stands at the highest that is tried."""
    monkeypatch.setattr(matched, "MOST_ROUNDS", 10)
    with pytest.raises(BlockwrightError) as refused:
        engines.heat_of(engines.reference(duty={"power_w": 900e3, "at_speed_rad_s": 60.0}))
    [problem] = refused.value.problems
    assert problem.code == "work-power"
    assert "power" in problem.mend


def test_a_longer_compression_needs_less_charge(engines):
    """Otto: the efficiency grows with the ratio."""
    runs = [engines.heat_of(engines.reference(at_work={"compression_ratio": r})).found for r in (8.0, 10.0, 12.0)]
    assert np.all(np.diff([float(run.charge_pa[0]) for run in runs]) < 0.0)


def test_the_air_that_it_asks_for_by_hand(plain):
    """Charge over what 30 °C and 1.01325 bar put into the swept volume (R 287)."""
    found = plain.found
    ideal = OUTSIDE_PA * swept_m3() / (287.0 * 303.15)
    assert float(found.breathing[0]) == pytest.approx(float(np.atleast_1d(found.cycle.mass_kg)[0]) / ideal, rel=1e-9)
    assert 0.6 < float(found.breathing[0]) < 1.3
