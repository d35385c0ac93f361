"""Studies: what a case takes in a sweep and alone, and what a second process is worth. The job is invented."""

import os
import time
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.running.sweep.cases import Change, Ranges, cases
from blockwright.running.sweep.ground import ground_of
from blockwright.running.sweep.study import sweep
from blockwright.running.sweep.working import run_case

DUTIES, FILMS = 64, 24
RANGES = Ranges(
    speed_rad_s=tuple(float(each) for each in np.linspace(250.0, 420.0, DUTIES)), oil=("5W-30", "15W-40"),
    rod_film=tuple(Change(float(each), False) for each in np.linspace(30e-6, 80e-6, FILMS // 2)),
)  # fmt: skip


@pytest.fixture(scope="module")
def job() -> Job:
    found = read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job
    sweep(found, Ranges())  # maps and compiled loops are there from now on
    return found


def test_a_case_alone(benchmark: BenchmarkFixture, aim: Callable[[str, float], None], job: Job) -> None:
    aim("one case alone: cycle, heat, nine bearings, four ring packs", 1.5)
    ground, (case,) = ground_of(job), cases(job, Ranges())
    assert not benchmark.pedantic(run_case, args=(ground, case), rounds=3).message


def test_a_second_process(benchmark: BenchmarkFixture, job: Job, say: Callable[[str], None]) -> None:
    """Both on the clock, processes begun and ended included; each way twice, in turn, the quicker taken."""
    took = {1: float("inf"), 2: float("inf")}

    def once() -> None:
        for processes in (1, 2):
            begun = time.perf_counter()
            swept = sweep(job, RANGES, processes=processes)
            took[processes] = min(took[processes], time.perf_counter() - begun)
            assert len(swept.pairs) == DUTIES * FILMS

    benchmark.pedantic(once, rounds=2)
    busy = f"load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "load not known"
    each = 1e3 * took[1] / (DUTIES * FILMS)
    say(
        f"a study of {DUTIES * FILMS} cases: {took[1]:.1f} s in one process ({each:.1f} ms a case), {took[2]:.1f} s in two ({busy})"
    )
    say(f"two processes: {took[1] / took[2]:.2f} times as quick   aim: 1.8 on a quiet machine of two cores or more")
