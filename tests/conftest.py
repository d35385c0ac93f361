"""What every test shares: how widely the invariants are searched.

A run gives the same answer twice, on a slow machine too, and each worker keeps to one core. `HYPOTHESIS_PROFILE=wide make test` looks further,
and at random.
"""

import os
import signal
from collections.abc import Iterator

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

settings.register_profile("house", deadline=None, derandomize=True, max_examples=60, database=None)
settings.register_profile("wide", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))


@pytest.fixture(autouse=True)
def _broken_pipes_stay_errors() -> Iterator[None]:
    """The command line lets a broken pipe end its process; a test that ran it within this one must not leave that to the next."""
    if not hasattr(signal, "SIGPIPE"):
        yield
        return
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)
    yield
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)


@pytest.fixture(autouse=True)
def _nothing_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """What this machine keeps of engines at work is not the tests'; one that wants to keep something names a folder of its own."""
    monkeypatch.setattr("blockwright.running.work.kept._folder", lambda: None)
