"""What goes into the planning is checked where it is made, and said in plain words."""

import math

import pytest

from blockwright.choices.filing.belief import Belief
from blockwright.choices.filing.model import Between, RatePrior, Reading, Risk, Step, Unit, Window

READ = Reading(0.300e-3, 4e-6)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Reading(math.nan, 4e-6), "not a number"),
        (lambda: Reading(0.3e-3, math.inf), "not a number"),
        (lambda: Reading(0.3e-3, -4e-6), "cannot be negative"),
        (lambda: Reading(0.3e-3, 4e-6, -1e-6), "cannot be negative"),
        (lambda: Reading(0.3e-3, 0.0), "does not exist"),
        (lambda: Between(0.40e-3, 0.35e-3), "must be thinner"),
        (lambda: Between(0.40e-3, 0.40e-3), "must be thinner"),
        (lambda: Between(math.nan, 0.40e-3), "not a number"),
        (lambda: Between(-math.inf, math.inf), "nothing on either side"),
        (lambda: Step("1 top", (READ,), -2.0), "cannot be put back"),
        (lambda: Step("1 top", (READ,), math.nan), "not a number"),
        (lambda: Step("1 top"), "neither a reading nor units"),
        (lambda: Unit("turns", smallest=0.5), "taken whole"),
        (lambda: Unit("turns", whole=False, smallest=0.0), "more than nothing"),
        (lambda: Window(0.4e-3, 0.39e-3, 0.45e-3), "the aim must lie"),
        (lambda: Window(0.4e-3, 0.45e-3, 0.45e-3), "the aim must lie"),
        (lambda: Window(0.4e-3, 0.42e-3, math.nan), "not a number"),
        (lambda: Risk(alpha=0.0), "risk must lie"),
        (lambda: Risk(level=1.0), "risk must lie"),
        (lambda: RatePrior(guess_m=-1e-6), "more than nothing"),
        (lambda: RatePrior(factor=1.0), "more for the rate"),
        (lambda: RatePrior(pass_scatter=0.01), "less than 3%"),
    ],
)
def test_bad_input_is_told(make, said):
    with pytest.raises(ValueError, match=said):
        make()


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ([Step("a", (READ,), 3.0)], "before the first pass"),
        ([Step("a", (), 3.0)], "before the first pass"),
        ([Step("a", (READ,)), Step("a", (READ,))], "no units were filed before this second reading"),
        ([Step("a", (Between(0.3e-3, math.inf),))], "one that does not"),
    ],
)
def test_a_history_in_the_wrong_order_is_told(steps, said):
    with pytest.raises(ValueError, match=said):
        Belief().after(*steps)


def test_a_pass_that_was_not_read_cannot_be_forgiven():
    with pytest.raises(ValueError, match="left out only if"):
        Belief().after(Step("a", (READ,))).after(Step("a", units=3.0), forgiving=True)


def test_a_ring_nobody_has_looked_at_is_told():
    with pytest.raises(ValueError, match="ring b: nothing has been read"):
        Belief().after(Step("a", (READ,))).ring("b")


def test_units_that_the_grinder_cannot_take():
    Unit("turns").check(4.0)
    Unit("turns", whole=False, smallest=0.25).check(2.5)
    with pytest.raises(ValueError, match=r"turns are taken whole, not 2\.5"):
        Unit("turns").check(2.5)


def test_no_upper_limit_aim_and_margin_stand_for_it():
    assert Window(0.40e-3, 0.42e-3, None, 30e-6).upper_m == pytest.approx(0.45e-3, rel=1e-12)
    assert Window(0.40e-3, 0.42e-3, 0.44e-3, 30e-6).upper_m == 0.44e-3


def test_shares_of_the_risk():
    risk = Risk(alpha=0.01)
    assert [risk.share(number) for number in (1, 2, 3)] == [0.005, 0.0025, 0.00125]
    assert sum(risk.share(number) for number in range(1, 60)) <= 0.01
