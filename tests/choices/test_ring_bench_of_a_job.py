"""The ring bench on a whole job: looks from readings and entries, withdrawn entries, bores still to be cut, moved sets."""

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright.choices.filing.model import Oddity, Reason
from blockwright.choices.next_steps import Rank, next_steps
from blockwright.choices.ring_bench import RingId, ring_bench
from blockwright.engine.positions import cylinder
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.new_entry import entry_from
from blockwright.problems import BlockwrightError
from blockwright.running.assess import assess, judge

RING = RingId("R2", "top", cylinder(2))
BLADE_STEP_M = 0.05e-3


@pytest.fixture(scope="module")
def hillclimb():
    return read_folder(Path(str(resources.files("blockwright.demos") / "hillclimb"))).job


@pytest.fixture
def job(hillclimb):
    """The hill climb engine with its top gaps not yet read, and a micrometer-like gauge for gaps."""
    return replace(hillclimb, readings=tuple(r for r in hillclimb.readings if not r.feature.endswith(" gap")))


def entry(job, gap, taken="0", **more):
    cells = {
        "id": f"p{len(job.passes) + 1}", "rings": "R2", "ring": "top", "at": "cylinder 2", "wheel": "", "taken": taken, "counted_in": "turns",
        "gap": gap, "gauge": "FB1", "depth": "25 mm", "ring_temp": "20 °C", "bore_temp": "20 °C", "by": "T", "when": "2026-09-20",
    }  # fmt: skip
    return replace(job, passes=(*job.passes, entry_from(job, cells | more)))


def state(job, ring=RING):
    return ring_bench(job).state(ring)


def test_nothing_is_advised_before_the_gap_is_read(job):
    assert state(job).advice is None


def test_what_stands_in_the_readings_is_the_first_look(hillclimb):
    assert state(hillclimb).advice is not None
    assert state(hillclimb).advice.reason is Reason.CONFORMS


def test_an_entry_is_followed_by_advice_that_does_not_pass_the_aim(job):
    found = state(entry(job, "0.25 to 0.30 mm"))
    assert found.advice.reason is Reason.FILE
    assert found.advice.units > 0
    assert found.advice.expected_gap_m <= found.window.aim_m + 1e-9


def test_a_pass_moves_the_gap_and_the_fit_follows(job):
    first = entry(job, "0.25 to 0.30 mm")
    assert state(first).result.standing is Standing.NONCONFORMING
    second = entry(first, "0.40 to 0.45 mm", "12")
    assert state(second).taken == 12
    assert state(second).result.estimate.value == pytest.approx(0.425e-3, abs=0.2 * BLADE_STEP_M)
    assert state(second).result.standing is Standing.CONFORMS
    assert state(second).done


def test_a_gap_that_was_read_before_filing_is_not_the_gap_now(hillclimb):
    """Its row stays among the readings; the entry rules the fit."""
    filed = entry(hillclimb, "0.50 to 0.55 mm", "5")
    assert judge(filed, REGISTRY["top end gap"], cylinder(2)).estimate.value == pytest.approx(
        0.525e-3, abs=0.2 * BLADE_STEP_M
    )
    assert len(filed.readings) == len(hillclimb.readings)


def test_a_gap_that_shrank_is_told_and_must_be_read_again(job):
    shrunk = entry(entry(job, "0.30 to 0.35 mm"), "0.15 to 0.20 mm", "3")
    found = state(shrunk)
    assert found.surprise is not None
    assert found.surprise.kind in (Oddity.SHRANK, Oddity.TOO_LITTLE)
    assert found.read_again
    assert not found.done
    assert not state(entry(shrunk, "0.15 to 0.20 mm")).read_again, "read twice, and alike"


def test_readings_that_disagree_ask_for_another_until_one_is_withdrawn(job):
    shrunk = entry(entry(job, "0.30 to 0.35 mm"), "0.15 to 0.20 mm", "3")
    disagreeing = entry(shrunk, "0.35 to 0.40 mm")
    assert state(disagreeing).read_again
    first, slip, again = disagreeing.passes
    withdrawn = replace(slip, reading=replace(slip.reading, withdrawn="a slip"))
    assert not state(replace(disagreeing, passes=(first, withdrawn, again))).read_again


def test_a_withdrawn_entry_keeps_its_turns_and_asks_for_a_reading(job):
    filed = entry(entry(job, "0.25 to 0.30 mm"), "0.85 to 0.90 mm", "8")
    last = filed.passes[-1]
    slip = replace(filed, passes=(*filed.passes[:-1], replace(last, reading=replace(last.reading, withdrawn="a slip"))))
    found = state(slip)
    assert found.taken == 8
    assert found.result.standing is Standing.OPEN, "the old gap does not come back"
    assert found.read_again
    again = state(entry(slip, "0.30 to 0.35 mm"))
    assert not again.read_again
    assert again.result.estimate.value == pytest.approx(0.325e-3, abs=0.2 * BLADE_STEP_M)


def test_what_was_taken_without_a_reading_counts_and_blocks_until_it_is_read(job):
    """The turns are off, nothing shows the gap, nothing is learnt; the reading that follows tells what they did."""
    taken = entry(entry(job, "0.25 to 0.30 mm"), "", "6")
    found = state(taken)
    assert (found.taken, found.waiting) == (6, 6)
    assert found.read_again
    assert not found.done
    assert found.result.standing is Standing.OPEN, "the gap before them is not the gap now"
    assert ring_bench(taken).rate_m("top")[0] == pytest.approx(
        ring_bench(entry(job, "0.25 to 0.30 mm", "0")).filing.prior.guess_m, rel=0.2
    )
    read = state(entry(taken, "0.30 to 0.35 mm"))
    whole = state(entry(entry(job, "0.25 to 0.30 mm"), "0.30 to 0.35 mm", "6"))
    assert (read.taken, read.waiting, read.read_again) == (6, 0, False)
    assert read.advice == whole.advice, "a gap read later is the same as one read at once"


def test_passes_without_a_reading_between_add_up(job):
    taken = entry(entry(entry(job, "0.10 to 0.15 mm"), "", "4"), "", "3")
    assert (state(taken).waiting, state(taken).read_again) == (7, True)
    assert not state(entry(taken, "0.15 to 0.20 mm")).read_again


@pytest.mark.parametrize("second", ["0.25 to 0.30 mm", "0.50 to 0.55 mm", "0.85 to 0.90 mm"])
def test_readings_that_contradict_each_other_decide_nothing(job, second):
    """Whatever their mean says: 0.10 to 0.15 and any of these, with nothing taken between them."""
    apart = entry(entry(job, "0.10 to 0.15 mm"), second)
    found = state(apart)
    half_distance = 0.5 * (sum(float(each) for each in second.split()[::2][:2]) / 2 - 0.125) * 1e-3
    assert found.disagree
    assert found.read_again
    assert found.result.standing is Standing.UNDECIDED
    assert found.result.remedy == "read it again: its readings disagree"
    assert found.result.estimate.u > half_distance
    assessment = assess(apart)
    assert [flag.readings for flag in assessment.flags if flag.code == "readings-apart"] == [("p1", "p2")]
    first = next(iter(next_steps(assessment)))
    assert first.rank is Rank.READ_AGAIN
    assert "0.10 to 0.15 mm (p1)" in first.what
    assert not any(
        "top end gap, cylinder 2" in step.what.lower() for step in next_steps(assessment) if step.rank is Rank.CORRECT
    )


def test_neighbouring_blades_do_not_contradict_each_other(job):
    found = state(entry(entry(job, "0.20 to 0.25 mm"), "0.25 to 0.30 mm"))
    assert not found.disagree
    assert found.result.standing is Standing.NONCONFORMING


def test_withdrawing_the_slip_settles_a_contradiction(job):
    apart = entry(entry(job, "0.20 to 0.25 mm"), "0.50 to 0.55 mm")
    first, slip = apart.passes
    mended = replace(apart, passes=(first, replace(slip, reading=replace(slip.reading, withdrawn="a slip"))))
    assert not state(mended).disagree
    assert state(mended).result.standing is Standing.NONCONFORMING


def test_rings_of_a_kind_teach_each_other_and_a_new_wheel_teaches_afresh(job):
    taught = entry(entry(job, "0.10 to 0.15 mm"), "0.30 to 0.35 mm", "10")
    assert ring_bench(taught).rate_m("top")[0] == pytest.approx(20e-6, rel=0.3)
    assert ring_bench(job).rate_m("top") is None
    other = replace(taught, sheet=replace(taught.sheet, grinder=replace(taught.sheet.grinder, wheel="new")))
    assert ring_bench(other).rate_m("top") is None


def test_no_ring_is_filed_for_a_bore_that_is_still_to_be_cut():
    harbour = read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job
    bench = ring_bench(harbour)
    blocked = {state.ring.at.number: state.blocked for state in bench.rings if state.ring.ring == "top"}
    assert "wall clearance" in blocked[3]
    assert "bore taper" in blocked[2]
    assert blocked[4] == ""


def test_a_moved_set_is_noticed_and_worked_out_from_the_two_bores(hillclimb):
    """Sets 2 and 3 change places; bore 3 is made 0.030 mm wider, so a gap of bore 2 opens there by pi times that."""
    held = {parts.number: parts for parts in hillclimb.sheet.cylinder}
    held[2], held[3] = replace(held[2], rings="R3"), replace(held[3], rings="R2")
    moved = replace(hillclimb, sheet=replace(hillclimb.sheet, cylinder=tuple(held.values())))
    before, after = (judge(each, REGISTRY["top end gap"], cylinder(at)) for each, at in ((hillclimb, 2), (moved, 3)))
    bores = [
        sum(
            r.value_si
            for r in hillclimb.readings
            if r.feature == "bore" and r.at == f"cylinder {n}" and r.spot.startswith("middle")
        )
        / 2.0
        for n in (2, 3)
    ]
    assert after.estimate.value - before.estimate.value == pytest.approx(3.14159265 * (bores[1] - bores[0]), rel=2e-3)
    assert "read it again in its own bore" in after.found.notes[0]
    told = [flag for flag in assess(moved).flags if flag.code == "ring-moved"]
    assert {flag.text.split()[0] for flag in told} == {"R2", "R3"}


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        ({"gap": "0.45 to 0.40 mm"}, "gap"),
        ({"gap": "0.40 mm"}, "gap"),
        ({"gap": "23 mm"}, "gap"),
        ({"gap": ""}, "gap"),
        ({"taken": "-3"}, "taken"),
        ({"taken": ""}, "taken"),
        ({"rings": "R9"}, "rings"),
        ({"ring": "third"}, "ring"),
        ({"gauge": "FB9"}, "gauge"),
        ({"ring_temp": "warm"}, "ring_temp"),
    ],
)
def test_an_entry_that_cannot_be_is_told_where(job, cells, field):
    with pytest.raises(BlockwrightError) as told:
        entry(job, **{"gap": "0.40 to 0.45 mm", **cells})
    assert field in [problem.place.field for problem in told.value.problems]
