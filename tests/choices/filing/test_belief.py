"""The joint posterior of a pool, against brute force, and what must hold of it whatever was read."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from blockwright.choices.filing.belief import Belief, Filing, PoolKey
from blockwright.choices.filing.grid import USUAL_FINENESS, Fineness, grid
from blockwright.choices.filing.model import USUAL_PRIOR, Between, RatePrior, Reading, Step
from blockwright.choices.filing.noticing import predicted_below
from blockwright.choices.filing.trial import QUICK
from blockwright.choices.filing.view import RingView

from .histories import U_OWN, U_SHARED, UM, invented, ring_steps

RING_1 = ([251, 306, 351, 396], [5, 4, 4])
RING_2 = ([243, 338], [8])


def drawn(rng, number):
    """Kind rates, spreads and scatters as `RatePrior` has them, the latter two cut off at 2.5 standard deviations."""
    prior, per = USUAL_PRIOR, 1.959964

    def cut(middle):
        z = special.ndtri(rng.uniform(special.ndtr(-2.5), special.ndtr(2.5), number))
        return middle * np.exp(z * math.log(prior.spread_factor) / per)

    kind = math.log(prior.guess_m / UM) + math.log(prior.factor) / per * rng.standard_normal(number)
    return kind, cut(prior.ring_spread), cut(prior.pass_scatter)


def dense_ring(gaps, units, rate, scatter):
    """Log density of the readings after the first, and mean and variance of the last gap: all rates at once, in µm.

    Growths are eliminated by hand: reading k less the first is a sum of growths and two own errors. The gauge's own error cancels.
    """
    gaps, units = np.array(gaps, float), np.array(units, float)
    own, shared, k = (U_OWN / UM) ** 2, (U_SHARED / UM) ** 2, len(units)
    seen = gaps[1:] - gaps[0] - rate[:, None] * np.cumsum(units)
    grown = (scatter * rate)[:, None] ** 2 * np.cumsum(units**2)
    nearer = np.minimum.outer(np.arange(k), np.arange(k))
    cov = grown[:, nearer] + own * (1.0 + np.eye(k))
    _, log_det = np.linalg.slogdet(cov)
    solved = np.linalg.solve(cov, seen[..., None])[..., 0]
    evidence = -0.5 * (np.sum(seen * solved, axis=1) + log_det)
    last = grown + own
    mean = gaps[0] + rate * units.sum() + np.sum(last * solved, axis=1)
    left = grown[:, -1] + own - np.einsum("ni,ni->n", last, np.linalg.solve(cov, last[..., None])[..., 0])
    return evidence, mean, left + shared


@pytest.fixture(scope="module")
def weighed():
    """Two rings' readings weighed over 400 000 draws from the assumptions: nothing of the planner's grid or filter is used."""
    rng = np.random.default_rng(20)
    kind, spread, scatter = drawn(rng, 400_000)
    rates = [np.exp(kind + spread * rng.standard_normal(kind.size)) for _ in range(3)]
    one, two = (dense_ring(*ring, rate, scatter) for ring, rate in zip((RING_1, RING_2), rates, strict=False))
    weight = np.exp(one[0] + two[0] - (one[0] + two[0]).max())
    return weight / weight.sum(), rates, scatter, one, two


def check(weighed_value, weight, belief_value):
    """Within four standard errors of the weighed mean, which must be small enough to mean something."""
    mean = weight @ weighed_value
    error = math.sqrt(weight**2 @ (weighed_value - mean) ** 2)
    assert error < 0.02 * abs(mean)
    assert abs(float(belief_value) - mean) < 4 * error + 1e-3 * abs(mean)


@pytest.fixture(scope="module")
def two_rings():
    return Belief().after(*ring_steps("1", *RING_1), *ring_steps("2", *RING_2))


def test_gaps_by_brute_force(weighed, two_rings):
    weight, _, _, one, two = weighed
    for name, (_, mean, variance) in (("1", one), ("2", two)):
        view = two_rings.ring(name)
        check(mean, weight, view.gap_m / UM)
        check(variance + (mean - weight @ mean) ** 2, weight, (view.u_gap_m / UM) ** 2)


def test_rates_by_brute_force(weighed, two_rings):
    """Of a ring filed thrice, one filed once, and one that is still to come."""
    weight, rates, _, _, _ = weighed
    for view, rate in zip((two_rings.ring("1"), two_rings.ring("2"), two_rings.unfiled()), rates, strict=True):
        check(rate, weight, view.rate_m / UM)
        log_rate = np.log(rate)
        check((log_rate - weight @ log_rate) ** 2, weight, view.u_log_rate**2)


@pytest.mark.parametrize(
    ("name", "units", "bound"), [("1", 2, 425.0), ("1", 5, 470.0), ("2", 4, 400.0), ("2", 8, 480.0)]
)
def test_risk_by_brute_force(weighed, two_rings, name, units, bound):
    weight, rates, scatter, one, two = weighed
    rate, (_, mean, variance) = (rates[0], one) if name == "1" else (rates[1], two)
    sd = np.sqrt(variance + (scatter * rate * units) ** 2)
    check(special.ndtr((mean + rate * units - bound) / sd), weight, two_rings.ring(name).above(bound * UM, units))


BLADES = {
    "one pass": [(0, 200, 250), (6, 250, 300)],
    "two passes": [(0, 200, 250), (6, 250, 300), (5, 300, 350)],
    "three passes": [(0, 200, 250), (6, 250, 300), (5, 300, 350), (2, 350, 400)],
    "finer blades": [(0, 200, 225), (6, 275, 300), (5, 325, 350), (2, 350, 375)],
}


@pytest.mark.parametrize("looks", BLADES.values(), ids=BLADES)
def test_blades_by_brute_force(looks):
    """Every path is drawn, blades and all, and kept only if the blades would have gone as they did: no filter, no weights.

    A first look between blades is flat and a cut-off normal is not quite normal, so the planner's normals are an approximation
    here. Wanted: means within 2 % of a blade's step and of the rate, and a risk that is hardly understated and at most doubled.
    """
    rng = np.random.default_rng(3)
    kind, spread, scatter = drawn(rng, 2_000_000)
    rate = np.exp(kind + spread * rng.standard_normal(kind.size))
    gap = rng.uniform(*looks[0][1:], kind.size)
    kept = np.ones(kind.size, bool)
    for units, low, high in looks[1:]:
        gap = gap + rate * units * (1 + scatter * rng.standard_normal(kind.size))
        kept &= (gap > low) & (gap < high)
    gap, rate, scatter = gap[kept], rate[kept], scatter[kept]
    assert gap.size > 100_000
    view = Belief().after(*(Step("1", (Between(a * UM, b * UM),), float(n)) for n, a, b in looks)).ring("1")
    assert view.gap_m / UM == pytest.approx(gap.mean(), abs=0.02 * (looks[0][2] - looks[0][1]))
    assert view.rate_m / UM == pytest.approx(rate.mean(), rel=0.02)
    after = gap + 3 * rate * (1 + scatter * rng.standard_normal(gap.size))
    for chance in (0.02, 0.01, 0.005, 0.0025):
        found = view.above(np.quantile(after, 1 - chance) * UM, 3)
        assert 0.95 * chance < found < 2.0 * chance


@pytest.mark.slow
def test_predictions_are_honest():
    """Rings drawn from the very assumptions: where each reading falls in its predicted distribution is evenly spread.

    900 pools of 2 rings and 3 passes; counts of ten equal bins by chi-squared at 1 in 10 000, and the outermost 1 % either way.
    """
    rng, falls = np.random.default_rng(5), []
    for _ in range(900):
        kind, spread, scatter = (float(value[0]) for value in drawn(rng, 1))
        belief, error = Belief(), U_SHARED * rng.standard_normal()
        for name in ("1", "2"):
            rate, gap = math.exp(kind + spread * rng.standard_normal()) * UM, 200e-6
            units = 0.0
            for _ in range(4):
                gap += units * rate * (1 + scatter * rng.standard_normal())
                reading = Reading(gap + error + U_OWN * rng.standard_normal(), U_OWN, U_SHARED, "a")
                if units:
                    view = belief.ring(name)
                    falls.append(predicted_below(RingView(view.nodes.filed(units), view.log_others), (reading,)))
                belief = belief.after(Step(name, (reading,), units))
                units = float(rng.integers(1, 9))
    falls = np.array(falls)
    counts = np.histogram(falls, 10, (0, 1))[0]
    expected = falls.size / 10
    assert np.sum((counts - expected) ** 2 / expected) < special.chdtri(9, 1e-4)
    for tail in (falls < 0.01, falls > 0.99):
        assert special.bdtr(tail.sum(), tail.size, 0.01) > 1e-4
        assert special.bdtrc(tail.sum() - 1, tail.size, 0.01) > 1e-4


def same(one, other, name):
    a, b = one.ring(name), other.ring(name)
    assert b.gap_m == pytest.approx(a.gap_m, rel=1e-12)
    assert b.u_gap_m == pytest.approx(a.u_gap_m, rel=1e-9)
    assert b.rate_m == pytest.approx(a.rate_m, rel=1e-9)
    assert b.above(a.gap_m + 30e-6, 2.0) == pytest.approx(a.above(a.gap_m + 30e-6, 2.0), rel=1e-9)


@given(seed=st.integers(0, 50), cut=st.integers(0, 12))
def test_it_does_not_matter_in_how_many_batches(seed, cut):
    steps = invented(seed, rings=3, passes=3)
    at_once, in_two = Belief().after(*steps), Belief().after(*steps[:cut]).after(*steps[cut:])
    for name in "123":
        same(at_once, in_two, name)


@given(seed=st.integers(0, 50), data=st.data())
def test_it_does_not_matter_which_ring_was_filed_first(seed, data):
    """Each ring's own looks keep their order; between rings any order gives the same."""
    steps = invented(seed, rings=3, passes=3)
    order = data.draw(st.permutations([step.ring for step in steps]))
    queues = {name: [step for step in steps if step.ring == name] for name in "123"}
    mixed = [queues[name].pop(0) for name in order]
    for name in "123":
        same(Belief().after(*steps), Belief().after(*mixed), name)


def test_a_repeat_is_as_good_as_a_better_reading():
    """Four repeats are one reading of their mean with half the own uncertainty: used once, no more and no less."""
    first = Step("1", (Reading(250e-6, U_OWN, U_SHARED, "a"),))
    four = tuple(Reading(value * UM, U_OWN, U_SHARED, "a") for value in (301, 307, 304, 300))
    mean = (Reading(303e-6, U_OWN / 2, U_SHARED, "a"),)
    same(Belief().after(first, Step("1", four, 5.0)), Belief().after(first, Step("1", mean, 5.0)), "1")


def test_the_gap_after_a_pass_is_the_gap_before_the_next():
    """Three readings 50 µm apart after 5 turns each: had the middle one counted twice, the growth would be thought better known than it is.

    By hand, with all but certain scatter s: the differences from the first reading have covariance o [[2, 1], [1, 2]] + q [[1, 1], [1, 2]],
    o = u_own^2, q = (s 50 µm)^2; the rate's precision is x' C^-1 x with x = (5, 10) turns, and that of the assumptions adds to it.
    """
    prior = RatePrior(ring_spread=0.12, pass_scatter=0.03, spread_factor=1.02)
    view = Belief(prior).after(*ring_steps("1", [250, 300, 350], [5, 5])).ring("1")
    cov = 16.0 * np.array([[2, 1], [1, 2]]) + (0.03 * 50) ** 2 * np.array([[1, 1], [1, 2]])
    turns = np.array([5.0, 10.0])
    beforehand = math.hypot(math.log(3.0) / 1.959964, 0.12)
    precision = 10.0**2 * turns @ np.linalg.solve(cov, turns) + beforehand**-2
    assert view.u_log_rate == pytest.approx(precision**-0.5, rel=0.01)


def test_pooling_helps():
    """Each filed ring makes the next one's rate better known; a ring that was only looked at teaches nothing."""
    belief = Belief()
    known = [float(belief.unfiled().u_log_rate)]
    for name in "1234":
        belief = belief.after(*ring_steps(name, *RING_1))
        known.append(float(belief.unfiled().u_log_rate))
    assert known[1] < 0.4 * known[0]
    assert all(later < sooner for sooner, later in pairwise(known))
    looked = belief.after(Step("5", (Reading(250e-6, U_OWN),)))
    assert looked.unfiled().u_log_rate == pytest.approx(known[-1], rel=1e-9)


def test_rings_that_differ_are_not_taken_for_alike():
    """Two rings at 8 and 14 µm a turn: a third is thought to differ more than after two alike."""
    alike = Belief().after(*ring_steps("1", [200, 310, 420], [10, 10]), *ring_steps("2", [200, 310, 420], [10, 10]))
    apart = Belief().after(*ring_steps("1", [200, 280, 360], [10, 10]), *ring_steps("2", [200, 340, 480], [10, 10]))
    assert apart.unfiled().u_log_rate > 1.3 * alike.unfiled().u_log_rate


def test_a_new_wheel_starts_fresh():
    """The ring's gap and passes go over to it, its rate does not; the old pool keeps what it learnt."""
    old, new = PoolKey("top", "wheel 1"), PoolKey("top", "wheel 2")
    filing = Filing()
    for step in ring_steps("1", *RING_1):
        filing = filing.after(old, step)
    there, here = filing.pool(old).ring("1"), filing.at(new, "1").ring("1")
    assert here.gap_m == pytest.approx(there.gap_m, rel=1e-9)
    assert here.u_gap_m == pytest.approx(there.u_gap_m, rel=1e-9)
    fresh = Belief().unfiled()
    assert here.rate_m == pytest.approx(fresh.rate_m, rel=1e-9)
    assert here.u_log_rate == pytest.approx(fresh.u_log_rate, rel=1e-9)
    assert filing.at(new, "1").record("1").passes == 3
    assert filing.pool(new).unfiled().u_log_rate == pytest.approx(fresh.u_log_rate, rel=1e-9)

    moved = filing.after(new, Step("1", (Reading(404e-6, U_OWN, U_SHARED, "a"),), 1.0))
    assert moved.pool(new).record("1").passes == 4
    assert moved.pool(new).unfiled().u_log_rate < fresh.u_log_rate
    assert moved.pool(old).unfiled().rate_m == filing.pool(old).unfiled().rate_m


def test_back_on_the_old_wheel_what_it_taught_is_kept():
    old, new = PoolKey("top", "1"), PoolKey("top", "2")
    filing = Filing()
    for step in ring_steps("1", *RING_1):
        filing = filing.after(old, step)
    filing = filing.after(new, Step("1", (Reading(404e-6, U_OWN, U_SHARED, "a"),), 1.0))
    back = filing.at(old, "1")
    assert back.unfiled().u_log_rate == pytest.approx(filing.pool(old).unfiled().u_log_rate, rel=1e-9)
    assert back.ring("1").gap_m == pytest.approx(filing.pool(new).ring("1").gap_m, rel=1e-9)


def test_a_ring_has_one_kind():
    filing = Filing().after(PoolKey("top"), ring_steps("1", *RING_1)[0])
    with pytest.raises(ValueError, match="filed as top and cannot be second"):
        filing.after(PoolKey("second"), Step("1", (Reading(300e-6, U_OWN),), 2.0))


def test_a_forgiven_pass_teaches_no_rate():
    """A slipped ring reads 90 µm on: the gap is taken from the new reading, the rates stay exactly as they were."""
    before = Belief().after(*ring_steps("1", *RING_1), *ring_steps("2", *RING_2))
    slipped = Step("1", (Reading(486e-6, U_OWN, U_SHARED, "a"),), 1.0)
    forgiven, believed = before.after(slipped, forgiving=True), before.after(slipped)
    for name in "12":
        assert forgiven.ring(name).rate_m == pytest.approx(before.ring(name).rate_m, rel=1e-12)
        assert forgiven.ring(name).u_log_rate == pytest.approx(before.ring(name).u_log_rate, rel=1e-12)
    assert forgiven.ring("1").gap_m == pytest.approx(486e-6, rel=1e-12)
    assert forgiven.ring("1").u_gap_m == pytest.approx(math.hypot(U_OWN, U_SHARED), rel=1e-12)
    assert forgiven.record("1").passes == 4
    assert believed.ring("1").rate_m > 1.05 * before.ring("1").rate_m


def test_filing_on_after_a_forgiven_pass_learns_again():
    belief = Belief().after(*ring_steps("1", *RING_1))
    belief = belief.after(Step("1", (Reading(486e-6, U_OWN, U_SHARED, "a"),), 1.0), forgiving=True)
    later = belief.after(Step("1", (Reading(541e-6, U_OWN, U_SHARED, "a"),), 5.0))
    assert later.ring("1").u_log_rate < belief.ring("1").u_log_rate
    assert later.ring("1").gap_m == pytest.approx(541e-6, abs=0.5 * U_OWN), "well within what a reading errs by"


@pytest.mark.parametrize(
    ("fineness", "chance", "gap_m", "rate"),
    [(USUAL_FINENESS, 0.015, 0.01e-6, 0.001), (QUICK, 0.05, 0.1e-6, 0.005)],
    ids=["usual", "quick"],
)
def test_the_grid_is_fine_enough(fineness, chance, gap_m, rate):
    """Against four times the nodes and more: chances near the shares of alpha, the gap, the rate and its uncertainty."""
    finer = Fineness(rate_step=0.1, spreads=17, scatters=21)
    for seed in (0, 3):
        coarse, fine = Belief(fineness=fineness), Belief(fineness=finer)
        for step in invented(seed):
            if step.units:
                a, b = coarse.ring(step.ring), fine.ring(step.ring)
                far = 2.7 * math.hypot(b.u_gap_m, step.units * b.rate_m * math.hypot(b.u_log_rate, 0.13))
                bound = b.gap_after(step.units) + far
                assert a.above(bound, step.units) == pytest.approx(b.above(bound, step.units), rel=chance)
                assert a.gap_m == pytest.approx(b.gap_m, abs=gap_m)
                assert a.rate_m == pytest.approx(b.rate_m, rel=rate)
                assert a.u_log_rate == pytest.approx(b.u_log_rate, rel=20 * rate)
            coarse, fine = coarse.after(step), fine.after(step)


def test_the_grid_holds_the_assumptions():
    """Means and spreads over the nodes are those of the normal and the cut-off log-normals they stand for."""
    here, per = grid(USUAL_PRIOR), 1.959964
    weight = np.exp(here.log_prior)
    kind = weight.sum(axis=(0, 2))
    assert weight.sum() == pytest.approx(1.0, rel=1e-12)
    off = here.log_kind - math.log(USUAL_PRIOR.guess_m)
    assert kind @ off == pytest.approx(0.0, abs=1e-12)
    assert math.sqrt(kind @ off**2) == pytest.approx(math.log(USUAL_PRIOR.factor) / per, rel=2e-3)
    cut = 1 - 5 * math.exp(-(2.5**2) / 2) / math.sqrt(2 * math.pi) / (special.ndtr(2.5) - special.ndtr(-2.5))
    for values, axes in ((here.spread, (1, 2)), (here.scatter, (0, 1))):
        off = np.log(values / 0.12)
        sd = math.log(USUAL_PRIOR.spread_factor) / per * math.sqrt(cut)
        assert math.sqrt(weight.sum(axis=axes) @ off**2) == pytest.approx(sd, rel=0.02)
