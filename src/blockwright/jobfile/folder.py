"""The job folder: read in one pass with every problem listed.

Files: `job.toml`, `gauges.toml`, `readings.csv`, `passes.csv`, `record.csv`, `route.csv`. The first three must be there.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from blockwright.engine.filing import Pass
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.rules import Record
from blockwright.engine.steps import Signing
from blockwright.jobfile import passes_csv, readings_csv, record_csv, route_csv
from blockwright.jobfile.checks_gauges import gauge_problems, mark_problems
from blockwright.jobfile.checks_readings import reading_problems
from blockwright.jobfile.checks_record import record_problems
from blockwright.jobfile.checks_route import step_problems
from blockwright.jobfile.checks_sheet import engine_problems, part_problems, sheet_problems
from blockwright.jobfile.known import Known
from blockwright.jobfile.table import Form, Row, read_table, unfit_cells
from blockwright.jobfile.textfile import read_text
from blockwright.jobfile.toml_read import read_toml
from blockwright.problems import BlockwrightError, Place, Problem

JOB_FILE, GAUGE_FILE = "job.toml", "gauges.toml"
FILES = (JOB_FILE, GAUGE_FILE, readings_csv.FILE, passes_csv.FILE, record_csv.FILE, route_csv.FILE)
MOST_TOLD = 200
MOST_FOUND = 2000
LONGEST_TOLD = 800


@dataclass(frozen=True)
class JobFolder:
    """A job as read: where it lies, the job, the text of each file, and how its tables are laid out."""

    path: Path
    job: Job
    texts: Mapping[str, str]
    forms: Mapping[str, Form]


def _printable(text: str) -> str:
    """The text without signs that do not print, cut where it is long."""
    if text.isprintable() and len(text) <= LONGEST_TOLD:
        return text
    cut = text if len(text) <= LONGEST_TOLD else f"{text[:LONGEST_TOLD]}…"
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in cut)


class _Enough(Exception):  # noqa: N818 - not an error: so much is wrong that the rest need not be looked at
    """More problems than anybody would read."""


class _Problems(list[Problem]):
    """A list that ends the reading when it is long, so that no input takes long to refuse."""

    def append(self, problem: Problem, /) -> None:
        super().append(replace(problem, what=_printable(problem.what), mend=_printable(problem.mend)))
        if len(self) > MOST_FOUND:
            raise _Enough

    def extend(self, problems: Iterable[Problem], /) -> None:
        for problem in problems:
            self.append(problem)


@dataclass
class _Reading:
    """A folder on its way to a job."""

    path: Path
    problems: _Problems = field(default_factory=_Problems)
    texts: dict[str, str] = field(default_factory=dict)
    forms: dict[str, Form] = field(default_factory=dict)

    def job(self) -> Job:
        """The job, as far as it can be read; every fault goes to the problems."""
        sheet, sheet_at, self.texts[JOB_FILE] = read_toml(self.path / JOB_FILE, JobSheet, FORMAT, self.problems)
        gauges, gauges_at, self.texts[GAUGE_FILE] = read_toml(
            self.path / GAUGE_FILE, GaugeSheet, GAUGE_FORMAT, self.problems
        )
        job = Job(sheet, gauges)
        engine_problems(job, sheet_at)
        part_problems(job, sheet_at)
        mark_problems(gauges, gauges_at)
        known = Known(job, sheet_at, gauges_at)
        sheet_problems(known)
        gauge_problems(known, gauges_at)
        rows = self._table(readings_csv.FILE, readings_csv.COLUMNS, readings_csv.REQUIRED)
        reads = readings_csv.readings_from(rows, known.gauges.whole(), self.problems)
        self.problems.extend(reading_problems(known, reads))
        entries = self._passes(known)
        records = self._records(known)
        job = Job(sheet, gauges, tuple(read.reading for read in reads), records, entries, self._signings())
        if not self.problems:
            step_problems(job, sheet_at)
        return job

    def _passes(self, known: Known) -> tuple[Pass, ...]:
        rows = self._table_if_there(passes_csv.FILE, passes_csv.COLUMNS, passes_csv.REQUIRED)
        found = passes_csv.passes_from(rows, known.gauges.whole(), self.problems)
        gaps = [each.read for each in found]
        self.problems.extend(passes_csv.in_columns(list(reading_problems(known, gaps))))
        return tuple(each.entry for each in found)

    def _records(self, known: Known) -> tuple[Record, ...]:
        rows = self._table_if_there(record_csv.FILE, record_csv.COLUMNS, record_csv.REQUIRED)
        records = record_csv.records_from(rows, self.problems)
        self.problems.extend(record_problems(known, records))
        return records

    def _signings(self) -> tuple[Signing, ...]:
        rows = self._table_if_there(route_csv.FILE, route_csv.COLUMNS, route_csv.REQUIRED)
        return route_csv.signings_from(rows, self.problems)

    def _table_if_there(self, file: str, columns: tuple[str, ...], required: tuple[str, ...]) -> tuple[Row, ...]:
        return self._table(file, columns, required) if os.path.lexists(self.path / file) else ()

    def _table(self, file: str, columns: tuple[str, ...], required: tuple[str, ...]) -> tuple[Row, ...]:
        try:
            self.texts[file] = read_text(self.path / file)
        except BlockwrightError as error:
            self.problems.extend(error.problems)
            return ()
        rows, form = read_table(self.texts[file], file, columns, required, self.problems)
        if form is not None:
            self.forms[file] = form
        for row in rows:
            self.problems.extend(unfit_cells(row, file))
        return rows


def read_folder(path: Path) -> JobFolder:
    """Read a job folder. Raises BlockwrightError with all problems of all files, in the order of files and lines."""
    _check_is_folder(path)
    reading = _Reading(path)
    try:
        job = reading.job()
    except _Enough:
        raise BlockwrightError(_told(reading.problems)) from None
    if reading.problems:
        raise BlockwrightError(_told(reading.problems))
    return JobFolder(path, job, reading.texts, reading.forms)


def _check_is_folder(path: Path) -> None:
    mend = "Give the folder of a job, or make one with 'blockwright new'."
    try:
        if path.is_dir():
            return
        what = f"{path} is a file, not a folder." if path.exists() else f"there is no folder {path}."
    except OSError as fault:
        what = f"the folder cannot be looked into: {fault.strerror or 'the disk does not say why'}."
    raise BlockwrightError(Problem("folder-missing", what, mend, Place(path.name or str(path))))


def _told(problems: list[Problem]) -> list[Problem]:
    """The problems in the order of files and lines; beyond two hundred they are only counted."""
    order = {file: index for index, file in enumerate(FILES)}
    ordered = sorted(problems, key=lambda problem: (order.get(problem.place.file, len(order)), problem.place.line))
    more = ordered[MOST_TOLD:]
    if len(more) < 2:
        return ordered
    count = f"more than {MOST_FOUND - MOST_TOLD}" if len(problems) > MOST_FOUND else f"{len(more)}"
    return [
        *ordered[:MOST_TOLD],
        Problem("more", f"{count} more problems follow.", "Mend these first.", Place(more[0].place.file)),
    ]
