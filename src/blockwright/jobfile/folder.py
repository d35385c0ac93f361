"""The job folder: read in one pass with every problem listed, and written back without loss.

Files: `job.toml`, `gauges.toml`, `readings.csv`, `record.csv`. The first three must be there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.jobfile import readings_csv, record_csv
from blockwright.jobfile.checks import gauge_problems, reading_problems, sheet_problems
from blockwright.jobfile.table import Form, Row, read_table
from blockwright.jobfile.textfile import read_text
from blockwright.jobfile.toml_read import read_toml
from blockwright.problems import BlockwrightError, Place, Problem

JOB_FILE, GAUGE_FILE = "job.toml", "gauges.toml"
MOST_TOLD = 200


@dataclass(frozen=True)
class JobFolder:
    """A job as read: where it lies, the job, the text of each file, and how its tables are laid out."""

    path: Path
    job: Job
    texts: Mapping[str, str]
    forms: Mapping[str, Form]


def read_folder(path: Path) -> JobFolder:
    """Read a job folder. Raises BlockwrightError with all problems of all files, in the order of files and lines."""
    if not path.is_dir():
        mend = "Give the folder of a job, or make one with 'blockwright new'."
        raise BlockwrightError(Problem("folder-missing", f"there is no folder {path}.", mend))
    problems: list[Problem] = []
    sheet, sheet_at, job_text = read_toml(path / JOB_FILE, JobSheet, FORMAT, problems)
    gauges, gauges_at, gauge_text = read_toml(path / GAUGE_FILE, GaugeSheet, GAUGE_FORMAT, problems)
    texts = {JOB_FILE: job_text, GAUGE_FILE: gauge_text}
    forms: dict[str, Form] = {}
    rows = _table(path, readings_csv.FILE, readings_csv.COLUMNS, readings_csv.REQUIRED, problems, texts, forms)
    signed: tuple[Row, ...] = ()
    if (path / record_csv.FILE).exists():
        signed = _table(path, record_csv.FILE, record_csv.COLUMNS, record_csv.REQUIRED, problems, texts, forms)
    known = {gauge.id: gauge for gauge in gauges.gauge} if gauges else {}
    readings = readings_csv.readings_from(rows, known, problems)
    records = record_csv.records_from(signed, problems)
    if sheet is not None and gauges is not None:
        job = Job(sheet, gauges, readings, records)
        sheet_problems(job, sheet_at)
        gauge_problems(job, gauges_at)
        problems.extend(reading_problems(job))
        if not problems:
            return JobFolder(path, job, texts, forms)
    raise BlockwrightError(_in_order(problems))


def _table(
    path: Path, file: str, columns: tuple[str, ...], required: tuple[str, ...], problems: list[Problem],
    texts: dict[str, str], forms: dict[str, Form],
) -> tuple[Row, ...]:  # fmt: skip
    try:
        texts[file] = read_text(path / file)
    except BlockwrightError as error:
        problems.extend(error.problems)
        return ()
    rows, form = read_table(texts[file], file, columns, required, problems)
    if form is not None:
        forms[file] = form
    return rows


def _in_order(problems: list[Problem]) -> list[Problem]:
    files = [JOB_FILE, GAUGE_FILE, readings_csv.FILE, record_csv.FILE]
    ordered = sorted(problems, key=lambda p: (files.index(p.place.file) if p.place.file in files else 9, p.place.line))
    if len(ordered) <= MOST_TOLD:
        return ordered
    rest = len(ordered) - MOST_TOLD
    return [*ordered[:MOST_TOLD], Problem("more", f"and {rest} more problems.", "Mend these first.", Place())]
