"""What to take now, why to stop, and what would help."""

import math
from dataclasses import replace
from itertools import chain

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockwright.choices.filing.advice import GAUGE_STEP_M, advise
from blockwright.choices.filing.belief import Belief
from blockwright.choices.filing.model import (
    Between,
    RatePrior,
    Reading,
    Reason,
    Risk,
    Step,
    Unit,
    Window,
)

from .histories import U_OWN, UM, invented, ring_steps

TURNS, INFEED = Unit("turns"), Unit("mm of infeed", whole=False, smallest=0.25)
WINDOW = Window(0.400e-3, 0.420e-3, 0.440e-3)
STOPS = (Reason.AIM, Reason.RISK)


def looked_at(gap_um, u_own=U_OWN, u_shared=0.0, prior=None):
    belief = Belief(prior) if prior else Belief()
    return belief.after(Step("1", (Reading(gap_um * UM, u_own, u_shared, "a"),)))


def well_known_kind(u_own=2e-6, u_shared=0.0):
    """Three rings have shown 10 µm a turn."""
    steps = [ring_steps(name, [100, 200, 300, 400], [10, 10, 10], u_own, u_shared) for name in "abc"]
    return Belief().after(*chain(*steps))


def well_known(gap_um, u_own=1e-6, u_shared=0.0):
    """A fourth ring, filed to this gap at the same rate."""
    belief = well_known_kind(u_own, u_shared)
    return belief.after(*ring_steps("1", [gap_um - 200, gap_um - 100, gap_um], [10, 10], u_own, u_shared))


windows = st.builds(
    lambda low, to_aim, to_high: Window(low, low + to_aim, low + to_aim + to_high if to_high else None),
    st.floats(0.25e-3, 0.6e-3), st.floats(0.0, 80e-6), st.none() | st.floats(5e-6, 250e-6),
)  # fmt: skip
units = st.sampled_from([TURNS, INFEED, Unit("strokes", smallest=5.0)])


@given(st.integers(0, 10_000), st.integers(1, 24), windows, units)
def test_never_past_the_aim_nor_over_the_share(seed, looks, window, unit):
    """Whatever was read: a permitted number of steps, within the aim and the share, and one step more would not be."""
    steps = invented(seed)[:looks]
    belief, ring = Belief().after(*steps), steps[-1].ring
    advice = advise(belief, ring, window, unit)
    assert 0.0 <= advice.p_inside_now <= 1.0
    assert advice.share == 0.01 * 0.5 ** (belief.record(ring).passes + 1)
    if advice.reason is not Reason.FILE:
        assert advice.units == 0.0
        assert advice.expected_gap_m == advice.gap_now_m
        return
    assert advice.units > 0.0
    assert (advice.units / unit.smallest).is_integer()
    assert advice.expected_gap_m <= window.aim_m * (1 + 1e-12)
    assert advice.p_over <= advice.share
    view, more = belief.ring(ring), advice.units + unit.smallest
    assert view.gap_after(more) > window.aim_m or view.above(window.upper_m, more) > advice.share


@given(st.integers(0, 10_000), st.integers(1, 24), windows, st.floats(1.0, 5.0))
def test_a_doubtful_gauge_never_gives_more(seed, looks, window, factor):
    """More of an error that all readings share, with the same readings: of two that may file, the less certain takes no more."""
    steps = invented(seed)[:looks]
    worse = [
        Step(s.ring, tuple(Reading(r.value_m, r.u_own_m, factor * r.u_shared_m, r.gauge) for r in s.readings), s.units)
        for s in steps
    ]
    sure, unsure = (advise(Belief().after(*known), steps[-1].ring, window, INFEED) for known in (steps, worse))
    assume(sure.reason is Reason.FILE)
    assert unsure.units <= sure.units


@given(st.floats(100, 380), st.floats(1e-6, 8e-6), st.floats(1.0, 4.0), st.floats(1.0, 3.0))
def test_less_knowledge_never_gives_more_at_first(gap_um, u_own, worse, wider):
    """Before anything is known of the rate: a poorer reading, a wider rate, a smaller risk, each takes no more."""
    sure = advise(looked_at(gap_um, u_own), "1", WINDOW, INFEED)
    assume(sure.reason is Reason.FILE)
    assert advise(looked_at(gap_um, u_own * worse), "1", WINDOW, INFEED).units <= sure.units
    assert (
        advise(looked_at(gap_um, u_own, prior=RatePrior(factor=3.0 * wider)), "1", WINDOW, INFEED).units <= sure.units
    )
    assert advise(looked_at(gap_um, u_own), "1", WINDOW, INFEED, Risk(alpha=0.01 / worse)).units <= sure.units


def test_the_first_pass_on_an_unknown_kind_is_cautious():
    """170 µm to the aim, 10 µm a turn thought likely but three times as much possible; the same gap once the kind is known."""
    first = advise(looked_at(250), "1", WINDOW, TURNS)
    known = advise(Belief().after(*ring_steps("0", [100, 200, 300, 400], [10, 10, 10])).after(
        Step("1", (Reading(250e-6, U_OWN),))), "1", WINDOW, TURNS)  # fmt: skip
    assert first.reason is known.reason is Reason.FILE
    assert 1 <= first.units <= 6
    assert 1.5 * first.units < known.units
    assert known.expected_gap_m <= WINDOW.aim_m
    assert (first.pass_number, first.share) == (1, 0.005)


def test_a_ring_inside_is_left_alone():
    advice = advise(well_known(415), "1", WINDOW, TURNS)
    assert (advice.reason, advice.units, advice.help) == (Reason.CONFORMS, 0.0, None)
    assert advice.p_inside_now > 0.99


def test_a_ring_past_its_limit_is_told():
    assert advise(well_known(455), "1", WINDOW, TURNS).reason is Reason.TOO_WIDE


def test_a_ring_that_filing_could_only_worsen():
    """Read between aim and upper limit with a gauge that can hardly tell: every turn lowers the chance."""
    advice = advise(well_known(428, u_own=U_OWN, u_shared=9e-6), "1", WINDOW, TURNS)
    assert advice.reason is Reason.WORSENS
    assert advice.p_inside_now < 0.95


def test_a_coarse_grinder_cannot_approach_the_aim():
    """50 µm a step and 36 µm to the aim: no gauge would permit a step, and the gap is too small to be called good."""
    coarse = Unit("strokes", smallest=5.0)
    advice = advise(well_known(384), "1", WINDOW, coarse)
    assert advice.reason is Reason.AIM
    assert advice.help.repeats is None
    assert advice.help.gauge_u_m is None


def asked_again(belief, *readings):
    """Whether filing goes on, or ends well, once more readings are known of the last look."""
    record = belief.record("1")
    nodes = record.nodes
    for reading in readings:
        nodes = nodes.seen(reading)
    known = replace(belief, rings={**belief.rings, "1": replace(record, nodes=nodes)})
    return advise(known, "1", WINDOW, TURNS).reason in (Reason.FILE, Reason.CONFORMS)


def another_gauge_would_do(belief, advice, u_now=math.inf):
    """A reading with the gauge that is asked for does; one a tenth of a µm worse does not, or is no better than the one in hand."""
    asked_for = advice.help.gauge_u_m
    good, worse = (Reading(advice.gap_now_m, u, 0.0, "other") for u in (asked_for, asked_for + GAUGE_STEP_M))
    return asked_again(belief, good) and (worse.u_own_m > u_now or not asked_again(belief, worse))


def test_a_gauge_too_poor_for_the_risk():
    """23 µm to the aim, but the calibration of the gauge is known to 14 µm only: repeats do not help, another gauge would."""
    belief = well_known(397, u_own=3e-6, u_shared=14e-6)
    advice = advise(belief, "1", WINDOW, TURNS)
    assert advice.reason is Reason.RISK
    assert advice.p_inside_now < 0.95
    assert belief.ring("1").above(WINDOW.upper_m, 1.0) > advice.share
    assert advice.help.repeats is None
    assert another_gauge_would_do(belief, advice, math.hypot(3e-6, 14e-6))


def test_repeats_that_would_help_do_help():
    """A gauge that scatters by 20 µm: so many repeats at the expected gap let it go on, one fewer does not."""
    belief = well_known_kind().after(*ring_steps("1", [395], [], 20e-6, 1e-6))
    advice = advise(belief, "1", WINDOW, TURNS)
    assert advice.reason is Reason.RISK
    expected = [Reading(advice.gap_now_m, 20e-6, 1e-6, "a")] * advice.help.repeats
    assert asked_again(belief, *expected)
    assert advice.help.repeats > 1
    assert not asked_again(belief, *expected[1:])
    assert another_gauge_would_do(belief, advice)


def test_repeats_of_blades_say_nothing_new():
    """A blade that goes goes again; only a gauge that reads finer would help."""
    advice = advise(well_known_kind().after(Step("1", (Between(350e-6, 450e-6),))), "1", WINDOW, TURNS)
    assert advice.reason in STOPS
    assert advice.help.repeats is None
    assert advice.help.gauge_u_m > 0.0


def test_no_upper_limit_aim_and_margin_stand_for_it():
    """The margin limits the risk; the proof asks for the low limit alone."""
    open_ended = Window(0.400e-3, 0.420e-3, None, 20e-6)
    near, far = (
        advise(looked_at(250), "1", window, TURNS) for window in (open_ended, Window(0.4e-3, 0.42e-3, None, 0.2e-3))
    )
    assert near.units == advise(looked_at(250), "1", WINDOW, TURNS).units < far.units
    assert advise(well_known(470), "1", open_ended, TURNS).reason is Reason.CONFORMS


def test_a_pass_must_be_read_before_the_next():
    belief = looked_at(250).after(Step("1", units=4.0))
    advice = advise(belief, "1", WINDOW, TURNS)
    assert (advice.reason, advice.units, advice.pass_number) == (Reason.READ_FIRST, 0.0, 2)
    assert advice.gap_now_m == pytest.approx(250e-6 + 4 * float(belief.ring("1").rate_m), rel=1e-9)


def test_the_numbers_of_an_advice_by_hand():
    """One reading of 395 µm, u 3 µm. The mean of a log-normal rate is its middle times exp(half its variance)."""
    steady = RatePrior(guess_m=10e-6, factor=1.2, ring_spread=0.05, pass_scatter=0.05, spread_factor=1.1)
    advice = advise(looked_at(395, 3e-6, prior=steady), "1", WINDOW, TURNS)
    rate = 10 * math.exp(0.5 * ((math.log(1.2) / 1.959964) ** 2 + 0.05**2))

    def above(z):
        return 0.5 * math.erfc(z / math.sqrt(2))

    assert advice.units == 2.0
    assert advice.expected_gap_m / UM == pytest.approx(395 + 2 * rate, rel=1e-5)
    assert advice.u_now_m == pytest.approx(3e-6, rel=1e-9)
    assert advice.p_inside_now == pytest.approx(above(5 / 3) - above(45 / 3), rel=1e-9)
    sd = math.hypot(3.0, 20 * math.hypot(0.05, math.log(1.2) / 1.959964, 0.05))
    assert advice.p_inside_after == pytest.approx(1 - above((395 + 2 * rate - 400) / sd), abs=0.005)
