"""Fits without a limit that are accepted by a look, photos that are lost, and what the builder's own steps ask for."""

import datetime as dt
from dataclasses import replace

import pytest

from blockwright.choices.route.graph import route_from
from blockwright.choices.route.own import evidence_faults
from blockwright.choices.route.progress import progress_of, sign, with_signing
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.choices.route.whole import route_of
from blockwright.engine.positions import Place, Position, cylinder
from blockwright.engine.rules import Authority, LimitRule
from blockwright.engine.steps import Given, Look, OwnEvidence, StepChange
from blockwright.problems import BlockwrightError

NOW = dt.datetime(2026, 10, 9, 8, 0, tzinfo=dt.UTC)
STAGE = Position(Place.STAGE, "main 2")
RISE = "turning torque rise, stage main 2"
STEP = Step(
    key="final: main 2", stage=Pass.FINAL, name="Cap of main 2", group="Mains", evidence=(Evidence(Proof.FIT, "turning torque rise", STAGE),)
)  # fmt: skip
ROUTE = route_from((STEP,))


def signed(job, *looks, **given):
    row = sign(progress_of(ROUTE, job), STEP.key, Given(looks=tuple(looks), **given), by="R. Quill", when=NOW)
    return with_signing(job, row)


def state(job, lost=None):
    return progress_of(ROUTE, job, lost or {}).states[STEP.key]


def limited(job, high_si):
    rule = LimitRule(
        fit="turning torque rise",
        at=str(STAGE),
        authority=Authority.BUILDER,
        by="R. Quill",
        why="made up",
        high_si=high_si,
    )
    return replace(job, sheet=replace(job.sheet, limit=(*job.sheet.limit, rule)))


def test_a_fit_without_a_limit_is_refused_and_the_words_say_what_to_type(harbour) -> None:
    with pytest.raises(BlockwrightError) as refused:
        signed(harbour)
    [problem] = refused.value.problems
    assert problem.code == "sign-fit"
    assert f"{RISE} will not do yet: no limit given." in problem.what
    assert "limit into job.toml" in problem.mend
    assert f"--look '{RISE}: your reason'" in problem.mend


def test_it_is_signed_on_the_builders_word_and_the_signature_says_so(harbour) -> None:
    job = signed(harbour, Look("Turning  torque RISE, stage main 2", "as its neighbours"))
    assert state(job).done
    [relied] = job.signings[-1].relied
    assert relied.standing == "no limit given; looked at and accepted by R. Quill: as its neighbours"


@pytest.mark.parametrize(
    "look",
    [Look("turning torque rise, stage main 3", "why not"), Look(RISE, " "), Look("wall clearance, cylinder 1", "big")],
)
def test_a_look_at_something_else_or_without_a_reason_lets_nothing_through(harbour, look) -> None:
    with pytest.raises(BlockwrightError) as refused:
        signed(harbour, look)
    assert {problem.code for problem in refused.value.problems} == {"sign-fit", "sign-look"}


def test_a_look_does_not_take_the_place_of_a_verdict(harbour) -> None:
    """With a limit the verdict speaks: inside it needs no look, outside it takes none."""
    with pytest.raises(BlockwrightError) as needless:
        signed(limited(harbour, 20.0), Look(RISE, "as its neighbours"))
    assert [problem.code for problem in needless.value.problems] == ["sign-look"]
    with pytest.raises(BlockwrightError) as out:
        signed(limited(harbour, 0.01), Look(RISE, "as its neighbours"))
    assert {problem.code for problem in out.value.problems} == {"sign-fit", "sign-look"}


def test_a_limit_that_comes_later_judges_what_was_looked_at(harbour) -> None:
    job = signed(harbour, Look(RISE, "as its neighbours"))
    assert state(limited(job, 20.0)).done
    later = state(limited(job, 0.01))
    assert not later.done
    assert "looked at and accepted by R. Quill" in later.reopened[0]


def test_a_reading_that_changes_opens_what_was_looked_at(harbour) -> None:
    job = signed(harbour, Look(RISE, "as its neighbours"))
    listed = [
        replace(reading, low_si=reading.low_si + 1.0, high_si=reading.high_si + 1.0)
        if (reading.feature, reading.at) == ("turning torque", str(STAGE))
        else reading
        for reading in job.readings
    ]
    assert not state(replace(job, readings=tuple(listed))).done


def test_a_photo_that_is_lost_opens_the_step_until_it_is_back(harbour) -> None:
    job = signed(harbour, Look(RISE, "as its neighbours"), photos=("0123456789abcdef.jpg from a.jpg",))
    assert state(job).done
    lost = state(job, {"0123456789abcdef.jpg from a.jpg": "photo 0123456789abcdef.jpg is missing"})
    assert lost.reopened == ("photo 0123456789abcdef.jpg is missing",)
    assert state(job, {"other.jpg": "is missing"}).done


def with_step(job, *evidence, name="Weigh it"):
    change = StepChange(key="mine: weigh", name=name, do=("Weigh.",), after=("mock-up: parts",), evidence=evidence)
    return replace(job, sheet=replace(job.sheet, step=(change,)))


ASKED = (
    OwnEvidence(proof=Proof.FIT, what="wall clearance", at="cylinder 2"),
    OwnEvidence(proof=Proof.FIT, what="turning torque", at="stage main 2"),
    OwnEvidence(proof=Proof.FIT, what="crank end float"),
    OwnEvidence(proof=Proof.COUNT, what="bolts weighed", number=8),
    OwnEvidence(proof=Proof.COUNT, what="washers"),
    OwnEvidence(proof=Proof.PHOTO, what="the scale"),
    OwnEvidence(proof=Proof.EYES, what="the figure"),
    OwnEvidence(proof=Proof.PAINT, what="flywheel bolts", number=8),
)


def test_a_step_of_ones_own_asks_like_any_other(harbour) -> None:
    job = with_step(harbour, *ASKED)
    assert not list(evidence_faults(job))
    route = route_of(job)
    step = route.by_key["mine: weigh"]
    assert step.evidence[0] == Evidence(Proof.FIT, "wall clearance", cylinder(2))
    assert step.evidence[3] == Evidence(Proof.COUNT, "bolts weighed", number=8)
    first = sign(progress_of(route, job), "mock-up: parts", Given((len(job.sheet.part),)), by="R. Quill", when=NOW)
    job = with_signing(job, first)
    with pytest.raises(BlockwrightError) as refused:
        sign(progress_of(route, job), step.key, Given(), by="R. Quill", when=NOW)
    codes = [problem.code for problem in refused.value.problems]
    assert codes == ["sign-count", "sign-count", "sign-count", "sign-photo", "sign-eyes"]
    given = Given((8, 3), ("scale.png",), "L. Marsh", (8,))
    done = with_signing(job, sign(progress_of(route, job), step.key, given, by="R. Quill", when=NOW))
    assert progress_of(route, done).states[step.key].done


@pytest.mark.parametrize(
    ("asked", "field", "words"),
    [
        (OwnEvidence(proof=Proof.FIT, what="wall clearence", at="cylinder 2"), "what", "Did you mean 'wall clearance'?"),
        (OwnEvidence(proof=Proof.FIT, what="wall clearance", at="cylinder 9"), "at", "has no 'cylinder 9'"),
        (OwnEvidence(proof=Proof.FIT, what="wall clearance"), "at", "'at' says nothing"),
        (OwnEvidence(proof=Proof.FIT, what="turning torque", at="stage mian 2"), "at", "Did you mean 'stage main 2'?"),
        (OwnEvidence(proof=Proof.FIT, what="crank end float", number=2), "number", "Leave it out"),
        (OwnEvidence(proof=Proof.COUNT, what=" "), "what", "of what?"),
        (OwnEvidence(proof=Proof.COUNT, what="bolts", number=-1), "number", "is no count"),
        (OwnEvidence(proof=Proof.COUNT, what="bolts", at="cylinder 2"), "at", "where a fit is"),
        (OwnEvidence(proof=Proof.EYES, what="bolts", number=2), "number", "Leave it out"),
        (OwnEvidence(proof=Proof.FIT, what="pin press", at="cylinder 2"), "what", "this engine has no pin press"),
    ],
)  # fmt: skip
def test_what_cannot_be_asked_for(harbour, asked, field, words) -> None:
    job = with_step(harbour, asked)
    [fault] = evidence_faults(job)
    assert (fault.change, fault.piece, fault.field) == (0, 0, field)
    assert words in str(fault.problem)
    with pytest.raises(BlockwrightError):
        route_of(job)


def test_asked_for_twice_or_at_a_step_of_the_route(harbour) -> None:
    [twice] = evidence_faults(with_step(harbour, ASKED[0], ASKED[0]))
    assert "asked for twice" in str(twice.problem)
    [settled] = evidence_faults(with_step(harbour, ASKED[0], name=""))
    assert "is not a step of your own" in str(settled.problem)
