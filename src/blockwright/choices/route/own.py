"""What the builder's own steps ask for before they can be signed, and what cannot be asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockwright.choices.route.naming import meant
from blockwright.choices.route.step import Evidence, Proof
from blockwright.engine.job import Job
from blockwright.engine.layout import Engine
from blockwright.engine.positions import ENGINE, position
from blockwright.engine.steps import OwnEvidence, StepChange
from blockwright.fits.registry import REGISTRY
from blockwright.problems import Problem, excerpt

MOST_COUNTED = 999_999
MOST_LISTED = 8


@dataclass(frozen=True)
class EvidenceFault:
    """What is wrong with a piece of evidence: which change, which piece (`None` for all of them), its field, and the problem."""

    change: int
    piece: int | None
    field: str
    problem: Problem


def own_evidence(change: StepChange) -> tuple[Evidence, ...]:
    """What a step of the builder's own asks for."""
    return tuple(_evidence(each) for each in change.evidence)


def evidence_faults(job: Job) -> Iterator[EvidenceFault]:
    """Everything that the builder's steps ask for and that cannot be had in this engine."""
    for index, change in enumerate(job.sheet.step):
        if change.evidence and not change.name:
            what = f"'{excerpt(change.key)}' is not a step of your own: what it asks for is settled."
            mend = "Ask for it at a step of your own, before or after it."
            yield EvidenceFault(index, None, "evidence", Problem("step-evidence", what, mend))
            continue
        for piece, each in enumerate(change.evidence):
            for field, problem in _faults(job.engine, each):
                yield EvidenceFault(index, piece, field, problem)
            if any(_same(each, other) for other in change.evidence[:piece]):
                problem = Problem("step-evidence", "the same is asked for twice.", "Strike one of the two out.")
                yield EvidenceFault(index, piece, "what", problem)


def _evidence(told: OwnEvidence) -> Evidence:
    if told.proof is Proof.FIT:
        return Evidence(told.proof, told.what, position(told.at) if told.at else ENGINE)
    return Evidence(told.proof, told.what, number=told.number)


def _same(one: OwnEvidence, other: OwnEvidence) -> bool:
    return one.proof is other.proof and _evidence(one) == _evidence(other)


def _faults(engine: Engine, told: OwnEvidence) -> Iterator[tuple[str, Problem]]:
    if not told.what.strip():
        yield "what", Problem("step-evidence", f"a {told.proof} of what?", "Write it into 'what'.")
        return
    if told.proof is Proof.FIT:
        yield from _fit_faults(engine, told)
    elif told.at:
        what = f"'at' is where a fit is, and this is a {told.proof}."
        yield "at", Problem("step-evidence", what, "Say it in 'what'.")
    if told.number is None:
        return
    if told.proof not in (Proof.COUNT, Proof.PAINT):
        what = f"'number' is how many are counted or marked, and this is a {told.proof}."
        yield "number", Problem("step-evidence", what, "Leave it out.")
    elif not 0 <= told.number <= MOST_COUNTED:
        yield "number", Problem("step-evidence", f"{told.number} is no count.", f"Write 0 to {MOST_COUNTED}.")


def _fit_faults(engine: Engine, told: OwnEvidence) -> Iterator[tuple[str, Problem]]:
    fit = REGISTRY.get(told.what)
    if fit is None:
        mend = meant(told.what, REGISTRY) or "The fits are shown by 'blockwright fits JOB --all'."
        yield "what", Problem("step-evidence", f"there is no fit '{excerpt(told.what)}'.", mend)
        return
    known = [str(at) for at in fit.positions(engine)]
    if not known:
        what = f"this engine has no {fit.name}."
        yield "what", Problem("step-evidence", what, "Leave it out.")
    elif str(position(told.at) if told.at else ENGINE) not in known:
        what = (
            f"{fit.name} has no '{excerpt(told.at)}' in this engine." if told.at else f"{fit.name}: 'at' says nothing."
        )
        yield "at", Problem("step-evidence", what, meant(told.at, known) or f"Possible: {_listed(known)}.")


def _listed(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST_LISTED} more" if len(names) > MOST_LISTED else ""
    return ", ".join(names[:MOST_LISTED]) + more
