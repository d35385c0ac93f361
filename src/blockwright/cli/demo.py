"""`blockwright demo`: two invented jobs to try, and what the tool says of the first."""

from __future__ import annotations

import shlex
from dataclasses import replace
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.ring_bench import ring_bench
from blockwright.cli.fits import print_fits
from blockwright.cli.terminal import console, paragraph
from blockwright.demos import NAMES, demo_texts
from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.write import write_folder
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.ring_words import advice_words, units_text
from blockwright.running.assess import assess

FILED = "R4"
DEFAULT = Path("blockwright-demo")


def run(folder: Path | None) -> None:
    """Copy both jobs under `folder` (kept if they are there already), assess the first, and say how to go on."""
    base = folder or DEFAULT
    for name in NAMES:
        _copy(name, base / name)
    out = console()
    job = read_folder(base / NAMES[0]).job
    print_fits(assess(job))
    _print_filing(out, job)
    _print_papers(out, base / NAMES[0], base / f"{NAMES[0]}-papers")
    out.print(Text("\nTRY NEXT", style="bold"))
    where = shlex.quote(str(base))
    for command, words in (
        (f"blockwright explain {where}/harbour 'wall clearance' 4", "why that one cannot be told"),
        (f"blockwright fits {where}/harbour --only 'main film' --unit thou", "one fit, in thou"),
        (f"blockwright rings map {where}/harbour", "the rings, set by set"),
        (f"blockwright rings clock {where}/harbour 4", "where the gaps go on piston 4"),
        (f"blockwright pistons {where}/harbour P2 P5 --cylinder 2", "two pistons side by side"),
        (f"blockwright fits {where}/hillclimb", "the other engine: all well but one"),
        (f"blockwright route step {where}/hillclimb 'final: piston 1'", "one step of the assembly"),
        ("blockwright new my-engine", "start your own"),
    ):
        out.print(Text(f"  {command}"), soft_wrap=True)
        out.print(Text(f"      {words}", style="dim"))
    paragraph(out, f"Both jobs lie under {base}; every number in them is invented.")


def _print_filing(out: Console, job: Job) -> None:
    """How one ring set was filed, entry by entry, with what the planner said after each."""
    out.print(Text(f"\nHOW RING SET {FILED} WAS FILED", style="bold"))
    for ring in dict.fromkeys(each.ring for each in job.passes if each.rings == FILED):
        known: tuple[Pass, ...] = ()
        for each in job.passes:
            known = (*known, each)
            if (each.rings, each.ring) == (FILED, ring):
                state = next(
                    s
                    for s in ring_bench(replace(job, passes=known)).rings
                    if (s.ring.rings, s.ring.ring) == (FILED, ring)
                )
                took = f"took {units_text(each.units, each.unit)}, read" if each.units else "read"
                paragraph(out, f"{took} {each.reading.text}. {advice_words(job, state)}", first=f"  {ring:<8}")


def _print_papers(out: Console, job: Path, to: Path) -> None:
    """The papers of the job, written to a folder beside it, and how far its route has got."""
    from blockwright.cli import pages, pictures, route_show, sheet

    out.print(Text("\nON PAPER", style="bold"))
    to.mkdir(exist_ok=True)
    sheet.make(job, to / "sheet.pdf", "A4", force=True)
    pages.labels(job, to / "labels.pdf", "A4", force=True)
    pictures.draw(job, to / "pictures")
    out.print(Text("\nTHE ROUTE", style="bold"))
    route_show.show_route(job)


def _copy(name: str, to: Path) -> None:
    if to.exists() and any(to.iterdir()):
        if (to / "job.toml").exists():
            return
        raise BlockwrightError(Problem("demo-folder", f"{to} is not empty and holds no job.", "Name another folder."))
    write_folder(to, demo_texts(name))
