"""Signed acceptances: a concession covers what is out, a judgement what cannot be told, each only at the value that was signed."""

import pytest

from blockwright.engine.rules import Accepted
from blockwright.fits.assess import EVENT_FOR
from blockwright.fits.assessment import Standing

WALL = ("wall clearance", "cylinder 1")
OUT, DOUBTFUL = 0.030, 0.041
"""Against limits of 0.040 to 0.080 mm, read with a gauge of u = 2 µm (so 0.0367 to 0.0433 mm cannot be told at 95 %)."""


@pytest.fixture
def clearance(bench):
    """A wall clearance that is read as the test says, with u = 2 µm: the skirt's own spread, the bore being exact."""
    bench.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=2e-6).limit(
        "wall clearance", 0.040, 0.080, 0.060
    )
    bench.bore(1)

    def lay(mm):
        return bench.read("P1", "skirt", state="bare", mm=86.0 - mm, gauge="M")

    return lay


def judged(bench):
    result = bench.judge(*WALL)
    return result.standing, result.record is not None, result.words


def test_out_without_a_signature(clearance):
    bench = clearance(OUT)
    assert judged(bench) == (Standing.NONCONFORMING, False, "nonconforming")
    assert bench.judge(*WALL) in bench.assess().out


def test_out_under_a_concession(clearance):
    bench = clearance(OUT).sign("concession", *WALL, OUT)
    assert judged(bench) == (Standing.NONCONFORMING, True, "out, under concession")
    result = bench.judge(*WALL)
    assert not result.out
    assert result not in bench.assess().out
    assert result.record.by == "A. Tester"
    assert result.remedy


def test_doubtful_and_accepted_on_judgement(clearance):
    bench = clearance(DOUBTFUL)
    assert judged(bench) == (Standing.UNDECIDED, False, "undecided")
    assert bench.judge(*WALL) in bench.assess().unsettled
    bench.sign("judgement", *WALL, DOUBTFUL)
    assert judged(bench) == (Standing.UNDECIDED, True, "accepted on judgement")
    assert bench.judge(*WALL) not in bench.assess().unsettled


@pytest.mark.parametrize(("value", "event"), [(OUT, "judgement"), (DOUBTFUL, "concession")])
def test_neither_stands_in_for_the_other(clearance, value, event):
    bench = clearance(value).sign(event, *WALL, value)
    result = bench.judge(*WALL)
    assert result.record is None
    assert result.notes == (f"the {event} by A. Tester was for another verdict: sign again",)


@pytest.mark.parametrize("moved", [-0.0035, 0.0035])
def test_it_covers_the_value_as_far_as_the_readings_can_tell(clearance, moved):
    """U is 2 x 2 µm = 4 µm (1.96 x 2 = 3.92): a re-reading 3.5 µm away is the same value."""
    assert judged(clearance(OUT).sign("concession", *WALL, OUT + moved))[1]


@pytest.mark.parametrize("moved", [-0.0045, 0.0045])
def test_when_the_value_moves_it_wants_a_new_signature(clearance, moved):
    result = clearance(OUT).sign("concession", *WALL, OUT + moved).judge(*WALL)
    assert result.record is None
    assert result.out
    assert result.notes == (f"the concession by A. Tester was for {OUT + moved:.4f} mm: sign again",)


def test_the_latest_signature_counts(clearance):
    bench = clearance(OUT).sign("concession", *WALL, 0.020).sign("concession", *WALL, OUT)
    assert bench.judge(*WALL).record.number == 2
    bench.sign("concession", *WALL, 0.020)
    assert bench.judge(*WALL).record is None


@pytest.mark.parametrize("where", [("wall clearance", "cylinder 2"), ("bore taper", "cylinder 1")])
def test_a_signature_for_another_place_or_fit_covers_nothing(clearance, where):
    result = clearance(OUT).sign("concession", *where, OUT).judge(*WALL)
    assert (result.record, result.notes) == (None, ())


def test_what_conforms_needs_none_and_says_nothing(clearance):
    result = clearance(0.060).sign("concession", *WALL, 0.060).judge(*WALL)
    assert (result.standing, result.record, result.notes) == (Standing.CONFORMS, None, ())


def test_what_is_open_or_without_limits_is_not_covered(bench):
    bench.sign("concession", *WALL, OUT).sign("judgement", "coated wall clearance", "cylinder 1", 0.0)
    assert bench.judge(*WALL).record is None
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.0)
    assert bench.judge("coated wall clearance", "cylinder 1").record is None


def test_a_fit_whose_sources_exclude_each_other_can_be_accepted_on_judgement(clearance):
    """Nobody can say whether it is in or out; a builder may still say that it will do, at this value."""
    bench = clearance(0.060).limit("wall clearance", low=0.090, at="cylinder 1").sign("judgement", *WALL, 0.060)
    result = bench.judge(*WALL)
    assert result.limits.empty
    assert judged(bench) == (Standing.UNDECIDED, True, "accepted on judgement")
    assert result not in bench.assess().unsettled


def test_an_exact_value_is_covered_at_itself_only(bench):
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.970).limit("wall clearance", 0.040, 0.080)
    assert bench.sign("concession", *WALL, 0.030).judge(*WALL).record
    assert not bench.sign("concession", *WALL, 0.0301).judge(*WALL).record


def test_what_is_signed_for_what():
    assert EVENT_FOR == {Standing.NONCONFORMING: Accepted.CONCESSION, Standing.UNDECIDED: Accepted.JUDGEMENT}
