"""The aims, printed beside what was measured.

Nothing here fails for being slow: machines differ, and a shared one is busy. The aims are for a small laptop that does nothing else.
"""

import math
import statistics
from collections.abc import Callable, Iterator, Mapping

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

SAID: list[str] = []
"""Lines for the end of the run."""


@pytest.fixture
def aim(benchmark: BenchmarkFixture) -> Iterator[Callable[[str, float], None]]:
    """Say what is measured and what it should take, in seconds; both are printed at the end, beside the median."""
    wanted: list[tuple[str, float]] = []
    yield lambda words, seconds: wanted.append((words, seconds))
    if benchmark.stats is not None:
        took = benchmark.stats.stats.median
        SAID.extend(f"{words:<62}{1e3 * took:8.1f} ms   aim: under {1e3 * seconds:.0f} ms" for words, seconds in wanted)


@pytest.fixture
def say() -> Callable[[str], None]:
    """Print a line at the end."""
    return SAID.append


@pytest.fixture
def say_growth() -> Callable[[str, Mapping[int, float]], None]:
    """Print how time (s) grows with size: the slope in logarithms is 1 where twice the size takes twice the time."""

    def told(what: str, took: Mapping[int, float]) -> None:
        slope = statistics.linear_regression(
            [math.log(size) for size in took], [math.log(s) for s in took.values()]
        ).slope
        times = ", ".join(f"{size}: {1e3 * seconds:.1f} ms" for size, seconds in took.items())
        SAID.append(f"growth with {what}: {times}; slope {slope:.2f}, aim: not much over 1")

    return told


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if SAID:
        terminalreporter.section("medians and aims")
        for line in SAID:
            terminalreporter.write_line(line)
