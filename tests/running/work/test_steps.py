"""Steps of angle: what is worked out at the steps in use is what finer ones give, and closes in on it as fast as its method promises."""

import math
from dataclasses import replace

import numpy as np
import pytest

from blockwright.engine.positions import cylinder
from blockwright.physics.plain_bearing import running
from blockwright.physics.ring_pack import run_pack
from blockwright.running.assess import assess
from blockwright.running.work import matched
from blockwright.running.work.bearings import DRAW_STEPS, Bearings, columns_of
from blockwright.running.work.hot import Growing
from blockwright.running.work.loads import STEPS, evenly
from blockwright.running.work.rings import Gaps, Packs
from blockwright.running.work.seats import metal_of, seats_of

pytestmark = pytest.mark.slow


def at_step(engines, monkeypatch, degrees, **change):
    monkeypatch.setattr(matched, "STEP_RAD", math.radians(degrees))
    return engines.heat_of(engines.reference(**change))


def test_the_cycle_at_one_degree(engines, monkeypatch):
    """Against a quarter of a degree: peak, charge, heat on the crown and every temperature."""
    used, fine = (at_step(engines, monkeypatch, step) for step in (1.0, 0.25))
    assert math.degrees(matched.STEP_RAD) == pytest.approx(0.25)
    assert used.found.cycle.peak_pa[0] == pytest.approx(fine.found.cycle.peak_pa[0], rel=1e-3)
    assert used.found.charge_pa[0] == pytest.approx(fine.found.charge_pa[0], rel=1e-4)
    crown = len(used.net.ways)
    assert used.found.walls.heat_w[crown][0] == pytest.approx(fine.found.walls.heat_w[crown][0], rel=1e-3)
    for place, value in fine.places.items():
        assert used.places[place][0] == pytest.approx(value[0], abs=0.1), place


def test_the_search_for_a_peak_at_one_degree(engines, monkeypatch):
    """The highest of the steps is taken for the peak, which is nearly level there: half of a degree's burn within a twentieth of a degree."""
    used, fine = (at_step(engines, monkeypatch, step, duty={"peak_pressure_pa": 65e5}) for step in (1.0, 0.25))
    assert used.found.half_burnt_rad[0] == pytest.approx(fine.found.half_burnt_rad[0], abs=math.radians(0.05))
    assert used.places["crown"][0] == pytest.approx(fine.places["crown"][0], abs=0.2)


@pytest.fixture(scope="module")
def fine(engines):
    """The reference engine with its cycle at a quarter of a degree."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(matched, "STEP_RAD", math.radians(0.25))
        return engines.heat_of(engines.reference())


def films(fine, steps):
    job, draws = fine.job, fine.draws
    seats, _ = seats_of(assess(job), fine.facts, draws, metal_of(job, fine.facts, draws))
    cycle = fine.found.cycle
    columns = replace(
        columns_of(fine.facts, draws, fine.found, None),
        pressure_pa=np.array([evenly(cycle.angle_rad, cycle.pressure_pa[:, 0], max(steps, STEPS))]),
    )
    bearings = Bearings(job, fine.facts, seats, columns)
    return running([seat.bearing(0) for seat in seats], bearings.load(0, steps).motion, bearings.supply(0))


def test_bearings_at_their_steps(fine):
    """Best values at 720 steps to a thousandth of 2880's; draws at 360 to three; and twice as many steps are at least twice as good."""
    best = films(fine, 4 * STEPS)
    off = {}
    for steps in (DRAW_STEPS // 2, DRAW_STEPS, STEPS):
        found = films(fine, steps)
        assert found.settled.all()
        off[steps] = np.abs(found.film_m / best.film_m - 1.0)
        for name, within in (("loss_w", 3e-3), ("peak_pa", 3e-3)):
            assert getattr(found, name) == pytest.approx(getattr(best, name), rel=within * (720 / steps)), (steps, name)
    assert off[STEPS].max() < 1e-3
    assert off[DRAW_STEPS].max() < 3e-3
    assert off[DRAW_STEPS // 2].max() > 2.0 * off[STEPS].max()


def test_ring_packs_at_their_steps(fine):
    """Blow-by at 720 steps within 1 % of what 2880 give; each doubling takes away more than half of what was left."""
    job, draws = fine.job, fine.draws
    growing = Growing(job, fine.facts, draws, fine.places, metal_of(job, fine.facts, draws))
    gaps = Gaps(cylinder(1), np.array([0.35e-3]), np.array([0.45e-3]))
    cycle, blown = fine.found.cycle, []
    for steps in (360, 720, 1440, 2880):
        packs = Packs(job, fine.facts, draws, fine.found, growing, None)
        packs.chamber = np.array([evenly(cycle.angle_rad, cycle.pressure_pa[:, 0], steps)])
        found = run_pack(packs.pack(gaps, 1), packs.motion(1))
        assert found.settled
        blown.append(float(found.blow_by_kg))
    moved = np.abs(np.diff(blown))
    assert abs(blown[1] / blown[-1] - 1.0) < 0.01
    assert np.all(moved[1:] < 0.5 * moved[:-1])
