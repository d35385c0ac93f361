"""Valve to piston: a closed form for a harmonic lift on a long rod, corners of valve and pocket in a plane, and what must hold."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blockwright.physics.slider_crank import pin_height_m
from blockwright.physics.valve_motion import LiftTable
from blockwright.physics.valve_to_piston import (
    Crank,
    Pocket,
    axial_distance_m,
    harmonic_lift_m,
    harmonic_nearest,
    nearest,
    radial_distance_m,
)

CRANK = Crank(0.043, 0.144, -0.0008)
POCKET = Pocket(0.0065, math.radians(16), 0.0022, 0.006)


def lifted(centre_deg, peak=0.0105, span_deg=270.0, step_deg=1.0):
    centre, span = math.radians(centre_deg), math.radians(span_deg)
    angles = centre + np.radians(np.arange(-span_deg / 2, span_deg / 2 + 1e-9, step_deg))
    return LiftTable(tuple(angles.tolist()), tuple(harmonic_lift_m(angles, peak, centre, span).tolist()))


@settings(max_examples=30)
@given(
    peak=st.floats(0.008, 0.014),
    centre=st.floats(95, 120),
    side=st.sampled_from([-1, 1]),
    lean=st.floats(0.0, 0.4),
    throw=st.floats(0.03, 0.05),
)
def test_search_and_closed_form_agree(peak, centre, side, lean, throw):
    """A lift of 360° on a rod of a thousand metres; the table has a reading each degree, which leaves a hundredth of a micrometre or two."""
    pocket = Pocket(0.007, lean)
    found = nearest(lifted(side * centre, peak, 360.0), Crank(throw, 1000.0), pocket)
    least, at = harmonic_nearest(peak, math.radians(side * centre), throw, pocket)
    assert found.axial_m == pytest.approx(least, abs=2e-7)
    assert found.axial_rad == pytest.approx(at, abs=2e-3)
    assert (found.radial_m, found.radial_rad) == (None, None)


def corners(angle, lifts, crank, pocket, wide=0.016):
    """In a plane with the bore's axis up: the distance from the valve's face to the pocket's floor, and from its rim to the wall, by coordinates."""
    top = math.asin(crank.offset_m / (crank.throw_m + crank.rod_m))
    highest, now = (float(pin_height_m(top + t, crank.throw_m, crank.rod_m, crank.offset_m)) for t in (0.0, angle))
    along = np.array([math.sin(pocket.lean_rad), -math.cos(pocket.lean_rad)])
    across = np.array([math.cos(pocket.lean_rad), math.sin(pocket.lean_rad)])
    fallen = np.array([0.0, now - highest])
    rim = along * float(lifts.lift_m(angle)) + across * wide
    floor = along * pocket.closed_m + across * (wide + pocket.radial_m) + fallen
    return float((floor - rim) @ along), float((floor - rim) @ across)


@pytest.mark.parametrize("centre", [-110.0, 106.0])
@pytest.mark.parametrize("lean", [0.0, 10.0, 24.0])
def test_by_corners_in_a_plane(centre, lean):
    pocket, lifts = replace(POCKET, lean_rad=math.radians(lean)), lifted(centre)
    angles = np.radians(np.arange(-75.0, 75.01, 0.05))
    seen = np.array([corners(t, lifts, CRANK, pocket) for t in angles])
    assert axial_distance_m(angles, lifts, CRANK, pocket) == pytest.approx(seen[:, 0], abs=1e-12)
    assert radial_distance_m(angles, CRANK, pocket) == pytest.approx(seen[:, 1], abs=1e-12)
    found = nearest(lifts, CRANK, pocket)
    assert seen[:, 0].min() - 1e-7 < found.axial_m <= seen[:, 0].min()
    inside = seen[:, 0] < pocket.depth_m
    assert inside.any()
    assert found.radial_m <= seen[inside, 1].min()
    assert found.radial_m == pytest.approx(seen[inside, 1].min(), abs=2e-5)


def test_the_valve_is_nearest_on_the_flank_that_meets_the_piston():
    """The intake opens after the piston begins to fall and chases it down; the exhaust is chased up before the top."""
    assert math.radians(3) < nearest(lifted(106), CRANK, POCKET).axial_rad < math.radians(25)
    assert math.radians(-25) < nearest(lifted(-110), CRANK, POCKET).axial_rad < math.radians(-3)


@settings(max_examples=30)
@given(by=st.floats(0.5, 10.0))
def test_advance_brings_the_intake_nearer_and_the_exhaust_away(by):
    intake, exhaust = lifted(108), lifted(-108)
    earlier = -math.radians(by)
    assert nearest(intake.turned(earlier), CRANK, POCKET).axial_m < nearest(intake, CRANK, POCKET).axial_m
    assert nearest(exhaust.turned(earlier), CRANK, POCKET).axial_m > nearest(exhaust, CRANK, POCKET).axial_m


@settings(max_examples=30)
@given(more=st.floats(1e-4, 3e-3))
def test_a_deeper_pocket_gives_what_it_is_deepened(more):
    found, deeper = (
        nearest(lifted(108), CRANK, replace(POCKET, closed_m=POCKET.closed_m + each)) for each in (0.0, more)
    )
    assert deeper.axial_m - found.axial_m == pytest.approx(more, rel=1e-6)
    assert deeper.axial_rad == pytest.approx(found.axial_rad, abs=1e-5)


def test_a_valve_that_never_dips_into_its_pocket_has_no_wall_to_touch():
    found = nearest(lifted(108), CRANK, replace(POCKET, depth_m=0.0005))
    assert found.radial_m is None


def test_a_table_that_stops_on_the_flank_is_refused():
    whole = lifted(108)
    keep = [k for k, lift in enumerate(whole.lifts_m) if lift > 0.004]
    part = LiftTable(tuple(whole.angles_rad[k] for k in keep), tuple(whole.lifts_m[k] for k in keep))
    with pytest.raises(ValueError, match="does not reach"):
        nearest(part, CRANK, POCKET)
    with pytest.raises(ValueError, match="pocket"):
        radial_distance_m(0.0, CRANK, Pocket(0.006))
    with pytest.raises(ValueError, match="valve to pocket"):
        Pocket(6.5)
