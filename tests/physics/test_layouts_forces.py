"""Whole cranks: free forces against closed forms of textbooks (from memory), all forces on the block against momentum, mirrors, and levers."""

import math
from dataclasses import replace

import numpy as np
import pytest

from blockwright.physics.crank_forces import Drive, Rod
from blockwright.physics.layouts_forces import (
    Cylinder,
    Train,
    Weight,
    firing_angles_rad,
    free_forces,
    placed,
    split_rad,
    train_forces,
)

SPEED, PITCH = 6000 * math.pi / 30, 0.1
DRIVE = Drive(0.086, 0.043, Rod(0.55, 0.137, 0.038), 0.42)
STEPS = 1440
ANGLE = np.arange(STEPS) * (4 * math.pi / STEPS)
GAUGE = 7e6 * np.exp(6.0 * (np.cos((ANGLE - math.radians(15)) / 2) - 1.0)) - 1e3


def deg(*values):
    return tuple(math.radians(each) for each in values)


def train(banks_deg, throws_deg, places=None, drive=DRIVE, weights=()):
    """Cylinders from their banks and throws; a pitch apart unless places are given in pitches, a main outside and between."""
    places = range(len(throws_deg)) if places is None else places
    cylinders = tuple(
        Cylinder(PITCH * z, math.radians(b), math.radians(k), math.radians((b - k) % 360))
        for z, b, k in zip(places, banks_deg, throws_deg, strict=True)
    )
    mains = tuple(PITCH * (z - 0.5) for z in range(max(places) + 2))
    return Train(drive, cylinders, mains, weights)


def inline(*throws, drive=DRIVE):
    return train([0] * len(throws), throws, drive=drive)


def unbalanced_away(drive=DRIVE):
    """A rod without weight at its big end, so that only what goes up and down is left; half of the rest at each end."""
    return replace(drive, rod=replace(drive.rod, centroid_m=drive.rod.length_m))


LIGHT = unbalanced_away()
M = LIGHT.reciprocating_kg * LIGHT.throw_m * SPEED**2
RATIO = LIGHT.throw_m / LIGHT.rod.length_m
SECOND = RATIO + RATIO**3 / 4 + 15 * RATIO**5 / 128 + 35 * RATIO**7 / 512
"""Second-order coefficient of the pin's acceleration from the binomial series of the root; what is left out is under 1e-5 of it."""
V6 = placed([PITCH * z for z in (0, 0, 1, 1, 2, 2)], deg(-30, 30, -30, 30, -30, 30), deg(0, 120, 240, 360, 480, 600))
KNOWN = [  # name, train, first-order force and couple in m r w² (and pitch), second-order in that times its coefficient
    ("single", inline(0, drive=LIGHT), 1.0, 0.0, 1.0, 0.0),
    ("inline three", inline(0, 240, 120, drive=LIGHT), 0.0, math.sqrt(3), 0.0, math.sqrt(3)),
    ("inline four", inline(0, 180, 180, 0, drive=LIGHT), 0.0, 0.0, 4.0, 0.0),
    ("inline five", inline(0, 216, 144, 72, 288, drive=LIGHT), 0.0, 0.4490, 0.0, 4.9798),
    ("inline six", inline(0, 240, 120, 120, 240, 0, drive=LIGHT), 0.0, 0.0, 0.0, 0.0),
    ("flat four", train([-90, 90, -90, 90], [0, 180, 180, 0], drive=LIGHT), 0.0, 0.0, 0.0, 2.0),
    ("flat six", train([-90, 90] * 3, [0, 180, 240, 60, 120, 300], drive=LIGHT), 0.0, 0.0, 0.0, 0.0),
    ("V two", train([-45, 45], [0, 0], [0, 0], drive=LIGHT), 1.0, 0.0, math.sqrt(2), 0.0),
    ("V six", Train(LIGHT, V6, (-0.05, 0.05, 0.15, 0.25)), 0.0, 1.5, 0.0, 1.5),
    (
        "V eight, throws crossed",
        train([-45, 45] * 4, [0, 0, 90, 90, 270, 270, 180, 180], [0, 0, 1, 1, 2, 2, 3, 3], drive=LIGHT),
        0.0, math.sqrt(10), 0.0, 0.0,
    ),
    (
        "V eight, throws flat",
        train([-45, 45] * 4, [0, 0, 180, 180, 180, 180, 0, 0], [0, 0, 1, 1, 2, 2, 3, 3], drive=LIGHT),
        0.0, 0.0, 4 * math.sqrt(2), 0.0,
    ),
]  # fmt: skip


@pytest.mark.parametrize(("name", "crank", "f1", "c1", "f2", "c2"), KNOWN, ids=[each[0] for each in KNOWN])
def test_free_forces_of_known_layouts(name, crank, f1, c1, f2, c2):
    left = free_forces(crank, SPEED)
    small = 1e-9 * M
    assert left.largest_force_n(1) == pytest.approx(f1 * M, rel=1e-9, abs=small)
    assert left.largest_force_n(2) == pytest.approx(f2 * M * SECOND, rel=5e-5, abs=small)
    assert left.largest_couple_nm(1) == pytest.approx(c1 * M * PITCH, rel=1e-4, abs=small)
    assert left.largest_couple_nm(2) == pytest.approx(c2 * M * SECOND * PITCH, rel=1e-4, abs=small)


def test_the_bench_rule_for_an_inline_four_is_the_long_rods_limit():
    """4 m r w² r/l; the true coefficient is more by a share (r/l)²/4."""
    for rod in (0.137, 0.43, 1.3):
        drive = unbalanced_away(replace(DRIVE, rod=Rod(0.55, rod, 0.0)))
        found = free_forces(inline(0, 180, 180, 0, drive=drive), SPEED).largest_force_n(2)
        ratio = drive.throw_m / rod
        rule = 4 * drive.reciprocating_kg * drive.throw_m * SPEED**2 * ratio
        assert found / rule - 1 == pytest.approx(ratio**2 / 4, rel=0.5 * ratio**2, abs=1e-12)


def test_no_order_but_even_ones_and_the_first():
    left = free_forces(inline(0), SPEED)
    assert [left.largest_force_n(n) for n in (0, 3, 5, 7)] == pytest.approx([0.0] * 4, abs=1e-9 * M)
    fourth = RATIO**3 / 4 + 3 * RATIO**5 / 16 + 35 * RATIO**7 / 256
    assert left.largest_force_n(4) == pytest.approx(
        DRIVE.reciprocating_kg * DRIVE.throw_m * SPEED**2 * fourth, rel=5e-3
    )


def test_counterweights_take_a_right_angled_pairs_first_order_away():
    crank = train([-45, 45], [0, 0], [0, 0])
    moment = (DRIVE.reciprocating_kg + 2 * DRIVE.rod.big_kg) * DRIVE.throw_m
    balanced = replace(crank, weights=(Weight(0.0, moment, math.pi),))
    assert free_forces(balanced, SPEED).largest_force_n(1) < 1e-9 * M
    assert free_forces(crank, SPEED).largest_force_n(1) == pytest.approx(moment * SPEED**2, rel=1e-9)


ENGINES = {
    "single": inline(0),
    "four": Train(DRIVE, placed([0, 0.1, 0.2, 0.3], [0.0] * 4, firing_angles_rad((1, 3, 4, 2))), (-0.05, 0.05, 0.15, 0.25, 0.35)),
    "flat": train([-90, 90, -90, 90], [0, 180, 180, 0]),
    "V six": Train(replace(DRIVE, offset_m=-0.0008), V6, (-0.05, 0.05, 0.15, 0.25), (Weight(0.02, 0.03, 1.0),)),
}  # fmt: skip


@pytest.mark.parametrize("name", ENGINES)
def test_all_forces_on_the_block_are_what_momentum_leaves(name):
    """Heads, walls and mains together, gas and all, against masses times accelerations differentiated from places."""
    crank = ENGINES[name]
    found = train_forces(crank, GAUGE, SPEED)
    total = found.mains_n.sum(axis=0)
    for one, forces in zip(crank.cylinders, found.cylinders, strict=True):
        up = np.array([math.cos(one.bank_rad), math.sin(one.bank_rad)])
        across = np.array([-math.sin(one.bank_rad), math.cos(one.bank_rad)])
        total = total + forces.gas_n[:, None] * up - forces.side_n[:, None] * across
    d, h = crank.drive, 1e-3

    def momentum_place(angle):
        place = np.zeros((len(angle), 2))
        for one in crank.cylinders:
            up = np.array([math.cos(one.bank_rad), math.sin(one.bank_rad)])
            across = np.array([-math.sin(one.bank_rad), math.cos(one.bank_rad)])
            t = angle + one.throw_rad - one.bank_rad
            x, y = d.throw_m * np.cos(t), d.throw_m * np.sin(t)
            pin = x + np.sqrt(d.rod.length_m**2 - (y - d.offset_m) ** 2)
            place += (d.reciprocating_kg * pin + d.rod.big_kg * x)[:, None] * up + (d.rod.big_kg * y)[:, None] * across
        for weight in crank.weights:
            at = angle + weight.angle_rad
            place += weight.moment_kg_m * np.stack([np.cos(at), np.sin(at)], -1)
        return place

    q = [momentum_place(ANGLE + n * h) for n in (-2, -1, 0, 1, 2)]
    inertia = (-q[0] + 16 * q[1] - 30 * q[2] + 16 * q[3] - q[4]) / (12 * h * h) * SPEED**2
    assert total == pytest.approx(-inertia, abs=1e-6 * np.abs(found.mains_n).max())


@pytest.mark.parametrize("name", ENGINES)
def test_all_torques_do_the_work_of_all_cylinders(name):
    crank = ENGINES[name]
    one = train_forces(inline(0, drive=crank.drive), GAUGE, SPEED).torque_nm.mean()
    found = train_forces(crank, GAUGE, SPEED).torque_nm.mean()
    assert found == pytest.approx(len(crank.cylinders) * one, rel=1e-6)


def test_an_inline_four_is_its_own_mirror_half_a_cycle_later():
    mains = train_forces(ENGINES["four"], GAUGE, SPEED).mains_n
    later = np.roll(mains[::-1], STEPS // 2, axis=1)
    assert mains == pytest.approx(later, abs=1e-9 * np.abs(mains).max())


def test_a_throw_in_the_middle_of_its_bay_loads_both_mains_alike():
    mains = train_forces(inline(0), GAUGE, SPEED).mains_n
    assert mains[0] == pytest.approx(mains[1], rel=1e-12)


def test_a_throw_on_a_main_loads_only_that_one():
    one = Train(DRIVE, (Cylinder(0.05, 0.0, 0.0, 0.0),), (0.0, 0.05, 0.15))
    mains = train_forces(one, GAUGE, SPEED).mains_n
    assert np.abs(mains[[0, 2]]).max() < 1e-12 * np.abs(mains[1]).max()


def test_moments_about_every_main_close_within_a_bay():
    """Forces on a bay's mains have the moment of what lies between them."""
    one = Train(DRIVE, (Cylinder(0.03, 0.0, 0.0, 0.0),), (0.0, 0.1))
    found = train_forces(one, GAUGE, SPEED)
    assert 0.1 * found.mains_n[1] == pytest.approx(0.03 * found.cylinders[0].crank_n, rel=1e-12)


def test_a_bank_turned_is_the_same_engine_turned():
    here, there = (train_forces(train([b], [b]), GAUGE, SPEED).mains_n[0] for b in (0, 40))
    c, s = math.cos(math.radians(40)), math.sin(math.radians(40))
    assert there == pytest.approx(here @ np.array([[c, s], [-s, c]]), rel=1e-9, abs=1e-9 * np.abs(here).max())


def test_each_cylinder_may_have_its_own_pressures():
    rows = np.stack([GAUGE * share for share in (1.0, 0.9, 1.1, 1.0)])
    own = train_forces(ENGINES["four"], rows, SPEED)
    peaks = [each.gas_n.max() for each in own.cylinders]
    assert peaks == pytest.approx([DRIVE.piston_area_m2 * row.max() for row in rows], rel=1e-12)
    with pytest.raises(ValueError, match="3 rows for 4 cylinders"):
        train_forces(ENGINES["four"], rows[:3], SPEED)


def test_firing_orders():
    fires = firing_angles_rad((1, 3, 4, 2))
    assert np.degrees(fires) == pytest.approx([0, 540, 180, 360])
    throws = [each.throw_rad for each in placed([0, 1, 2, 3], [0.0] * 4, fires)]
    assert np.degrees(throws) % 360 == pytest.approx([0, 180, 180, 0], abs=1e-9)
    uneven = firing_angles_rad((1, 2), deg(270, 450))
    pair = placed([0, 0], deg(-45, 45), uneven)
    assert split_rad(*pair) == pytest.approx(math.radians(-180), abs=1e-9)
    with pytest.raises(ValueError, match="name every cylinder once"):
        firing_angles_rad((1, 3, 3, 2))
    with pytest.raises(ValueError, match="720° together"):
        firing_angles_rad((1, 2), deg(270, 270))


def test_a_firing_away_from_the_top_is_refused():
    with pytest.raises(ValueError, match=r"-30\.0° from its top"):
        Cylinder(0.0, 0.0, math.radians(180), math.radians(150))


def test_cranks_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="two main bearings"):
        Train(DRIVE, (Cylinder(0.0, 0.0, 0.0, 0.0),), (0.0,))
    with pytest.raises(ValueError, match="between the first main bearing and the last"):
        Train(DRIVE, (Cylinder(0.5, 0.0, 0.0, 0.0),), (0.0, 0.1))
