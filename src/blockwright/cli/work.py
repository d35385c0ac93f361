"""`blockwright work`: the engine at work on the clearances as measured, worked out once and kept for this job as it is."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console

from blockwright.cli.fits import check_unit
from blockwright.cli.letters import plain
from blockwright.cli.terminal import console
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.report.work.numbers import shop_of
from blockwright.report.work.told import out_of, work_told
from blockwright.running.work import SAMPLES, SEED
from blockwright.running.work.kept import keep, kept
from blockwright.running.work.result import Work

FEWEST, MOST = 100, 100_000
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Wanted:
    """How the engine is to be worked out; what is None is the usual, and content with what is kept."""

    samples: int | None = None
    seed: int | None = None
    pressure: Path | None = None
    again: bool = False


def show_work(
    path: Path, wanted: Wanted, *, unit: str, pictures: Path | None, force: bool, as_json: bool, facts: bool
) -> int:
    """Print an engine at work; returns 1 where a hot fit is nonconforming, else 0."""
    shown = check_unit(unit)
    _check(wanted)
    job = read_folder(path).job
    if pictures is not None:
        from blockwright.cli.work_pictures import check_folder

        check_folder(pictures, force=force)
    work = found(job, wanted)
    if as_json:
        from blockwright.report.as_json import dumps
        from blockwright.report.work.as_json import work_json

        print(dumps(work_json(work), ascii=plain()))  # noqa: T201 - the data goes to standard output as it is
    else:
        from blockwright.cli.work_show import print_facts, print_work

        (print_facts if facts else print_work)(console(), job, work_told(job, work, shown))
    if pictures is not None:
        from blockwright.cli.work_pictures import draw

        draw(work, pictures, unit=shop_of(job, shown).clearance, force=force, quiet=as_json)
    return int(out_of(work) > 0)


def _check(wanted: Wanted) -> None:
    samples, seed = wanted.samples, wanted.seed
    if samples is not None and samples and not FEWEST <= samples <= MOST:
        what = f"{samples} draws are {'too few for a chance' if samples < FEWEST else 'more than can be waited for'}."
        mend = f"Say --samples 0 for none, or {FEWEST} to {MOST}."
        raise BlockwrightError(Problem("work-draws", what, mend, Place(field="samples")))
    if seed is not None and seed < 0:
        raise BlockwrightError(Problem("work-seed", "a seed is not below nil.", "Say --seed 6.", Place(field="seed")))


def found(job: Job, wanted: Wanted) -> Work:
    """What is kept for this job where that is enough, else worked out, and kept."""
    held = None if wanted.again or wanted.pressure is not None else kept(job)
    if held is not None and _enough(held, wanted):
        return held
    work = _worked(job, wanted)
    keep(work)
    return work


def _enough(held: Work, wanted: Wanted) -> bool:
    """Whether what is kept answers what is asked: as many draws, and the same seed where one is said."""
    seed = wanted.seed is None or wanted.seed == held.seed
    if wanted.samples is None:
        return seed and held.samples > 0
    return wanted.samples == 0 or (seed and wanted.samples == held.samples)


def _worked(job: Job, wanted: Wanted) -> Work:
    from blockwright.running.work import work
    from blockwright.running.work.trace import read_trace

    trace = None if wanted.pressure is None else read_trace(wanted.pressure)
    samples = SAMPLES if wanted.samples is None else wanted.samples
    seed = SEED if wanted.seed is None else wanted.seed
    with _bar() as progress:
        return work(job, samples=samples, seed=seed, pressure=trace, progress=progress)


@contextmanager
def _bar() -> Iterator[Progress | None]:
    """A bar on the terminal while it is worked out; nothing where errors do not go to one."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    there = Console(file=sys.stderr, highlight=False, markup=False)
    shown = (TextColumn("{task.description}", markup=False), BarColumn(30), TimeElapsedColumn())
    with Progress(*shown, console=there, transient=True) as bar:
        task = bar.add_task("beginning", total=1.0)
        yield lambda what, share: bar.update(task, description=what[:40], completed=min(max(share, 0.0), 1.0))
