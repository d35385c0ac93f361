"""A lift table on lifts whose flanks are known, timing and lash by hand, and the smooth curve's promises."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from blockwright.physics.valve_motion import (
    LiftTable,
    advance_rad,
    bucket_shim_m,
    finger_shim_m,
    rocker_turn_rad,
    separation_rad,
    timing_error_rad,
)
from blockwright.physics.valve_to_piston import harmonic_lift_m

PEAK, CENTRE, SPAN = 0.0105, math.radians(108), math.radians(250)


def table(step_deg=2.0, centre=CENTRE, peak=PEAK, span=SPAN):
    half = math.degrees(span) / 2
    angles = centre + np.radians(np.arange(-half - 4, half + 4.01, step_deg))
    return LiftTable(tuple(angles.tolist()), tuple(harmonic_lift_m(angles, peak, centre, span).tolist()))


@pytest.mark.parametrize("lift", [0.0005, 0.001, 0.00127, 0.005])
def test_flanks_of_a_harmonic_lift(lift):
    """It passes a lift where cos(2 pi off/D) = 2 L/H - 1."""
    off = SPAN / (2 * math.pi) * math.acos(2 * lift / PEAK - 1)
    found = table()
    assert found.opens_rad(lift) == pytest.approx(CENTRE - off, abs=2e-5)
    assert found.closes_rad(lift) == pytest.approx(CENTRE + off, abs=2e-5)
    assert found.centreline_rad(lift) == pytest.approx(CENTRE, abs=1e-9)
    assert found.duration_rad(lift) == pytest.approx(2 * off, abs=4e-5)


def test_finer_steps_come_nearer_the_true_lift():
    angles = np.linspace(CENTRE - SPAN / 2, CENTRE + SPAN / 2, 4001)
    true = harmonic_lift_m(angles, PEAK, CENTRE, SPAN)
    off = [float(np.max(np.abs(table(step).lift_m(angles) - true))) for step in (8.0, 4.0, 2.0, 1.0)]
    assert off == sorted(off, reverse=True)
    assert off[-1] < 2e-6 < 1e-5 < off[0] < 1e-4


def test_a_lopsided_lobes_centreline_depends_on_the_lift():
    angles = np.radians(np.arange(-20.0, 240.1, 2.0))
    rise = 0.5 * PEAK * (1 - np.cos(math.pi * np.clip((np.degrees(angles) + 15) / 120, 0, 1)))
    fall = 0.5 * PEAK * (1 - np.cos(math.pi * np.clip((235 - np.degrees(angles)) / 130, 0, 1)))
    found = LiftTable(tuple(angles.tolist()), tuple(np.minimum(rise, fall).tolist()))
    for lift in (0.001, 0.004, 0.009):
        expected = 110 - 5 * math.acos(1 - 2 * lift / PEAK) / math.pi  # both flanks are cosines, of 120° and 130°
        assert math.degrees(found.centreline_rad(lift)) == pytest.approx(expected, abs=0.01)


READINGS = st.lists(st.integers(0, 12000).map(lambda each: each * 1e-6), min_size=6, max_size=20)


@given(up=READINGS, down=READINGS)
def test_the_curve_makes_no_bump(up, down):
    """On readings that rise to a peak and fall from it, the curve does so too, passes each, and stays between neighbours."""
    lifts = [*sorted(up), 0.0125, *sorted(down, reverse=True)]
    angles = np.linspace(0.0, 4.0, len(lifts))
    found = LiftTable(tuple(angles.tolist()), tuple(lifts))
    assert found.lift_m(angles) == pytest.approx(lifts, abs=1e-15)
    fine = np.linspace(0.0, 4.0, 40 * (len(lifts) - 1) + 1)
    curve = found.lift_m(fine)
    top = int(np.argmax(curve))
    assert np.all(np.diff(curve[: top + 1]) >= -1e-12)
    assert np.all(np.diff(curve[top:]) <= 1e-12)
    assert float(curve.max()) == pytest.approx(0.0125)


@given(by=st.floats(-0.5, 0.5), lift=st.floats(0.0005, 0.01))
def test_turning_the_camshaft_moves_the_centreline_and_nothing_else(by, lift):
    before, after = table(), table().turned(by)
    assert after.centreline_rad(lift) - before.centreline_rad(lift) == pytest.approx(by, abs=1e-9)
    assert after.duration_rad(lift) == pytest.approx(before.duration_rad(lift), abs=1e-9)
    assert timing_error_rad(after.centreline_rad(lift), CENTRE) == pytest.approx(by, abs=1e-8)


@given(intake=st.floats(80, 130), exhaust=st.floats(80, 130), later=st.floats(-15, 15))
def test_separation_and_advance(intake, exhaust, later):
    """Turning a camshaft with both lobes leaves their separation; separation less advance is the intake's centreline."""
    both = math.radians(intake), math.radians(-exhaust)
    assume(65 < intake + later < 155 and 65 < exhaust - later < 155)
    turned = tuple(each + math.radians(later) for each in both)
    assert separation_rad(*turned) == pytest.approx(separation_rad(*both))
    assert advance_rad(*both) - advance_rad(*turned) == pytest.approx(math.radians(later), abs=1e-12)
    assert separation_rad(*both) - advance_rad(*both) == pytest.approx(both[0])


@pytest.mark.parametrize(
    ("angles", "lifts", "why"),
    [
        ((0.0, 1.0, 2.0), (0.0, 0.01, 0.0), "readings or more"),
        ((0.0, 1.0, 1.0, 2.0, 3.0), (0.0, 0.005, 0.006, 0.004, 0.0), "must rise"),
        ((0.0, 1.0, 2.0, 3.0, 4.0), (0.0, 0.002, 0.004, 0.006, 0.008), "both flanks"),
        ((0.0, 1.0, 2.0, 3.0, 4.0), (0.0, 2.0, 10.0, 2.0, 0.0), "lift: 10 m is outside"),
    ],
)
def test_a_table_that_cannot_be_is_refused(angles, lifts, why):
    with pytest.raises(ValueError, match=why):
        LiftTable(angles, lifts)


def test_nothing_is_made_up_beyond_the_table():
    whole = table()
    assert float(whole.lift_m(whole.angles_rad[0] - 1.0)) == 0.0
    keep = [k for k, lift in enumerate(whole.lifts_m) if lift > 0.001]
    part = LiftTable(tuple(whole.angles_rad[k] for k in keep), tuple(whole.lifts_m[k] for k in keep))
    with pytest.raises(ValueError, match="does not reach"):
        part.lift_m(part.angles_rad[0] - 0.01)
    with pytest.raises(ValueError, match="both flanks"):
        part.centreline_rad(0.0005)
    with pytest.raises(ValueError, match="highest"):
        whole.centreline_rad(0.011)


@given(
    shim=st.floats(0.002, 0.004),
    lash=st.floats(0.0, 0.0008),
    wanted=st.floats(0.1e-3, 0.3e-3),
    ratio=st.floats(1.0, 2.0),
)
def test_a_shim_gives_the_lash_that_was_wanted(shim, lash, wanted, ratio):
    """A lever: what the valve's end is raised, the cam's side comes nearer divided by the ratio."""
    new = finger_shim_m(shim, lash, wanted, ratio)
    assert lash - (new - shim) / ratio == pytest.approx(wanted, abs=1e-12)
    assert lash - (bucket_shim_m(shim, lash, wanted) - shim) == pytest.approx(wanted, abs=1e-12)
    turn = rocker_turn_rad(lash, wanted, ratio, 0.001)
    assert lash - turn / (2 * math.pi) * 0.001 * ratio == pytest.approx(wanted, abs=1e-12)


def test_of_several_passes_the_ones_next_to_the_peak_count():
    """A reading that slipped makes the flank pass a lift three times over."""
    angles = tuple(0.5 * each for each in range(9))
    found = LiftTable(angles, (0.0, 0.002, 0.0005, 0.004, 0.008, 0.004, 0.0005, 0.002, 0.0))
    assert 1.0 < found.opens_rad(0.001) < 1.5
    assert 2.5 < found.closes_rad(0.001) < 3.0
    assert found.centreline_rad(0.001) == pytest.approx(2.0)
