"""One more entry for a job that is open: read and checked like a row of the file, before anything is written."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.jobfile.checks_readings import reading_problems
from blockwright.jobfile.known import Known
from blockwright.jobfile.passes_csv import COLUMNS, PassRead, in_columns, passes_from
from blockwright.jobfile.table import Row
from blockwright.jobfile.toml_lines import Lines
from blockwright.jobfile.where import Where
from blockwright.problems import BlockwrightError, Problem

NO_UNIT = "quantity-no-unit"


def entry_from(job: Job, cells: Mapping[str, str], usual_unit: str = "") -> Pass:
    """An entry at the ring grinder from its cells; a gap without a unit is in `usual_unit`, where that is given.

    Raises BlockwrightError with all its problems.
    """
    found, problems = _read(job, cells)
    if usual_unit and any(problem.code == NO_UNIT and problem.place.field == "gap" for problem in problems):
        found, problems = _read(job, {**cells, "unit": usual_unit})
    if problems:
        raise BlockwrightError(problems)
    return found[0].entry


def cell_problems(job: Job, cells: Mapping[str, str], column: str) -> tuple[Problem, ...]:
    """What is wrong with one cell of an entry that is not whole yet."""
    return tuple(problem for problem in _read(job, cells)[1] if problem.place.field == column)


def free_id(job: Job) -> str:
    """A number for the next entry that no other bears."""
    taken = {each.reading.id for each in job.passes}
    return next(name for number in range(len(taken) + 1, 2 * len(taken) + 2) if (name := f"p{number}") not in taken)


def _read(job: Job, cells: Mapping[str, str]) -> tuple[Sequence[PassRead], list[Problem]]:
    problems: list[Problem] = []
    found = passes_from([Row({**dict.fromkeys(COLUMNS, ""), **cells}, 0)], job.gauges, problems)
    known = Known(job, Where("", Lines(""), problems), Where("", Lines(""), problems))
    problems.extend(in_columns(list(reading_problems(known, [each.read for each in found]))))
    return found, problems
