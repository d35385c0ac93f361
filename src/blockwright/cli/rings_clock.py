"""`blockwright rings clock`: where each ring's gap goes on the piston, drawn as seen from the crown."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.clocking.whole import Clocked, alike, clocking_of
from blockwright.cli.files import write_whole
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.engine.job import Job
from blockwright.engine.pack import Element
from blockwright.engine.positions import Place
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.clocking_picture import LETTER, clocked_svg, clocking_lines, crown
from blockwright.report.clocking_words import FRAME, fault_words, way_words, whose_words


def show_clocking(path: Path, number: int, svg: Path | None) -> int:
    """Print the clocking of one cylinder, or of all; returns 1 where a pattern breaks a rule or leaves a piece without a place."""
    job = read_folder(path).job
    known = [position.number for position in job.engine.positions(Place.CYLINDER)]
    if number and number not in known:
        raise BlockwrightError(
            Problem("at-unknown", f"this engine has no cylinder {number}.", f"It has {known[0]} to {known[-1]}.")
        )
    if svg is not None and not number:
        raise BlockwrightError(
            Problem(
                "clock-which", "a picture shows one cylinder.", "Say which: blockwright rings clock JOB 1 --svg FILE."
            )
        )
    out = console()
    clocked = [clocking_of(job, each) for each in ([number] if number else known)]
    for group in alike(job, clocked):
        _print(out, job, group)
    if svg is not None:
        write_whole(svg, clocked_svg(job.engine, clocked[0]).encode())
        out.print(f"Picture written to {svg}.")
    return int(not all(each.sound for each in clocked))


def _print(out: Console, job: Job, group: list[Clocked]) -> None:
    first = group[0]
    numbers = ", ".join(str(each.number) for each in group)
    heading(
        out,
        Text(f"Cylinder{'s' if len(group) > 1 else ''} {numbers}", style="bold"),
        Text(f"  {whose_words(first)}, seen on the crown", style="dim"),
    )
    for line in clocking_lines(crown(job.engine, first.number, first.pattern)):
        out.print(Text(f"  {line}"))
    paragraph(out, "the two ends of the pin", first=f"  {spelled('┃')}  ", style="dim")
    for piece, way in first.facing:
        _print_piece(out, first, piece, way)
    for said, wish in fault_words(first):
        paragraph(out, said, first="  ~ " if wish else "  ! ")
    out.print(Text(f"  {FRAME}\n", style="dim"))


def _print_piece(out: Console, clocked: Clocked, piece: Element, way: str) -> None:
    angle = clocked.pattern.get(piece)
    place = "   -" if angle is None else spelled(f"{angle:>3.0f}°")
    paragraph(out, way_words(clocked, piece, way), first=f"  {LETTER[piece]}  {piece:<12} {place}  ")
