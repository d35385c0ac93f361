"""`blockwright sheet`: the build sheet as a PDF, and whether one still belongs to its data."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text

from blockwright.cli.pages import refuse_over, save
from blockwright.cli.terminal import STYLE, console, paragraph
from blockwright.jobfile.attachments import lost_photos
from blockwright.jobfile.folder import JOB_FILE, read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.paper import paper
from blockwright.report.sheet.digests import changes, digests_in, digests_of
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess
from blockwright.running.work.kept import kept


def make(path: Path, to: Path | None, named_paper: str, *, force: bool) -> None:
    """Write the build sheet of a job to a file; over a sheet that is there already only with `force`."""
    chosen = paper(named_paper)
    if to is None:
        what = "nothing says where the sheet is to go."
        raise BlockwrightError(Problem("sheet-where", what, "Say --to FILE.pdf, or --check FILE.pdf for one you have."))
    refuse_over(to, force=force)
    before = digests_of(path)
    assessment = assess(read_folder(path).job)
    lost = lost_photos(path, assessment.job.signings)
    if digests_of(path) != before:
        raise BlockwrightError(Problem("sheet-moving", "the job was changed while it was read.", "Try again."))
    save(to, sheet_pdf(assessment, before, chosen, lost, kept(assessment.job)), force=force)
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
    paragraph(out, f"Make it again: blockwright sheet {path} --to {sheet} --force", style="dim")
    return 1
