"""Facts of the assembly and of the bolts that contradict each other or the engine."""

from __future__ import annotations

from collections.abc import Iterable

from blockwright.engine.fasteners import Joint
from blockwright.engine.positions import Place
from blockwright.jobfile.known import Known
from blockwright.jobfile.where import Where
from blockwright.problems import Problem


def assembly_problems(known: Known) -> None:
    """Put down every contradiction at its place; where the layout of the engine is at fault the assembly is not gone into."""
    job, where = known.job, known.sheet_at
    if known.positions(Place.CYLINDER) is not None:
        _put(job.sheet.assembly.faults(job.engine), where.at("assembly"))
    seen: set[Joint] = set()
    for index, told in enumerate(job.sheet.fastener):
        here = where.at("fastener", index)
        _put(told.faults(), here)
        if not here.at("joint").sound:
            continue
        if told.joint in seen:
            here.at("joint").say("fastener-twice", f"'{told.joint}' is there twice.", "Make one of the two.")
        seen.add(told.joint)


def _put(faults: Iterable[Problem], here: Where) -> None:
    for fault in faults:
        field = here.at(fault.place.field.split(".")[-1])
        if field.sound:
            field.put(fault)
