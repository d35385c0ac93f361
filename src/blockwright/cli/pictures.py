"""`blockwright pictures`: the engine plan, the bores and the ring clocking of a job, as SVG files in a folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from rich.text import Text

from blockwright.choices.clocking.whole import clocking_of
from blockwright.cli.files import write_whole
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.positions import Place
from blockwright.fits.assessment import Assessment
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.clocking_picture import clocked_svg
from blockwright.report.pictures.bore_map import bore_map
from blockwright.report.pictures.bore_seen import bores_seen
from blockwright.report.pictures.bore_sheet import bore_sheet
from blockwright.report.pictures.engine_plan import engine_plan
from blockwright.report.pictures.torque_order import joint_order
from blockwright.running.assess import assess

OURS = "<!-- Drawn by Blockwright, and written over when the job is drawn again. -->\n"
"""First line of every file written here: a file without it is somebody else's."""


def draw(path: Path, to: Path) -> None:
    """Write every picture of a job into a folder, which is made if it is not there. Nothing is written where a name is taken by a foreign file."""
    files = {f"{name}.svg": OURS + svg for name, svg in _pictures(assess(read_folder(path).job))}
    _check(to, files)
    _write(to, files)
    out = console()
    paragraph(out, f"{len(files)} pictures written to {to}:")
    for name in files:
        out.print(Text(f"  {name}"))


def _pictures(assessment: Assessment) -> Iterator[tuple[str, str]]:
    """Names and pictures, in the order of the sheet."""
    job = assessment.job
    yield "engine-plan", engine_plan(assessment)
    bores = sorted(bores_seen(assessment), key=lambda bore: bore.number)
    yield "bores", bore_sheet(bores)
    for bore in bores:
        yield f"bore-{bore.number}", bore_map(bore)
    for position in job.engine.positions(Place.CYLINDER):
        yield f"ring-clocking-{position.number}", clocked_svg(job.engine, clocking_of(job, position.number))
    for fastener in job.sheet.fastener:
        if order := joint_order(job, fastener.joint):
            yield f"torque-order-{str(fastener.joint).replace(' ', '-')}", order


def _check(to: Path, files: Mapping[str, str]) -> None:
    if to.exists() and not to.is_dir():
        raise BlockwrightError(Problem("picture-folder", f"{to} is a file.", "Name a folder with --to."))
    foreign = [name for name in files if (to / name).exists() and not _ours(to / name)]
    if foreign:
        what = f"{to} holds {', '.join(foreign)}, which this tool did not draw."
        raise BlockwrightError(Problem("picture-foreign", what, "Name another folder with --to, or move them away."))


def _ours(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(OURS.encode())) == OURS.encode()


def _write(to: Path, files: Mapping[str, str]) -> None:
    to.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_whole(to / name, content.encode())
