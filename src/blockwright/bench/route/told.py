"""One step as its page tells it: what to do, what it needs, and each piece of evidence with what a refusal of it begins with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils.safestring import SafeString

from blockwright.bench.drawn import inline
from blockwright.bench.fit.told import where_read
from blockwright.bench.route.overview import line_of, tone_of_step
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone, tone_of
from blockwright.bench.verdicts import name_of
from blockwright.choices.route.evidence import looked_at, will_do
from blockwright.choices.route.graph import evidence_words
from blockwright.choices.route.progress import Progress, State, StepState
from blockwright.choices.route.step import Evidence, Proof, Step
from blockwright.engine.fasteners import Joint
from blockwright.engine.job import Job
from blockwright.engine.steps import Signed
from blockwright.fits.assessment import FitResult, Standing
from blockwright.jobfile.attachments import FROM, KEPT
from blockwright.ledger.models import Book
from blockwright.report.fineness import limits_fineness
from blockwright.report.pictures.torque_order import joint_order
from blockwright.report.route_words import fit_words, open_time_words, opens_again, state_words
from blockwright.report.rows import Row, limits_text, row, wanted_unit

ENTRY, STUCK = "Rings into the bore", "Too tight, the piston"
LOOK_MEND = "Write a limit down on its page; or look at it, and give your reason here."
FIT_MEND = {
    Standing.UNDECIDED: "Measure again, or accept it on judgement on its page.",
    Standing.NONCONFORMING: "Put it right, or sign a concession on its page.",
    Standing.UNLIMITED: LOOK_MEND,
}
BEGINS = {
    Proof.COUNT: "{what}:", Proof.PAINT: "{what}:", Proof.PHOTO: "photo of {what}:", Proof.EYES: "{what}:",
}  # fmt: skip
FIELD = {Proof.COUNT: "counts", Proof.PAINT: "paint", Proof.PHOTO: "photos", Proof.EYES: "eyes", Proof.FIT: "looks"}


@dataclass(frozen=True)
class Item:
    """One piece of evidence. `begins` is what a refusal of it begins with; `field` the word of the act that holds its answer."""

    number: int
    evidence: Evidence
    field: str
    words: str
    begins: str


@dataclass(frozen=True)
class ToRead:
    """A reading that a fit still lacks, and where it is taken."""

    words: str
    to: str


@dataclass(frozen=True)
class FitItem:
    """A fit that a step asks for: as a row with its mark, whether it will do, and what it lacks."""

    result: FitResult
    row: Row
    name: str
    limits: str
    words: str
    tone: Tone
    look: bool
    begins: str
    mend: str
    missing: tuple[ToRead, ...]


def told(book: Book, job: Job, progress: Progress, state: StepState) -> dict[str, Any]:
    """The context of a step's page."""
    step = state.step
    entry, work = _parted(step.do)
    fits = [fit_item(book, progress, state, each) for each in step.evidence if each.proof is Proof.FIT]
    return {
        "state": state, "step": step, "state_words": state_words(state), "say": said(state),
        "needs": [line_of(book, progress.states[key]) for key in progress.route.needs[step.key]],
        "then": [line_of(book, progress.states[key]) for key in progress.route.waiting[step.key]],
        "beyond": len(progress.route.beyond(step.key)),
        "chances": [each for each in progress.last_chances if each.step.key == step.key],
        "entry": entry, "work": work, "clock": open_time_words(progress, step),
        "orders": orders(job, step),
        "fits": fits, "to_read": list(dict.fromkeys(lack for fit in fits for lack in fit.missing)),
        "items": items(step), "opens": [line_of(book, progress.states[each.key]) for each in opens_again(progress, step.key)],
        "signed": state.signing if state.signing is not None and state.signing.event is Signed.SIGNED else None,
        "photos": photos_of(book, state),
    }  # fmt: skip


def said(state: StepState) -> Say:
    """The one sentence of a step's page."""
    how = state_words(state)
    if state.reopened:
        how = f"{how} It opened again: {'; '.join(state.reopened)}."
    return Say(
        tone_of_step(state) if state.done or state.reopened else Tone.PLAIN if state.state is State.NOW else Tone.OPEN,
        state.step.name,
        how,
    )


def items(step: Step) -> list[Item]:
    """Everything but fits that a step asks for, in its order; `number` counts those of one kind."""
    counted: dict[Proof, int] = {}
    made = []
    for each in step.evidence:
        if each.proof is not Proof.FIT:
            number = counted[each.proof] = counted.get(each.proof, -1) + 1
            begins = BEGINS[each.proof].format(what=each.what)
            made.append(Item(number, each, FIELD[each.proof], evidence_words(each), begins))
    return made


def fit_item(book: Book, progress: Progress, state: StepState, each: Evidence) -> FitItem:
    """One fit that a step asks for."""
    job, result = progress.standings.job, progress.standings.of(each.what, each.at)
    unit = wanted_unit(job, result.fit)
    fineness = limits_fineness([result], unit)
    look = looked_at(result, state.signing.given.looks) if state.signing is not None and state.done else None
    good = will_do(result) or look is not None
    return FitItem(
        result, row(result, unit, fineness), name_of(result), limits_text(result.limits, result.fit, unit, fineness),
        fit_words(each, progress, state), tone_of(result), not good and result.standing is Standing.UNLIMITED,
        f"{name_of(result)} will not do yet:", FIT_MEND.get(result.standing, ""),
        tuple(ToRead(str(lack), where_read(book, job, lack)) for lack in result.missing),
    )  # fmt: skip


def orders(job: Job, step: Step) -> list[SafeString]:
    """The drawn order of each joint that a step tightens."""
    joints = [joint for joint in Joint if any(line.startswith(f"{joint}: ") for line in step.torque)]
    return [inline(svg) for joint in joints if (svg := joint_order(job, joint))]


@dataclass(frozen=True)
class Photo:
    """A photo of a signature: its address, and the name that it came with."""

    to: str
    name: str


def photos_of(book: Book, state: StepState) -> list[Photo]:
    """The photos that lie under the last signature of a step."""
    named = state.signing.given.photos if state.signing is not None else ()
    parted = [each.partition(FROM) for each in named]
    return [
        Photo(reverse("photo", kwargs={"book": book.slug, "name": kept}), came or kept)
        for kept, _, came in parted
        if KEPT.fullmatch(kept)
    ]


def _parted(do: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """Help with rings, and the rest of the work."""
    start = next((index for index, line in enumerate(do) if line.startswith(ENTRY)), None)
    if start is None:
        return [], list(do)
    end = next((index for index, line in enumerate(do) if line.startswith(STUCK)), start)
    return list(do[start : end + 1]), [*do[:start], *do[end + 1 :]]
