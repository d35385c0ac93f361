"""Gas in the ring pack: one pack through a cycle, and a map of 20 top by 20 second gaps, by processor time a cycle."""

import math
import time
from collections.abc import Callable

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.physics.ring_pack import Land, Motion, Pack, Ring, gap_map, run_pack

TOP = Ring(3.5e-4, 2.5e-4, 5e-5, 3e-3, 1e-6, math.pi * 0.083, 2.5e-7, 470.0, 0.011, 15.0)
PACK = Pack((TOP, TOP), (Land(6e-7, 450.0),), 480.0, 400.0)


def motion(steps: int) -> Motion:
    angle = np.arange(steps) * (4 * math.pi / steps)
    pressure = 6.5e6 * np.exp(7.0 * (np.cos((angle - 0.2269) / 2) - 1.0)) + 1.0e5
    return Motion(pressure, 5500 * math.pi / 30, 0.043, 0.137)


@pytest.mark.parametrize("steps", [360, 720])
def test_one_pack(benchmark: BenchmarkFixture, say: Callable[[str], None], steps: int) -> None:
    def timed() -> float:
        start = time.process_time()
        cycles = run_pack(PACK, motion(steps)).cycles
        return (time.process_time() - start) / cycles

    took = benchmark.pedantic(timed, rounds=1)
    say(f"ring pack, two rings, {steps} steps: {1e3 * took:.0f} ms a cycle; aim: under 50 ms")


def test_map(benchmark: BenchmarkFixture, say: Callable[[str], None]) -> None:
    gaps = np.linspace(2e-4, 8e-4, 20)

    def timed() -> tuple[float, int, float]:
        start = time.process_time()
        found = gap_map(PACK, motion(360), gaps, gaps)
        return time.process_time() - start, found.cycles, float(found.settled.mean())

    took, cycles, settled = benchmark.pedantic(timed, rounds=1)
    say(
        f"map of 20 by 20 gaps, 360 steps: {took:.1f} s for {cycles} cycles, {1e3 * took / cycles / 400:.2f} ms a cycle and pack"
    )
    say(f"    {100 * settled:.0f} % of the packs settled")
