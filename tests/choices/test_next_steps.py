"""What to do next: in an order that never cuts before it knows, and with everything that is out, once."""

from collections import Counter
from dataclasses import replace
from importlib import resources
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.next_steps import DOUBTS, GROUPS, NextStep, Rank, next_steps
from blockwright.choices.settle import settle
from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.engine.rules import Accepted, Authority, Record
from blockwright.fits.assessment import Assessment, FitResult, Flag, Standing
from blockwright.fits.fit import Fit, Found
from blockwright.fits.limits import Bound, Limits
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Missing
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.deciding import what_would_decide
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.verdict import Rule, chances
from blockwright.running.assess import assess

LOW, HIGH, U = 100e-6, 150e-6, 2e-6
VALUE = {Standing.CONFORMS: 125e-6, Standing.UNDECIDED: 149e-6, Standing.NONCONFORMING: 90e-6}


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


HARBOUR = demo("harbour")
ENGINE_FITS = [fit for fit in REGISTRY.values() if fit.applies(HARBOUR.engine)]


def made(
    fit: Fit,
    position: Position,
    standing: Standing,
    *,
    hard: bool = True,
    signed: bool = False,
    remedy: str = "hone it",
    high: bool = False,
) -> FitResult:
    """A fit that stands so, worked out from a value alone."""
    if standing is Standing.OPEN:
        return FitResult(
            fit,
            position,
            Limits(),
            standing,
            missing=(Missing(f"bore of B1 at {position}", "top"), Missing(f"bore of B1 at {position}", "middle")),
        )
    value = 160e-6 if high else VALUE.get(standing, 125e-6)
    estimate = Estimate(value, {Source(Cause.CALIBRATION, "M1"): Share(U)})
    limits = Limits(Bound(LOW, Authority.MAKER, "sheet", hard), Bound(HIGH, Authority.MAKER, "sheet", hard))
    record = Record(1, Accepted.CONCESSION, fit.name, str(position), value, "", "Ann", None, "so") if signed else None
    decider = what_would_decide(estimate, LOW, HIGH, Rule()) if standing is Standing.UNDECIDED else None
    return FitResult(
        fit, position, limits, standing, Found(estimate, ()), (), chances(estimate, LOW, HIGH), decider, remedy, record
    )


def judged(*results: FitResult, flags: tuple[Flag, ...] = ()) -> Assessment:
    return Assessment(HARBOUR, results, (), flags)


@st.composite
def assessments(draw: st.DrawFn) -> Assessment:
    """Any mixture of fits and standings at the positions of the inline four."""
    results = []
    for fit in draw(st.lists(st.sampled_from(ENGINE_FITS), unique_by=lambda fit: fit.name, max_size=6)):
        for position in HARBOUR.engine.positions(fit.place):
            standing = draw(st.sampled_from(Standing))
            signed = standing is Standing.NONCONFORMING and draw(st.booleans())
            remedy = draw(st.sampled_from(["hone it", "swap it"]))
            results.append(made(fit, position, standing, hard=draw(st.booleans()), signed=signed, remedy=remedy))
    flags = draw(st.lists(st.sampled_from([*DOUBTS, "no-certificate"]), max_size=3))
    return judged(*results, flags=tuple(Flag(code, f"{code} was seen", "Read again.") for code in flags))


def fits_in(steps: tuple[NextStep, ...], *ranks: Rank) -> Counter[tuple[str, str]]:
    return Counter(
        (result.fit.name, str(result.position)) for step in steps if step.rank in ranks for result in step.fits
    )


def keys(results: list[FitResult]) -> Counter[tuple[str, str]]:
    return Counter((result.fit.name, str(result.position)) for result in results)


REAL = [assess(HARBOUR), assess(demo("hillclimb"))]


def check_order_and_wholeness(assessment: Assessment) -> None:
    steps = next_steps(assessment)
    assert all(first.rank <= second.rank for first, second in pairwise(steps))
    out = assessment.out
    assert fits_in(steps, Rank.CORRECT) == keys([result for result in out if result.hard])
    assert fits_in(steps, Rank.WEIGH) == keys([result for result in out if not result.hard])
    unsure = [
        result for result in assessment.results if result.standing is Standing.UNDECIDED and result.record is None
    ]
    assert fits_in(steps, Rank.SETTLE) == keys(unsure)
    assert set(fits_in(steps, Rank.READ)) == set(
        keys([result for result in assessment.results if result.standing is Standing.OPEN])
    )
    doubts = [flag for flag in assessment.flags if flag.code in DOUBTS]
    assert sum(step.rank is Rank.READ_AGAIN for step in steps) >= len(doubts)


@given(assessments())
def test_everything_that_asks_for_something_is_there_once_and_nothing_else(assessment: Assessment) -> None:
    check_order_and_wholeness(assessment)


@pytest.mark.parametrize("assessment", REAL, ids=["harbour", "hillclimb"])
def test_so_for_the_demonstrations(assessment: Assessment) -> None:
    check_order_and_wholeness(assessment)


@given(assessments())
def test_every_step_says_what_and_in_whole_sentences(assessment: Assessment) -> None:
    for step in next_steps(assessment):
        assert step.what[:1].isupper() or not step.what[:1].isalpha(), step
        assert step.what.endswith(".") or step.rank is Rank.READ_AGAIN, step
        assert ".." not in step.what + step.how, step


def test_the_order_is_read_again_settle_correct_weigh_read() -> None:
    assert list(Rank) == [Rank.READ_AGAIN, Rank.SETTLE, Rank.CORRECT, Rank.WEIGH, Rank.READ]
    wall = REGISTRY["wall clearance"]
    at = HARBOUR.engine.positions(wall.place)
    results = (
        made(wall, at[0], Standing.OPEN), made(REGISTRY["rod side"], Position("throw", "1"), Standing.NONCONFORMING, hard=False),
        made(wall, at[1], Standing.NONCONFORMING), made(wall, at[2], Standing.UNDECIDED), made(wall, at[3], Standing.CONFORMS),
    )  # fmt: skip
    steps = next_steps(judged(*results, flags=(Flag("wrong-state", "bore read so", "Read it again."),)))
    assert [step.rank for step in steps] == list(Rank)


def test_what_is_out_comes_in_the_order_of_the_build_and_of_the_positions() -> None:
    """Bores before bearings; cylinder 2 before cylinder 10."""
    wall, film = REGISTRY["wall clearance"], REGISTRY["main film"]
    results = [made(film, Position(film.place, "1"), Standing.NONCONFORMING)]
    results += [made(wall, Position(wall.place, str(n)), Standing.NONCONFORMING) for n in (10, 2, 1)]
    [first, second, third, last] = next_steps(judged(*results))
    assert [step.fits[0].position.label for step in (first, second, third)] == ["1", "2", "10"]
    assert last.fits[0].fit is film
    assert {fit.group for fit in REGISTRY.values()} == set(GROUPS)


def test_fits_of_one_place_are_mended_together_and_no_amount_is_lost() -> None:
    gaps = [REGISTRY["top end gap"], REGISTRY["second end gap"]]
    at = HARBOUR.engine.positions(gaps[0].place)[0]
    [step] = next_steps(
        judged(*(made(gap, at, Standing.NONCONFORMING, remedy=f"file it by {n}0 um") for n, gap in enumerate(gaps, 1)))
    )
    assert step.what == "Top end gap, cylinder 1 is too small (second end gap with it)."
    assert step.how == "File it by 10 um. For second end gap: file it by 20 um."


def test_what_is_out_on_the_other_side_says_so() -> None:
    gaps = [REGISTRY["top end gap"], REGISTRY["second end gap"]]
    at = HARBOUR.engine.positions(gaps[0].place)[0]
    small, large = (
        made(gaps[0], at, Standing.NONCONFORMING),
        made(gaps[1], at, Standing.NONCONFORMING, high=True, remedy="another ring"),
    )
    [step] = next_steps(judged(small, large))
    assert step.how == "Hone it. For second end gap, which is too large: another ring."


def test_one_remedy_for_two_fits_is_told_once() -> None:
    taper, mouth = REGISTRY["bore taper"], REGISTRY["bell-mouth"]
    at = HARBOUR.engine.positions(taper.place)[1]
    [step] = next_steps(judged(made(taper, at, Standing.NONCONFORMING), made(mouth, at, Standing.NONCONFORMING)))
    assert step.how == "Hone it."


def test_what_is_under_a_concession_is_left_in_peace() -> None:
    wall = REGISTRY["wall clearance"]
    at = HARBOUR.engine.positions(wall.place)[0]
    assert next_steps(judged(made(wall, at, Standing.NONCONFORMING, signed=True))) == ()


def test_limits_that_exclude_each_other_are_to_be_settled_first() -> None:
    """The note that says so is shown, whatever else was noted before it."""
    wall = REGISTRY["wall clearance"]
    at = HARBOUR.engine.positions(wall.place)[0]
    notes = ("the low limit is tightened", "no window is left: they exclude each other")
    crossed = Limits(
        Bound(HIGH, Authority.MAKER, "leaflet", True), Bound(LOW, Authority.MANUAL, "manual", True), notes=notes
    )
    known = made(wall, at, Standing.UNDECIDED)
    result = replace(known, limits=crossed, decider=None, chances=None, notes=(*notes, "sign again"))
    [step] = next_steps(judged(result))
    assert step.rank is Rank.SETTLE
    assert "no window is left" in step.what


def test_one_thing_to_read_serves_every_fit_that_waits_for_it() -> None:
    names = ("wall clearance", "bore taper", "out-of-round")
    at = HARBOUR.engine.positions(REGISTRY[names[0]].place)[0]
    [step] = next_steps(judged(*(made(REGISTRY[name], at, Standing.OPEN) for name in names)))
    assert step.what == "Bore of B1 at cylinder 1: top, middle."
    assert step.how == "Then wall clearance, bore taper, out-of-round can be judged."
    assert len(step.fits) == 3


def test_the_state_that_is_wanted_is_said_once() -> None:
    wall = REGISTRY["wall clearance"]
    missing = (
        Missing("bore of B1 at cylinder 1", "top thrust", "plate on"),
        Missing("bore of B1 at cylinder 1", "top axial", "plate on"),
        Missing("skirt of P1", "", "bare"),
    )
    result = FitResult(wall, Position(wall.place, "1"), Limits(), Standing.OPEN, missing=missing)
    assert [step.what for step in next_steps(judged(result))] == [
        "Bore of B1 at cylinder 1, plate on: top thrust, top axial.", "Skirt of P1, bare."
    ]  # fmt: skip


def test_an_undecided_fit_says_what_would_settle_it() -> None:
    assessment = REAL[0]
    for step in next_steps(assessment):
        if step.rank is Rank.SETTLE:
            [result] = step.fits
            assert step.how == settle(assessment.job, result)
