"""Faults of the builder's changes to the route: steps that are not there, circles, hold points that were struck."""

from __future__ import annotations

from blockwright.choices.route.graph import change_faults
from blockwright.choices.route.whole import steps_of
from blockwright.engine.job import Job
from blockwright.jobfile.where import Where


def step_problems(job: Job, where: Where) -> None:
    """Put down every change that cannot be, at its place. Only for a job without other faults, from which the route is made."""
    if not job.sheet.step:
        return
    for fault in change_faults(steps_of(job), job.sheet.step):
        where.at("step", fault.index, fault.field).put(fault.problem)
