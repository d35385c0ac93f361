"""`blockwright sheet`: the build sheet as a PDF, and whether one still belongs to its data."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text

from blockwright.cli.files import write_whole
from blockwright.cli.terminal import STYLE, console, paragraph
from blockwright.jobfile.folder import JOB_FILE, read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.paper import paper
from blockwright.report.sheet.digests import changes, digests_in, digests_of
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess


def make(path: Path, to: Path | None, named_paper: str) -> None:
    """Write the build sheet of a job to a file."""
    chosen = paper(named_paper)
    if to is None:
        what = "nothing says where the sheet is to go."
        raise BlockwrightError(Problem("sheet-where", what, "Say --to FILE.pdf, or --check FILE.pdf for one you have."))
    _check_target(to)
    before = digests_of(path)
    assessment = assess(read_folder(path).job)
    if digests_of(path) != before:
        raise BlockwrightError(Problem("sheet-moving", "the job was changed while it was read.", "Try again."))
    write_whole(to, sheet_pdf(assessment, before, chosen))
    paragraph(console(), f"Build sheet written to {to}.")


def check(sheet: Path, path: Path) -> int:
    """Say whether a sheet belongs to the job as it is now; returns 1 where it does not."""
    carried = digests_in(sheet)
    now = digests_of(path)
    if JOB_FILE not in now.files:
        read_folder(path)
    told = changes(carried, now)
    out = console()
    if not told:
        paragraph(out, f"The sheet belongs to this job: all {len(now.files)} files are as they were when it was made.")
        return 0
    out.print(Text("The sheet does not belong to this job as it is now:", style=STYLE["nonconforming"]))
    for line in told:
        paragraph(out, f"{line}.", first="  ")
    paragraph(out, f"Make it again: blockwright sheet {path} --to {sheet}", style="dim")
    return 1


def _check_target(to: Path) -> None:
    """Refuse to write over anything but a PDF: a slip must not cost a file of readings."""
    if to.is_file() and to.stat().st_size and not _is_pdf(to):
        what = f"{to} is there already and is no PDF; it stays as it is."
        raise BlockwrightError(Problem("sheet-over", what, "Name another file."))


def _is_pdf(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(5) == b"%PDF-"
    except OSError:
        return False
