"""Which readings show a ring's gap as it is now, once it has been to the grinder."""

import datetime as dt

import pytest

from blockwright.engine.filing import Pass, shown_after_filing, since_last_filing
from blockwright.metrology.readings import Reading

JUNE = dt.date(2026, 6, 10)


def gap(name, at="cylinder 1", rings="R1", ring="top", day=None, withdrawn=""):
    when = None if day is None else JUNE.replace(day=day)
    return Reading(
        id=name, part=rings, feature=f"{ring} gap", at=at, low_si=4e-4, high_si=4e-4, when=when, withdrawn=withdrawn
    )


def entry(name, units, **more):
    return Pass(gap(name, **more), units, "turns")


def ids(readings):
    return [reading.id for reading in readings]


def test_an_entry_says_which_ring_it_is_of():
    filed = entry("p1", 2.0, ring="upper rail", at="cylinder 3", rings="R3")
    assert (filed.rings, filed.ring, filed.at, filed.counts) == ("R3", "upper rail", "cylinder 3", True)
    assert not entry("p1", 2.0, withdrawn="slip").counts


def test_without_a_pass_every_reading_stands():
    readings = [gap("r1"), gap("r2")]
    assert shown_after_filing(readings, []) == tuple(readings)


def test_the_entries_take_over_in_the_bore_where_it_was_filed():
    """Read twice, then filed and read: only the gap after filing shows the ring."""
    shown = shown_after_filing([gap("r1"), gap("r2")], [entry("p0", 0.0), entry("p1", 3.0)])
    assert ids(shown) == ["p1"]


@pytest.mark.parametrize(
    ("units", "kept"),
    [
        ([0.0], [0]),
        ([0.0, 0.0], [0, 1]),
        ([0.0, 2.0], [1]),
        ([0.0, 2.0, 0.0], [1, 2]),
        ([2.0, 1.0], [1]),
        ([0.0, 2.0, 0.0, 1.0, 0.0], [3, 4]),
    ],
)
def test_since_the_last_filing(units, kept):
    """The entry that last took something off, and every re-reading after it."""
    entries = tuple(entry(f"p{index}", each) for index, each in enumerate(units))
    assert since_last_filing(entries) == tuple(entries[index] for index in kept)


def test_other_rings_are_left_alone():
    readings = [gap("r1", ring="second"), gap("r2", rings="R2", at="cylinder 2"), gap("r3")]
    assert ids(shown_after_filing(readings, [entry("p1", 1.0)])) == ["r1", "r2", "p1"]


@pytest.mark.parametrize(("day", "stands"), [(None, False), (9, False), (10, False), (11, True)])
def test_in_another_bore_only_a_later_reading_still_shows_it(day, stands):
    shown = shown_after_filing([gap("r1", at="cylinder 2", day=day)], [entry("p1", 1.0, day=10)])
    assert ids(shown) == (["r1", "p1"] if stands else ["p1"])


def test_where_nothing_was_taken_off_a_reading_in_another_bore_stands():
    assert ids(shown_after_filing([gap("r1", at="cylinder 2")], [entry("p0", 0.0, day=10)])) == ["r1", "p0"]
