"""End gaps over the ring's travel: the gap read is carried to the smallest bore there, pi times the change of diameter."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.fits.assessment import Standing
from blockwright.metrology.estimate import Cause

MM = 1e-3
PM = 1e-9
"""A picometre in mm: rounding of floats, against gaps of tenths."""
TOP = ("top end gap", "cylinder 1")


@pytest.fixture
def ringed(bench):
    """Bores read at 10, 50 and 90 mm; the top ring runs from 10 to 90 mm."""
    bench.engine |= {"heights": {"top": 0.010, "middle": 0.050, "bottom": 0.090}, "top_ring_m": 0.010}
    return bench


def gap(bench, mm=0.400, depth_m=0.010, ring="top", number=1, **more):
    return bench.read(f"R{number}", f"{ring} gap", f"cylinder {number}", "plate on", mm=mm, depth_m=depth_m, **more)


def test_a_taper_of_two_hundredths_moves_the_gap_by_63_microns(ringed):
    """Read at the top, where the bore is 0.02 mm wider than at the bottom: pi x 0.02 = 0.0628 mm less there."""
    gap(ringed.bore(1, top=(0.020, 0.020), middle=(0.010, 0.010)))
    result = ringed.judge(*TOP)
    assert result.estimate.value == pytest.approx((0.400 - 0.0628318531) * MM, rel=1e-9)
    assert result.found.governs == "bottom of the bore, the smallest in the ring's travel"
    assert result.found.notes == ()


def test_a_gap_read_at_the_smallest_place_stays_as_it_was_read(ringed):
    gap(ringed.bore(1, top=(0.020, 0.020), middle=(0.010, 0.010)), depth_m=0.090)
    assert ringed.judge(*TOP).estimate.value == pytest.approx(0.400 * MM, rel=1e-9)


@pytest.mark.parametrize(
    ("depth_m", "read_at"), [(0.002, 0.020), (0.010, 0.020), (0.030, 0.015), (0.060, 0.0075), (0.12, 0.0)]
)
def test_the_bore_where_it_was_read_lies_straight_between_heights_and_flat_beyond(ringed, depth_m, read_at):
    """Bore +0.020 at 10, +0.010 at 50, 0 at 90: halfway 0.015, a quarter of the way down 0.0075."""
    gap(ringed.bore(1, top=(0.020, 0.020), middle=(0.010, 0.010)), depth_m=depth_m)
    assert ringed.judge(*TOP).estimate.value == pytest.approx((0.400 - math.pi * read_at) * MM, rel=1e-9)


def test_both_directions_make_the_girth(ringed):
    """An oval bore has the girth of its mean: +0.030 and -0.010 is +0.010."""
    gap(ringed.bore(1, top=(0.030, -0.010)))
    assert ringed.judge(*TOP).estimate.value == pytest.approx((0.400 - math.pi * 0.010) * MM, rel=1e-9)


def test_a_height_outside_the_travel_does_not_govern(ringed):
    """Ring from 10 to 50 mm: the narrow bottom at 90 is never reached."""
    ringed.engine["stroke_m"] = 0.040
    gap(ringed.bore(1, top=(0.020, 0.020), middle=(0.010, 0.010), bottom=(-0.050, -0.050)))
    result = ringed.judge(*TOP)
    assert result.estimate.value == pytest.approx((0.400 - math.pi * 0.010) * MM, rel=1e-9)
    assert result.found.governs.startswith("middle of the bore")
    assert result.found.notes == ("bottom lies outside the top ring's travel",)


def test_an_end_of_the_travel_between_two_heights_can_govern(ringed):
    """Ring from 10 to 80 mm. Bore 0 at the middle (50) and -0.040 at the bottom (90): at 80 it is -0.030."""
    ringed.engine["stroke_m"] = 0.070
    gap(ringed.bore(1, bottom=(-0.040, -0.040)))
    result = ringed.judge(*TOP)
    assert result.estimate.value == pytest.approx((0.400 - math.pi * 0.030) * MM, rel=1e-9)
    assert result.found.governs == "lower end of the ring's travel, where the bore is smallest"
    assert {role for role, _ in result.found.sizes} >= {"bore 1, middle thrust", "bore 1, bottom axial"}


def test_the_upper_end_too(ringed):
    """Ring from 20 to 100 mm. Bore -0.040 at the top (10), 0 at the middle: at 20 it is -0.030."""
    ringed.engine["top_ring_m"] = 0.020
    gap(ringed.bore(1, top=(-0.040, -0.040)), depth_m=0.050)
    result = ringed.judge(*TOP)
    assert result.estimate.value == pytest.approx((0.400 - math.pi * 0.030) * MM, rel=1e-9)
    assert result.found.governs.startswith("upper end")


@pytest.mark.parametrize(
    ("ring", "key"),
    [("top", "top_ring_m"), ("second", "second_ring_m"), ("upper rail", "oil_ring_m"), ("lower rail", "oil_ring_m")],
)
def test_each_ring_has_a_travel_of_its_own(ringed, ring, key):
    """Depths of 10, 20 and 35 mm at TDC: only the ring at 10 mm reaches the narrow top at 10 mm."""
    ringed.engine |= {"top_ring_m": 0.011, "second_ring_m": 0.012, "oil_ring_m": 0.013} | {key: 0.010}
    gap(ringed.bore(1, top=(-0.020, -0.020)), ring=ring, depth_m=0.010)
    name = f"{ring} gap" if "rail" in ring else f"{ring} end gap"
    assert ringed.judge(name, "cylinder 1").estimate.value == pytest.approx(0.400 * MM, rel=1e-9)
    ringed.engine[key] = 0.052
    gap_now = 0.400 + math.pi * 0.020  # in the wider middle, at 50 mm and below
    result = ringed.judge(name, "cylinder 1")
    assert result.estimate.value == pytest.approx(gap_now * MM, rel=1e-9)
    named = ring if "rail" in ring else f"{ring} ring"
    assert result.found.notes == (f"top and middle lie outside the {named}'s travel",)


def test_every_height_counts_where_the_rings_place_is_not_given(ringed):
    del ringed.engine["top_ring_m"]
    gap(ringed.bore(1, bottom=(-0.050, -0.050)), depth_m=0.010)
    result = ringed.judge(*TOP)
    assert result.estimate.value == pytest.approx((0.400 - math.pi * 0.050) * MM, rel=1e-9)
    assert result.found.notes == ("the travel of the top ring is not given, so every height counts",)


# ---- where it cannot be carried ---------------------------------------------------------------------------------------------


def as_read(bench, why):
    result = bench.judge(*TOP)
    assert result.estimate.value == pytest.approx(0.400 * MM, rel=1e-9)
    assert (result.found.governs, result.found.notes) == ("where it was read", (f"{why}: not carried over the travel",))


def test_no_depth_written_down(ringed):
    gap(ringed.bore(1, top=(0.020, 0.020)), depth_m=None)
    as_read(ringed, "no depth written down")


def test_a_depth_missing_from_one_of_two_repeats(ringed):
    gap(gap(ringed.bore(1, top=(0.020, 0.020))), depth_m=None)
    as_read(ringed, "no depth written down")


def test_no_bore_read(ringed):
    gap(ringed)
    as_read(ringed, "the bore is not read, or not at all its spots")


def test_a_spot_of_the_bore_not_read(ringed):
    gap(ringed.bore(1, top=(0.020, 0.020)))
    ringed.withdraw("B", "bore", "bottom axial")
    as_read(ringed, "the bore is not read, or not at all its spots")


def test_heights_not_given(ringed):
    ringed.engine["heights"] = {}
    gap(ringed.bore(1, top=(0.020, 0.020)))
    as_read(ringed, "the depths at which bores are read are not given")


def test_a_gap_read_without_the_plate_does_not_serve(ringed):
    ringed.bore(1).read("R1", "top gap", "cylinder 1", mm=0.400, depth_m=0.010)
    result = ringed.judge(*TOP)
    assert (result.standing, result.missing) == (Standing.OPEN, ("top gap of R1 at cylinder 1, plate on",))


def test_a_cylinder_without_rings_is_open(ringed):
    ringed.furnish(1, rings="")
    assert ringed.judge(*TOP).missing == ("no ring set assigned at cylinder 1",)


# ---- a ring moved to another bore -------------------------------------------------------------------------------------------


def test_a_ring_read_in_another_bore_is_worked_out_from_the_two_bores(ringed):
    """R1 was read in bore 1 (86.010 at its depth) and goes to bore 2 (85.990 at its smallest): pi x 0.020 less."""
    gap(ringed.bore(1, *[(0.010, 0.010)] * 3).bore(2, top=(0.005, 0.005), middle=(-0.010, -0.010)))
    ringed.furnish(1, rings="").furnish(2, rings="R1")
    result = ringed.judge("top end gap", "cylinder 2")
    assert result.estimate.value == pytest.approx((0.400 - math.pi * 0.020) * MM, rel=1e-9)
    assert "read it again in its own bore" in result.found.notes[0]


def test_without_the_other_bore_it_is_open(ringed):
    gap(ringed.bore(2))
    ringed.furnish(1, rings="").furnish(2, rings="R1")
    assert ringed.judge("top end gap", "cylinder 2").missing == ("top gap of R1 at cylinder 2, plate on",)


# ---- doubt ------------------------------------------------------------------------------------------------------------------


def test_the_bores_own_errors_cancel_where_it_was_read_at_the_smallest_place(ringed):
    ringed.gauge(id="M", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6)
    gap(ringed.bore(1, top=(0.020, 0.020), gauge="M"), depth_m=0.050, gauge="M")
    owners = {source.owner for source, _ in ringed.judge(*TOP).estimate.budget if source.cause is Cause.REPEATABILITY}
    assert owners == {"R1/top gap/cylinder 1//plate on/M/"}


def test_and_weigh_pi_times_elsewhere(ringed):
    """Four spots, each with half its error: the bores add pi sqrt(4 / 4) s to the gap's own s: s sqrt(1 + pi²)."""
    ringed.gauge(id="M", resolution_si=0.0, certificate_si=0.0, repeatability_si=1e-6)
    gap(ringed.bore(1, top=(0.020, 0.020), bottom=(0.010, 0.010), gauge="M"), depth_m=0.010, gauge="M")
    assert ringed.judge(*TOP).estimate.u == pytest.approx(1e-6 * math.sqrt(1.0 + math.pi**2), rel=1e-9)


spots = st.tuples(*[st.tuples(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1))] * 3)


@given(spots, st.floats(0.0, 0.12), st.floats(0.0, 0.09), st.floats(0.02, 0.08))
def test_no_place_in_the_travel_has_a_smaller_gap(new_bench, bore, depth_m, at_tdc_m, stroke_m):
    """Against numpy's own straight line through the heights, walked in a thousand steps."""
    bench = new_bench()
    bench.engine |= {
        "heights": {"top": 0.010, "middle": 0.050, "bottom": 0.090},
        "top_ring_m": at_tdc_m,
        "stroke_m": stroke_m,
    }
    gap(bench.bore(1, *bore), depth_m=depth_m)
    result = bench.judge(*TOP)
    heights, means = [0.010, 0.050, 0.090], [sum(pair) / 2 for pair in bore]
    walked = np.interp(np.linspace(at_tdc_m, at_tdc_m + stroke_m, 1001), heights, means)
    least = 0.400 + math.pi * (float(walked.min()) - float(np.interp(depth_m, heights, means)))
    slope = 0.2 / 0.040  # of the steepest bore, over a step of the walk
    if any("every height counts" in note for note in result.found.notes):
        least = min(least, 0.400 + math.pi * (min(means) - float(np.interp(depth_m, heights, means))))
    assert result.estimate.value / MM == pytest.approx(least, abs=PM + math.pi * slope * stroke_m / 1000)
    assert result.estimate.value / MM <= least + 1e-6
