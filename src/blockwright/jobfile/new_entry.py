"""One more entry for a job that is open: read and checked like a row of the file, before anything is written."""

from __future__ import annotations

from collections.abc import Mapping

from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.jobfile.checks_readings import reading_problems
from blockwright.jobfile.known import Known
from blockwright.jobfile.passes_csv import in_columns, passes_from
from blockwright.jobfile.table import Row
from blockwright.jobfile.toml_lines import Lines
from blockwright.jobfile.where import Where
from blockwright.problems import BlockwrightError, Problem


def entry_from(job: Job, cells: Mapping[str, str]) -> Pass:
    """An entry at the ring grinder from its cells. Raises BlockwrightError with all its problems."""
    problems: list[Problem] = []
    found = passes_from([Row(dict(cells), 0)], job.gauges, problems)
    known = Known(job, Where("", Lines(""), problems), Where("", Lines(""), problems))
    problems.extend(in_columns(list(reading_problems(known, [each.read for each in found]))))
    if problems:
        raise BlockwrightError(problems)
    return found[0].entry
