"""The harbour demonstration with some rows still to read, and what is said of an act on it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

import pytest

from blockwright.acts.event import Event, sealed
from blockwright.acts.kept import Kept, fold
from blockwright.acts.store import proposed
from blockwright.jobfile.folder import FILES
from blockwright.problems import BlockwrightError

NOON = dt.datetime(2026, 11, 3, 12, 0, tzinfo=dt.UTC)
PLANNED = """
r901,B1,bore,cylinder 1,top thrust,,,um,BG1,S1,later,,,,,,,,
r902,B1,bore,cylinder 1,top axial,,,um,BG1,S1,later,,,,,,,,look twice
r903,B1,bore,cylinder 1,middle thrust,,,um,BG1,S1,later,,,,,,,,
"""


def harbour_texts() -> dict[str, str]:
    home = resources.files("blockwright.demos") / "harbour"
    texts = {name: (home / name).read_bytes().decode() for name in FILES if (home / name).is_file()}
    texts["readings.csv"] += PLANNED.strip() + "\n"
    return texts


def plain(words: dict[str, Any]) -> dict[str, Any]:
    """Words that Python keeps for itself are written with a line after them: `as_`, `pass_`."""
    return {name.rstrip("_"): value for name, value in words.items()}


@dataclass
class Bench:
    """A job and the events that made it."""

    events: list[Event] = field(default_factory=list)
    kept: Kept | None = None

    def begin(self, texts: dict[str, str]) -> Bench:
        event = sealed(
            1, "folder brought in", {"name": "harbour", "texts": texts}, at=NOON, by="Ann B.", key="k1", before=""
        )
        self.events, self.kept = [event], fold([event])
        return self

    @property
    def job(self):
        return self.kept.job

    def act(self, kind: str, by: str = "Ann B.", when: dt.datetime = NOON, **words: Any) -> dict[str, Any]:
        event, self.kept = proposed(self.kept, kind, plain(words), by=by, at=when, key=f"k{len(self.events) + 1}")
        self.events.append(event)
        return event.body

    def refused(self, kind: str, by: str = "Ann B.", when: dt.datetime = NOON, **words: Any) -> list[str]:
        """What is said of an act that is not done; every problem names a word."""
        with pytest.raises(BlockwrightError) as refusal:
            proposed(self.kept, kind, plain(words), by=by, at=when, key="k")
        assert all(each.place.field for each in refusal.value.problems)
        return [str(each) for each in refusal.value.problems]

    def reading(self, mark: str):
        return next(each for each in self.job.readings if each.id == mark)


@pytest.fixture(scope="session")
def harbour() -> dict[str, str]:
    return harbour_texts()


@pytest.fixture
def bench(harbour: dict[str, str]) -> Bench:
    return Bench().begin(harbour)
