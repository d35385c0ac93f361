"""Faults of the builder's changes to the route: steps that are not there, circles, hold points that were struck, evidence that cannot be had."""

from __future__ import annotations

from blockwright.choices.route.graph import change_faults
from blockwright.choices.route.own import evidence_faults
from blockwright.choices.route.whole import steps_of
from blockwright.engine.job import Job
from blockwright.jobfile.where import Where


def step_problems(job: Job, where: Where) -> None:
    """Put down every change that cannot be, at its place. Only for a job without other faults, from which the route is made."""
    if not job.sheet.step:
        return
    for fault in change_faults(steps_of(job), job.sheet.step):
        where.at("step", fault.index, fault.field).put(fault.problem)
    for each in evidence_faults(job):
        here = where.at("step", each.change, "evidence")
        (here if each.piece is None else here.at(each.piece, each.field)).put(each.problem)
