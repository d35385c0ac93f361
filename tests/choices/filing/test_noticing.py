"""Passes that nobody would have predicted: what is noticed, what is not, and what is learnt of them."""

import math
from itertools import chain

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from blockwright.choices.filing.belief import Belief
from blockwright.choices.filing.model import Between, Oddity, Reading, Step
from blockwright.choices.filing.noticing import SURPRISING, follow, notice, predicted_below
from blockwright.choices.filing.view import RingView

from .histories import U_OWN, U_SHARED, UM, invented, ring_steps

# A ring at 10 µm a turn, 4 turns a pass.
STEADY = ring_steps("1", [250, 290, 330], [4, 4])


def next_look(gap_um, units=4.0, ring="1"):
    return Step(ring, (Reading(gap_um * UM, U_OWN, U_SHARED, "a"),), units)


@pytest.fixture(scope="module")
def known():
    return Belief().after(*STEADY)


@pytest.mark.parametrize(
    ("gap_um", "kind"),
    [
        (430, Oddity.TOO_MUCH),  # the ring slipped or stands askew
        (331, Oddity.TOO_LITTLE),  # the wheel is clogged: nothing was taken off
        (326, Oddity.TOO_LITTLE),  # the same, within what readings do
        (300, Oddity.SHRANK),  # 30 µm less than before: no reading errs so far
    ],
)
def test_what_is_noticed(known, gap_um, kind):
    surprise = notice(known, next_look(gap_um))
    assert surprise is not None
    assert surprise.kind is kind
    assert 0.0 <= surprise.probability < SURPRISING
    assert surprise.expected_growth_m == pytest.approx(40e-6, rel=0.05)
    believed_m = known.ring("1").gap_m
    assert believed_m == pytest.approx(330 * UM, abs=0.1 * U_OWN), "a tenth of what a reading errs by"
    assert surprise.seen_growth_m == pytest.approx(gap_um * UM - believed_m, rel=1e-9)


@pytest.mark.parametrize("gap_um", [355, 370, 390])
def test_what_is_not(known, gap_um):
    assert notice(known, next_look(gap_um)) is None


def test_a_first_look_and_an_unread_pass_surprise_nobody(known):
    assert notice(known, next_look(900, 0.0, "2")) is None
    assert notice(known, Step("1", units=4.0)) is None


def test_an_unknown_kind_may_be_quick_or_slow_but_not_idle():
    """Before anything is known of the rate, 12 and 90 µm in 4 turns are both believed; none at all, or a third of a millimetre, are not."""
    looked_at = Belief().after(STEADY[0])
    assert [notice(looked_at, next_look(250 + grown)) for grown in (15, 40, 110)] == [None] * 3
    assert notice(looked_at, next_look(250)).kind is Oddity.TOO_LITTLE
    assert notice(looked_at, next_look(580)).kind is Oddity.TOO_MUCH


def test_what_other_rings_showed_makes_a_first_pass_surprising():
    """A ring grows 15 µm in 4 turns where five others of its kind grew 40: noticed once they are known, not before."""
    slow = [next_look(250, 0.0, "2"), next_look(265, 4.0, "2")]
    others = chain(*(ring_steps(name, [250, 290, 330], [4, 4]) for name in "abcde"))
    alone, among = Belief().after(slow[0]), Belief().after(*others, slow[0])
    assert notice(alone, slow[1]) is None
    assert notice(among, slow[1]).kind is Oddity.TOO_LITTLE


def test_probability_is_two_sided_and_that_of_the_mixture(known):
    """By drawing from the posterior: rate and scatter by their weight, then growth and reading."""
    rng = np.random.default_rng(8)
    view, reading = known.ring("1"), Reading(401e-6, U_OWN, U_SHARED, "a")
    node = rng.choice(view.weight.size, 400_000, p=view.weight)
    n = view.nodes
    gap = n.mean[0, node] + np.sqrt(n.cov[0, 0, node]) * rng.standard_normal(node.size)
    error = n.mean[1, node] + n.cov[0, 1, node] / n.cov[0, 0, node] * (gap - n.mean[0, node])
    error += np.sqrt(n.cov[1, 1, node] - n.cov[0, 1, node] ** 2 / n.cov[0, 0, node]) * rng.standard_normal(node.size)
    gap += 4 * n.rate_m[node] * (1 + n.scatter[node] * rng.standard_normal(node.size))
    shown = gap + U_SHARED * error + U_OWN * rng.standard_normal(node.size)
    below = np.mean(shown < reading.value_m)
    after = RingView(view.nodes.filed(4.0), view.log_others)
    assert predicted_below(after, (reading,)) == pytest.approx(
        below, abs=4 * math.sqrt(below * (1 - below) / node.size)
    )


@given(st.integers(0, 10_000))
def test_a_level_of_one_calls_everything_surprising(seed):
    """Every look but a first has some probability: it never leaves 0 to 1."""
    steps = invented(seed, rings=2, passes=2)
    belief = Belief().after(*steps[:-1])
    surprise = notice(belief, steps[-1], level=1.0 + 1e-9)
    assert 0.0 <= surprise.probability <= 1.0


@pytest.mark.slow
def test_honest_rings_seldom_surprise():
    """600 pools near the assumptions' middle, 2 rings of 3 passes: no more alarms than a half in a hundred, by the binomial at 1 in 10 000."""
    looks = alarms = 0
    for seed in range(600):
        steps = invented(seed, rings=2, passes=3)
        looks += 6
        alarms += len(follow(Belief(), steps).surprises)
    assert special.bdtrc(alarms - 1, looks, SURPRISING) > 1e-4


def test_repeats_are_judged_by_their_mean(known):
    """Nine repeats err less than one reading, so the same value is less probable; their scatter is not the pass's fault."""
    once, often = next_look(392), Step("1", (Reading(392e-6, U_OWN, U_SHARED, "a"),) * 9, 4.0)
    apart = Step("1", tuple(Reading((392 + off) * UM, U_OWN, U_SHARED, "a") for off in (-6, 2, 4)), 4.0)
    three = Step("1", (Reading(392e-6, U_OWN, U_SHARED, "a"),) * 3, 4.0)
    one, nine, scattered, alike = (notice(known, step, level=2.0).probability for step in (once, often, apart, three))
    assert nine < alike < one
    assert scattered == pytest.approx(alike, rel=1e-9)


@pytest.mark.parametrize(
    ("blades", "kind"), [((440, 460), Oddity.TOO_MUCH), ((330, 340), Oddity.TOO_LITTLE), ((250, 300), Oddity.SHRANK)]
)
def test_blades_are_judged_too(known, blades, kind):
    low, high = (value * UM for value in blades)
    assert notice(known, Step("1", (Between(low, high),), 4.0)).kind is kind
    assert notice(known, Step("1", (Between(350e-6, 400e-6),), 4.0)) is None
    assert notice(known, Step("1", (Between(450e-6, math.inf),), 4.0)).kind is Oddity.TOO_MUCH


def test_another_gauge_brings_its_own_error(known):
    """40 µm too much by the same gauge is a surprise; by one whose calibration is known to 30 µm it is not."""
    assert notice(known, next_look(410)) is not None
    assert notice(known, Step("1", (Reading(410e-6, U_OWN, 30e-6, "b"),), 4.0)) is None


def test_following_a_history_notices_and_forgives():
    """The wheel clogs in the third pass and is dressed after it: with forgiveness the rate stays that of the honest passes."""
    history = [*STEADY, next_look(331), next_look(371), next_look(411)]
    honest = Belief().after(*STEADY).ring("1")
    trusting, forgiving = (follow(Belief(), history, forgiving=forgive) for forgive in (False, True))
    assert next(number for number, _ in trusting.surprises) == 3
    assert [(number, surprise.kind) for number, surprise in forgiving.surprises] == [(3, Oddity.TOO_LITTLE)]
    after, misled = forgiving.belief.ring("1"), trusting.belief.ring("1")
    assert after.rate_m == pytest.approx(honest.rate_m, rel=0.03)
    assert abs(misled.rate_m - 10e-6) > abs(after.rate_m - 10e-6)
    assert after.gap_m == pytest.approx(411e-6, abs=0.5 * U_OWN), "well within what a reading errs by"


def test_following_without_surprises_is_believing():
    steps = invented(4, rings=2, passes=3)
    followed, believed = follow(Belief(), steps, forgiving=True), Belief().after(*steps)
    assert followed.surprises == ()
    for name in "12":
        assert followed.belief.ring(name).gap_m == believed.ring(name).gap_m
