"""`blockwright pictures`: the engine plan, the bores, the ring clocking, the tightening orders and the route of a job, as SVG files in a folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from rich.text import Text

from blockwright.choices.route.whole import route_progress
from blockwright.cli.files import write_whole
from blockwright.cli.terminal import console, paragraph
from blockwright.jobfile.attachments import lost_photos
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.pictures.every import pictures
from blockwright.running.assess import assess

OURS = "<!-- Drawn by Blockwright, and written over when the job is drawn again. -->\n"
"""First line of every file written here: a file without it is somebody else's."""

AS_MANY_AS_IT_TAKES = ("route-*.svg", "torque-order-*.svg")
"""Pictures of which there may be fewer when a job is drawn again: those of ours that are left over are taken away."""


def draw(path: Path, to: Path) -> None:
    """Write every picture of a job into a folder, which is made if it is not there. Nothing is written where a name is taken by a foreign file."""
    assessment = assess(read_folder(path).job)
    progress = route_progress(assessment.job, lost_photos(path, assessment.job.signings))
    files = {f"{name}.svg": OURS + svg for name, svg in pictures(assessment, progress)}
    _check(to, files)
    _write(to, files)
    out = console()
    paragraph(out, f"{len(files)} pictures written to {to}:")
    for name in files:
        out.print(Text(f"  {name}"))


def _check(to: Path, files: Mapping[str, str]) -> None:
    if to.exists() and not to.is_dir():
        raise BlockwrightError(Problem("picture-folder", f"{to} is a file.", "Name a folder with --to."))
    foreign = [name for name in files if (to / name).exists() and not ours(to / name)]
    if foreign:
        what = f"{to} holds {', '.join(foreign)}, which this tool did not draw."
        raise BlockwrightError(Problem("picture-foreign", what, "Name another folder with --to, or move them away."))


def ours(path: Path) -> bool:
    """Whether a file was drawn here."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(OURS.encode())) == OURS.encode()


def _write(to: Path, files: Mapping[str, str]) -> None:
    to.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_whole(to / name, content.encode())
    for pattern in AS_MANY_AS_IT_TAKES:
        for path in to.glob(pattern):
            if path.name not in files and ours(path):
                path.unlink()
