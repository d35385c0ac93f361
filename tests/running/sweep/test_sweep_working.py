"""Rows against the engine at work without draws, many cases together against one alone, and which way each change must move a row."""

import itertools
import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.running.sweep.cases import Case, Change, Ranges, cases
from blockwright.running.sweep.duties import State, states
from blockwright.running.sweep.ground import Ground, ground_of
from blockwright.running.sweep.rows import Caution, Row
from blockwright.running.sweep.working import rows_of, run_case
from blockwright.running.work import work
from blockwright.running.work.result import Work

CLOSE = 2e-3
"""Film temperatures settle to .02 K, walls to .05 K: no number of a row may move by more than this share of itself."""


def least(worked: Work, fit: str) -> float:
    return min(each.hot.value for each in worked.fits if each.fit == fit)


def same(row: Row, other: Row) -> None:
    for each in fields(Row):
        one, two = getattr(row, each.name), getattr(other, each.name)
        scale = 1e-4 if each.name.endswith("hot_m") else 0.0  # a hot clearance may be nil: held to 0.2 um
        if isinstance(one, float):
            assert one == pytest.approx(two, rel=CLOSE, abs=CLOSE * scale), each.name
        elif not each.name.endswith("_at"):  # bearings alike may change places
            assert one == two, each.name


def as_worked(row: Row, worked: Work) -> None:
    nodes = {node.name: node.temperature_c.value for node in worked.nodes}
    rods = [each for each in worked.bearings if each.fit == "rod film"]
    mains = [each for each in worked.bearings if each.fit == "main film"]
    assert row.peak_pa == pytest.approx(worked.cycle.peak_pa.value, rel=1e-4)
    assert row.breathing == pytest.approx(worked.cycle.breathing.value, rel=1e-4)
    found = (row.crown_c, row.skirt_c, row.liner_top_c, row.bore_c)
    assert found == pytest.approx([nodes[name] for name in ("crown", "skirt", "liner_top", "bore")], abs=0.1)
    for fit, hot in (
        ("wall clearance", row.wall_hot_m),
        ("top end gap", row.top_gap_hot_m),
        ("second end gap", row.second_gap_hot_m),
    ):
        assert hot == pytest.approx(least(worked, fit), rel=CLOSE, abs=2e-7)
    assert row.rod_film_m == pytest.approx(min(each.film_m.value for each in rods), rel=CLOSE)
    assert row.main_film_m == pytest.approx(min(each.film_m.value for each in mains), rel=CLOSE)
    assert row.rod_loss_w == pytest.approx(math.fsum(each.loss_w.value for each in rods), rel=CLOSE)
    assert row.main_loss_w == pytest.approx(math.fsum(each.loss_w.value for each in mains), rel=CLOSE)
    assert row.blow_by_share == pytest.approx(np.mean([each.blow_by_share.value for each in worked.rings]), rel=5e-3)
    assert row.blow_by_l_min == pytest.approx(np.mean([each.blow_by_l_min.value for each in worked.rings]), rel=5e-3)


@pytest.mark.slow
def test_as_measured_is_the_engine_at_work(job: Job, ground: Ground) -> None:
    as_worked(run_case(ground, cases(job, Ranges())[0]), work(job, samples=0))


@pytest.mark.slow
def test_another_duty_is_the_engine_at_work_at_it(free: Job) -> None:
    """Speed, power, coolant, oil and its grade changed in the job itself, whose viscosities from the oil's sheet are then left out."""
    duty = {"at_speed_rad_s": 330.0, "power_w": 2.1e5, "coolant_c": 95.0, "oil_c": 118.0, "oil_grade": "5W-30"}
    blank = {"oil_40_m2_s": None, "oil_100_m2_s": None, "oil_hths_pa_s": None}
    other = replace(
        free, sheet=replace(free.sheet, duty=replace(free.duty, **duty), at_work=replace(free.at_work, **blank))
    )
    case = Case(330.0, 2.1e5, free.duty.boost_pa, 95.0, 118.0, "5W-30")
    as_worked(run_case(ground_of(free), case), work(other, samples=0))


@pytest.mark.slow
def test_many_together_are_each_alone(job: Job, ground: Ground) -> None:
    ranges = Ranges(
        speed_rad_s=(280.0, 400.0), power_w=(1.5e5, 2.4e5), boost_pa=(0.9e5, 1.3e5), coolant_c=(75.0, 95.0), oil_c=(95.0, 115.0),
        oil=("5W-30", "15W-40"), rod_film=(Change(4e-5, False), Change(-5e-6)),
    )  # fmt: skip
    listed = cases(job, ranges)
    firsts = list({case.duty: case for case in listed}.values())
    known = dict(zip([case.duty for case in firsts], states(ground, firsts), strict=True))
    together = rows_of(ground, listed, known, rings=True)
    for index in (0, 21, 42, 63, 87, len(listed) - 1):
        same(together[index], run_case(ground, listed[index]))


@pytest.fixture(scope="module")
def state(ground: Ground, job: Job) -> State:
    found = states(ground, cases(job, Ranges()))[0]
    assert isinstance(found, State)
    return found


def at_duty(ground: Ground, state: State, **changes: Change | str) -> Row:
    """A row at the job's own duty, with changes."""
    case = replace(cases(ground.job, Ranges())[0], **changes)
    return rows_of(ground, [case], {case.duty: state}, rings=True)[0]


GAPS = st.floats(0.15e-3, 1.5e-3)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(one=GAPS, other=GAPS)
def test_a_wider_gap_stays_wider_hot_and_blows_by_no_less(
    ground: Ground, state: State, one: float, other: float
) -> None:
    tight, wide = (at_duty(ground, state, second_gap=Change(gap, False)) for gap in sorted((one, other)))
    assert tight.second_gap_hot_m is not None
    assert wide.second_gap_hot_m is not None
    grown = 1.0 + 0.003  # a gap's own growth, at most about 200 K of iron
    assert (
        abs(one - other) * 0.997 - 1e-12
        <= wide.second_gap_hot_m - tight.second_gap_hot_m
        <= abs(one - other) * grown + 1e-12
    )
    assert tight.blow_by_share is not None
    assert wide.blow_by_share is not None
    assert wide.blow_by_share >= tight.blow_by_share * (1.0 - 0.02)
    assert tight.top_gap_hot_m == wide.top_gap_hot_m
    assert tight.rod_film_m == pytest.approx(wide.rod_film_m, rel=CLOSE)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(step=st.floats(-20e-6, 60e-6))
def test_a_step_of_the_wall_is_a_step_hot(ground: Ground, state: State, step: float) -> None:
    """The skirt is made smaller by the step, so the hot clearance grows by it and the little that it would have grown."""
    measured, moved = at_duty(ground, state), at_duty(ground, state, wall=Change(step))
    assert measured.wall_hot_m is not None
    assert moved.wall_hot_m is not None
    assert moved.wall_hot_m - measured.wall_hot_m == pytest.approx(step, rel=5e-3, abs=1e-12)
    assert moved.wall_at == measured.wall_at


def test_a_set_size_is_the_same_for_all_and_a_step_is_not(ground: Ground, state: State) -> None:
    """Set on a size, the least gap is that size hot wherever it is; moved, the cylinder that was least stays least."""
    set_to, moved = at_duty(ground, state, top_gap=Change(5e-4, False)), at_duty(ground, state, top_gap=Change(1e-4))
    measured = at_duty(ground, state)
    assert moved.top_gap_at == measured.top_gap_at
    assert moved.top_gap_hot_m == pytest.approx((measured.top_gap_hot_m or 0.0) + 1e-4, rel=1e-3)
    assert set_to.top_gap_hot_m is not None
    assert 0.0 < set_to.top_gap_hot_m < 5e-4


def test_thicker_oil_makes_thicker_films(ground: Ground, state: State) -> None:
    films = [at_duty(ground, state, oil=oil) for oil in ("0W-20", "5W-30", "10W-40", "20W-50")]
    assert all(a.rod_film_m < b.rod_film_m for a, b in itertools.pairwise(films))  # type: ignore[operator]
    assert all(a.rod_loss_w < b.rod_loss_w for a, b in itertools.pairwise(films))  # type: ignore[operator]


def test_the_jobs_own_oil_by_its_name_is_its_own(ground: Ground, state: State) -> None:
    assert at_duty(ground, state, oil=ground.job.duty.oil_grade) == at_duty(ground, state)


def test_ends_that_meet_are_said(ground: Ground, state: State) -> None:
    row = at_duty(ground, state, top_gap=Change(1e-5, False))
    assert row.top_gap_hot_m is not None
    assert row.top_gap_hot_m < 0.0
    assert row.caution == Caution.ENDS_MEET
    assert not row.sound


def test_a_clearance_beyond_the_model_is_said_and_the_rest_worked(ground: Ground, state: State) -> None:
    row = at_duty(ground, state, rod_film=Change(1e-6, False))
    assert row.caution == Caution.FAILED
    assert "no clearance that the bearing model takes" in row.message
    assert row.rod_film_m is None
    assert row.main_film_m is not None
    assert row.blow_by_share is not None


def test_a_step_that_leaves_nothing_is_said(ground: Ground, state: State) -> None:
    row = at_duty(ground, state, second_gap=Change(-5e-3))
    assert "leaves a cold size of -" in row.message
    assert row.second_gap_hot_m is None
    assert row.blow_by_share is None
    assert row.rod_film_m is not None


@pytest.mark.slow
def test_a_power_that_cannot_be_had_stops_no_other(job: Job, ground: Ground) -> None:
    listed = cases(job, Ranges(power_w=(1.4e6, 2.0e5), speed_rad_s=(60.0, 370.0)))
    found = states(ground, listed)
    assert isinstance(found[0], str)
    assert "no charge that the model knows" in found[0]
    assert isinstance(found[1], State) or "no charge" in found[1]
    assert any(isinstance(each, State) for each in found)
    row = rows_of(ground, listed[:1], {listed[0].duty: found[0]}, rings=True)[0]
    assert row.message == found[0]
    assert row.caution == Caution.FAILED
    assert row.peak_pa is None


def test_a_job_without_readings_still_has_what_is_set(free: Job) -> None:
    """Gaps set need no reading; a wall does, and bearings stand in the middle of their limits."""
    bare = ground_of(replace(free, readings=(), passes=(), records=()))
    case = replace(
        cases(free, Ranges())[0],
        top_gap=Change(5e-4, False),
        second_gap=Change(6e-4, False),
        rod_film=Change(5e-5, False),
    )
    row = run_case(bare, case)
    assert row.wall_hot_m is None
    assert row.blow_by_share is not None
    assert row.rod_film_m is not None
    assert row.message == ""


def test_over_the_redline_is_said(job: Job, ground: Ground) -> None:
    row = run_case(ground, cases(job, Ranges(speed_rad_s=(job.duty.redline_rad_s * 1.05,)))[0], rings=False)
    assert row.blow_by_share is None
    assert row.caution  # at least that the speed is over the redline; worse comes before it
    bolts = [run_case(ground, case, rings=False).rod_bolts_n for case in cases(job, Ranges(speed_rad_s=(200.0, 400.0)))]
    assert bolts[1] == pytest.approx(4.0 * (bolts[0] or 0.0), rel=1e-9), "inertia goes with the square of speed"
