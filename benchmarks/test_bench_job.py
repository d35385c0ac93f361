"""What must be quick once the program runs: judging a job, showing it, reading and writing its folder; and how that grows."""

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.choices.next_steps import next_steps
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.report.rows import blocks
from blockwright.running.assess import assess

from .jobs import engine_of, hillclimb

Aim = Callable[[str, float], None]
OWN_TIME = pytest.mark.benchmark(timer=time.process_time)
"""Processor time, so that what else the machine does counts as little as can be."""


@OWN_TIME
def test_assess_of_a_six_with_300_readings(benchmark: BenchmarkFixture, aim: Aim) -> None:
    job = hillclimb(readings=300)
    aim("assess, six cylinders, 300 readings, heat worked out before", 0.050)
    assert benchmark(assess, job).results


@OWN_TIME
def test_what_to_do_next(benchmark: BenchmarkFixture, aim: Aim) -> None:
    """With a level of proof so high that many fits cannot be told, and gauges are looked through for each."""
    job = hillclimb(readings=300)
    sure = replace(job, sheet=replace(job.sheet, rules=replace(job.rules, level=0.9999)))
    assessment = assess(sure)
    aim("what to do next, many fits that cannot be told", 0.050)
    assert benchmark(next_steps, assessment)


@OWN_TIME
def test_rows_and_marks(benchmark: BenchmarkFixture, aim: Aim) -> None:
    assessment = assess(hillclimb(readings=300))
    aim("every row of the table with its mark, six cylinders", 0.050)
    assert benchmark(blocks, assessment)


@OWN_TIME
def test_read_a_folder(benchmark: BenchmarkFixture, aim: Aim, tmp_path: Path) -> None:
    write_folder(tmp_path / "job", folder_texts(hillclimb(readings=300)))
    aim("read a folder, 300 readings", 0.050)
    assert len(benchmark(read_folder, tmp_path / "job").job.readings) == 300


@OWN_TIME
def test_write_a_folder(benchmark: BenchmarkFixture, aim: Aim, tmp_path: Path) -> None:
    """As after a reading was added: the texts made anew in the folder's layout, and every file that changed replaced."""
    write_folder(tmp_path / "job", folder_texts(hillclimb(readings=299)))
    folder = read_folder(tmp_path / "job")
    longer = hillclimb(readings=300)
    aim("write a folder, 300 readings", 0.100)
    benchmark(lambda: write_folder(tmp_path / "job", folder_texts(longer, folder)))
    assert len(read_folder(tmp_path / "job").job.readings) == 300


def least(job: Job) -> float:
    """Processor time of the quickest of a few judgements, the first not counted."""
    assess(job)
    took = []
    for _ in range(5):
        start = time.process_time()
        assess(job)
        took.append(time.process_time() - start)
    return min(took)


def test_growth_with_cylinders(
    benchmark: BenchmarkFixture, say_growth: Callable[[str, dict[int, float]], None]
) -> None:
    took = benchmark.pedantic(lambda: {n: least(engine_of(n)) for n in (2, 4, 8, 12, 16)}, rounds=1)
    say_growth("cylinders", took)


def test_growth_with_readings(benchmark: BenchmarkFixture, say_growth: Callable[[str, dict[int, float]], None]) -> None:
    took = benchmark.pedantic(lambda: {n: least(hillclimb(readings=n)) for n in (243, 500, 1000, 2000)}, rounds=1)
    say_growth("readings", took)
