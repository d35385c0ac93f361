"""A ring put over its piston: what is told beside its stress, and that the ring bench tells the same."""

import pytest

from blockwright.choices.mounting import mountings
from blockwright.fits.assessment import Standing

TOP, AT = "top ring spread stress", "cylinder 1"


def ring(bench, free=11.4, wall=3.6, height=1.2, land=85.4):
    """A ring of 86 mm with its gap, bore and land."""
    bench.read("R1", "top ring free opening", mm=free).read("R1", "top ring wall", mm=wall)
    bench.read("R1", "top ring height", mm=height).bore(1).read("P1", "second land", mm=land)
    return bench.read("R1", "top gap", AT, "plate on", mm=0.4)


def of_bench(bench):
    return next(each for each in mountings(bench.job()) if str(each.ring) == f"R1 top, {AT}")


def test_fit_and_ring_bench_tell_one_thing(bench):
    result, told = ring(bench).judge(TOP, AT), of_bench(bench)
    assert result.estimate.value == pytest.approx(told.opened.needed.stress_pa, rel=1e-12)
    assert result.limits.high_value == told.opened.allowed_pa
    assert (result.estimate.value <= result.limits.high_value) is told.opened.safe
    assert (result.standing, result.words) == (Standing.UNDECIDED, "undecided")  # 639 ± 128 MPa about a limit of 600
    over, winding = result.found.notes
    assert f"{1e3 * told.opened.needed.gap_m:.3f} mm between its ends" in over
    assert winding == f"winding it on by hand: {told.opened.winding}" == "winding it on by hand: no, too thick"


@pytest.mark.parametrize(("wall", "safe"), [(2.2, True), (3.6, False)])
def test_the_stop_is_never_short_of_a_safe_passage(bench, wall, safe):
    """A thin wall bends further for the same stress."""
    told = of_bench(ring(bench, wall=wall)).opened
    assert told.safe is safe
    assert (told.stop_gap_m >= told.needed.gap_m) or not safe


def test_a_ring_of_grey_iron_bears_less(bench):
    ring(bench).part("R1", alloy="grey iron")
    assert bench.judge(TOP, AT).limits.high_value == pytest.approx(300e6, rel=1e-12)


def test_a_free_opening_past_what_the_model_holds_for_leaves_it_open(bench):
    """A land larger than its bore, or a free opening of half the bore, is a slip: said, not worked out and not thrown."""
    result = ring(bench, land=86.4).judge(TOP, AT)
    assert result.standing is Standing.OPEN
    assert result.missing[0].startswith("sizes of ring and piston that belong together (piston over bore")
    assert of_bench(bench).missing == result.missing
