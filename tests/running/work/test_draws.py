"""Draws: the same from the same seed, each input by itself, readings by their budget, and what comes of a column."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import kstest

from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.running.assess import assess
from blockwright.running.work.draws import LIGHTEST, READINGS, Draws, spread
from blockwright.running.work.result import Fact

MANY = 20_000
OIL = Fact("oil", "oil temperature", 105.0, 8.0, "°C", "given")
BOOST = Fact("boost", "boost", 1e5, 3e3, "Pa", "given")


def of(u, cause=Cause.REPEATABILITY, owner="M1", size_m=0.0, **share):
    return Estimate(0.1, {Source(cause, owner, size_m): Share(u, **share)})


def test_the_same_seed_gives_the_same_and_another_does_not():
    first, again, other = (Draws(50, seed).normal(OIL) for seed in (6, 6, 7))
    assert first.tolist() == again.tolist()
    assert not np.any(first[1:] == other[1:])


def test_an_input_more_or_another_order_leaves_the_others_as_they_were():
    alone, after = Draws(50, 6), Draws(50, 6)
    after.normal(BOOST), after.factor("rubbing", "rubbing", 0.2), after.size(of(1e-6))
    assert after.normal(OIL).tolist() == alone.normal(OIL).tolist()
    assert after.size(of(2e-6, owner="M2")).tolist() == alone.size(of(2e-6, owner="M2")).tolist()


def test_more_draws_begin_with_the_same():
    assert Draws(400, 6).normal(OIL)[:51].tolist() == Draws(50, 6).normal(OIL).tolist()


@given(st.floats(-1e6, 1e6), st.floats(0.0, 1e4), st.integers(0, 2**31))
def test_the_first_of_a_column_is_the_best_value(value, u, seed):
    draws = Draws(3, seed)
    assert draws.normal(Fact("a", "a", value, u, "", "given"))[0] == value
    assert draws.factor("b", "b", 0.3)[0] == 1.0
    assert draws.size(Estimate(value, {Source(Cause.RESOLUTION, "x"): Share(u, flat=True)}))[0] == value
    assert draws.size(Estimate(value, {Source(Cause.SETTING, "y"): Share(u, dof=4.0)}))[0] == value


def test_without_draws_there_is_the_best_value_alone():
    assert Draws(0, 6).normal(OIL).tolist() == [105.0]
    assert Draws(0, 6).size(of(1e-6)).tolist() == [0.1]


def test_inputs_are_normal_and_independent_and_within_what_models_hold_for():
    draws = Draws(MANY, 6)
    oil, boost = draws.normal(OIL)[1:], draws.normal(BOOST)[1:]
    assert kstest((oil - 105.0) / 8.0, "norm").pvalue > 1e-3
    assert abs(np.corrcoef(oil, boost)[0, 1]) < 4.0 / math.sqrt(MANY)
    assert np.abs(oil - 105.0).max() <= 3.5 * 8.0 * (1.0 + 1e-12)
    assert oil.mean() == pytest.approx(105.0, abs=4.0 * 8.0 / math.sqrt(MANY))


def test_a_factor_is_log_normal_about_one():
    drawn = Draws(MANY, 6).factor("film", "film", 0.3)[1:]
    assert kstest(np.log(drawn) / 0.3, "norm").pvalue > 1e-3
    assert np.median(drawn) == pytest.approx(1.0, abs=5.0 * 0.3 * 1.2533 / math.sqrt(MANY))


def test_one_scale_step_is_drawn_flat():
    drawn = Draws(MANY, 6).size(of(1e-6, Cause.RESOLUTION, flat=True))[1:] - 0.1
    half = math.sqrt(3.0) * 1e-6
    assert kstest(drawn, "uniform", args=(-half, 2.0 * half)).pvalue > 1e-3


@pytest.mark.parametrize("dof", [4.0, 9.0])
def test_few_repeats_are_drawn_by_student(dof):
    drawn = (Draws(MANY, 6).size(of(1e-6, dof=dof))[1:] - 0.1) / 1e-6
    assert kstest(drawn, "t", args=(dof,)).pvalue > 1e-3
    assert kstest(drawn, "norm").pvalue < 1e-3


def test_a_cause_has_its_sign_and_is_one_error_wherever_it_acts():
    """Two sizes set on one master: their difference keeps nothing of it, their sum twice as much."""
    draws = Draws(500, 6)
    own = {Source(Cause.SETTING, "S1"): Share(3e-6)}
    one, other = (draws.size(Estimate(value, own)) for value in (0.097, 0.090))
    assert one - other == pytest.approx(np.full(501, 0.007), abs=1e-15)
    turned = draws.size(Estimate(0.090, {Source(Cause.SETTING, "S1"): Share(-3e-6)}))
    assert one + turned == pytest.approx(np.full(501, 0.187), abs=1e-15)


def test_a_clearance_is_drawn_with_the_spread_of_its_budget(harbour, hillclimb):
    """What bore and skirt share of one gauge has cancelled in it, though each was read at its own size."""
    for job in (harbour, hillclimb):
        draws = Draws(MANY, 6)
        results = [
            r for r in assess(job).results if r.found is not None and r.fit.name in ("wall clearance", "rod film")
        ]
        assert len(results) > 4
        for result in results:
            estimate = result.found.estimate
            drawn = draws.size(estimate)[1:]
            assert drawn.std() == pytest.approx(estimate.u, rel=0.05), (result.fit.name, result.position)
            assert drawn.mean() == pytest.approx(estimate.value, abs=5.0 * estimate.u / math.sqrt(MANY))


def test_two_readings_that_share_a_gauge_are_drawn_together():
    """Correlation of two sizes with one calibration error of 3 um and own errors of 1 um each: 9/10."""
    draws = Draws(MANY, 6)
    shared = {Source(Cause.CALIBRATION, "M1", 0.097): Share(3e-6)}
    sizes = [
        draws.size(Estimate(0.097, {**shared, Source(Cause.REPEATABILITY, name): Share(1e-6)}))[1:] for name in "ab"
    ]
    assert np.corrcoef(*sizes)[0, 1] == pytest.approx(0.9, abs=0.01)


def test_spread_of_a_known_column():
    """0 to 1000 in steps of one: mean square deviation n(n+1)/12 over n; quantiles by hand."""
    found = spread(np.concatenate([[7.0], np.arange(1001.0)]))
    sd = math.sqrt(1001.0 * 1002.0 / 12.0)
    assert (found.value, found.low, found.high) == (7.0, pytest.approx(25.0), pytest.approx(975.0))
    assert found.sd == pytest.approx(sd, rel=1e-12)
    assert found.error == pytest.approx(sd / math.sqrt(1001.0), rel=1e-12)
    assert found.drawn


def test_spread_without_draws_and_with_some_that_gave_no_number():
    alone = spread(np.array([3.0]))
    assert (alone.value, alone.sd, alone.low, alone.high, alone.drawn) == (3.0, 0.0, 3.0, 3.0, False)
    gaps = spread(np.array([3.0, 1.0, math.nan, 2.0, math.inf, 3.0]))
    assert (gaps.sd, gaps.low, gaps.high) == (1.0, pytest.approx(1.05), pytest.approx(2.95))


def test_the_standard_error_is_what_another_seed_changes():
    """Means of two hundred seeds scatter by the error that one of them states."""
    means, errors = [], []
    for seed in range(200):
        drawn = Draws(400, seed).normal(OIL)
        means.append(drawn[1:].mean())
        errors.append(spread(drawn).error)
    assert np.std(means, ddof=1) == pytest.approx(np.mean(errors), rel=4.0 / math.sqrt(2 * 200))


def test_weights_are_shares_of_the_variance():
    """y = 3 a + 4 b + 12 c with unit doubts: 9, 16 and 144 of 169."""
    draws = Draws(MANY, 6)
    a, b = (draws.normal(Fact(name, f"input {name}", 0.0, 1.0, "", "given")) for name in "ab")
    read = of(1.0)
    weights = {each.words: each.share for each in draws.weights(3.0 * a + 4.0 * b + 12.0 * draws.size(read), (read,))}
    assert list(weights) == [READINGS, "input b", "input a"]
    assert weights[READINGS] == pytest.approx(144 / 169, abs=0.02)
    assert weights["input b"] == pytest.approx(16 / 169, abs=0.02)
    assert weights["input a"] == pytest.approx(9 / 169, abs=0.02)


def test_what_weighs_nothing_is_not_named():
    draws = Draws(2000, 6)
    for i in range(40):
        draws.normal(Fact(f"idle {i}", f"idle {i}", 0.0, 1.0, "", "given"))
    only = draws.normal(OIL)
    assert [each.words for each in draws.weights(only)] == ["oil temperature"]
    assert LIGHTEST > 1.0 / 2000


def test_a_column_that_does_not_vary_or_is_no_number_has_no_weights():
    draws = Draws(100, 6)
    oil = draws.normal(OIL)
    assert draws.weights(np.ones(101)) == ()
    assert draws.weights(np.where(np.arange(101) == 5, np.nan, oil)) == ()
    assert Draws(20, 6).weights(oil[:21]) == ()
