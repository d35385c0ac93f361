"""Gas in the ring pack: one pack from rest to the cycle that repeats itself, many packs at once, and scipy's integrators on the same law.

The law for scipy is the one that the tests hold the program against; its pieces end where a ring leaves a side or lands.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.physics.ring_pack import PackCycle, gap_map, run_pack

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests" / "physics"))

import test_ring_pack_apart as apart  # type: ignore[import-not-found]

PACK = apart.the_pack()
motion = apart.the_motion
STEPS = 720
MANY = 2000


def timed(run: Callable[..., Any], *given: Any) -> tuple[float, Any]:
    """Processor time, s, and what came out."""
    start = time.process_time()
    found = run(*given)
    return time.process_time() - start, found


@pytest.fixture(scope="module", autouse=True)
def warm() -> None:
    """The loops are compiled from now on."""
    run_pack(PACK, motion(90))


@pytest.mark.parametrize("steps", [360, STEPS])
def test_one_pack(
    benchmark: BenchmarkFixture, aim: Callable[[str, float], None], say: Callable[[str], None], steps: int
) -> None:
    aim(f"ring pack, two rings, {steps} steps, from rest to its cycle", 0.050)
    found = benchmark(run_pack, PACK, motion(steps))
    assert found.settled
    say(f"    {found.cycles} cycles")


def test_one_pack_in_a_new_python(benchmark: BenchmarkFixture, say: Callable[[str], None], tmp_path: Path) -> None:
    """What a start costs: the compiler's library and its work the first time, the loops from where they are kept later on."""
    asked = (
        "import sys, time; sys.path.insert(0, sys.argv[1]); import numpy, test_ring_pack_apart as a\n"
        "from blockwright.physics.ring_pack import run_pack\n"
        "p, m = a.the_pack(), a.the_motion(720); t = time.process_time(); run_pack(p, m); print(time.process_time() - t)"
    )
    kept = {**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)}

    def run() -> list[float]:
        command = [sys.executable, "-c", asked, sys.path[0]]
        runs = (subprocess.run(command, env=kept, capture_output=True, text=True, check=True) for _ in range(3))
        return [float(done.stdout) for done in runs]

    first, *later = benchmark.pedantic(run, rounds=1)
    say(f"the same in a new Python: {first:.1f} s the first time, {1e3 * min(later):.0f} ms later on")


def told(what: str, took: float, found: PackCycle) -> str:
    packs = found.settled.size
    return (
        f"{what}: {took:.2f} s, {1e3 * took / packs:.2f} ms a pack, {1e6 * took / found.cycles.sum():.0f} µs a cycle; "
        f"{100 * found.settled.mean():.0f} % settled, {found.cycles[found.settled].mean():.1f} cycles each"
    )


def test_map(benchmark: BenchmarkFixture, say: Callable[[str], None]) -> None:
    gaps = np.linspace(2e-4, 8e-4, 20)
    took, found = benchmark.pedantic(lambda: timed(gap_map, PACK, motion(360), gaps, gaps), rounds=1)
    say(told("map of 20 by 20 gaps, 360 steps", took, found))


@pytest.mark.parametrize("steps", [360, STEPS])
def test_many_packs_of_sampled_inputs(benchmark: BenchmarkFixture, say: Callable[[str], None], steps: int) -> None:
    """Gaps, clearances, temperatures, friction and damping drawn for every pack."""
    rng = np.random.default_rng(7)

    def near(value: float, share: float) -> Any:
        return value * rng.lognormal(0.0, share, MANY)

    rings = tuple(
        replace(
            ring, gap_m=near(ring.gap_m, 0.1), clearance_m=near(ring.clearance_m, 0.1), behind_k=near(ring.behind_k, 0.03),
            friction_n=near(ring.friction_n, 0.3), damping_n_s_m=near(ring.damping_n_s_m, 0.4),
        )
        for ring in PACK.rings
    )  # fmt: skip
    lands = (replace(PACK.lands[0], wall_k=near(450.0, 0.03)),)
    pack = replace(PACK, rings=rings, lands=lands)
    took, found = benchmark.pedantic(lambda: timed(run_pack, pack, motion(steps)), rounds=1)
    say(told(f"{MANY} packs of sampled inputs, {steps} steps", took, found))


@pytest.fixture(scope="module")
def truth() -> float:
    """Blow-by of the cycle that repeats itself, by Radau's method, kg."""
    return settled_by("Radau", 1e-8, 4, *apart.from_the_programs(run_pack(PACK, motion(5760)))).blown


def settled_by(method: str, rtol: float, cycles: int, start: Any, modes: Any) -> Any:
    """As many cycles by scipy."""
    for _ in range(cycles):
        found = apart.one_cycle(start, modes, method=method, rtol=rtol)
        start, modes = found.end[:7], found.modes
    return found


@pytest.fixture
def law_compiled() -> Iterator[None]:
    """The law for scipy compiled too."""
    import numba

    plain = {name: getattr(apart, name) for name in apart.COMPILED_TOO}
    for name, law in plain.items():
        setattr(apart, name, numba.njit(law))
    settled_by("LSODA", 1e-3, 1, *apart.from_rest())
    yield
    for name, law in plain.items():
        setattr(apart, name, law)


@pytest.mark.usefixtures("law_compiled")
def test_side_by_side_with_scipy(benchmark: BenchmarkFixture, say: Callable[[str], None], truth: float) -> None:
    """From rest through as many cycles as the program needs; how far each ends from the same law to a tight tolerance."""

    def both() -> list[str]:
        lines = []
        for steps in (360, STEPS, 1440, 5760):
            took, found = min((timed(run_pack, PACK, motion(steps)) for _ in range(5)), key=lambda each: each[0])
            lines.append(line(f"the program, {steps} steps", took, float(found.blow_by_kg), int(found.cycles)))
            cycles = int(found.cycles)
        for method in ("Radau", "LSODA"):
            for rtol in (1e-4, 1e-6):
                took, path = timed(settled_by, method, rtol, cycles, *apart.from_rest())
                lines.append(line(f"scipy {method}, rtol {rtol:g}, compiled law", took, path.blown, cycles))
        return lines

    def line(what: str, took: float, blown: float, cycles: int) -> str:
        return (
            f"    {what:<40}{1e3 * took:9.1f} ms, {cycles} cycles, blow-by off by {100 * abs(blown / truth - 1):.3f} %"
        )

    say("one pack from rest, side by side")
    for each in benchmark.pedantic(both, rounds=1):
        say(each)


def test_scipy_with_a_plain_law(benchmark: BenchmarkFixture, say: Callable[[str], None]) -> None:
    """As one would write it without a compiler; one cycle, since it is slow."""
    for method in ("Radau", "LSODA"):
        took, _ = timed(settled_by, method, 1e-6, 1, *apart.from_rest())
        say(f"    scipy {method}, rtol 1e-06, plain law: {1e3 * took:.0f} ms a cycle")
    benchmark.pedantic(lambda: None, rounds=1)
