"""`blockwright sweep`: ranges of duty, clearance and oil, as a table here or as a study in a folder that goes on after a break."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import typer
from rich.console import Console

from blockwright.cli.files import write_whole
from blockwright.cli.fits import check_unit
from blockwright.cli.sweep_ranges import ranges_of
from blockwright.cli.terminal import console
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.running.sweep.aims import BLOW_BY, aim_of
from blockwright.running.sweep.cases import Ranges

MOST_HERE = 2000
"""More cases than this are a study: without a folder a break would lose them."""
MOST_PROCESSES = 64
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Wanted:
    """How a sweep is to be worked out and where it goes."""

    best: str = ""
    blow_by: bool = False
    into: Path | None = None
    processes: int | None = None
    scheduler: str = ""
    csv: Path | None = None
    unit: str = ""
    force: bool = False


def show_sweep(path: Path, written: dict[str, str], wanted: Wanted) -> int:
    """Work a sweep out and print it; returns the exit code, 0."""
    unit = check_unit(wanted.unit)
    ranges = ranges_of(written)
    aim = aim_of(wanted.best, ranges.varied)
    _check(ranges, wanted)
    job = read_folder(path).job
    from blockwright.running.sweep.study import sweep

    rings = wanted.blow_by or aim is BLOW_BY or bool(ranges.top_gap or ranges.second_gap)
    with _bar() as progress, _broken_off(wanted.into):
        swept = sweep(
            job, ranges, rings=rings, into=wanted.into, force=wanted.force, processes=wanted.processes or _usual(ranges),
            scheduler=wanted.scheduler, progress=progress,
        )  # fmt: skip
    if wanted.csv is not None:
        from blockwright.running.sweep.columns import csv_text

        write_whole(wanted.csv, csv_text(swept.pairs).encode())
    from blockwright.cli.sweep_show import Asked, print_study, print_table

    asked = Asked(job, ranges, aim, rings, unit)
    (print_table if wanted.into is None else print_study)(console(), asked, swept)
    if wanted.csv is not None:
        typer.echo(f"All {len(swept.pairs)} cases: {wanted.csv}")
    return 0


def _check(ranges: Ranges, wanted: Wanted) -> None:
    if not any(getattr(ranges, name) for name in ranges.__dataclass_fields__):
        what, mend = "no range is given.", 'Say what to vary: --speed "3000..7000 rpm / 9", or see --help.'
        raise BlockwrightError(Problem("sweep-nothing", what, mend))
    if wanted.into is None and ranges.count > MOST_HERE:
        what = f"these ranges make {ranges.count} cases: that is a study."
        mend = f"Name a folder, so that it can go on after a break: --into FOLDER; or give at most {MOST_HERE}."
        raise BlockwrightError(Problem("sweep-study", what, mend, Place(field="into")))
    if wanted.processes is not None and not 1 <= wanted.processes <= MOST_PROCESSES:
        what = f"{wanted.processes} processes cannot be had."
        raise BlockwrightError(
            Problem("sweep-processes", what, f"Say 1 to {MOST_PROCESSES}.", Place(field="processes"))
        )
    if wanted.processes is not None and wanted.scheduler:
        what = "processes of this machine and a scheduler are two ways of one thing."
        raise BlockwrightError(Problem("sweep-both", what, "Leave one of them out.", Place(field="scheduler")))
    if wanted.csv is not None and wanted.csv.exists() and not wanted.force:
        what = f"{wanted.csv} is there already."
        raise BlockwrightError(Problem("sweep-csv", what, "Name another file, or say --force.", Place(field="csv")))


def _usual(ranges: Ranges) -> int:
    """Few cases are done before a second process has begun."""
    here = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(here, 8) if ranges.count > 400 else 1


@contextmanager
def _broken_off(into: Path | None) -> Iterator[None]:
    """Ctrl-C ends a study cleanly, and says how to go on."""
    try:
        yield
    except KeyboardInterrupt:
        if into is not None:
            typer.echo(f"Broken off. What is done is kept in {into}: the same command goes on from there.", err=True)
        raise


@contextmanager
def _bar() -> Iterator[Progress | None]:
    """A bar on the terminal while it is worked out; nothing where errors do not go to one."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    there = Console(file=sys.stderr, highlight=False, markup=False)
    shown = (TextColumn("cases"), BarColumn(30), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*shown, console=there, transient=True) as bar:
        task = bar.add_task("cases", total=None)
        yield lambda done, count: bar.update(task, completed=done, total=count)
