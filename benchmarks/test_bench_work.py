"""The engine at work, whole: an invented four with every reading, its best values alone and with two thousand draws of readings and inputs together."""

import time
from collections.abc import Callable
from importlib import resources
from pathlib import Path

from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.running.work import work

Say = Callable[[str], None]
AIM_S, SAMPLES = 60.0, 2000


def harbour() -> Job:
    with resources.as_file(resources.files("blockwright.demos") / "harbour") as folder:
        return read_folder(Path(folder)).job


def timed(samples: int, processes: int | None = None) -> float:
    job, begun = harbour(), time.perf_counter()
    told = work(job, samples=samples, processes=processes)
    assert told.samples == samples
    assert told.bearings
    return time.perf_counter() - begun


def test_best_values(say: Say) -> None:
    timed(0)  # maps and compiled loops are there from now on
    say(f"an engine at work, best values alone: {min(timed(0) for _ in range(3)):.1f} s")


def test_two_thousand_draws(say: Say) -> None:
    """Nine bearings, four ring packs, cycle and heat."""
    timed(0)
    both, one = timed(SAMPLES, 2), timed(SAMPLES, 1)
    say(f"{SAMPLES} draws: {both:.0f} s on two processes, {one:.0f} s on one   aim: under {AIM_S:.0f} s on two")
