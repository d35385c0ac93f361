"""A whole sweep: its cases worked out in parts, kept in a folder where there is one, and gone on with after a break."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from blockwright.engine.job import Job
from blockwright.running.sweep.cases import Case, Ranges, cases
from blockwright.running.sweep.folder import Folder
from blockwright.running.sweep.ground import ground_of, job_of
from blockwright.running.sweep.plan import Part, parts_of, plan_of
from blockwright.running.sweep.rows import Row
from blockwright.running.sweep.sharing import hands, shared
from blockwright.running.work.oil_supply import oil_of

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Swept:
    """Every case with its row, in order; `table` is where a study's table lies, `found` how many rows were there before."""

    pairs: tuple[tuple[Case, Row], ...]
    table: Path | None = None
    found: int = 0


def sweep(
    job: Job,
    ranges: Ranges,
    *,
    rings: bool = False,
    into: Path | None = None,
    force: bool = False,
    processes: int = 1,
    scheduler: str = "",
    progress: Progress | None = None,
) -> Swept:
    """Work out every case of some ranges.

    Parameters
    ----------
    rings : bool
        Whether the gas in the ring packs is worked out: blow-by.
    into : Path, optional
        A folder to keep the study in. Parts that it holds already are not worked out again, and a table is made when all are there.
    force : bool
        Whether another study in that folder may be thrown away.
    processes, scheduler
        Who works: see `sharing.hands`.
    progress : callable, optional
        Told how many cases are done of how many.

    Raises
    ------
    BlockwrightError
        For ranges that cannot be, a folder that holds something else, a scheduler that does not answer.
    """
    listed = cases(job, ranges)
    for case in {case.oil: case for case in listed}.values():
        oil_of(job_of(job, case))
    folder = None if into is None else Folder(into, plan_of(job, ranges, rings=rings))
    parts = parts_of(listed)
    if folder is not None:
        folder.begin(force=force)
    done = {} if folder is None else {part: rows for part in parts if (rows := folder.rows(part)) is not None}
    found = sum(map(len, done.values()))
    say = progress or (lambda so_far, count: None)
    say(found, len(listed))
    left = [part for part in parts if part not in done]
    if left:
        done |= _worked(
            job, listed, left, folder, rings, (processes, scheduler), lambda more: say(found + more, len(listed))
        )
    pairs = tuple(zip(listed, (row for part in parts for row in done[part]), strict=True))
    return Swept(pairs, None if folder is None else folder.finish(pairs), found)


def _worked(
    job: Job, listed: Sequence[Case], left: Sequence[Part], folder: Folder | None, rings: bool,
    workers: tuple[int, str], say: Callable[[int], None],
) -> dict[Part, tuple[Row, ...]]:  # fmt: skip
    ground = ground_of(job)
    done: dict[Part, tuple[Row, ...]] = {}
    with hands(*workers) as working:
        for part, rows in shared(ground, listed, left, working, rings=rings):
            if folder is not None:
                folder.keep(part, rows)
            done[part] = tuple(rows)
            say(sum(map(len, done.values())))
    return done
