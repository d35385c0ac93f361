"""`blockwright export`: the assessment as CSV, as a workbook, and as JSON by the published schema."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from blockwright.cli.files import write_whole
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.folder import JOB_FILE, read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.export.files import export_files
from blockwright.running.assess import assess
from blockwright.running.work.kept import kept


def export(path: Path, to: Path, *, force: bool) -> None:
    """Write every form of the assessment into a folder; nothing is written where one of the files is there already."""
    assessment = assess(read_folder(path).job)
    files = export_files(assessment, kept(assessment.job))
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
