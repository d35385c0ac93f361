"""A job's engine at work: inputs, cycle and heat, forces, bearings, rings, hot fits, and what to make of them, in this order."""

from __future__ import annotations

import os
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.fits.assessment import Assessment
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.assess import assess
from blockwright.running.work import better as better_words
from blockwright.running.work.bearings import Bearings, Columns, columns_of
from blockwright.running.work.bearings_told import told as bearings_told
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import facts_of
from blockwright.running.work.geometry import fires_rad
from blockwright.running.work.heat import KELVIN, hanging, network
from blockwright.running.work.hot import WORDS, Growing, film_fits, held, hot_fits, judged
from blockwright.running.work.kept import digest_of
from blockwright.running.work.loads import STEPS
from blockwright.running.work.matched import matched
from blockwright.running.work.piston_shape import shape_fits
from blockwright.running.work.result import BearingTold, GapMap, HotFit, RingsTold, Work
from blockwright.running.work.rings import Packs, gaps_of, map_of, rings_told
from blockwright.running.work.seats import Metal, metal_of, seats_of
from blockwright.running.work.told import cycle_told, forces_told, nodes_told, paths_told
from blockwright.running.work.trace import Trace

Array = NDArray[np.float64]
Progress = Callable[[str, float], None]
MOST_SAMPLES = 100_000
NOT_VALIDATED = (
    "temperatures: a network whose resistances are assumed, held only against bands of a handbook",
    "forces of crank and rod: never held against a measured load",
    "loads on main bearings: the crank taken as cut at every main, never measured",
    "bearing films under a moving load: steady limit held against tables, no open table of a moving one",
    "path of a journal under a moving load: checked by a second integrator and its steady limit only",
    "film, pressure, loss and heat of an engine's bearing: never held against a measured one",
    "blow-by and land pressures: damping and friction of the rings assumed, never measured",
)


def work(
    job: Job,
    *,
    samples: int,
    seed: int,
    pressure: Trace | None = None,
    progress: Progress | None = None,
    processes: int | None = None,
) -> Work:
    """A job's engine at its duty, on its clearances as read.

    Parameters
    ----------
    samples : int
        Draws of readings and inputs together; none for the best values alone, which are then not judged.
    seed : int
        Of the draws: the same gives the same.
    pressure : Trace, optional
        The builder's own pressure for the forces and the rings, in place of the cycle's; heat is still the cycle's.
    progress : callable, optional
        Told what is being done, and how much of it is, 0 to 1.
    processes : int, optional
        How many share out the draws of the bearings; as many as there are processors where not given.

    Raises
    ------
    BlockwrightError
        Where the job lacks what nothing can stand for (its firing order), or its duty cannot be had.
    """
    if not 0 <= samples <= MOST_SAMPLES:
        raise BlockwrightError(Problem("work-samples", f"{samples} draws cannot be made.", f"Ask for 0 to {MOST_SAMPLES}."))  # fmt: skip
    if seed < 0:
        raise BlockwrightError(Problem("work-seed", "a seed is not below nil.", "Take 0 or more."))
    begun = time.perf_counter()
    say = progress or (lambda what, share: None)
    try:
        return _Working(job, samples, seed, pressure, say, processes or _processors()).whole(begun)
    except ValueError as fault:
        what = f"the engine at work is beyond what the models hold for: {fault}"
        raise BlockwrightError(Problem("work-range", what, "Look at the sizes and the duty in [engine] and [duty].")) from fault  # fmt: skip


class _Working:
    def __init__(
        self, job: Job, samples: int, seed: int, pressure: Trace | None, say: Progress, processes: int
    ) -> None:
        self.job, self.progress, self.processes, self.pressure = job, say, processes, pressure
        fires_rad(job.engine)
        self.facts, self.draws = facts_of(job), Draws(samples, seed)
        self.own = None if pressure is None else pressure.evenly_pa(STEPS)
        self.assessment: Assessment = assess(job)

    def whole(self, begun: float) -> Work:
        job, facts, draws = self.job, self.facts, self.draws
        self.progress("cycle and heat", 0.0)
        net = network(job, facts, draws)
        found = matched(job, facts, draws, net)
        places = {place: found.walls.temperatures[place] - KELVIN for place in net.places}
        places |= hanging(job, places, draws)
        metal = metal_of(job, facts, draws)
        crown_w = found.walls.heat_w[len(net.ways)]
        columns = columns_of(facts, draws, found, self.own)
        self.progress("forces", 0.1)
        forces = forces_told(job, facts, draws, columns)
        growing = Growing(job, facts, draws, places, metal)
        bearings, films, lacking = self._bearings(columns, metal)
        fits = (*hot_fits(self.assessment, growing), *self._shapes(growing), *films)
        self.progress("rings", 0.8)
        packs = Packs(job, facts, draws, found, growing, self.own)
        rings, mapped = self._rings(packs)
        cycle = cycle_told(facts, found, crown_w, self.own, self.pressure.words if self.pressure else "")
        shown = {**places, "main_housing": metal.main_housing_c, "big_end": metal.big_end_c, "journal": metal.journal_c}
        nodes = nodes_told(job, shown, net)
        listed = tuple(facts.by_name.values())
        self.progress("done", 1.0)
        return Work(
            job.sheet.job, digest_of(job) if self.pressure is None else "", job.duty.use,
            better_words.headline(fits, draws.samples), listed, cycle, nodes, paths_told(net, found), forces, fits, bearings,
            rings, mapped, tuple(better_words.better(job, fits, bearings)), draws.samples, draws.seed,
            (*lacking, *self._unread()),
            tuple(better_words.cautions(job, listed, cycle, nodes, bearings, bool(found.peak_met[0]))), NOT_VALIDATED,
            time.perf_counter() - begun,
        )  # fmt: skip

    def _bearings(
        self, columns: Columns, metal: Metal
    ) -> tuple[tuple[BearingTold, ...], tuple[HotFit, ...], tuple[str, ...]]:
        self.progress("bearings", 0.15)
        seats, lacking = seats_of(self.assessment, self.facts, self.draws, metal)
        if not seats:
            return (), (), lacking
        bearings = Bearings(self.job, self.facts, seats, columns)
        films = bearings.films(
            self.draws.samples, self.processes, lambda share: self.progress("bearings", 0.2 + 0.5 * share)
        )
        films = held(films, seats)
        self.progress("other clearances and oils", 0.7)
        return (
            bearings_told(bearings, films, self.draws),
            tuple(film_fits(self.job, self.draws, seats, films)),
            lacking,
        )

    def _shapes(self, growing: Growing) -> tuple[HotFit, ...]:
        return tuple(judged(self.job, self.draws, hot) for hot in shape_fits(self.assessment, growing))

    def _rings(self, packs: Packs) -> tuple[tuple[RingsTold, ...], GapMap | None]:
        gaps = gaps_of(self.assessment, self.draws)
        if not gaps:
            return (), None
        mapped = next((each for each in gaps if not each.gapless), None)
        return rings_told(packs, gaps), None if mapped is None else map_of(packs, mapped)

    def _unread(self) -> tuple[str, ...]:
        """Fits that heat would be worked out for, were they read."""
        worked = (*WORDS, "main film", "rod film")
        open_fits = [r for r in self.assessment.results if r.found is None and r.fit.name in worked]
        by_name: dict[str, list[str]] = {}
        for result in open_fits:
            by_name.setdefault(result.fit.name, []).append(str(result.position))
        every = {name: len([r for r in self.assessment.results if r.fit.name == name]) for name in by_name}
        return tuple(
            f"{name}: not read" if len(where) == every[name] else f"{name}: not read at {', '.join(where)}"
            for name, where in by_name.items()
        )


def _processors() -> int:
    return min(len(os.sched_getaffinity(0)), 8) if hasattr(os, "sched_getaffinity") else min(os.cpu_count() or 1, 8)
