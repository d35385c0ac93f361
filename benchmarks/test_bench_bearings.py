"""All bearings of a four-cylinder engine over one cycle at one degree a step: four rods and five mains, to paths that close. Loads are made up."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.physics import mobility
from blockwright.physics.oil import walther
from blockwright.physics.plain_bearing import Motion, OilSupply, PlainBearing, at_temperature, over_clearances, running

ROD = PlainBearing(0.048, 0.020, 0.022e-3, hole_m=0.004)
MAIN = PlainBearing(0.055, 0.021, 0.025e-3, groove_m=0.003)
BEARINGS = [ROD] * 4 + [MAIN] * 5
OIL = OilSupply(walther(40.0, 90e-6, 100.0, 14e-6), 860.0, 100.0, 4e5, 0.8, 3.5e-3)
SPEED = 200.0 * math.pi


def motion(steps: int = 720) -> Motion:
    a = np.arange(steps) * 4.0 * math.pi / steps - np.arange(9)[:, None] * math.pi
    bump = 12e3 * np.exp(8.0 * (np.cos(0.5 * (a - 0.3)) - 1.0))
    return Motion(
        np.stack([bump - 4e3 * np.cos(a), 3e3 * np.sin(a)], axis=-1), 0.5 * SPEED, SPEED, 4.0 * math.pi / SPEED
    )


@pytest.fixture(scope="module")
def moved() -> Motion:
    found = motion()
    at_temperature(BEARINGS, found, OIL, np.full(9, 110.0))  # maps and compiled loops are there from now on
    return found


def test_orbits_of_a_four(benchmark: BenchmarkFixture, aim: Callable[[str, float], None], moved: Motion) -> None:
    aim("nine bearings, 720 steps, to a closed path, warm", 0.030)
    found = benchmark(at_temperature, BEARINGS, moved, OIL, np.full(9, 110.0))
    assert found.settled.all()


def test_orbits_and_temperatures(benchmark: BenchmarkFixture, aim: Callable[[str, float], None], moved: Motion) -> None:
    aim("the same, to settled temperatures", 0.150)
    assert benchmark(running, BEARINGS, moved, OIL).settled.all()


def test_film_over_clearance(benchmark: BenchmarkFixture, aim: Callable[[str, float], None], moved: Motion) -> None:
    aim("one bearing at 20 clearances, to settled temperatures", 0.300)
    clearances = np.linspace(0.012e-3, 0.05e-3, 20)
    assert benchmark(over_clearances, ROD, clearances, moved, OIL).settled.all()


def test_a_map(benchmark: BenchmarkFixture, aim: Callable[[str, float], None]) -> None:
    aim("the map of a width not met before (once, then kept on disk)", 10.0)
    tables = benchmark.pedantic(mobility.made_tables, args=(0.43,), rounds=1)
    assert np.isfinite(tables).all()
