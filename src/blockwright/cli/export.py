"""`blockwright export`: the assessment as CSV, as a workbook, and as JSON by the published schema."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from blockwright.choices.next_steps import next_steps
from blockwright.cli.files import write_whole
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.folder import JOB_FILE, read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.as_json import assessment_json, dumps
from blockwright.report.export.as_csv import csv_text
from blockwright.report.export.as_xlsx import xlsx_bytes
from blockwright.report.export.tables import tables_of
from blockwright.running.assess import assess


def export(path: Path, to: Path, *, force: bool) -> None:
    """Write every form of the assessment into a folder; nothing is written where one of the files is there already."""
    assessment = assess(read_folder(path).job)
    tables = tables_of(assessment)
    files = {f"{table.name.lower()}.csv": csv_text(table).encode() for table in tables}
    files["assessment.xlsx"] = xlsx_bytes(tables)
    files["assessment.json"] = (dumps(assessment_json(assessment, next_steps(assessment))) + "\n").encode()
    _check(to, files, force)
    _write(to, files)
    paragraph(console(), f"Written to {to}: {', '.join(files)}.")


def _check(to: Path, files: Mapping[str, bytes], force: bool) -> None:
    if to.exists() and not to.is_dir():
        raise BlockwrightError(Problem("export-folder", f"{to} is a file.", "Name a folder with --to."))
    if (to / JOB_FILE).exists():
        what = f"{to} holds a job, whose readings would be written over."
        raise BlockwrightError(Problem("export-job", what, "Name another folder with --to."))
    there = [name for name in files if (to / name).exists()]
    if there and not force:
        what = f"{to} already holds {', '.join(there)}."
        raise BlockwrightError(Problem("export-there", what, "Name another folder, or say --force to write them anew."))


def _write(to: Path, files: Mapping[str, bytes]) -> None:
    to.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_whole(to / name, content)
