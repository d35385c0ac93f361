"""How a gauge repeats, and readings that their siblings make improbable: pooling by hand, false alarms and slips by simulation."""

import math

import numpy as np
import pytest

from blockwright.metrology.repeats import IMPROBABLE_LEVEL, Spread, alike, improbable, pooled, u_of_disagreement

UNKNOWN = Spread(0.0, 0.0, "nothing known")


def test_pooling_by_hand():
    """Squares about the means: 2 with 2 degrees of freedom, 8 with 1; the single reading tells nothing."""
    assert pooled([[1.0, 2.0, 3.0], [5.0, 9.0], [7.0]]) == (pytest.approx(math.sqrt(10 / 3), rel=1e-12), 3.0)


def test_pooling_with_an_earlier_study():
    """2 with 2 degrees of freedom, and 4 x 1.5^2 with 4."""
    assert pooled([[1.0, 2.0, 3.0]], 1.5, 4) == (pytest.approx(math.sqrt(11 / 6), rel=1e-12), 6.0)


def test_a_study_without_degrees_of_freedom_is_taken_at_its_word():
    assert pooled([[1.0, 2.0, 3.0]], 1.5) == (1.5, math.inf)


def test_no_repeats_no_spread():
    assert pooled([[1.0], [2.0]]) == (0.0, 0.0)


@pytest.mark.parametrize("n", [3, 4, 5, 8])
@pytest.mark.parametrize("s_in_steps", [0.5, 1.0, 2.0, 5.0])
@pytest.mark.parametrize("known", [True, False], ids=["gauge known", "gauge unknown"])
def test_good_readings_are_seldom_called_improbable(n, s_in_steps, known):
    """Rounded to whole steps, as a dial is read; no more alarms than promised, within 4 standard errors."""
    generator, samples = np.random.default_rng(n), 3000
    exact = generator.normal(0.0, s_in_steps, (samples, n)) + generator.uniform(-0.5, 0.5, (samples, 1))
    spread = Spread(math.hypot(s_in_steps, 1 / math.sqrt(12)), 30.0, "study") if known else UNKNOWN
    alarms = sum(improbable(readings.tolist(), spread, 1.0) is not None for readings in np.round(exact))
    allowed = IMPROBABLE_LEVEL + 4 * math.sqrt(IMPROBABLE_LEVEL * (1 - IMPROBABLE_LEVEL) / samples)
    assert alarms / samples <= allowed


def test_two_that_round_alike_do_not_condemn_the_third():
    assert improbable([86.000, 86.000, 86.002], Spread(0.001, 10.0, "study"), 0.001) is None
    assert improbable([86.000, 86.000, 86.002], UNKNOWN, 0.001) is None


@pytest.mark.parametrize("n", [2, 3, 4, 6])
@pytest.mark.parametrize("slip", [12, -12])
def test_a_slip_is_found_by_what_the_gauge_is_known_to_do(n, slip):
    readings = [86.000 + 0.001 * (number % 2) for number in range(n - 1)] + [86.000 + 0.001 * slip]
    found = improbable(readings, Spread(0.001, 10.0, "study"), 0.001)
    assert found is not None
    assert n == 2 or found == n - 1


def test_a_slip_among_many_is_found_without_knowing_the_gauge():
    assert improbable([0.0, 1.0, 0.0, 1.0, 2.0, 1.0, 0.0, 12.0], UNKNOWN, 1.0) == 7


@pytest.mark.parametrize("values", [[1.0], [1.0, 2.0], [1.0, 2.0, 2.0], [3.0, 3.0, 3.0]])
def test_a_step_is_never_improbable(values):
    assert improbable(values, Spread(1e-3, math.inf, "study"), 1.0) is None


def test_two_readings_of_an_unknown_gauge_cannot_be_judged():
    assert improbable([1.0, 50.0], UNKNOWN, 1.0) is None


def test_readings_are_alike_within_twice_the_sum_of_their_uncertainties():
    assert alike([(0.0, 1.0), (5.9, 2.0), (2.0, 0.1)])
    assert not alike([(0.0, 1.0), (6.1, 2.0)])
    assert alike([(0.0, 1.0)])
    assert alike([])


def test_what_a_disagreement_is_worth_by_hand():
    """Two: half their distance. 0, 0, 3: s = sqrt(3), over sqrt(3) is 1."""
    assert u_of_disagreement([2.0, 5.0]) == pytest.approx(1.5, rel=1e-12)
    assert u_of_disagreement([0.0, 0.0, 3.0]) == pytest.approx(1.0, rel=1e-12)
