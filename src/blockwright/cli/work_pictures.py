"""The pictures of an engine at work as SVG files in a folder."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text

from blockwright.cli.files import write_whole
from blockwright.cli.pictures import OURS, ours
from blockwright.cli.terminal import console, paragraph
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.pictures.at_work.every import work_pictures
from blockwright.running.work.result import Work


def check_folder(to: Path, *, force: bool) -> None:
    """Raise BlockwrightError where a folder cannot be written into, before anything is worked out."""
    if to.exists() and not to.is_dir():
        raise BlockwrightError(Problem("work-folder", f"{to} is a file.", "Name a folder with --pictures."))
    there = sorted(each.name for each in to.glob("*.svg")) if to.is_dir() else []
    if there and not force:
        what = f"{to} already holds {there[0]}{f' and {len(there) - 1} more pictures' if len(there) > 1 else ''}."
        raise BlockwrightError(Problem("work-there", what, "Name another folder, or say --force to write them anew."))


def draw(work: Work, to: Path, *, unit: str, force: bool, quiet: bool = False) -> None:
    """Write every picture; all are drawn before the first is written, and a file that is somebody else's is left alone."""
    files = {f"{name}.svg": OURS + svg for name, svg in work_pictures(work, unit=unit)}
    foreign = [name for name in files if (to / name).exists() and not (force and ours(to / name))]
    if foreign:
        what = f"{to} holds {', '.join(foreign)}, which this tool did not draw."
        raise BlockwrightError(Problem("work-foreign", what, "Name another folder, or move them away."))
    to.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_whole(to / name, content.encode())
    if quiet:
        return
    out = console()
    out.print()
    paragraph(out, f"{len(files)} pictures written to {to}:")
    for name in files:
        out.print(Text(f"  {name}"))
