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

    refuse_over(to, force=force)
    job = read_folder(path).job
    save(to, labels_pdf(job, paper), force=force)
    paragraph(console(), f"{len(labels_of(job))} labels written to {to}.")


def blank(path: Path, to: Path, paper: str, *, every: bool, force: bool) -> None:
    """Write the readings still to take as a paper form."""
    from blockwright.report.blank import blank_pdf

    refuse_over(to, force=force)
    save(to, blank_pdf(read_folder(path).job, paper, every=every), force=force)
    paragraph(console(), f"Written to {to}.")


def save(to: Path, content: bytes, *, force: bool) -> None:
    """Write a PDF that is complete or not there at all. Raises BlockwrightError as `refuse_over` does."""
    refuse_over(to, force=force)
    write_whole(to, content)


def refuse_over(to: Path, *, force: bool) -> None:
    """Raise BlockwrightError where a file is there already.

    `force` lets a PDF be written anew, and nothing else, so that no slip costs a file of readings.
    """
    if not to.is_file():
        return
    if to.stat().st_size and not _is_pdf(to):
        what = f"{to} is there already and is no PDF; it stays as it is."
        raise BlockwrightError(Problem("file-foreign", what, "Name another file."))
    if not force:
        what = f"{to} is there already."
        raise BlockwrightError(Problem("file-there", what, "Name another file, or say --force to write it anew."))


def _is_pdf(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(5) == b"%PDF-"
    except OSError:
        return False
