"""Cases: the product of the ranges, duties outermost, power where it is not given, and changes to cold sizes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.problems import BlockwrightError
from blockwright.running.sweep.cases import AS_MEASURED, Change, Ranges, cases, power_at

RPM = 2.0 * math.pi / 60.0


def test_nothing_varied_is_the_jobs_own_duty(job: Job) -> None:
    (only,) = cases(job, Ranges())
    assert only.duty == (job.duty.at_speed_rad_s, job.duty.power_w, job.duty.boost_pa, None, None)
    assert {only.wall, only.top_gap, only.second_gap, only.rod_film, only.main_film} == {AS_MEASURED}


def test_the_product_duties_outermost(job: Job) -> None:
    ranges = Ranges(speed_rad_s=(300.0, 350.0), oil=("5W-30", "10W-40"), rod_film=(Change(4e-5, False), Change(1e-5)))
    listed = cases(job, ranges)
    assert len(listed) == len(set(listed)) == ranges.count == 8
    assert [case.speed_rad_s for case in listed] == [300.0] * 4 + [350.0] * 4
    assert [case.oil for case in listed[:4]] == ["5W-30", "5W-30", "10W-40", "10W-40"]
    assert ranges.varied == ("speed_rad_s", "oil", "rod_film")


@given(sizes=st.lists(st.integers(1, 4), min_size=5, max_size=5))
def test_every_case_once(job: Job, sizes: list[int]) -> None:
    speeds, boosts, oils, walls, seconds = (tuple(range(size)) for size in sizes)
    ranges = Ranges(
        speed_rad_s=tuple(300.0 + n for n in speeds), boost_pa=tuple(1e4 * n for n in boosts), oil=tuple(f"{n}W-40" for n in oils),
        wall=tuple(Change(1e-6 * n) for n in walls), second_gap=tuple(Change(1e-4 * n, False) for n in seconds),
    )  # fmt: skip
    listed = cases(job, ranges)
    assert len(set(listed)) == len(listed) == ranges.count == math.prod(sizes)


def test_power_by_hand(job: Job) -> None:
    """Twice the speed is twice the power; half the boost is (101325 + 65000)/(101325 + 130000) of it."""
    speed, boost = job.duty.at_speed_rad_s, job.duty.boost_pa
    assert boost == pytest.approx(130000.0)
    assert power_at(job, speed, boost) == pytest.approx(265e3, rel=1e-12)
    assert power_at(job, 2.0 * speed, boost) == pytest.approx(530e3, rel=1e-12)
    assert power_at(job, speed, 65000.0) == pytest.approx(265e3 * 166325.0 / 231325.0, rel=1e-12)


def test_power_that_is_given_stays(job: Job) -> None:
    assert {case.power_w for case in cases(job, Ranges(speed_rad_s=(300.0, 350.0), power_w=(1e5,)))} == {1e5}


def test_a_step_moves_and_a_size_sets() -> None:
    assert Change(2e-5).on(5e-5) == pytest.approx(7e-5)
    assert Change(2e-5, False).on(5e-5) == 2e-5
    assert AS_MEASURED.none
    assert not Change(0.0, False).none


def test_too_many_cases_are_refused(job: Job) -> None:
    many = tuple(float(n) for n in range(1000))
    with pytest.raises(BlockwrightError, match="1000000 cases"):
        cases(job, Ranges(speed_rad_s=many, boost_pa=many))
