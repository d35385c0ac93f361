"""The build sheet: from a command to a PDF, and the parts of it that take time."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from blockwright.jobfile.folder import read_folder
from blockwright.report.sheet.digests import digests_of
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess

from .jobs import engine_of

Aim = Callable[[str, float], None]
Say = Callable[[str], None]
COMMAND = (sys.executable, "-c", "from blockwright.cli.main import main; main()")


@pytest.fixture
def harbour() -> Path:
    with resources.as_file(resources.files("blockwright.demos") / "harbour") as folder:
        return Path(folder)


def test_sheet_from_a_standing_start(
    benchmark: BenchmarkFixture, aim: Aim, say: Say, harbour: Path, tmp_path: Path
) -> None:
    """Time on the clock, and the processor time in it: the clock counts what else the machine does."""
    aim("blockwright sheet, the harbour four, from a standing start", 1.0)
    words = (*COMMAND, "sheet", str(harbour), "--to", str(tmp_path / "sheet.pdf"), "--force")
    nothing_kept = os.environ | {"XDG_CACHE_HOME": str(tmp_path)}
    kwargs = {"check": False, "capture_output": True, "env": nothing_kept}
    before = os.times()
    done = benchmark.pedantic(subprocess.run, args=(words,), kwargs=kwargs, rounds=5)
    after = os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    say(f"    of which the processor worked {1e3 * spent / 5:.0f} ms")
    assert done.returncode == 0, done.stderr


@pytest.mark.benchmark(timer=time.process_time)
def test_sheet_of_the_demonstration(benchmark: BenchmarkFixture, aim: Aim, harbour: Path) -> None:
    aim("folder to PDF, the harbour four, program loaded", 1.0)
    pdf = benchmark(lambda: sheet_pdf(assess(read_folder(harbour).job), digests_of(harbour)))
    assert pdf.startswith(b"%PDF")


@pytest.mark.benchmark(timer=time.process_time)
def test_sheet_of_sixteen_cylinders(benchmark: BenchmarkFixture, aim: Aim, harbour: Path) -> None:
    assessment, digests = assess(engine_of(16)), digests_of(harbour)
    aim("assessment to PDF, sixteen cylinders", 4.0)
    assert benchmark.pedantic(sheet_pdf, args=(assessment, digests), rounds=3).startswith(b"%PDF")
