"""The builder's own changes to the route, as their page lists them and as its forms offer them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blockwright.choices.route.progress import Progress
from blockwright.engine.job import Job
from blockwright.engine.steps import Proof, StepChange
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.toml_write import plain
from blockwright.report.route_words import some

PIECES = range(1, 4)
"""Pieces of evidence that the form for a step of one's own takes."""


@dataclass(frozen=True)
class Change:
    """One change as listed: its place in the list, and what it does in words."""

    index: int
    change: StepChange
    words: str
    why: str


def own(job: Job, progress: Progress) -> dict[str, Any]:
    """The context of the page."""
    listed = plain(job.sheet).get("step", [])
    return {
        "changes": [Change(index, each, change_words(each), each.why) for index, each in enumerate(job.sheet.step)],
        "listed": listed,
        "steps": [state.step for state in progress.states.values()],
        "proofs": [str(each) for each in Proof],
        "fits": [fit.name for fit in REGISTRY.values() if fit.applies(job.engine)],
        "pieces": PIECES,
    }


def change_words(change: StepChange) -> str:
    """`added: Look at the dowels, after 'final: crank'`."""
    if change.struck:
        return f"struck: '{change.key}', by {change.by}"
    where = [f"{word} {some(keys)}" for word, keys in (("after", change.after), ("before", change.before)) if keys]
    what = f"added: {change.name}" if change.name else f"moved: '{change.key}'"
    return ", ".join([what, *where])
