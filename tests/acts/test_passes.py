"""What is taken off at the grinder and the gaps read after it: nothing is lost, and a gap goes where it belongs."""

import datetime as dt

import pytest

from blockwright.metrology.readings import TWICE

TOP = {"rings": "R1", "ring": "top", "gauge": "FB1"}


def entries(bench):
    return [
        (each.reading.id, each.units, each.reading.text, each.reading.unit)
        for each in bench.job.passes
        if each.rings == "R1"
    ]


def test_what_was_taken_waits_for_its_gap_which_goes_into_it(bench):
    bench.act("pass filed", **TOP, taken="3")
    filed = bench.job.passes[-1]
    assert (filed.waits, filed.at, filed.unit, filed.wheel, filed.units) == (True, "cylinder 1", "turns", "W1", 3.0)
    bench.act("gap read", **TOP, gap="0.40 to 0.45", ring_temp="20,5 °C")
    read = bench.job.passes[-1]
    assert read.reading.id == filed.reading.id
    assert (read.units, read.reading.unit, read.reading.state) == (3.0, "mm", frozenset({"plate on"}))
    assert (read.reading.low_si, read.reading.part_temp_c) == (pytest.approx(0.40e-3), pytest.approx(20.5))


def test_a_gap_of_another_day_or_hand_is_an_entry_of_its_own(bench):
    bench.act("pass filed", **TOP, taken="2")
    waiting = bench.job.passes[-1].reading.id
    bench.act("gap read", by="Bo C.", **TOP, gap="0.40 to 0.45 mm")
    bench.act("gap read", when=dt.datetime(2026, 11, 4, 8, tzinfo=dt.UTC), **TOP, gap="0.40 to 0.45 mm")
    assert [each[1] for each in entries(bench)][-2:] == [0.0, 0.0]
    bench.act("gap read", pass_=waiting, by="Bo C.", gap="0.35 to 0.40 mm")
    assert (waiting, 2.0, "0.35 to 0.40 mm", "") in entries(bench)


def test_two_gaps_for_one_entry_are_both_kept(bench):
    bench.act("pass filed", **TOP, taken="2")
    waiting = bench.job.passes[-1].reading.id
    bench.act("gap read", pass_=waiting, gap="0.35 to 0.40 mm")
    bench.act("gap read", pass_=waiting, by="Bo C.", gap="0.40 to 0.45 mm", note="with the other lamp")
    assert [each.reading.note for each in bench.job.passes[-2:]] == ["", f"{TWICE}; with the other lamp"]
    assert sum(each.units for each in bench.job.passes[-2:]) == 2.0


def test_what_cannot_be_is_told_at_its_word(bench):
    told = bench.refused("pass filed", rings="R1", ring="topp", taken="some", gauge="FB1")
    assert [each.split(":")[0] for each in told] == ["ring", "taken", "gap"]
    assert bench.refused("gap read", **TOP, gap="0.40 mm") == [
        "gap: one blade alone gives no size. Write the one that goes and the next that does not: '0.40 to 0.45 mm'."
    ]
    assert bench.refused("gap read", **TOP | {"rings": "R9"}, at="cylinder 1", gap="0.4 to 0.45 mm")[0].startswith(
        "rings: no part bears"
    )
    assert bench.refused("gap read", **TOP, gap="0.4 to 0.45 mm", state="hot")[0].startswith("state: ")
    assert bench.refused("gap read", pass_="p77", gap="0.4 to 0.45 mm")[0].startswith(
        "pass: there is no entry 'p77' at the grinder."
    )


def test_a_withdrawn_entry_stays_and_what_it_took_is_off(bench):
    bench.act("pass filed", **TOP, taken="3")
    mark = bench.job.passes[-1].reading.id
    bench.act("pass withdrawn", pass_=mark, why="wrong ring")
    assert (bench.job.passes[-1].reading.withdrawn, bench.job.passes[-1].units) == ("wrong ring", 3.0)
    assert bench.refused("pass withdrawn", pass_=mark, why="x")[0] == (
        f"pass: entry {mark} is withdrawn already: wrong ring. There is nothing to withdraw."
    )


def test_another_wheel_is_that_of_the_next_pass(bench):
    bench.act("wheel put on", wheel="W9")
    bench.act("pass filed", **TOP, taken="1")
    assert bench.job.passes[-1].wheel == "W9"
    assert bench.refused("wheel put on", wheel="W9") == ["wheel: wheel W9 is on already. There is nothing to change."]
