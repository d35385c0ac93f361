"""A million hot ring gaps with six uncertain inputs, against the time that drawing the inputs takes; all in one run, turn about.

A ratio is the median, over the rounds, of what a way took by what the draws took in the same round: processor time, one thread. The aim is
that all of it takes no longer than the draws alone.
"""

import math
import statistics
import time
import tracemalloc
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.running import ring_heat

from . import hot_gap
from .hot_gap import SAMPLES, SEED

Say = Callable[[str], None]
ROUNDS, EVALUATIONS = 15, 500
DRAWS = "six normal draws, nothing else"


def turn_about(
    ways: Mapping[str, Callable[[], object]], clock: Callable[[], float], rounds: int
) -> dict[str, list[float]]:
    """Seconds that each way took in each round; what a way gave back is dropped before the next begins."""
    took: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(rounds):
        for name, way in ways.items():
            start = clock()
            way()
            took[name].append(clock() - start)
    return took


def median_ratio(one: list[float], other: list[float]) -> float:
    return statistics.median(a / b for a, b in zip(one, other, strict=True))


def test_a_million_hot_gaps_against_their_draws(benchmark: BenchmarkFixture, say: Say) -> None:
    draws = {
        DRAWS: hot_gap.draws_alone,
        "the same, standard normal": hot_gap.standard_draws,
        "the same, standard normal, one small buffer": hot_gap.bare_draws,
    }
    everything = draws | hot_gap.ways()
    took = benchmark.pedantic(turn_about, args=(everything, time.process_time, ROUNDS), rounds=1)
    say(f"{SAMPLES:,} hot ring gaps, six uncertain inputs, processor time of one thread; aim: 1.00 or less")
    for name, seconds in took.items():
        each_ns = 1e9 * statistics.median(seconds) / SAMPLES
        say(f"    {name:<44}{median_ratio(seconds, took[DRAWS]):6.2f} x {each_ns:8.1f} ns a sample")


def test_every_way_gives_the_same_distribution() -> None:
    """Mean, spread and far quantiles of each lie within five standard errors of those of whole arrays with another seed."""
    known = np.asarray(hot_gap.whole_arrays(seed=1))
    sd = known.std()
    for name, way in hot_gap.ways().items():
        found = way()
        assert found.shape == known.shape == (SAMPLES,), name
        assert abs(found.mean() - known.mean()) < 5.0 * sd * math.sqrt(2.0 / SAMPLES), name
        assert abs(found.std() / sd - 1.0) < 5.0 * math.sqrt(1.0 / SAMPLES), name
        for q in (0.001, 0.5, 0.999):
            low, high = np.quantile(known, [q - 5.0 * _error(q), q + 5.0 * _error(q)])
            assert low < np.quantile(found, q) < high, name


def _error(q: float) -> float:
    """Standard error of the difference between two samples' shares below a quantile."""
    return math.sqrt(2.0 * q * (1.0 - q) / SAMPLES)


def on_threads(threads: int) -> Callable[[], list[np.ndarray]]:
    """The program's sampler, the samples shared out over threads, each with a seed of its own."""

    def way() -> list[np.ndarray]:
        seeds = np.random.SeedSequence(SEED).spawn(threads)
        with ThreadPoolExecutor(threads) as pool:
            return list(pool.map(lambda seed: hot_gap.the_program(SAMPLES // threads, seed), seeds))

    return way


def test_threads(benchmark: BenchmarkFixture, say: Say) -> None:
    """Best of the rounds on the clock, for a machine that others use too; and what both threads together worked."""
    ways = {"one thread": on_threads(1), "two threads": on_threads(2)}
    clocked = benchmark.pedantic(turn_about, args=(ways, time.perf_counter, 2 * ROUNDS), rounds=1)
    worked = turn_about(ways, time.process_time, ROUNDS)
    one, two = (min(clocked[name]) for name in ways)
    say(
        f"the program's sampler on threads: one {1e3 * one:.1f} ms, two {1e3 * two:.1f} ms: {one / two:.2f} x as quick; aim: near 2"
    )
    say(
        f"    both together worked {median_ratio(worked['two threads'], worked['one thread']):.2f} x what one does alone"
    )


def test_first_order(benchmark: BenchmarkFixture, say: Say) -> None:
    """Time of one evaluation: these draw nothing, so they are compared with each other, and with how many draws the time would buy."""
    ways = hot_gap.first_order()
    gaps = [way() for way in ways.values()]
    for gap in gaps:
        assert gap == pytest.approx(gaps[0][: len(gap)], rel=1e-4)
    many = {name: _repeated(way) for name, way in ways.items()} | {"draw": lambda: hot_gap.the_program(100_000)}
    took = benchmark.pedantic(turn_about, args=(many, time.process_time, ROUNDS), rounds=1)
    a_draw = statistics.median(took.pop("draw")) / 100_000
    say("one hot gap to first order, its inputs made beforehand")
    for name, seconds in took.items():
        each = statistics.median(seconds) / EVALUATIONS
        say(f"    {name:<54}{1e6 * each:8.1f} us, as long as {each / a_draw:5.0f} samples")


def _repeated(way: Callable[[], object]) -> Callable[[], None]:
    def repeated() -> None:
        for _ in range(EVALUATIONS):
            way()

    return repeated


def least_gaps(samples: int, monkeypatch: pytest.MonkeyPatch) -> Callable[[], object]:
    """What the program does for one ring, its memory of earlier answers passed by: four inputs drawn, the results sorted."""
    monkeypatch.setattr(ring_heat, "SAMPLES", samples)
    _, (bore_m, _), bore_per_k, ring_per_k, bore_c, ring_c = hot_gap.NORMALS
    return lambda: ring_heat._sampled.__wrapped__(bore_m, ring_c, bore_c, ring_per_k, bore_per_k)


def test_one_ring_of_the_program(
    benchmark: BenchmarkFixture, aim: Callable[[str, float], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    aim(f"bound of one ring's gap from {ring_heat.SAMPLES:,} samples", 0.010)
    benchmark(least_gaps(ring_heat.SAMPLES, monkeypatch))


def test_memory(say: Say, monkeypatch: pytest.MonkeyPatch) -> None:
    """Peak while it runs, the results (8 MB) included."""
    ways = {
        "numpy, whole arrays": hot_gap.whole_arrays,
        "the program's sampler": hot_gap.the_program,
        "one ring of the program, sorted": least_gaps(SAMPLES, monkeypatch),
    }
    peaks = {name: _peak(way) for name, way in ways.items()}
    say(
        f"most memory for {SAMPLES:,} samples: "
        + ", ".join(f"{name} {peak / 1e6:.0f} MB" for name, peak in peaks.items())
    )
    assert peaks["the program's sampler"] < 1.5 * 8.0 * SAMPLES < peaks["numpy, whole arrays"]


def _peak(way: Callable[[], object]) -> int:
    tracemalloc.start()
    try:
        way()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
