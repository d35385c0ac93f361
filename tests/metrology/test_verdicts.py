"""What must hold for all probabilities, verdicts and deciders; distributions against simulation and a closed form."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockwright.metrology.deciding import OF_THE_GAUGE, what_would_decide
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, exact
from blockwright.metrology.evaluate import Expansion, Shop, Spot, Thermal, evaluate
from blockwright.metrology.gauges import Gauge
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread
from blockwright.metrology.verdict import (
    Acceptance,
    Rule,
    Verdict,
    best_possible,
    chances,
    decide,
    expanded,
    probability_below,
)

UM = 1e-6


# ---- probabilities ----------------------------------------------------------------------------------------------------------


@st.composite
def estimates(draw):
    """An estimate in units of µm with up to five independent shares of all shapes, around nil."""
    shares = {}
    for number in range(draw(st.integers(1, 5))):
        flat = draw(st.booleans())
        dof = math.inf if flat else draw(st.sampled_from([1.0, 2.0, 3.0, 5.0, 20.0, math.inf]))
        cause = draw(
            st.sampled_from(
                [Cause.RESOLUTION, Cause.INTERVAL, Cause.PART_TEMPERATURE]
                if flat
                else [Cause.REPEATABILITY, Cause.SETTING, Cause.MODEL]
            )
        )
        shares[Source(cause, str(number))] = Share(draw(st.floats(0.05, 5.0)) * UM, dof, flat)
    return Estimate(draw(st.floats(-10.0, 10.0)) * UM, shares)


limits = st.tuples(st.floats(-12.0, 12.0), st.floats(0.1, 15.0)).map(
    lambda pair: (pair[0] * UM, (pair[0] + pair[1]) * UM)
)
# Error of the quadrature for two flat shares with next to nothing beside them; the closed form below keeps to it.
QUADRATURE = 2e-4


@given(estimates(), limits, st.sampled_from(["both", "low", "high", "none"]))
def test_chances_are_chances(estimate, both, sides):
    low, high = both[0] if sides in ("both", "low") else None, both[1] if sides in ("both", "high") else None
    chance = chances(estimate, low, high)
    assert all(0.0 <= part <= 1.0 for part in (chance.below, chance.inside, chance.above))
    assert chance.below + chance.inside + chance.above == pytest.approx(1.0, abs=1e-12)
    if sides == "none":
        assert chance.inside == 1.0


@pytest.mark.parametrize(("value", "inside"), [(1.0, 1.0), (1.5, 1.0), (2.0, 1.0), (0.999, 0.0), (2.001, 0.0)])
def test_without_error_the_limits_belong_to_the_inside(value, inside):
    chance = chances(exact(value), 1.0, 2.0)
    assert (chance.inside, chance.below + chance.above) == (inside, 1.0 - inside)
    assert decide(exact(value), 1.0, 2.0, Rule()) is (Verdict.CONFORMS if inside else Verdict.NONCONFORMING)


@given(estimates(), st.lists(st.floats(-30.0, 30.0), min_size=2, max_size=12))
def test_distribution_rises_and_is_symmetric(estimate, bounds):
    found = [probability_below(estimate, bound * UM) for bound in sorted(bounds)]
    assert all(lower <= upper + QUADRATURE for lower, upper in pairwise(found))
    for bound in bounds:
        mirrored = 2 * estimate.value - bound * UM
        assert probability_below(estimate, bound * UM) + probability_below(estimate, mirrored) == pytest.approx(
            1.0, abs=1e-9
        )


@given(estimates(), st.floats(-20.0, 20.0), st.floats(0.0, 10.0))
def test_one_limit_the_farther_inside_the_surer(estimate, low, step):
    rank = [Verdict.NONCONFORMING, Verdict.UNDECIDED, Verdict.CONFORMS]
    farther = estimate.moved(step * UM)
    assert chances(farther, low * UM, None).inside >= chances(estimate, low * UM, None).inside - QUADRATURE
    assume(
        abs(chances(estimate, low * UM, None).inside - 0.95) > QUADRATURE
        and abs(chances(estimate, low * UM, None).inside - 0.05) > QUADRATURE
    )
    assert rank.index(decide(farther, low * UM, None, Rule())) >= rank.index(decide(estimate, low * UM, None, Rule()))


@given(estimates(), limits, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_two_limits_the_nearer_the_middle_the_surer(estimate, both, first, second):
    low, high = both
    near, far = sorted((first, second))
    middle, half = 0.5 * (low + high), 0.5 * (high - low)
    inside = [chances(replace(estimate, value=middle + place * half), low, high).inside for place in (near, far)]
    assert inside[0] >= inside[1] - QUADRATURE
    assert best_possible(estimate, low, high) >= inside[0] - QUADRATURE


@given(estimates(), limits, st.floats(0.0, 1.0), st.floats(1.0, 50.0))
def test_inside_the_limits_more_uncertainty_is_never_surer(estimate, both, place, factor):
    """And never turns into proof of the opposite, however poor the gauge."""
    low, high = both
    sharp = replace(estimate, value=low + place * (high - low))
    blunt = sharp.with_scaled(factor, *Cause)
    assert chances(blunt, low, high).inside <= chances(sharp, low, high).inside + QUADRATURE
    assert decide(blunt, low, high, Rule()) is not Verdict.NONCONFORMING
    assume(abs(chances(sharp, low, high).inside - 0.95) > QUADRATURE)
    assert decide(sharp, low, high, Rule()) is Verdict.CONFORMS or decide(blunt, low, high, Rule()) is Verdict.UNDECIDED


@pytest.mark.parametrize("dof", [2.0, 3.0, 5.0])
def test_a_flat_share_does_not_make_few_repeats_surer(dof):
    """From just too small to be treated as flat to just large enough: the few degrees of freedom beside it must stay felt."""

    def inside(flat_part):
        shares = {
            Source(Cause.REPEATABILITY, "r"): Share(math.sqrt(1 - flat_part) * UM, dof),
            Source(Cause.RESOLUTION, "r"): Share(math.sqrt(flat_part) * UM, flat=True),
        }
        return chances(Estimate(2.2 * UM, shares), 0.0, None).inside

    assert inside(0.2501) <= inside(0.2499) + 0.002
    assert inside(0.30) <= inside(0.20) + 0.002


SAMPLES = 400_000
SHAPES = {
    "one flat": [Share(1.0, flat=True)],
    "two flats": [Share(1.0, flat=True), Share(-0.6, flat=True)],
    "two equal flats": [Share(1.0, flat=True), Share(1.0, flat=True)],
    "flat and normal": [Share(1.0, flat=True), Share(0.5)],
    "flat and more normal": [Share(0.7, flat=True), Share(1.0)],
    "two flats and normal": [Share(1.0, flat=True), Share(0.8, flat=True), Share(0.3)],
    "flat and t(4)": [Share(1.0, flat=True), Share(0.9, 4.0)],
    "flat and t(1)": [Share(1.0, flat=True), Share(0.3, 1.0)],
    "two flats and t(3)": [Share(1.0, flat=True), Share(0.5, flat=True), Share(0.6, 3.0)],
    "normal": [Share(1.0), Share(0.4)],
    "t(2)": [Share(1.0, 2.0)],
}


@pytest.mark.parametrize("shape", SHAPES)
def test_probabilities_against_simulation(shape):
    """Each share drawn from its own distribution; within 4 standard errors of the simulation (and the quadrature's own error)."""
    generator = np.random.default_rng(20)
    errors = np.zeros(SAMPLES)
    for share in SHAPES[shape]:
        if share.flat:
            errors += share.u * math.sqrt(3.0) * generator.uniform(-1.0, 1.0, SAMPLES)
        elif math.isinf(share.dof):
            errors += share.u * generator.normal(size=SAMPLES)
        else:
            errors += share.u * generator.standard_t(share.dof, SAMPLES)
    estimate = Estimate(5.0, {Source(Cause.MODEL, str(k)): share for k, share in enumerate(SHAPES[shape])})
    for bound in (1.5, 2.6, 3.4, 4.3, 5.0, 5.5, 6.4, 7.1, 8.2):
        ours, drawn = probability_below(estimate, bound), float((5.0 + errors < bound).mean())
        standard_error = math.sqrt(max(ours * (1 - ours), 1 / SAMPLES) / SAMPLES)
        assert ours == pytest.approx(drawn, abs=4 * standard_error + QUADRATURE), f"{shape} below {bound}"


def trapezoid_below(x, wide, narrow):
    """Two flat errors of half-widths a >= b add up to a trapezoid from -(a + b) to a + b, level within a - b."""
    if x > 0:
        return 1.0 - trapezoid_below(-x, wide, narrow)
    if x <= -(wide + narrow):
        return 0.0
    if x <= narrow - wide:
        return (x + wide + narrow) ** 2 / (8 * wide * narrow)
    return 0.5 + x / (2 * wide)


@given(st.floats(0.2, 5.0), st.floats(0.2, 5.0), st.floats(-12.0, 12.0))
def test_two_flats_are_a_trapezoid(first, second, bound):
    shares = {
        Source(Cause.INTERVAL, str(k)): Share(half / math.sqrt(3.0), flat=True)
        for k, half in enumerate((first, second))
    }
    wide, narrow = max(first, second), min(first, second)
    assert probability_below(Estimate(0.0, shares), bound) == pytest.approx(
        trapezoid_below(bound, wide, narrow), abs=QUADRATURE
    )


@given(st.floats(0.5, 0.999), st.sampled_from([1.0, 3.0, 12.0, math.inf]))
def test_coverage_interval_covers(level, dof):
    estimate = Estimate(0.0, {Source(Cause.MODEL, "m"): Share(2 * UM, dof)})
    half = expanded(estimate, level)
    assert chances(estimate, -half, half).inside == pytest.approx(level, rel=1e-9)


# ---- verdicts and what would decide -----------------------------------------------------------------------------------------


@given(estimates(), limits, st.floats(0.55, 0.999))
def test_proof_is_more_than_the_readings_word(estimate, both, level):
    """Plain acceptance always decides; what is proven either way is also what the reading says."""
    guarded, plain = (
        decide(estimate, *both, Rule(level, acceptance)) for acceptance in (Acceptance.GUARDED, Acceptance.PLAIN)
    )
    assert plain is not Verdict.UNDECIDED
    assert plain is (Verdict.CONFORMS if both[0] <= estimate.value <= both[1] else Verdict.NONCONFORMING)
    assert guarded in (plain, Verdict.UNDECIDED)
    inside = chances(estimate, *both).inside
    assert (guarded is Verdict.CONFORMS) == (inside >= level)
    assert (guarded is Verdict.NONCONFORMING) == (1 - inside >= level and plain is Verdict.NONCONFORMING)


def test_a_hopeless_gauge_condemns_nothing():
    """In the middle of 20 µm with u = 500 µm the chance of lying inside is 1.6 %, which proves nothing."""
    blunt = Estimate(10 * UM, {Source(Cause.CALIBRATION, "RULE"): Share(500 * UM)})
    assert chances(blunt, 0.0, 20 * UM).inside < 0.02
    assert decide(blunt, 0.0, 20 * UM, Rule()) is Verdict.UNDECIDED


@st.composite
def undecided(draw):
    """A fit that cannot be told, its limits, and how often it was read."""
    estimate, (low, high), taken = draw(estimates()), draw(limits), draw(st.integers(1, 5))
    low, high = draw(st.sampled_from([(low, high), (low, None), (None, high)]))
    assume(decide(estimate, low, high, Rule()) is Verdict.UNDECIDED)
    return estimate, low, high, taken


@given(undecided())
def test_the_repeats_named_decide_and_one_fewer_do_not(case):
    estimate, low, high, taken = case

    def verdict_of(repeats):
        return decide(estimate.with_scaled(math.sqrt(taken / repeats), Cause.REPEATABILITY), low, high, Rule())

    repeats = what_would_decide(estimate, low, high, Rule(), taken).repeats
    if repeats is None:
        assert verdict_of(1_000_000) is Verdict.UNDECIDED
    else:
        assert repeats > taken
        assert verdict_of(repeats) is not Verdict.UNDECIDED
        assert verdict_of(repeats - 1) is Verdict.UNDECIDED


@given(undecided())
def test_the_gauge_named_decides_and_a_worse_one_does_not(case):
    estimate, low, high, taken = case

    def verdict_of(factor):
        return decide(estimate.with_scaled(factor, *OF_THE_GAUGE), low, high, Rule())

    factor = what_would_decide(estimate, low, high, Rule(), taken).gauge_factor
    if factor is None:
        assert verdict_of(0.0) is Verdict.UNDECIDED
        assert verdict_of(1e-6) is Verdict.UNDECIDED
    else:
        assert 0.0 <= factor < 1.0
        assert verdict_of(factor) is not Verdict.UNDECIDED
        assert verdict_of(factor + 1e-6) is Verdict.UNDECIDED


@given(undecided())
def test_the_largest_other_source_and_the_best_possible_are_named(case):
    estimate, low, high, taken = case
    decider = what_would_decide(estimate, low, high, Rule(), taken)
    others = {
        source: abs(share.u) for source, share in estimate.shares.items() if source.cause is not Cause.REPEATABILITY
    }
    assert decider.largest is None if not others else others[decider.largest] == max(others.values())
    assert (decider.best_possible is None) == (low is None or high is None)


@pytest.mark.parametrize("taken", [1, 2, 3])
@pytest.mark.parametrize("bore_m", [0.0860030, 0.0860035, 0.0860040])
def test_reading_as_often_as_named_really_decides(taken, bore_m):
    """Through `evaluate`, with as many rows as named: a bore that must be 86.000 at least."""
    gauge = Gauge(id="MIC", resolution_si=1 * UM, certificate_si=3 * UM)
    shop = Shop({"MIC": gauge}, {}, {"MIC": Spread(4 * UM, math.inf, "study")})
    as_read = Spot(Thermal.NONE, Expansion("iron", 11e-6, 0.5e-6))

    def sized(repeats):
        rows = [
            Reading(id=str(number), part="B", feature="bore", low_si=bore_m, high_si=bore_m, gauge="MIC")
            for number in range(repeats)
        ]
        return evaluate(rows, as_read, shop).estimate

    assert decide(sized(taken), 0.086, None, Rule()) is Verdict.UNDECIDED
    repeats = what_would_decide(sized(taken), 0.086, None, Rule(), taken).repeats
    assert repeats is not None
    assert decide(sized(repeats), 0.086, None, Rule()) is Verdict.CONFORMS
    assert decide(sized(repeats - 1), 0.086, None, Rule()) is Verdict.UNDECIDED


def test_many_repeats_are_still_a_number():
    """1.645 x 1 µm beside 1.650: all of the repeatability must go, which 100 repeats do not do but thousands do."""
    shares = {Source(Cause.CALIBRATION, "MIC"): Share(1.0 * UM), Source(Cause.REPEATABILITY, "r"): Share(3.0 * UM)}
    estimate = Estimate(1.650 * UM, shares)
    repeats = what_would_decide(estimate, 0.0, None, Rule()).repeats
    assert repeats == pytest.approx(9 / ((1.650 / 1.644854) ** 2 - 1), abs=3)


def test_no_number_of_repeats_undoes_a_calibration():
    shares = {Source(Cause.CALIBRATION, "MIC"): Share(1.0 * UM), Source(Cause.REPEATABILITY, "r"): Share(3.0 * UM)}
    decider = what_would_decide(Estimate(1.60 * UM, shares), 0.0, None, Rule())
    assert decider.repeats is None
    assert decider.largest == Source(Cause.CALIBRATION, "MIC")
    assert decider.gauge_factor == pytest.approx(1.60 / 1.644854 / math.sqrt(10), rel=1e-5)
