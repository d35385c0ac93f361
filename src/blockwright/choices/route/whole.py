"""The route of a job: its steps with the builder's changes, and how far it has got."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockwright.choices.route.evidence import NOTHING_LOST
from blockwright.choices.route.graph import Route, route_from
from blockwright.choices.route.own import evidence_faults
from blockwright.choices.route.progress import Progress, progress_of
from blockwright.choices.route.step import Step
from blockwright.engine.job import Job
from blockwright.problems import BlockwrightError


def steps_of(job: Job) -> Sequence[Step]:
    """The steps of a job's engine before any change of the builder's."""
    from blockwright.choices.route.content import steps_for  # most commands do not need its words

    return steps_for(job)


def route_of(job: Job) -> Route:
    """The route of a job. Raises BlockwrightError with every change of the builder's that cannot be."""
    faults = tuple(evidence_faults(job))
    if faults:
        raise BlockwrightError(each.problem.at(field=f"step {each.change + 1}, {each.field}") for each in faults)
    return route_from(steps_of(job), job.sheet.step)


def route_progress(job: Job, lost: Mapping[str, str] = NOTHING_LOST) -> Progress:
    """How far a job's assembly has got; `lost` are photos that are not what they were. Raises BlockwrightError as `route_of`."""
    return progress_of(route_of(job), job, lost)
