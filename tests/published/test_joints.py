"""J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design", 2006, chapter 8: the authors' printed solutions of problems 8-24
and 8-25 (read in a public reprint), equation 8-22; and a drill problem on two plates, clamped with 2250 lbf, whose bolt is twice as stiff as
they are (lecture notes on machine design, read in public: 225 lbf are left at 6075 lbf, the bolt then bears 6300 lbf).

Half an inch of steel, .625 in of iron and a steel washer of .095 in under a bolt of 1/2 in, faces .75 in; Mpsi and Mlbf/in as printed. Every
cone stands alone in the solutions, and each is compared; the modulus of the sixth is garbled in the reprint (70) and taken as 30, the steel that
it belongs to.

Tolerance: half a unit of the last printed digit, and 1e-4 for cones, because the book rounds tan 30° to .5774.

Skipped: the second problem's whole stack, because its middle cone is printed with a diameter of 1.018 in where its own geometry gives 1.039.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.bolts import preload_from_torque_n
from blockwright.physics.joints import (
    Layer,
    bolt_load_n,
    bolt_share,
    bolt_stress_pa,
    clamp_left_n,
    cone_stiffness_n_m,
    growth_in_use,
    joint_stiffness_n_m,
    preload_after_turn_n,
    separation_load_n,
    separation_margin,
    stack_stiffness_n_m,
    turn_for_preload_rad,
)

CONES = [  # D, t, in; E, Mpsi; printed k, Mlbf/in
    (0.75, 0.5, 30, "33.30"),
    (1.327, 0.11, 14.5, "173.8"),
    (0.860, 0.515, 14.5, "21.47"),
    (0.75, 0.095, 30, "97.27"),
    (0.75, 0.4225, 30, "36.14"),
    (1.018, 0.1725, 30, "134.6"),
    (0.75, 0.25, 14.5, "23.49"),
]


@pytest.mark.published
@pytest.mark.parametrize(("face", "thick", "modulus", "stiff"), CONES)
def test_cones_of_8_24_and_8_25(face, thick, modulus, stiff):
    decimals = len(stiff.partition(".")[2])
    assert cone_stiffness_n_m(face, thick, 0.5, modulus) == pytest.approx(
        float(stiff), abs=0.5 * 10**-decimals + 1e-4 * float(stiff)
    )


@pytest.mark.published
def test_the_stack_of_8_24():
    layers = (Layer(0.5, 30), Layer(0.625, 14.5), Layer(0.095, 30))
    stiff = stack_stiffness_n_m(0.75, 0.5, layers)
    assert stiff == pytest.approx(10.79, abs=0.005)
    assert bolt_share(3.94, stiff) == pytest.approx(0.267, abs=5e-4)


@pytest.mark.published
@pytest.mark.parametrize(("grip", "d"), [(0.040, 0.010), (0.025, 0.008), (0.1, 0.012)])
def test_equation_8_22(grip, d):
    """For a face of one and a half diameters, with the constant .5774 as printed."""
    log = math.log(5 * (0.5774 * grip + 0.5 * d) / (0.5774 * grip + 2.5 * d))
    expected = 0.5774 * math.pi * 205e9 * d / (2 * log)
    assert joint_stiffness_n_m(1.5 * d, grip, d, 205e9) == pytest.approx(expected, rel=2e-4)


@pytest.mark.published
def test_two_plates_pulled_apart():
    share = bolt_share(2.0, 1.0)
    assert clamp_left_n(2250.0, 6075.0, share) == pytest.approx(225.0, abs=0.5)
    assert bolt_load_n(2250.0, 6075.0, share) == pytest.approx(6300.0, abs=0.5)


def test_a_cone_by_slices():
    """A cone as many thin rings on each other."""
    face, thick, hole, count = 0.015, 0.018, 0.010, 20000
    step = thick / count
    soft = sum(
        step / (205e9 * math.pi / 4 * ((face + 2 * math.tan(math.pi / 6) * (k + 0.5) * step) ** 2 - hole**2))
        for k in range(count)
    )
    assert cone_stiffness_n_m(face, thick, hole, 205e9) == pytest.approx(1 / soft, rel=1e-7)


LAYERS = st.lists(st.tuples(st.floats(1e-3, 0.05), st.floats(4e10, 2.1e11)), min_size=1, max_size=5)


@given(layers=LAYERS)
def test_a_stack_is_the_same_from_either_side_and_lies_between_its_softest_and_stiffest(layers):
    whole = tuple(Layer(*each) for each in layers)
    found = stack_stiffness_n_m(0.015, 0.010, whole)
    assert found == pytest.approx(stack_stiffness_n_m(0.015, 0.010, whole[::-1]), rel=1e-9)
    grip, moduli = sum(each[0] for each in layers), [each[1] for each in layers]
    ends = [joint_stiffness_n_m(0.015, grip, 0.010, each) for each in (min(moduli), max(moduli))]
    assert ends[0] * (1 - 1e-9) <= found <= ends[1] * (1 + 1e-9)


@given(preload=st.floats(1e3, 1e5), share=st.floats(0.0, 0.9), part=st.floats(0.0, 3.0))
def test_loads_in_balance(preload, share, part):
    """Bolt less clamp is the load; the bolt's pull has no step where the joint gapes."""
    load = part * preload
    bolt, clamp = bolt_load_n(preload, load, share), clamp_left_n(preload, load, share)
    assert bolt - clamp == pytest.approx(load, abs=1e-9 * preload)
    opens = separation_load_n(preload, share)
    assert (clamp == 0) == (load >= opens * (1 - 1e-12)) or abs(load - opens) < 1e-9 * preload
    assert bolt_load_n(preload, opens, share) == pytest.approx(opens, rel=1e-12)
    if load:
        assert separation_margin(preload, load, share) == pytest.approx(opens / load, rel=1e-12)


@given(snug=st.floats(0.0, 1e4), turn=st.floats(0.01, 3.0))
def test_angle_and_preload_are_inverse(snug, turn):
    words = {"pitch_m": 0.00125, "bolt_n_m": 3e8, "joint_n_m": 1.4e9}
    rise = preload_after_turn_n(turn, **words, snug_n=snug) - snug
    assert turn_for_preload_rad(rise, **words) == pytest.approx(turn, rel=1e-9)


def test_a_turn_goes_into_bolt_and_joint():
    """The advance of the thread is what the bolt grows and the joint gives, each by its own stiffness."""
    snug = preload_from_torque_n(20.0, 0.010, 0.00125, 12.8e-3, 0.12)
    rise = preload_after_turn_n(math.pi / 2, 0.00125, 3e8, 1.4e9, snug) - snug
    assert rise / 3e8 + rise / 1.4e9 == pytest.approx(0.00125 / 4, rel=1e-12)


def test_growth():
    kept, tired = (growth_in_use(0.060, 0.060 + each, 0.036, 25e-6) for each in (24e-6, 26e-6))
    assert (kept.within, tired.within) == (True, False)
    assert tired.strain == pytest.approx(26e-6 / 0.036, rel=1e-6)
    assert bolt_stress_pa(33e3, 60e-6) == pytest.approx(550e6)


def test_values_out_of_range_are_refused():
    with pytest.raises(ValueError, match="diameter of the face"):
        cone_stiffness_n_m(0.010, 0.02, 0.010, 205e9)
    with pytest.raises(ValueError, match="at least one layer"):
        stack_stiffness_n_m(0.015, 0.010, ())
    with pytest.raises(ValueError, match="share of the load"):
        separation_load_n(1e4, 1.0)
