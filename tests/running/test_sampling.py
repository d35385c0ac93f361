"""Many draws of a formula: the distribution, nothing left over from one block in the next, and how little is kept."""

import math
import tracemalloc

import numpy as np
import pytest
from numpy.testing import assert_array_equal
from scipy.stats import ks_2samp, kstest

from blockwright.physics.expansion import hot_gap_m
from blockwright.running.sampling import BLOCK, sampled

GAP = ((0.4e-3, 5e-6), (0.086, 4e-6), (11.2e-6, 0.4e-6), (11.5e-6, 0.5e-6), (120.0, 8.0), (210.0, 15.0))
UNLIKELY = 1e-3


def itself(value):
    return value


@pytest.mark.parametrize("samples", [0, 1, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK + 7])
def test_as_many_as_asked_for(samples):
    drawn = sampled(itself, [(5.0, 1.0)], samples, seed=1)
    assert drawn.shape == (samples,)
    assert np.unique(drawn).size == samples


def test_one_input_is_what_the_generator_draws():
    samples = 2 * BLOCK + 5
    expected = 5.0 + 2.0 * np.random.default_rng(1).standard_normal(samples)
    np.testing.assert_allclose(sampled(itself, [(5.0, 2.0)], samples, seed=1), expected, rtol=1e-14)


def test_the_same_seed_gives_the_same_and_another_does_not():
    first, second, other = (sampled(hot_gap_m, GAP, BLOCK, seed) for seed in (1, 1, 2))
    assert_array_equal(first, second)
    assert not np.any(first == other)


def test_distribution_of_a_hot_gap_is_that_of_whole_arrays():
    samples = 400_000
    rng = np.random.default_rng(2)
    whole = hot_gap_m(*(rng.normal(mean, sd, samples) for mean, sd in GAP))
    assert ks_2samp(sampled(hot_gap_m, GAP, samples, seed=1), whole).pvalue > UNLIKELY


def test_a_sum_is_normal_with_the_known_spread():
    drawn = sampled(lambda a, b: a + b, [(10.0, 3.0), (20.0, 4.0)], 400_000, seed=1)
    assert kstest(drawn, "norm", args=(30.0, 5.0)).pvalue > UNLIKELY


def test_inputs_and_blocks_know_nothing_of_each_other():
    """A correlation of nil is found within four of its standard errors, 1 over the root of the number of pairs."""
    samples = 32 * BLOCK
    kept = [sampled(lambda a, b, which=which: (a, b)[which], [(0.0, 1.0)] * 2, samples, seed=1) for which in (0, 1)]
    pairs = [(kept[0], kept[1]), *((each[:-BLOCK], each[BLOCK:]) for each in kept)]
    for one, other in pairs:
        assert abs(np.corrcoef(one, other)[0, 1]) < 4.0 / math.sqrt(one.size)


def test_what_is_exact_stays_exact():
    drawn = sampled(lambda a, b: a * b, [(3.0, 0.0), (7.0, 0.0)], BLOCK + 1, seed=1)
    assert_array_equal(drawn, 21.0)


def test_a_draw_out_of_range_is_refused():
    with pytest.raises(ValueError, match="temperature of the ring"):
        sampled(hot_gap_m, (*GAP[:5], (210.0, 2000.0)), BLOCK, seed=1)


def test_of_a_million_only_the_results_are_kept():
    tracemalloc.start()
    try:
        drawn = sampled(hot_gap_m, GAP, 1_000_000, seed=1)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert drawn.nbytes < peak < drawn.nbytes + 16 * 8 * BLOCK
