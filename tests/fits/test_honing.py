"""What honing a bore leads to is said with the remedy: a wall clearance over its limit, ring gaps that open."""

import pytest

WALL = "wall clearance"
GAPS = "after honing read this bore's ring gaps again: they open by pi times what the diameter gains"


@pytest.fixture
def worn(bench):
    """A bore 0.030 mm wider at its top, on a skirt 0.050 mm smaller than its tightest place: straight it gives 0.080 mm."""
    bench.bore(1, top=(0.030, 0.030)).read("P1", "skirt", state="bare", mm=85.950)
    return bench.limit("bore taper", high=0.010)


@pytest.mark.parametrize("fit", ["bore taper", "bell-mouth"])
def test_a_straight_bore_that_would_be_too_wide_is_told(worn, fit):
    worn.limit(WALL, 0.040, 0.070).limit("bell-mouth", high=0.010)
    told, gaps = worn.judge(fit, "cylinder 1").beware
    assert told.startswith("honed to its largest diameter it would give 0.08")
    assert "over 0.070" in told
    assert "a larger piston is needed" in told
    assert gaps == GAPS


def test_one_that_stays_inside_only_wants_its_ring_gaps_read_again(worn):
    worn.limit(WALL, 0.040, 0.090)
    result = worn.judge("bore taper", "cylinder 1")
    assert result.beware == (GAPS,)
    assert result.mend == f"{result.remedy}; {GAPS}"


def test_without_a_piston_nothing_is_said_of_its_clearance(bench):
    bench.bore(1, top=(0.030, 0.030)).limit("bore taper", high=0.010).limit(WALL, 0.040, 0.070)
    assert bench.judge("bore taper", "cylinder 1").beware == (GAPS,)


def test_honing_for_clearance_opens_the_gaps_too(bench):
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.980).limit(WALL, 0.040, 0.080)
    assert bench.judge(WALL, "cylinder 1").beware == (GAPS,)


def test_a_fit_that_is_right_or_wants_no_honing_says_nothing(bench):
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.900).limit(WALL, 0.040, 0.080).limit("bore taper", high=0.010)
    assert bench.judge("bore taper", "cylinder 1").beware == ()
    assert "fit a piston" in bench.judge(WALL, "cylinder 1").remedy
    assert bench.judge(WALL, "cylinder 1").beware == ()
