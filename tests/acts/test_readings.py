"""Readings taken and withdrawn, and how planned rows stand: what goes into the job, and what is refused in which words."""

import datetime as dt

import pytest

from blockwright.acts.touched import touched
from blockwright.metrology.readings import TWICE
from blockwright.running.assess import assess


def test_a_reading_goes_into_its_planned_row(bench):
    before = len(bench.job.readings)
    body = bench.act("reading taken", row="r901", value="-4", part_temp="21 °C", state="plate on")
    reading = bench.reading("r901")
    assert body["row"] == "r901"
    assert len(bench.job.readings) == before
    assert (reading.text, reading.unit, reading.low_si) == ("-4", "um", pytest.approx(-4e-6))
    assert (reading.by, reading.when, reading.state) == ("Ann B.", dt.date(2026, 11, 3), frozenset({"plate on"}))


def test_a_reading_without_a_row_is_a_new_one(bench):
    body = bench.act(
        "reading taken", part="P1", feature="skirt", value="97.142 mm", gauge="M1", at="", part_temp="20,5 °C"
    )
    assert body["row"] == "r194"
    assert bench.job.readings[-1].part_temp_c == pytest.approx(20.5)
    assert body["cells"]["part_temp"] == "20.5 °C"


def test_what_is_typed_badly_is_told_at_its_word(bench):
    assert bench.refused("reading taken") == [
        "value: 'value' is missing (what the gauge showed, as typed: 97.250 mm, +0.02, .40 to .45 mm). Write it in."
    ]
    assert bench.refused("reading taken", row="r901", value="minus") == [
        "value: 'minus' does not begin with a number. Write a number and its unit."
    ]
    [gauge] = bench.refused("reading taken", row="r901", value="-4", gauge="ZZ")
    assert gauge.startswith("gauge: there is no gauge 'ZZ' in gauges.toml.")
    assert bench.refused("reading taken", row="r999", value="-4")[0].startswith(
        "row: there is no row 'r999' of readings."
    )
    assert bench.refused("reading taken", row="r901", valu="-4", value="-4") == [
        "valu: 'valu' is no word of 'reading taken'. Did you mean 'value'?"
    ]
    assert bench.refused("reading taken", row="r901", value=-4)[0].startswith(
        "value: something else stands for 'value'; a text"
    )
    assert bench.refused("reading taken", row="r901", value="-4", note="bell \x07")[0].startswith(
        "note: there are signs"
    )


def test_several_faults_are_told_at_once(bench):
    told = bench.refused("reading taken", part="P9", feature="skirt", spot="top", gauge="", value="97.1 mm")
    assert [each.split(":")[0] for each in told] == ["part", "spot", "gauge"]


def test_two_readings_for_one_row_are_both_kept_and_told(bench):
    bench.act("reading taken", row="r901", value="-4", state="plate off", part_temp="21 °C")
    second = bench.act("reading taken", by="Bo C.", row="r901", value="-9", seen=1)
    assert second["row"] != "r901"
    assert bench.reading(second["row"]).note == TWICE
    assert bench.reading("r901").text == "-4"
    [flag] = [flag for flag in assess(bench.job).flags if flag.code == "taken-twice"]
    assert flag.readings == ("r901", "r194")
    assert "entered twice at once" in flag.text
    assert "-4 um (r901, Ann B.) and -9 um (r194, Bo C.)" in flag.text
    bench.act("reading withdrawn", row=second["row"], why="meant for cylinder 2")
    assert not [flag for flag in assess(bench.job).flags if flag.code == "taken-twice"]


def test_what_is_stated_in_one_row_is_taken_by_those_still_to_read(bench):
    bench.act("state set", rows=["r901"], state="plate off", part_temp="21 °C")
    assert [bench.reading(mark).part_temp_c for mark in ("r901", "r902", "r903")] == pytest.approx([21.0] * 3)


def test_a_reading_keeps_the_temperature_that_it_had(bench):
    """Another temperature later in the sitting is that of later readings: what was read before is not moved by it."""
    bench.act("reading taken", row="r901", value="-4", part_temp="21 °C", state="plate off")
    bench.act("reading taken", row="r902", value="-3")
    bench.act("reading withdrawn", row="r901", why="slip")
    bench.act("reading taken", row="r903", value="-5", part_temp="23 °C")
    assert bench.reading("r902").part_temp_c == pytest.approx(21.0)
    assert "r902,B1,bore,cylinder 1,top axial,,-3,um,BG1,S1,later,,21 °C," in bench.kept.texts()["readings.csv"]


def test_a_withdrawn_reading_stays_with_its_reason(bench):
    bench.act("reading withdrawn", row="r1", why='the "stand" slipped, twice')
    assert bench.reading("r1").withdrawn == 'the "stand" slipped, twice'
    assert not bench.reading("r1").taken
    assert bench.refused("reading withdrawn", row="r1", why="again") == [
        'row: row r1 is withdrawn already: the "stand" slipped, twice. There is nothing to withdraw.'
    ]
    assert bench.refused("reading withdrawn", row="r901", why="x") == [
        "row: row r901 holds no reading yet. There is nothing to withdraw."
    ]
    assert bench.refused("reading withdrawn", row="r2") == ["why: 'why' is missing (the reason). Write it in."]


def test_a_row_that_was_withdrawn_is_read_again_in_a_new_one(bench):
    bench.act("reading withdrawn", row="r1", why="slip")
    again = bench.act("reading taken", row="r1", value="-8")
    assert (again["row"], again["cells"]["note"], again["cells"]["spot"]) == ("r194", "", "top thrust")


def test_the_state_of_rows_is_checked_before_anything_is_read(bench):
    assert bench.refused("state set", rows=["r901"], state="plate sideways")[0].startswith("state: ")
    assert bench.refused("state set", rows=["r901"], gauge="M77")[0].startswith("gauge: there is no gauge 'M77'")
    assert bench.refused("state set", rows=["r901"], part_temp="210 °C")[0].startswith("part_temp: ")
    assert bench.refused("state set", rows=["r1"], state="plate on")[0].startswith(
        "rows: row r1 holds a reading already."
    )
    assert bench.refused("state set", rows=["r901"]) == [
        "state: nothing is said of the rows. Give a state, a temperature, a gauge or a setting."
    ]


def test_the_fits_that_a_reading_touches_are_as_the_whole_assessment_has_them(bench):
    bench.act("reading taken", row="r901", value="-4", state="plate on", part_temp="21 °C")
    found = touched(bench.job, bench.events[-1])
    whole = {(each.fit.name, each.position): each for each in assess(bench.job).results}
    assert {each.fit.name for each in found} >= {"wall clearance", "bore taper", "top end gap"}
    for each in found:
        same = whole[(each.fit.name, each.position)]
        assert (each.standing, each.words, each.mend) == (same.standing, same.words, same.mend)
        assert each.found is None or each.estimate.value == pytest.approx(same.estimate.value, rel=1e-12)


def test_an_act_that_is_no_reading_touches_no_fit(bench):
    bench.act("wheel put on", wheel="W9")
    assert touched(bench.job, bench.events[-1]) == ()
