"""`blockwright rings clock`: where each ring's gap goes on the piston, drawn as seen from the crown."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.clocking.whole import Clocked, clocking_of
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.clocking_picture import LETTER, clocking_lines, clocking_svg, crown


def show_clocking(path: Path, number: int, svg: Path | None) -> int:
    """Print the clocking of one cylinder, or of all; returns 1 where a pattern breaks a rule."""
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
    for group in _alike(clocked):
        _print(out, job, group)
    if svg is not None:
        _write(svg, _svg(job, clocked[0]))
        out.print(f"Picture written to {svg}.")
    return int(
        any(not fault.wish for each in clocked for fault in each.faults) or any(not each.pattern for each in clocked)
    )


def _alike(clocked: list[Clocked]) -> list[list[Clocked]]:
    """Cylinders with the same pattern together."""
    groups: dict[tuple[object, ...], list[Clocked]] = {}
    for each in clocked:
        groups.setdefault((*each.pattern.items(), each.faults, each.facing), []).append(each)
    return list(groups.values())


def _print(out: Console, job: Job, group: list[Clocked]) -> None:
    first = group[0]
    numbers = ", ".join(str(each.number) for each in group)
    whose = "your own pattern" if first.own else "proposed"
    out.print(
        Text(f"Cylinder{'s' if len(group) > 1 else ''} {numbers}", style="bold")
        + Text(f"  {whose}, seen on the crown", style="dim")
    )
    if not first.pattern:
        paragraph(out, "No pattern keeps the rules with what is fixed: free one of the pieces.", first="  ! ")
        return
    for line in clocking_lines(crown(job.engine, first.number, first.pattern)):
        out.print(Text(f"  {line}"))
    ways = dict(first.facing)
    for piece, angle in first.pattern.items():
        paragraph(out, f"{angle:>4.0f}°  {ways[piece]}", first=f"  {LETTER[piece]}  {piece:<12}")
    for piece, way in first.facing:
        if piece not in first.pattern:
            paragraph(out, f"   -   {way}", first=f"  {LETTER[piece]}  {piece:<12}")
    for fault in first.faults:
        paragraph(out, f"{fault.text[:1].upper()}{fault.text[1:]}.", first="  ~ " if fault.wish else "  ! ")
    out.print(Text("  degrees clockwise from the front, looking down on the crown\n", style="dim"))


def _svg(job: Job, clocked: Clocked) -> str:
    faulty = frozenset(piece for fault in clocked.faults if not fault.wish for piece in fault.elements)
    return clocking_svg(crown(job.engine, clocked.number, clocked.pattern, faulty))


def _write(path: Path, text: str) -> None:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as fault:
        raise BlockwrightError(
            Problem("picture-write", f"{path} cannot be written: {fault.strerror}.", "Choose another place.")
        ) from None
