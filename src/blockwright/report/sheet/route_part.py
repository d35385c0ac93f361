"""The route of a sheet: each step with what it asks for and whose signature stands under it; and how each joint is tightened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from blockwright.choices.route.evidence import will_do
from blockwright.choices.route.graph import evidence_words
from blockwright.choices.route.progress import Progress, StepState
from blockwright.choices.route.step import Proof, Step
from blockwright.choices.route.torque import tightening
from blockwright.engine.fasteners import Joint
from blockwright.engine.job import Job
from blockwright.engine.positions import ENGINE, Position
from blockwright.engine.steps import Given
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.report.sheet.fit_part import together
from blockwright.report.sheet.picture_part import Shown

Judged = Mapping[tuple[str, Position], FitResult]


@dataclass(frozen=True)
class StepLine:
    """One step: what it asks for before it can be signed, what was handed in, who signed and when; empty where nobody did.

    `again` says why a signature no longer holds.
    """

    name: str
    asks: str
    handed_in: str
    by: str
    when: str
    again: str


@dataclass(frozen=True)
class StepGroup:
    """Steps under one heading."""

    name: str
    steps: tuple[StepLine, ...]


@dataclass(frozen=True)
class Stage:
    """One pass of the engine through the builder's hands, and how far it has got."""

    name: str
    done: str
    groups: tuple[StepGroup, ...]


@dataclass(frozen=True)
class JointLine:
    """How one joint is tightened; `picture` shows in which order, where there is one."""

    joint: str
    lines: tuple[str, ...]
    lubricant: str
    picture: Shown | None


def stages(progress: Progress, assessment: Assessment) -> tuple[Stage, ...]:
    """The whole route, pass by pass; fits that a step asks for stand as `assessment` has judged them."""
    judged = {(result.fit.name, result.position): result for result in assessment.results}
    passes = groupby(progress.states.values(), key=lambda state: state.step.stage)
    return tuple(_stage(progress, judged, str(stage), list(states)) for stage, states in passes)


def _stage(progress: Progress, judged: Judged, name: str, states: list[StepState]) -> Stage:
    done = sum(state.done for state in states)
    groups = groupby(states, key=lambda state: state.step.group)
    told = tuple(StepGroup(group, tuple(_line(progress, judged, state) for state in each)) for group, each in groups)
    return Stage(name, f"{done} of {len(states)} steps signed", told)


def _line(progress: Progress, judged: Judged, state: StepState) -> StepLine:
    step, signing = state.step, state.signing
    asks = "; ".join(_asks(progress, judged, step))
    if signing is None or not (state.done or state.reopened):
        return StepLine(step.name, asks, "", "", "", "; ".join(state.reopened))
    handed_in = "; ".join((*_handed_in(signing.given), *([signing.note] if signing.note else [])))
    return StepLine(step.name, asks, handed_in, signing.by, f"{signing.when:%Y-%m-%d %H:%M}", "; ".join(state.reopened))


def _asks(progress: Progress, judged: Judged, step: Step) -> Iterator[str]:
    """Fits by name, with how many of them will not do yet; everything else in its own words."""
    fits = [each for each in step.evidence if each.proof is Proof.FIT]
    if fits:
        found = (
            judged.get((each.what, each.at or ENGINE)) or progress.standings.of(each.what, each.at) for each in fits
        )
        lacking = sum(not will_do(result) for result in found)
        where: dict[str, list[str]] = {}
        for each in fits:
            elsewhere = each.at is not None and each.at.label and each.at != step.at
            where.setdefault(each.what, []).extend([str(each.at)] if elsewhere else [])
        names = ", ".join(f"{name} ({together(at)})" if at else name for name, at in where.items())
        yield f"{names}: {f'{lacking} not yet' if lacking else 'good'}"
    yield from (evidence_words(each) for each in step.evidence if each.proof is not Proof.FIT)


def _handed_in(given: Given) -> Iterator[str]:
    if given.counts:
        yield f"counted {', '.join(map(str, given.counts))}"
    if given.photos:
        yield f"photo {', '.join(given.photos)}"
    if given.paint:
        yield f"marked {', '.join(map(str, given.paint))}"
    if given.eyes:
        yield f"seen by {given.eyes}"


def joints(job: Job, orders: Mapping[Joint, Shown]) -> tuple[JointLine, ...]:
    """Every joint of which the job says how it is tightened, with the picture of its order."""
    told = [tightening(job, each.joint) for each in job.sheet.fastener]
    return tuple(
        JointLine(
            str(each.joint),
            tuple(line.removeprefix(f"{each.joint}: ") for line in each.lines),
            each.lubricant,
            orders.get(each.joint),
        )
        for each in told
    )
