"""Whatever is signed, undone, swapped, withdrawn and edited, in whatever order: no hold point is ever passed over.

What the program says is held against a log that the test keeps of its own, without the program's graph, evidence or folding.
"""

import datetime as dt
from dataclasses import dataclass, replace

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from blockwright.choices.route.graph import change_faults, route_from
from blockwright.choices.route.progress import Progress, State, progress_of, sign, undo, with_signing
from blockwright.choices.route.step import Proof, Step
from blockwright.engine.job import Job
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record
from blockwright.engine.steps import Given, StepChange
from blockwright.fits.assessment import Standing
from blockwright.fits.registry import REGISTRY
from blockwright.problems import BlockwrightError
from blockwright.running.assess import judge

from .conftest import GIVEN, OPEN_TIME_S, ORDER, START, Bench, demo, steps_of

HARBOUR = demo("harbour")
LEANED_ON = {
    reading.id
    for step in steps_of(HARBOUR)
    for each in step.evidence
    if each.proof is Proof.FIT
    for _, size in judge(HARBOUR, REGISTRY[each.what], each.at).found.sizes
    for reading in size.readings
}
READ = [
    index for index, reading in enumerate(HARBOUR.readings)
    if reading.id in LEANED_ON or (reading.part == "P3" and reading.feature == "skirt")
]  # fmt: skip
EDITS = (
    StepChange(key="mine", name="Weigh it", after=("final: crank",), before=("final: rod 2",)),
    StepChange(key="mine", name="Weigh it", after=("final: sump",)),
    StepChange(key="mine", name="Weigh it", before=("mock-up: deck",)),
    StepChange(key="final: bead", after=("final: rod 2",)),
    StepChange(key="final: piston 2", after=("final: bead",)),
    StepChange(key="final: crank", after=("final: sump",)),
    *(StepChange(key=key, struck=True, by="R. Quill", why="in a hurry") for key in ORDER),
)
POOR = (
    Given(),
    Given((1,), ("clip.jpg",), "L. Marsh"),
    Given((2,), (), "L. Marsh"),
    Given((2,), ("c.jpg",), "r. quill"),
    Given(paint=(1,)),
)
HURRIED = OPEN_TIME_S / 6.0


@dataclass(frozen=True)
class Logged:
    """One thing that was signed, with what the test itself saw at that moment."""

    signed: bool
    key: str
    given: Given
    when: dt.datetime
    parts: tuple[str, ...] = ()
    batches: tuple[str, ...] = ()
    readings: frozenset[str] = frozenset()


class Assembly(RuleBasedStateMachine):
    """A builder who may do anything."""

    def __init__(self) -> None:
        super().__init__()
        self.bench = Bench(HARBOUR)
        self.clock = START
        self.log: list[Logged] = []
        self.known: tuple[Job, Progress] | None = None

    @initialize(hands=st.integers(0, 7))
    def begin(self, hands: int) -> None:
        self.work_on(hands)

    # What the test knows without asking the program.

    @property
    def steps(self) -> dict[str, Step]:
        made = {step.key: step for step in steps_of(self.bench.job)}
        struck = {change.key for change in self.bench.job.sheet.step if change.struck}
        return {key: step for key, step in made.items() if key not in struck}

    def before(self, key: str) -> set[str]:
        """Every step that must come before one, struck ones passed through."""
        direct: dict[str, set[str]] = {}
        for step in steps_of(self.bench.job):
            direct[step.key] = {
                *step.after,
                *([step.within] if step.within else []),
                *(c for c in step.closes if c in ORDER),
            }
        for change in self.bench.job.sheet.step:
            direct.setdefault(change.key, set()).update(change.after)
            for other in change.before:
                direct.setdefault(other, set()).add(change.key)
        found: set[str] = set()
        waiting = list(direct.get(key, ()))
        while waiting:
            each = waiting.pop()
            if each not in found:
                found.add(each)
                waiting += direct.get(each, ())
        return found - {change.key for change in self.bench.job.sheet.step if change.struck}

    def last(self, key: str) -> int | None:
        return next((i for i in reversed(range(len(self.log))) if self.log[i].key == key), None)

    def fits_do(self, step: Step) -> bool:
        for each in step.evidence:
            if each.proof is Proof.FIT:
                result = judge(self.bench.job, REGISTRY[each.what], each.at)
                if result.standing is not Standing.CONFORMS and result.record is None:
                    return False
        return True

    def batches(self, step: Step) -> tuple[str, ...]:
        return tuple(self.bench.job.parts[mark].batch for mark in step.parts)

    def rested_on(self, step: Step) -> frozenset[str]:
        results = [judge(self.bench.job, REGISTRY[e.what], e.at) for e in step.evidence if e.proof is Proof.FIT]
        return frozenset(r.id for result in results for _, size in result.found.sizes for r in size.readings)

    @property
    def progress(self) -> Progress:
        if self.known is None or self.known[0] is not self.bench.job:
            route = route_from(steps_of(self.bench.job), self.bench.job.sheet.step)
            self.known = (self.bench.job, progress_of(route, self.bench.job))
        return self.known[1]

    # What a builder may do.

    def _sign(self, key: str, given: Given) -> bool:
        self.clock += dt.timedelta(seconds=HURRIED)
        progress = self.progress
        try:
            signing = sign(progress, key, given, by="R. Quill", when=self.clock)
        except BlockwrightError:
            return False
        step = progress.route.by_key[key]
        self.bench.job = with_signing(self.bench.job, signing)
        seen = Logged(True, key, given, self.clock, step.parts, self.batches(step), self.rested_on(step))
        self.log.append(seen)
        return True

    @rule(hands=st.integers(1, 7))
    def work_on(self, hands: int) -> None:
        """Sign what can be done, with good evidence: it is refused for its fits alone, or for a sealant that has set."""
        for _ in range(hands):
            progress = self.progress
            now = progress.of(State.NOW)
            if not now:
                return
            step = now[0].step
            start = self.last(step.within) if step.within else None
            stood = (self.clock - self.log[start].when).total_seconds() + HURRIED if start is not None else 0.0
            may = self.fits_do(step) and stood <= OPEN_TIME_S
            assert self._sign(step.key, GIVEN.get(step.key, Given())) == may

    @rule(hands=st.integers(1, 8))
    def put_right_and_work_on(self, hands: int) -> None:
        """Every part, reading and limit as it was at first; what was signed and how the route was edited stays."""
        was = HARBOUR.sheet
        sheet = replace(self.bench.job.sheet, part=was.part, cylinder=was.cylinder, limit=was.limit)
        self.bench.job = replace(self.bench.job, sheet=sheet, readings=HARBOUR.readings, records=HARBOUR.records)
        self.work_on(hands)

    @rule(key=st.sampled_from(ORDER), given=st.sampled_from((*POOR, *GIVEN.values())))
    def sign_anything(self, key: str, given: Given) -> None:
        if key in self.progress.states:
            self._sign(key, given)

    @rule(key=st.sampled_from((*ORDER, "mine")))
    def undo_it(self, key: str) -> None:
        if key not in self.progress.states:
            return
        at = self.last(key)
        self.clock += dt.timedelta(seconds=1.0)
        try:
            row = undo(self.progress, key, by="R. Quill", when=self.clock, why="a slip")
        except BlockwrightError:
            assert at is None or not self.log[at].signed
            return
        self.bench.job = with_signing(self.bench.job, row)
        self.log.append(Logged(False, key, Given(), self.clock))

    @rule(other=st.sampled_from((1, 3, 4)))
    def swap_a_piston(self, other: int) -> None:
        self.bench.swap_pistons(2, other)

    @rule(mark=st.sampled_from(("P2", "C2", "CU2")), batch=st.sampled_from(("", "new")))
    def put_in_another_of_the_same_mark(self, mark: str, batch: str) -> None:
        sheet = self.bench.job.sheet
        parts = tuple(replace(part, batch=batch) if part.mark == mark else part for part in sheet.part)
        self.bench.job = replace(self.bench.job, sheet=replace(sheet, part=parts))

    @rule(index=st.sampled_from(READ), why=st.sampled_from(("", "a slip")))
    def withdraw_a_reading_or_take_that_back(self, index: int, why: str) -> None:
        self.bench.reading(index, withdrawn=why)

    @rule(low_m=st.sampled_from((None, 2e-4)))
    def tighten_a_limit(self, low_m: float | None) -> None:
        sheet = self.bench.job.sheet
        kept = tuple(each for each in sheet.limit if each.authority is not Authority.BUILDER)
        own = LimitRule(
            fit="wall clearance", at="cylinder 2", authority=Authority.BUILDER, by="R. Quill", why="hot duty",
            low_si=low_m, high_si=1e-3,
        )  # fmt: skip
        self.bench.job = replace(self.bench.job, sheet=replace(sheet, limit=kept if low_m is None else (*kept, own)))

    @rule(event=st.sampled_from(Accepted))
    def accept_the_fit(self, event: Accepted) -> None:
        result = judge(self.bench.job, REGISTRY["wall clearance"], steps_of(self.bench.job)[0].evidence[0].at)
        if result.found:
            value = result.estimate.value
            row = Record(1, event, "wall clearance", "cylinder 2", value, "x", "R. Quill", None, "it will do")
            self.bench.job = replace(self.bench.job, records=(*self.bench.job.records, row))

    @rule(change=st.sampled_from(EDITS), alone=st.booleans())
    def edit_the_route(self, change: StepChange, alone: bool) -> None:
        sheet = self.bench.job.sheet
        changes = (change,) if alone else (*(c for c in sheet.step if c.key != change.key), change)
        faults = change_faults(steps_of(self.bench.job), changes)
        hold = any(step.key == change.key and step.evidence for step in steps_of(self.bench.job))
        assert not (change.struck and hold) or faults
        if not faults:
            self.bench.job = replace(self.bench.job, sheet=replace(sheet, step=changes))

    @rule()
    def take_a_break(self) -> None:
        self.clock += dt.timedelta(seconds=OPEN_TIME_S)

    # What must always hold.

    @invariant()
    def no_hold_point_is_passed_over(self) -> None:
        """A step that is done has every step before it done, and each of those signed before it."""
        states = self.progress.states
        for key, state in states.items():
            if not state.done:
                continue
            mine = self.last(key)
            assert mine is not None
            assert self.log[mine].signed
            for other in self.before(key):
                assert states[other].done, f"{key} is done and {other} is not"
                theirs = self.last(other)
                assert theirs is not None
                assert theirs < mine, f"{other} was signed after {key}"

    @invariant()
    def evidence_is_there_and_is_what_it_was(self) -> None:
        for key, state in self.progress.states.items():
            at = self.last(key)
            if not state.done or at is None:
                continue
            seen, step = self.log[at], state.step
            assert seen.parts == step.parts
            assert seen.batches == self.batches(step)
            assert self.fits_do(step)
            counting = {reading.id for reading in self.bench.job.readings if not reading.withdrawn}
            assert seen.readings <= counting
            asked = {each.proof for each in step.evidence}
            assert Proof.COUNT not in asked or seen.given.counts == (2,)
            assert Proof.PAINT not in asked or seen.given.paint == (2,)
            assert Proof.PHOTO not in asked or all(seen.given.photos)
            assert Proof.PHOTO not in asked or seen.given.photos
            assert Proof.EYES not in asked or seen.given.eyes == "L. Marsh"

    @invariant()
    def sealants_were_caught_open(self) -> None:
        for key, state in self.progress.states.items():
            if state.done and state.step.within:
                mine, start = self.last(key), self.last(state.step.within)
                assert mine is not None
                assert start is not None
                stood = (self.log[mine].when - self.log[start].when).total_seconds()
                assert 0.0 <= stood <= OPEN_TIME_S

    @invariant()
    def every_open_step_says_what_it_waits_for(self) -> None:
        for state in self.progress.states.values():
            assert (state.state is State.WAITS) == bool(state.waits_for) or state.done
            at = self.last(state.step.key)
            assert state.done or at is None or state.reopened


Assembly.TestCase.settings = settings(stateful_step_count=30)
TestAssembly = Assembly.TestCase
