"""How a joint is tightened: the maker's order first, a generated one marked, no torque made up."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.route.torque import centre_out, tightening
from blockwright.engine.fasteners import Fastener, Joint

from .engines import job


def told(joint=Joint.HEADS, **facts):
    return tightening(job(fasteners=[Fastener(joint=joint, **facts)]), joint)


@given(st.integers(1, 64), st.integers(1, 4))
def test_a_generated_order_draws_each_bolt_once(count, rows) -> None:
    assert sorted(centre_out(count, rows)) == list(range(1, count + 1))


@given(st.integers(2, 20), st.integers(1, 3))
def test_a_generated_order_never_goes_back_towards_the_centre(length, rows) -> None:
    """In rows of one length, the distance from the middle of the row never shrinks."""
    order = centre_out(length * rows, rows)
    away = [abs((bolt - 1) % length - 0.5 * (length - 1)) for bolt in order]
    assert all(a <= b for a, b in itertools.pairwise(away))


def test_ten_bolts_in_two_rows() -> None:
    """By hand: 1 to 5 left, 6 to 10 right; the middle pair 3 and 8, then their neighbours, then the ends."""
    order = centre_out(10)
    assert set(order[:2]) == {3, 8}
    assert set(order[2:6]) == {2, 4, 7, 9}
    assert set(order[6:]) == {1, 5, 6, 10}


def test_the_makers_order_goes_before_all() -> None:
    maker = (6, 1, 2, 5, 3, 4)
    found = told(pattern=maker, count=6, stages=("25 Nm", "60 Nm"), source="sheet 4")
    assert found.order == maker
    assert not found.generated
    assert any("the maker's order (sheet 4)" in line for line in found.lines)
    assert not any("generated" in line for line in found.lines)


def test_a_generated_order_is_marked_and_drawn_in_stages() -> None:
    found = told(count=10, stages=("80 Nm",))
    assert found.generated
    assert found.order == centre_out(10)
    assert any("generated" in line and "prefer his" in line for line in found.lines)
    assert any("three stages" in line and "no source" in line for line in found.lines)


def test_stages_of_the_makers_are_not_added_to() -> None:
    assert not any("three stages" in line for line in told(count=10, stages=("40 Nm", "80 Nm")).lines)


@pytest.mark.parametrize("joint", [Joint.RODS, Joint.OIL_PUMP, Joint.FLYWHEEL])
def test_where_the_order_does_little_none_is_generated(joint) -> None:
    assert told(joint, count=8).order == ()


def test_no_torque_is_made_up() -> None:
    nobody = tightening(job(), Joint.HEADS)
    assert nobody.told is None
    assert nobody.order == ()
    assert nobody.count is None
    assert "find the maker's" in nobody.lines[0]
    assert any("no torque is given for the heads" in line for line in told(count=10).lines)


def test_angle_and_stretch_in_words() -> None:
    lines = told(stages=("30 Nm",), angle_rad=math.pi / 2, stretch_m=0.14e-3).lines
    assert any("30 Nm; then turn on by 90°; then until each bolt is 0.14" in line for line in lines)


def test_again_only_where_the_maker_asks() -> None:
    assert told(stages=("80 Nm",)).lines[-1] == "do not tighten again later: the maker does not ask for it"
    assert told(stages=("80 Nm",), retorque="after 500 km, cold").lines[-1] == "tighten again: after 500 km, cold"


def test_bolts_for_one_use_are_said() -> None:
    assert any("new bolts" in line for line in told(one_use=True).lines)
    assert told(one_use=True).one_use
    assert not told().one_use
