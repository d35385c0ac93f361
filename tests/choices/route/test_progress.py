"""Signatures: refused with exactly what is missing, kept with what they leaned on, open again when that is no longer so."""

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest

from blockwright.choices.route.progress import State, minutes
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record
from blockwright.engine.steps import Given, StepChange
from blockwright.problems import BlockwrightError

PISTON, ROD, BEAD, SUMP, CRANK, DECK = (
    "final: piston 2", "final: rod 2", "final: bead", "final: sump", "final: crank", "mock-up: deck",
)  # fmt: skip
WHOLE = Given((2,), ("clip.jpg",), "L. Marsh", ())


def codes(action: Callable[[], object]) -> list[str]:
    with pytest.raises(BlockwrightError) as raised:
        action()
    assert all(problem.what and problem.mend for problem in raised.value.problems)
    return [problem.code for problem in raised.value.problems]


def limited(bench, low_m: float):
    """The builder's own limit for the wall clearance in cylinder 2."""
    rule = LimitRule(
        fit="wall clearance",
        at="cylinder 2",
        authority=Authority.BUILDER,
        by="R. Quill",
        why="test",
        low_si=low_m,
        high_si=low_m + 1e-3,
    )
    sheet = bench.job.sheet
    others = tuple(
        each for each in sheet.limit if (each.fit, each.at, each.authority) != (rule.fit, rule.at, rule.authority)
    )
    bench.job = replace(bench.job, sheet=replace(sheet, limit=(*others, rule)))
    return bench


def ready(bench):
    return bench.sign(DECK).sign("wash").sign(CRANK)


def test_at_first_only_what_needs_nothing_can_be_done(bench) -> None:
    progress = bench.progress
    assert [state.step.key for state in progress.of(State.NOW)] == [DECK]
    assert progress.states[SUMP].waits_for == (BEAD, ROD)
    assert len(progress.left) == 7
    assert not progress.reopened


def test_one_after_the_other_to_the_end(bench) -> None:
    bench.sign_all()
    assert len(bench.done()) == 7
    assert bench.progress.left == ()
    assert [signing.number for signing in bench.job.signings] == list(range(1, 8))


def test_every_step_waited_for_is_named(bench) -> None:
    with pytest.raises(BlockwrightError) as raised:
        bench.sign(SUMP)
    assert [problem.code for problem in raised.value.problems] == ["sign-waits", "sign-waits"]
    assert "'final: bead' (Lay the bead)" in str(raised.value)


@pytest.mark.parametrize(
    ("given", "by", "code", "words"),
    [
        (replace(WHOLE, counts=()), "R. Quill", "sign-count", "clips in cylinder 2: not counted. There must be 2."),
        (replace(WHOLE, counts=(1,)), "R. Quill", "sign-count", "1 counted, and there must be 2"),
        (replace(WHOLE, counts=(3,)), "R. Quill", "sign-count", "3 counted"),
        (replace(WHOLE, counts=(-2,)), "R. Quill", "sign-count", "-2 counted"),
        (replace(WHOLE, counts=(2, 2)), "R. Quill", "sign-count", "asks for 1"),
        (replace(WHOLE, photos=()), "R. Quill", "sign-photo", "photo of each clip, turned in its groove: none"),
        (replace(WHOLE, photos=(" ",)), "R. Quill", "sign-photo", "none is named"),
        (replace(WHOLE, eyes=""), "R. Quill", "sign-eyes", "clips seated: nobody else has looked"),
        (replace(WHOLE, eyes=" r.  QUILL"), "R. Quill", "sign-eyes", "other eyes must look"),
        (replace(WHOLE, paint=(4,)), "R. Quill", "sign-count", "asks for 0"),
        (WHOLE, " ", "sign-name", "nobody signs"),
    ],
)
def test_one_piece_of_evidence_missing(bench, given, by, code, words) -> None:
    ready(bench)
    before = bench.job
    with pytest.raises(BlockwrightError) as raised:
        bench.sign(PISTON, given, by=by)
    assert code in [problem.code for problem in raised.value.problems]
    assert words in str(raised.value)
    assert bench.job is before
    assert len(raised.value.problems) == (1 if by.strip() else len(raised.value.problems))
    bench.sign(PISTON, WHOLE)


def test_everything_missing_is_told_at_once(bench) -> None:
    ready(bench)
    limited(bench, 1.0)
    assert codes(lambda: bench.sign(PISTON, Given(), by="")) == [
        "sign-name", "sign-waits", "sign-fit", "sign-count", "sign-photo", "sign-eyes",
    ]  # fmt: skip


def test_paint_on_each_bolt(bench) -> None:
    ready(bench).sign(PISTON)
    assert codes(lambda: bench.sign(ROD, Given())) == ["sign-count"]
    assert codes(lambda: bench.sign(ROD, Given(paint=(1,)))) == ["sign-count"]
    bench.sign(ROD, Given(paint=(2,)))


def test_a_fit_that_is_out_undecided_or_open_will_not_do(bench) -> None:
    value = bench.progress.standings.of("wall clearance", _at(bench)).estimate.value
    for low_m, words in ((value + 1e-3, "nonconforming"), (value, "undecided")):
        limited(bench, low_m)
        with pytest.raises(BlockwrightError) as raised:
            bench.sign(DECK)
        [problem] = raised.value.problems
        assert problem.code == "sign-fit"
        assert words in problem.what
        assert "sign" in problem.mend
    limited(bench, value - 2e-5)
    index = bench.index_of("P2", "skirt")
    part = bench.job.readings[index].part
    for nth, reading in enumerate(bench.job.readings):
        if (reading.part, reading.feature) == (part, "skirt"):
            bench.reading(nth, withdrawn="a slip")
    with pytest.raises(BlockwrightError) as raised:
        bench.sign(DECK)
    assert "open" in str(raised.value)
    assert "Still to read: skirt of P2" in str(raised.value)


def _at(bench):
    return bench.progress.route.by_key[DECK].evidence[0].at


def accept(bench, event: Accepted, value_si: float):
    record = Record(
        len(bench.job.records) + 1, event, "wall clearance", "cylinder 2", value_si, "x", "R. Quill", None, "will do"
    )
    bench.job = replace(bench.job, records=(*bench.job.records, record))


@pytest.mark.parametrize(("away", "event"), [(1e-3, Accepted.CONCESSION), (0.0, Accepted.JUDGEMENT)])
def test_a_fit_that_was_accepted_will_do_until_the_acceptance_ends(bench, away, event) -> None:
    value = bench.progress.standings.of("wall clearance", _at(bench)).estimate.value
    limited(bench, value + away)
    accept(bench, event, value)
    bench.sign(DECK)
    assert bench.done() == (DECK,)
    bench.job = replace(bench.job, records=bench.job.records[:-1])
    assert bench.done() == ()
    assert "under concession' and is now" in bench.why(DECK) or "on judgement' and is now" in bench.why(DECK)


def test_signed_twice(bench) -> None:
    bench.sign(DECK)
    assert codes(lambda: bench.sign(DECK)) == ["sign-done"]


def test_undoing_opens_everything_that_stands_on_it_and_nothing_else(bench) -> None:
    bench.sign_all().undo(PISTON, "clip lost")
    assert bench.done() == (DECK, "wash", CRANK, BEAD)
    assert bench.why(PISTON) == "undone by R. Quill: clip lost"
    assert bench.why(ROD) == "'final: piston 2', on which it stands, was undone"
    assert bench.why(SUMP) == "'final: rod 2', on which it stands, is open again"
    bench.sign(PISTON)
    assert bench.done() == (DECK, "wash", CRANK, PISTON, BEAD)
    assert bench.why(ROD) == "'final: piston 2', which comes before it, was signed after it"
    bench.sign(ROD).sign(SUMP, wait_s=10.0)
    assert len(bench.done()) == 7


def test_undoing_wants_a_signature_a_name_and_a_reason(bench) -> None:
    assert codes(lambda: bench.undo(DECK)) == ["undo-unsigned"]
    bench.sign(DECK)
    assert codes(lambda: bench.undo(DECK, " ")) == ["undo-why"]
    bench.undo(DECK)
    assert codes(lambda: bench.undo(DECK)) == ["undo-unsigned"]


def test_a_swapped_part_opens_the_steps_that_used_it(bench) -> None:
    bench.sign_all()
    one, other = (bench.job.in_cylinder(number).piston for number in (2, 3))
    bench.swap_pistons()
    assert f"{other} took the place of {one}" in bench.why(PISTON)
    assert f"{other} took the place of {one}" in bench.why(DECK)
    assert bench.done() == ()
    bench.swap_pistons()
    assert len(bench.done()) == 7


def test_a_part_that_is_said_to_be_another(bench) -> None:
    bench.sign_all()
    sheet = bench.job.sheet
    parts = tuple(replace(part, batch="other batch") if part.mark == "C2" else part for part in sheet.part)
    bench.job = replace(bench.job, sheet=replace(sheet, part=parts))
    assert bench.why(PISTON) == "what job.toml says of C2 was changed"
    assert bench.done() == (DECK, "wash", CRANK, BEAD)


def test_a_withdrawn_reading_opens_the_steps_that_relied_on_it(bench) -> None:
    bench.sign_all()
    index = bench.index_of("K1", "rod journal", "throw 2")
    bench.reading(index, withdrawn="slip")
    mark = bench.job.readings[index].id
    assert f"reading {mark} was withdrawn" in bench.why(ROD) or "is now 'open'" in bench.why(ROD)
    assert bench.done() == (DECK, "wash", CRANK, PISTON, BEAD)


def relied_reading(bench, key: str, fit: str) -> int:
    signing = bench.progress.states[key].signing
    mark = next(each for each in signing.relied if each.name == fit).digests[0][0]
    return next(index for index, reading in enumerate(bench.job.readings) if reading.id == mark)


def test_a_reading_that_was_changed(bench) -> None:
    bench.sign_all()
    index = relied_reading(bench, ROD, "rod film")
    reading = bench.job.readings[index]
    bench.reading(index, low_si=reading.low_si + 1e-9, high_si=reading.high_si + 1e-9)
    assert f"reading {reading.id} was changed" in bench.why(ROD)
    bench.reading(index, low_si=reading.low_si, high_si=reading.high_si, note="a word more", by="somebody")
    assert bench.why(ROD) == ""


def test_a_reading_that_was_taken_out(bench) -> None:
    bench.sign_all()
    index = relied_reading(bench, ROD, "rod film")
    mark = bench.job.readings[index].id
    bench.job = replace(bench.job, readings=tuple(r for r in bench.job.readings if r.id != mark))
    assert f"reading {mark} is no longer there" in bench.why(ROD)


def test_a_fit_that_moved_with_its_gauge(bench) -> None:
    """The readings are the same, and what they say is not: a setting was corrected."""
    bench.sign_all()
    settings = tuple(replace(each, size_m=each.size_m + 5e-6) for each in bench.job.gauge_sheet.setting)
    bench.job = replace(bench.job, gauge_sheet=replace(bench.job.gauge_sheet, setting=settings))
    assert "wall clearance, cylinder 2 was 0.1295 mm and is now" in bench.why(PISTON)


def test_a_limit_that_was_tightened(bench) -> None:
    bench.sign_all()
    limited(bench, 1.0)
    assert "wall clearance, cylinder 2 was 'conforms' and is now 'nonconforming'" in bench.why(PISTON)
    assert bench.done() == ()


def test_a_row_by_hand_that_says_nothing_of_its_evidence(bench) -> None:
    bench.sign_all(("mock-up: deck", "wash", "final: crank", "final: piston 2"))
    bare = replace(bench.job.signings[-1], relied=())
    bench.job = replace(bench.job, signings=(*bench.job.signings[:-1], bare))
    assert "the signature does not say what wall clearance, cylinder 2 was" in bench.why(PISTON)
    bench.job = replace(bench.job, signings=(*bench.job.signings[:-1], replace(bare, given=Given())))
    assert "not counted" in bench.why(PISTON)
    assert PISTON not in bench.done()


def test_rows_by_hand_in_an_order_that_cannot_be(bench) -> None:
    bench.sign_all()
    rows = bench.job.signings
    bench.job = replace(bench.job, signings=(*rows[:3], rows[4], rows[3], *rows[5:]))
    assert bench.why(ROD) == "'final: piston 2', which comes before it, was signed after it"
    assert bench.done() == (DECK, "wash", CRANK, PISTON, BEAD)


def test_a_step_that_the_builder_puts_in_between(bench) -> None:
    bench.sign_all()
    change = StepChange(key="mine", name="Weigh it", after=(CRANK,), before=(ROD,))
    bench.job = replace(bench.job, sheet=replace(bench.job.sheet, step=(change,)))
    assert bench.done() == (DECK, "wash", CRANK, PISTON, BEAD)
    assert bench.why(ROD) == "'mine', which comes before it, is not signed"


def test_a_signature_under_no_step_is_told(bench) -> None:
    bench.sign_all()
    rows = bench.job.signings
    bench.job = replace(bench.job, signings=(*rows, replace(rows[0], number=8, step="of old")))
    assert bench.progress.strangers == ("of old",)
    assert len(bench.done()) == 7


def to_the_bead(bench):
    return ready(bench).sign(PISTON).sign(ROD).sign(BEAD)


@pytest.mark.parametrize("wait_s", [0.0, 599.0, 600.0])
def test_a_sealant_is_caught_open(bench, wait_s) -> None:
    to_the_bead(bench).sign(SUMP, wait_s=wait_s)
    assert len(bench.done()) == 7


def test_a_sealant_that_has_set_is_put_on_anew(bench) -> None:
    to_the_bead(bench)
    assert codes(lambda: bench.sign(SUMP, wait_s=601.0)) == ["sign-late"]
    bench.undo(BEAD, "set").sign(BEAD).sign(SUMP)
    assert len(bench.done()) == 7


def test_a_clock_that_runs(bench) -> None:
    to_the_bead(bench)
    [clock] = bench.progress.clocks
    assert (clock.step.key, clock.waiting) == (BEAD, (SUMP,))
    assert clock.left_s(bench.clock + dt.timedelta(minutes=4)) == 360.0
    assert clock.left_s(bench.clock + dt.timedelta(minutes=11)) == -60.0
    bench.sign(SUMP)
    assert bench.progress.clocks == ()


def test_rows_by_hand_do_not_stretch_a_sealant(bench) -> None:
    to_the_bead(bench).sign(SUMP)
    last = bench.job.signings[-1]
    for seconds in (+700, -300):
        moved = replace(last, when=last.when + dt.timedelta(seconds=seconds))
        bench.job = replace(bench.job, signings=(*bench.job.signings[:-1], moved))
        assert SUMP not in bench.done()
        assert bench.why(SUMP)


def test_a_clock_that_was_set_back(bench) -> None:
    ready(bench)
    assert "sign-clock" in codes(lambda: bench.sign(PISTON, wait_s=-3600.0))


def test_last_chances_are_told_while_the_step_can_be_done(bench) -> None:
    assert bench.progress.last_chances == ()
    ready(bench)
    [chance] = bench.progress.last_chances
    assert chance.step.key == PISTON
    assert chance.words == "last chance to measure wall clearance, cylinder 1 (open)"
    bench.sign(PISTON)
    assert bench.progress.last_chances == ()


@pytest.mark.parametrize(("seconds", "words"), [(45.0, "45 s"), (600.0, "10 min"), (7200.0, "2.0 h")])
def test_times_as_they_are_said(seconds: float, words: str) -> None:
    assert minutes(seconds) == words
