"""From a command to its answer, in a process of its own: what a builder waits for."""

import os
import subprocess
import sys
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

COMMAND = (sys.executable, "-c", "from blockwright.cli.main import main; main()")
HEAVY = ("numpy", "scipy", "rich", "pydantic", "django")


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*COMMAND, *words], capture_output=True, text=True, check=False)


def timed(benchmark: BenchmarkFixture, aim: Callable, say: Callable, words: tuple[str, ...], seconds: float) -> str:
    """The command a few times over, with the processor time it took beside the time on the clock; its output comes back."""
    name = f"blockwright {Path(words[-1]).name if words[0] == '--help' else words[0]}, from a standing start"
    aim(name, seconds)
    before = os.times()
    done = benchmark.pedantic(run, args=words, rounds=7, warmup_rounds=1)
    after = os.times()
    spent = (after.children_user + after.children_system - before.children_user - before.children_system) / 8.0
    say(f"    of which the processor worked {1e3 * spent:.0f} ms")
    assert done.returncode in (0, 1), done.stderr
    return str(done.stdout)


@pytest.fixture
def job() -> str:
    with resources.as_file(resources.files("blockwright.demos") / "harbour") as folder:
        return str(folder)


def test_help(benchmark: BenchmarkFixture, aim: Callable, say: Callable) -> None:
    assert "Usage:" in timed(benchmark, aim, say, ("--help",), 0.150)


def test_fits(benchmark: BenchmarkFixture, aim: Callable, say: Callable, job: str) -> None:
    assert "WHAT TO DO NEXT" in timed(benchmark, aim, say, ("fits", job), 0.700)


def test_explain(benchmark: BenchmarkFixture, aim: Callable, say: Callable, job: str) -> None:
    assert "How it was had" in timed(benchmark, aim, say, ("explain", job, "wall clearance", "4"), 0.700)


def test_what_help_loads(say: Callable) -> None:
    """Not a time: which of the heavy libraries each command loads before it does anything."""
    shown = (
        "import sys; from blockwright.cli import main; print(*[name for name in sys.argv[1:] if name in sys.modules])"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", shown, *HEAVY], capture_output=True, text=True, check=True
    ).stdout.split()
    say(f"loaded for --help, of {', '.join(HEAVY)}: {', '.join(loaded) or 'none'}; aim: none")
