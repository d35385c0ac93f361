"""Geometry and loads: which way things turn and push, what symmetry demands, and that nothing is lost between cylinders and mains."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.engine.layout import FirstBank, Layout, ThrustSide, Turning
from blockwright.physics.crank_forces import turned
from blockwright.problems import BlockwrightError
from blockwright.running.work.facts import facts_of
from blockwright.running.work.geometry import (
    drive_of,
    fires_evenly,
    fires_rad,
    mains_worked,
    offset_of,
    split_rad,
    train_of,
)
from blockwright.running.work.loads import OUTSIDE_PA, STEPS, about_top, angles_deg, evenly, loaded

EIGHT = (1, 8, 4, 3, 6, 5, 7, 2)
SPEED = 300.0


def pressure(steps=STEPS, peak=60e5):
    """A bump at firing top over the air outside; Pa absolute, made up."""
    angle = np.arange(steps) * (4.0 * math.pi / steps)
    return OUTSIDE_PA + peak * np.exp(8.0 * (np.cos(0.5 * (angle - 0.2)) - 1.0))


def of(engines, cylinders=4, layout="inline", order=(1, 3, 4, 2), **engine):
    facts = {
        "layout": Layout(layout),
        "cylinders": cylinders,
        "firing_order": order,
        "banks": (),
        "mains": None,
        "bank_angle_rad": None,
    }
    return engines.reference(engine=facts | engine, at_work={"piston_mass_kg": 0.43, "rod_mass_kg": 0.6})


def vee(engines, degrees, cylinders, order, **engine):
    return of(engines, cylinders, "V", order, bank_angle_rad=math.radians(degrees), **engine)


def worked(job, gauge=None, speed=SPEED, counterweight=0.8):
    facts = facts_of(job)
    train = train_of(job, facts, drive_of(job, 0.43, 0.6, 0.7), counterweight)
    rods = range(1, job.engine.cylinders + 1)
    mains = range(1, mains_worked(job.engine) + 1)
    return train, loaded(train, pressure() if gauge is None else gauge, speed, list(rods), list(mains))


def test_rods_of_an_inline_four_carry_the_same_up_to_their_phase(engines):
    _, found = worked(of(engines))
    fires = {1: 0, 3: 180, 4: 360, 2: 540}
    first = found.motion.load_n[0]
    for number, degrees in fires.items():
        assert np.roll(first, degrees, axis=0) == pytest.approx(
            found.motion.load_n[number - 1], abs=1e-6 * np.abs(first).max()
        )


def test_mains_of_an_inline_four_mirror_each_other(engines):
    """Pistons 1 and 4 go together and fire a turn apart: main 1 is main 5 a turn later, main 2 is 4, and 3 repeats itself."""
    _, found = worked(of(engines))
    mains = found.forces.mains_n
    scale = np.abs(mains).max()
    for one, other in ((0, 4), (1, 3), (2, 2)):
        assert np.roll(mains[one], STEPS // 2, axis=0) == pytest.approx(mains[other], abs=1e-9 * scale)


def test_what_the_mains_carry_is_what_cylinders_and_weights_give(engines):
    """Each rod's push turned into the engine's axes by hand, and the counterweights' pull outward."""
    for job in (of(engines), vee(engines, 60.0, 6, (1, 2, 3, 4, 5, 6)), of(engines, 2, "flat", (1, 2))):
        train, found = worked(job)
        total = np.zeros((STEPS, 2))
        for one, forces in zip(train.cylinders, found.forces.cylinders, strict=True):
            c, s = math.cos(one.bank_rad), math.sin(one.bank_rad)
            x, y = -forces.shell_n[:, 0], -forces.shell_n[:, 1]
            total += np.stack([c * x - s * y, s * x + c * y], axis=-1)
            at = np.arange(STEPS) * (4.0 * math.pi / STEPS) + one.throw_rad + math.pi
            pull = 0.8 * 0.7 * 0.6 * 0.043 * SPEED**2
            total += pull * np.stack([np.cos(at), np.sin(at)], axis=-1)
        assert found.forces.mains_n.sum(axis=0) == pytest.approx(total, abs=1e-6 * np.abs(total).max())


def test_the_torque_is_the_work_of_the_gas(engines):
    """Mean torque times two turns is the area of every cylinder's diagram: inertia gives back what it takes."""
    _, found = worked(of(engines))
    angle = np.arange(STEPS + 1) * (4.0 * math.pi / STEPS)
    volume = math.pi / 4 * 0.086**2 * (0.186 - 0.043 * np.cos(angle) - np.sqrt(0.143**2 - (0.043 * np.sin(angle)) ** 2))
    p = np.append(pressure(), pressure()[0]) - OUTSIDE_PA
    work = 4.0 * float(np.trapezoid(p, volume))
    assert float(found.forces.torque_nm.mean()) * 4.0 * math.pi == pytest.approx(work, rel=1e-4)


def test_which_way_a_journal_is_pushed_at_the_firing_top(engines):
    """Slow, so that gas is all: the crankpin pushes up on the rod's upper shell, and the crank down on its mains."""
    _, found = worked(of(engines), speed=10.0)
    force = math.pi / 4 * 0.086**2 * (pressure()[0] - OUTSIDE_PA)
    assert found.motion.load_n[0, 0] == pytest.approx([force, 0.0], rel=0.01, abs=0.01 * force)
    assert found.forces.mains_n[0, 0] == pytest.approx([-0.5 * force, 0.0], rel=0.01, abs=0.01 * force)


def test_which_way_inertia_pulls_at_the_exhaust_top(engines):
    """No gas: at the overlap the piston wants to go on upward, so the cap carries; m r w² (1 + r/l) and the big end by hand."""
    _, found = worked(of(engines), gauge=np.full(STEPS, OUTSIDE_PA))
    w2r = 0.043 * SPEED**2
    pull = (0.43 + 0.3 * 0.6) * w2r * (1.0 + 0.043 / 0.143) + 0.7 * 0.6 * w2r
    assert found.motion.load_n[0, STEPS // 2] == pytest.approx([-pull, 0.0], rel=1e-9, abs=1e-9 * pull)


def test_how_a_rod_swings(engines):
    """Its turning by differences of its own direction, from crankpin and pin placed by hand. In the rod's own axes, in which its
    load is given, the film feels (crank + rod)/2 - rod."""
    _, found = worked(of(engines))
    angle = np.arange(STEPS) * (4.0 * math.pi / STEPS)

    def lean(t):
        pin_x = 0.043 * np.cos(t) + np.sqrt(0.143**2 - (0.043 * np.sin(t)) ** 2)
        return np.arctan2(-0.043 * np.sin(t), pin_x - 0.043 * np.cos(t))

    h = 1e-5
    swing = SPEED * (lean(angle + h) - lean(angle - h)) / (2.0 * h)
    assert found.motion.mean_speed_rad_s[0] == pytest.approx(0.5 * (SPEED + swing) - swing, rel=1e-6)
    assert found.motion.sliding_rad_s[0] == pytest.approx(SPEED - swing, rel=1e-6)
    assert swing[0] < 0.0, "at the top the big end goes the way of the crank's top, so the rod turns against it"
    assert np.all(np.asarray(found.motion.mean_speed_rad_s)[4:] == 0.5 * SPEED)


def test_the_power_stroke_leans_on_the_major_side(engines):
    _, found = worked(of(engines), speed=10.0)
    first = found.forces.cylinders[0]
    assert first.side_n[60] > 0.0
    assert first.on_major_side[20:150].all()


@pytest.mark.parametrize(("side", "sign"), [(ThrustSide.MAJOR, -1.0), (ThrustSide.MINOR, 1.0)])
def test_a_pin_offset_to_the_major_side_is_negative_and_upright_later(engines, side, sign):
    """The rod stands upright where the crankpin is under the pin: to the major side that is before the top of the crank."""
    job = of(engines, pin_offset_m=1e-3, pin_offset_side=side)
    assert offset_of(job.engine) == sign * 1e-3
    _, found = worked(job, speed=10.0)
    first = found.forces.cylinders[0]
    assert sign * first.side_n[0] < 0.0, "the gas tips the piston over to the side that the pin is not on"


def test_a_counterweight_takes_from_the_mains(engines):
    """Without gas and with a piston of next to nothing: all that turns is the big end, and its weight halves it."""
    job = of(engines)
    facts = facts_of(job)

    def radial(counterweight):
        train = train_of(job, facts, drive_of(job, 1e-9, 0.6, 1.0 - 1e-12), counterweight)
        found = loaded(train, np.full(STEPS, OUTSIDE_PA), SPEED, [], [1])
        return float(np.hypot(found.motion.load_n[0, :, 0], found.motion.load_n[0, :, 1]).max())

    bare = 0.5 * 0.6 * 0.043 * SPEED**2
    assert radial(0.0) == pytest.approx(bare, rel=1e-6)
    assert radial(0.5) == pytest.approx(0.5 * bare, rel=1e-6)
    assert radial(1.0) == pytest.approx(0.0, abs=1e-6 * bare)


def test_an_even_eight_is_even_when_banks_and_turning_agree(engines):
    """90°, odd cylinders on the left seen from behind, clockwise from the front, 1-8-4-3-6-5-7-2: each pin serves both its rods."""
    job = vee(engines, 90.0, 8, EIGHT, rotation=Turning.CLOCKWISE, first_bank=FirstBank.LEFT)
    assert fires_evenly(job.engine)
    train, _ = worked(job)
    for left, right in ((1, 2), (3, 4), (5, 6), (7, 8)):
        assert split_rad(train.cylinders[left - 1], train.cylinders[right - 1]) == pytest.approx(0.0, abs=1e-9)
    throws = sorted(
        round(math.degrees(train.cylinders[n - 1].throw_rad - train.cylinders[0].throw_rad)) % 360 for n in (1, 3, 5, 7)
    )
    assert throws == [0, 90, 180, 270]


@pytest.mark.parametrize(
    ("rotation", "bank", "even"),
    [
        (Turning.CLOCKWISE, FirstBank.LEFT, True),
        (Turning.ANTICLOCKWISE, FirstBank.RIGHT, True),
        (Turning.ANTICLOCKWISE, FirstBank.LEFT, False),
        (Turning.CLOCKWISE, FirstBank.RIGHT, False),
    ],
)
def test_mirrored_twice_is_the_same_and_once_is_not(engines, rotation, bank, even):
    assert fires_evenly(vee(engines, 90.0, 8, EIGHT, rotation=rotation, first_bank=bank).engine) is even


def test_sides_of_a_v_seen_from_the_front(engines):
    """Clockwise from the front, the crank's top goes to the right, which is the left side seen from behind: there the bank is +."""
    train, _ = worked(vee(engines, 60.0, 2, (1, 2), rotation=Turning.CLOCKWISE, first_bank=FirstBank.LEFT))
    assert math.degrees(train.cylinders[0].bank_rad) == pytest.approx(30.0)
    assert math.degrees(train.cylinders[1].bank_rad) == pytest.approx(-30.0)


def test_a_twin_on_one_pin_fires_as_the_pin_makes_it(engines):
    """45° between the banks: 360 ± 45°."""
    times = [math.degrees(t) for t in fires_rad(vee(engines, 45.0, 2, (1, 2)).engine)]
    assert abs(abs(times[1] - times[0] - 360.0) - 45.0) < 1e-6
    assert not fires_evenly(vee(engines, 45.0, 2, (1, 2)).engine)


def test_split_pins_of_a_60_degree_six_stand_60_apart(engines):
    job = vee(engines, 60.0, 6, (1, 2, 3, 4, 5, 6), shared_throws=False, mains=4)
    assert fires_evenly(job.engine)
    train, _ = worked(job)
    for one, other in ((1, 2), (3, 4), (5, 6)):
        assert abs(math.degrees(split_rad(train.cylinders[one - 1], train.cylinders[other - 1]))) == pytest.approx(60.0)
    assert len(train.mains_m) == 4


def test_pistons_of_a_flat_twin_go_out_and_in_together(engines):
    """Pins opposite, pistons mirrored: no free force, only a couple over the distance of the throws."""
    train, found = worked(of(engines, 2, "flat", (1, 2)))
    assert abs(math.degrees(split_rad(*train.cylinders))) == pytest.approx(180.0)
    inertia = worked(of(engines, 2, "flat", (1, 2)), gauge=np.full(STEPS, OUTSIDE_PA))[1].forces
    along = [
        turned(forces.pin_n, -one.bank_rad) for one, forces in zip(train.cylinders, inertia.cylinders, strict=True)
    ]
    assert along[0][:, 1] == pytest.approx(-along[1][:, 1], abs=1e-6 * np.abs(along[0]).max())
    assert found.forces.torque_nm.mean() > 0.0


def test_three_mains_for_four_throws_and_seven_for_four(engines):
    assert mains_worked(of(engines, mains=3).engine) == 3
    assert mains_worked(of(engines, mains=7).engine) == 5
    train, _ = worked(of(engines, mains=3))
    places = [one.along_m for one in train.cylinders]
    assert train.mains_m[1] == pytest.approx(0.5 * (places[1] + places[2]))


def test_a_single_needs_no_firing_order_and_a_four_does(engines):
    assert fires_rad(of(engines, 1, order=()).engine) == [0.0]
    with pytest.raises(BlockwrightError, match="firing order is not given") as refused:
        fires_rad(of(engines, order=()).engine)
    assert "firing_order" in refused.value.problems[0].mend


@given(st.permutations(range(1, 7)), st.sampled_from([60.0, 90.0, 120.0]), st.booleans())
@settings(max_examples=25)
def test_any_order_of_a_v_fires_every_cylinder_at_its_top(engines, order, degrees, shared):
    """Whatever the pins make of it, every cylinder stands at its top when it fires, and no firing moves by more than half a turn."""
    job = vee(engines, degrees, 6, tuple(order), shared_throws=shared)
    times = fires_rad(job.engine)
    train, _ = worked(job)
    assert all(0.0 <= t < 4.0 * math.pi for t in times)
    for position, number in enumerate(order):
        even = position * 4.0 * math.pi / 6.0
        assert abs(math.remainder(times[number - 1] - even, 4.0 * math.pi)) <= math.pi + 1e-9
    for one, t in zip(train.cylinders, times, strict=True):
        assert math.remainder(t + one.throw_rad - one.bank_rad, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-6)


@given(st.lists(st.floats(-1e3, 1e3), min_size=4, max_size=40).filter(lambda values: len(values) % 2 == 0))
def test_turned_about_the_top_nothing_is_lost(values):
    found = about_top(np.array(values))
    half = len(values) // 2
    assert found[half] == values[0], "firing top lies in the middle"
    assert found[0] == found[-1] == values[half]
    assert sorted(found[:-1]) == sorted(values)


def test_angles_and_equal_steps():
    assert angles_deg()[[0, STEPS // 2, -1]].tolist() == [-360.0, 0.0, 360.0]
    about = np.linspace(-2.0 * math.pi, 2.0 * math.pi, 3000)
    found = evenly(about, np.cos(about / 2.0))
    angle = np.arange(STEPS) * (4.0 * math.pi / STEPS)
    assert found == pytest.approx(np.cos(angle / 2.0), abs=1e-5)
