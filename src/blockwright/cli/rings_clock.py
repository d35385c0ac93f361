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
        Text(f"  {_whose(first)}, seen on the crown", style="dim"),
    )
    for line in clocking_lines(crown(job.engine, first.number, first.pattern)):
        out.print(Text(f"  {line}"))
    paragraph(out, "the two ends of the pin", first=f"  {spelled('┃')}  ", style="dim")
    for piece, way in first.facing:
        _print_piece(out, first, piece, way)
    for fault in first.faults:
        paragraph(out, f"{fault.text[:1].upper()}{fault.text[1:]}.", first="  ~ " if fault.wish else "  ! ")
    if first.homeless:
        pieces = " and ".join(f"the {piece}" for piece in first.homeless)
        paragraph(
            out, f"The rules leave no place for {pieces} beside what is fixed: free one of the others.", first="  ! "
        )
    out.print(Text("  degrees clockwise from the front, looking down on the crown\n", style="dim"))


def _print_piece(out: Console, clocked: Clocked, piece: Element, way: str) -> None:
    angle = clocked.pattern.get(piece)
    place = "   -" if angle is None else spelled(f"{angle:>3.0f}°")
    if piece in clocked.by_maker:
        way += ", where its maker holds it" if piece is not Element.SUPPORT else ""
    elif angle is None:
        way = "no place left"
    elif piece in clocked.own and len(clocked.own) < len(clocked.pattern):
        way += " (your angle)"
    paragraph(out, way, first=f"  {LETTER[piece]}  {piece:<12} {place}  ")


def _whose(clocked: Clocked) -> str:
    if not clocked.own:
        return "proposed"
    return "your own pattern" if len(clocked.own) == len(clocked.pattern) else "proposed around your angles"
