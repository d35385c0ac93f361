"""What the tests of sweeps share: the harbour boat's job (invented), made ready for cases once."""

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.running.sweep.ground import Ground, ground_of


@pytest.fixture(scope="session")
def job() -> Job:
    """The inline four, as read."""
    return read_folder(Path(str(resources.files("blockwright.demos") / "harbour"))).job


@pytest.fixture(scope="session")
def ground(job: Job) -> Ground:
    """That job made ready."""
    return ground_of(job)


@pytest.fixture(scope="session")
def free(job: Job) -> Job:
    """The same without a peak pressure: nothing has to be fitted to it."""
    return replace(job, sheet=replace(job.sheet, duty=replace(job.duty, peak_pressure_pa=None)))
