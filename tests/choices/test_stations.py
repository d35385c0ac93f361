"""Stations: every row of a job lies at one spot of one station, in an order that a hand can follow."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from blockwright.choices.stations import MOST_SPOTS, next_spot, station_of, stations
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder

DEMOS = Path(__file__).parents[2] / "src" / "blockwright" / "demos"


@pytest.fixture(scope="module", params=["harbour", "hillclimb"])
def job(request: pytest.FixtureRequest) -> Job:
    return read_folder(DEMOS / request.param).job


def _emptied(job: Job) -> Job:
    return replace(
        job, readings=tuple(replace(row, text="", low_si=None, high_si=None, withdrawn="") for row in job.readings)
    )


def test_every_row_lies_at_one_spot_and_no_station_is_too_long(job: Job) -> None:
    rows = Counter(row.id for each in stations(job) for spot in each.spots for row in spot.rows)
    assert rows == Counter(reading.id for reading in job.readings)
    assert all(len(each.spots) <= MOST_SPOTS for each in stations(job))
    assert all(len({row.feature for spot in each.spots for row in spot.rows}) == 1 for each in stations(job))


def test_a_spot_is_named_by_what_tells_it_from_its_neighbours(job: Job) -> None:
    for each in stations(job):
        named = Counter((spot.named, spot.first.state) for spot in each.spots)
        assert named.most_common(1)[0][1] == 1, each.name


def test_taking_the_next_spot_again_and_again_takes_every_row_once_and_ends(job: Job) -> None:
    job = _emptied(job)
    taken: list[str] = []
    last = ""
    while (spot := next_spot(stations(job), last)) is not None and len(taken) <= len(job.readings):
        assert spot.empty is not None
        mark, last = spot.empty.id, spot.key
        taken.append(mark)
        rows = tuple(
            replace(row, text="0.1", low_si=0.1, high_si=0.1) if row.id == mark else row for row in job.readings
        )
        job = replace(job, readings=rows)
    everything = [row.id for each in stations(job) for spot in each.spots for row in spot.rows]
    assert taken == everything, "a planned repeat is taken before the gauge moves on"
    assert all(each.complete for each in stations(job))


def test_a_spot_that_was_left_out_comes_back_at_the_end(job: Job) -> None:
    found = stations(_emptied(job))
    first, second = found[0].spots[:2]
    assert next_spot(found, first.key) == second
    last = found[-1].spots[-1]
    assert next_spot(found, last.key) == first


def test_a_repeat_goes_to_its_spot_and_a_withdrawn_row_no_longer_counts(job: Job) -> None:
    row = next(each for each in job.readings if each.taken)
    again = replace(row, id="again")
    found = station_of(stations(replace(job, readings=(*job.readings, again))), "again")
    assert found is not None
    assert [each.id for each in found[1].rows][-1] == "again"
    gone = replace(
        job, readings=tuple(replace(each, withdrawn="slipped") if each.id == row.id else each for each in job.readings)
    )
    spot = station_of(stations(gone), row.id)
    assert spot is not None
    assert row.id not in {each.id for each in spot[1].taken}
    assert row.id in {each.id for each in spot[1].withdrawn}


def test_a_key_that_is_nowhere_finds_nothing(job: Job) -> None:
    assert station_of(stations(job), "r0") is None
