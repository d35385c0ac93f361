"""`blockwright labels` and `blockwright blank`: pages to print, written as PDF."""

from __future__ import annotations

from pathlib import Path

from blockwright.cli.files import write_whole
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem


def labels(path: Path, to: Path, paper: str, *, force: bool) -> None:
    """Write labels for the part sets of a job."""
    from blockwright.report.labels import labels_of, labels_pdf

    job = read_folder(path).job
    save(to, labels_pdf(job, paper), force=force)
    paragraph(console(), f"{len(labels_of(job))} labels written to {to}.")


def blank(path: Path, to: Path, paper: str, *, every: bool, force: bool) -> None:
    """Write the readings still to take as a paper form."""
    from blockwright.report.blank import blank_pdf

    save(to, blank_pdf(read_folder(path).job, paper, every=every), force=force)
    paragraph(console(), f"Written to {to}.")


def save(to: Path, content: bytes, *, force: bool) -> None:
    """Write a file that is complete or not there at all. Raises BlockwrightError where one is there already and `force` is not said."""
    if to.exists() and not force:
        what = f"{to} is there already."
        raise BlockwrightError(Problem("file-there", what, "Name another file, or say --force to write it anew."))
    write_whole(to, content)
