"""The routes of whole engines, signed from first to last: nothing before its time, nothing with half its evidence, and undone with all that stands on it.

Fits are left out, for most of these engines have no readings; how fits hold a step is tried on the short route. What must come before what is read
off the steps by themselves, without the program's graph.
"""

import datetime as dt
from dataclasses import dataclass, replace

import pytest

from blockwright.choices.route.content import steps_for
from blockwright.choices.route.graph import Route, change_faults, route_from
from blockwright.choices.route.progress import Progress, progress_of, sign, undo, with_signing
from blockwright.choices.route.step import Pass, Proof, Step
from blockwright.engine.job import Job
from blockwright.engine.steps import Given, StepChange
from blockwright.problems import BlockwrightError

from .engines import ENGINES

START = dt.datetime(2026, 10, 9, 8, 0, tzinfo=dt.UTC)
SOME = ("harbour", "hillclimb", "split, pushrods", "bedplate, piston from below", "short block with its cam", "belt")


def without_fits(job: Job) -> tuple[Step, ...]:
    return tuple(
        replace(step, evidence=tuple(each for each in step.evidence if each.proof is not Proof.FIT))
        for step in steps_for(job)
    )


def given_for(step: Step) -> Given:
    counts, paint = (
        tuple(5 if each.number is None else each.number for each in step.evidence if each.proof is proof)
        for proof in (Proof.COUNT, Proof.PAINT)
    )
    photos = tuple("p.jpg" for each in step.evidence if each.proof is Proof.PHOTO)
    eyes = "L. Marsh" if any(each.proof is Proof.EYES for each in step.evidence) else ""
    return Given(counts, photos, eyes, paint)


def spoilt_for(step: Step) -> list[Given]:
    """What a step asks for with each of its pieces left out, and a count that is one short."""
    whole = given_for(step)
    short = [replace(whole, counts=whole.counts[:-1])] if whole.counts else []
    short += [replace(whole, paint=whole.paint[:-1])] if whole.paint else []
    short += [replace(whole, photos=())] if whole.photos else []
    short += [replace(whole, eyes=eyes) for eyes in ("", "r.  quill")] if whole.eyes else []
    numbers = [each.number for each in step.evidence if each.proof is Proof.COUNT]
    short += [
        replace(whole, counts=(*whole.counts[:place], number - 1, *whole.counts[place + 1 :]))
        for place, number in enumerate(numbers)
        if number is not None
    ]
    return short


def stands_on(steps: tuple[Step, ...]) -> dict[str, set[str]]:
    """By key, every step that must be done before it, through any number of others; steps are listed in no order that is trusted."""
    arrows = {step.key: {*step.after, *([step.within] if step.within else [])} for step in steps}
    for step in steps:
        arrows[step.key] |= {closed for closed in step.closes if closed in arrows}
    while True:
        more = {key: needs.union(*(arrows[need] for need in needs)) for key, needs in arrows.items()}
        if more == arrows:
            return arrows
        arrows = more


@dataclass
class Assembled:
    """An engine on its way, or signed from first to last."""

    steps: tuple[Step, ...]
    route: Route
    job: Job
    clock: dt.datetime = START

    @property
    def progress(self) -> Progress:
        return progress_of(self.route, self.job)

    def codes(self, progress: Progress, key: str, given: Given, wait_s: float = 1.0) -> list[str]:
        """Why a signature is refused; nothing where it would be taken."""
        try:
            sign(progress, key, given, by="R. Quill", when=self.clock + dt.timedelta(seconds=wait_s))
        except BlockwrightError as refused:
            return [problem.code for problem in refused.problems]
        return []

    def sign(self, key: str) -> None:
        self.clock += dt.timedelta(seconds=1.0)
        given = given_for(self.route.by_key[key])
        self.job = with_signing(self.job, sign(self.progress, key, given, by="R. Quill", when=self.clock))

    def open_after_undoing(self, key: str) -> set[str]:
        row = undo(self.progress, key, by="R. Quill", when=self.clock, why="a slip")
        return {each.step.key for each in progress_of(self.route, with_signing(self.job, row)).left}


def begun(name: str) -> Assembled:
    steps = without_fits(ENGINES[name])
    return Assembled(steps, route_from(steps), replace(ENGINES[name], signings=()))


@pytest.fixture(scope="module")
def whole(request: pytest.FixtureRequest) -> Assembled:
    """Signed from first to last. On the way everything that must be refused is tried."""
    engine = begun(request.param)
    behind, done = stands_on(engine.steps), set()
    for step in engine.route.steps:
        progress = engine.progress
        for other in engine.steps:
            if other.key not in done and not behind[other.key] <= done:
                assert "sign-waits" in engine.codes(progress, other.key, given_for(other)), other.key
        for given in spoilt_for(step):
            [code] = engine.codes(progress, step.key, given)
            assert code in ("sign-count", "sign-photo", "sign-eyes"), step.key
        if step.within:
            begins = engine.route.by_key[step.within].open_time_s
            stood = (
                engine.clock - next(row.when for row in engine.job.signings if row.step == step.within)
            ).total_seconds()
            assert engine.codes(progress, step.key, given_for(step), begins - stood) == []
            assert engine.codes(progress, step.key, given_for(step), begins - stood + 1.0) == ["sign-late"]
        engine.sign(step.key)
        done.add(step.key)
    assert not engine.progress.left
    return engine


@pytest.mark.parametrize("whole", SOME, indirect=True)
class TestWholeEngines:
    def test_whatever_is_undone_opens_what_stands_on_it_and_nothing_else(self, whole: Assembled) -> None:
        behind = stands_on(whole.steps)
        for key in behind:
            assert whole.open_after_undoing(key) == {key} | {other for other in behind if key in behind[other]}

    def test_undoing_a_mock_up_or_a_wash_opens_every_later_pass(self, whole: Assembled) -> None:
        """What was measured before is what the final assembly stands on; what was washed before is what may be assembled."""
        final = {step.key for step in whole.steps if step.stage is Pass.FINAL}
        for step in whole.steps:
            if step.stage is Pass.MOCK_UP:
                assert final | {"strip: taken down", "strip: bench clean"} <= whole.open_after_undoing(step.key), (
                    step.key
                )
            elif step.stage is Pass.STRIP:
                assert final <= whole.open_after_undoing(step.key), step.key

    def test_a_count_or_a_photo_that_is_taken_back_opens_its_step(self, whole: Assembled) -> None:
        rows = whole.job.signings
        for place, row in enumerate(rows):
            for given in spoilt_for(whole.route.by_key[row.step]):
                spoilt = (*rows[:place], replace(row, given=given), *rows[place + 1 :])
                states = progress_of(whole.route, replace(whole.job, signings=spoilt)).states
                assert not states[row.step].done, row.step

    def test_no_hold_point_is_struck(self, whole: Assembled) -> None:
        steps = steps_for(whole.job)
        holds = [step.key for step in steps if step.evidence]
        assert len(holds) > len(whole.steps) // 3
        changes = [StepChange(key=key, struck=True, by="R. Quill", why="in a hurry") for key in holds]
        faults = change_faults(steps, changes)
        assert [(changes[fault.index].key, fault.problem.code) for fault in faults] == [
            (key, "step-hold") for key in holds
        ]


@pytest.mark.parametrize("whole", ["harbour"], indirect=True)
def test_two_pistons_that_change_places_open_what_they_went_through(whole: Assembled) -> None:
    """Cylinders 2 and 3: their bench, wash, rings, pins and bores; and nothing that a piston has no part in."""
    places = {2: whole.job.in_cylinder(3).piston, 3: whole.job.in_cylinder(2).piston}
    sheet = whole.job.sheet
    cylinders = tuple(replace(held, piston=places.get(held.number, held.piston)) for held in sheet.cylinder)
    swapped = replace(whole.job, sheet=replace(sheet, cylinder=cylinders))
    progress = progress_of(route_from(without_fits(swapped)), swapped)
    said = {
        key: "; ".join(state.reopened)
        for key, state in progress.states.items()
        if "took the place" in "".join(state.reopened)
    }
    for key in ("final: piston 2 on its rod", "final: rings on piston 2", "final: piston 2", "final: piston 3"):
        assert said[key], key
    assert not [key for key in said if key.endswith((" 1", " 4", "piston 1 on its rod", "piston 4 on its rod"))]
    assert progress.states["mock-up: crank"].done
    assert not progress.states["final: closed up"].done


@pytest.mark.parametrize("name", ENGINES)
def test_what_nobody_can_look_at_later_is_looked_at_by_two_or_counted(name: str) -> None:
    """The wash, the bags, the last look inside (common practice, no source)."""
    asked = {step.key: {(each.proof, each.number) for each in step.evidence} for step in steps_for(ENGINES[name])}
    for key in ("strip: block", "strip: crank"):
        assert (Proof.EYES, None) in asked[key], key
    assert (Proof.COUNT, ENGINES[name].engine.cylinders) in asked["strip: taken down"]
    assert Proof.COUNT in {proof for proof, _ in asked["strip: bench clean"]}
    if "final: sump" in asked:
        assert {Proof.EYES, Proof.COUNT} <= {proof for proof, _ in asked["final: sealant on the sump"]}


@pytest.mark.parametrize("name", ["harbour", "hillclimb", "belt", "split, pushrods"])
def test_a_head_is_the_last_chance_to_measure_the_deck(name: str) -> None:
    """Whoever puts a head on covers the pistons under it."""
    heads = [step for step in steps_for(ENGINES[name]) if step.key.startswith("final: head")]
    covered = {closed for step in heads for closed in step.closes}
    assert {f"piston to deck, cylinder {n + 1}" for n in range(ENGINES[name].engine.cylinders)} <= covered
