"""A short made-up route over the first demonstration job, and a bench on which it is signed, undone and spoilt."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest

from blockwright.choices.route.graph import route_from
from blockwright.choices.route.progress import Progress, progress_of, sign, undo, with_signing
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder, throw
from blockwright.engine.steps import Given
from blockwright.jobfile.folder import read_folder

START = dt.datetime(2026, 10, 9, 8, 0, tzinfo=dt.UTC)
WALL = Evidence(Proof.FIT, "wall clearance", cylinder(2))
FILM = Evidence(Proof.FIT, "rod film", cylinder(2))
CLIPS = Evidence(Proof.COUNT, "clips in cylinder 2", number=2)
TURNED = Evidence(Proof.PHOTO, "each clip, turned in its groove")
LOOKED = Evidence(Proof.EYES, "clips seated")
MARKED = Evidence(Proof.PAINT, "rod bolts", number=2)
ALL_GIVEN = Given((2,), ("clip.jpg",), "L. Marsh", ())
OPEN_TIME_S = 600.0


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


def steps_of(job: Job) -> tuple[Step, ...]:
    """A route as content would make it: its marks follow the parts that are assigned."""
    held = job.in_cylinder(2)
    mock, wash, final = Pass.MOCK_UP, Pass.STRIP, Pass.FINAL
    return (
        Step(key="mock-up: deck", stage=mock, name="Read the deck", group="Mock-up", parts=(held.piston,), evidence=(WALL,)),
        Step(key="wash", stage=wash, name="Wash everything", group="Wash", after=("mock-up: deck",)),
        Step(key="final: crank", stage=final, name="Lay the crank", group="Crank", after=("wash",)),
        Step(
            key="final: piston 2", stage=final, name="Put piston 2 in", group="Pistons", at=cylinder(2), after=("final: crank",),
            parts=(held.piston, held.rod), evidence=(WALL, CLIPS, TURNED, LOOKED), closes=("wall clearance, cylinder 1",),
        ),
        Step(
            key="final: rod 2", stage=final, name="Close rod 2", group="Pistons", at=throw(2), after=("final: piston 2",),
            parts=held.shells, evidence=(FILM, MARKED),
        ),
        Step(
            key="final: bead", stage=final, name="Lay the bead", group="Sump", after=("final: crank",), open_time_s=OPEN_TIME_S,
        ),
        Step(
            key="final: sump", stage=final, name="Put the sump on", group="Sump", within="final: bead", closes=("final: rod 2",),
        ),
    )  # fmt: skip


GIVEN = {"final: piston 2": ALL_GIVEN, "final: rod 2": Given(paint=(2,))}
ORDER = ("mock-up: deck", "wash", "final: crank", "final: piston 2", "final: rod 2", "final: bead", "final: sump")


class Bench:
    """A job whose route is signed step by step; a minute passes with every signature."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.clock = START

    @property
    def progress(self) -> Progress:
        return progress_of(route_from(steps_of(self.job), self.job.sheet.step), self.job)

    def sign(self, key: str, given: Given | None = None, by: str = "R. Quill", wait_s: float = 60.0) -> "Bench":
        self.clock += dt.timedelta(seconds=wait_s)
        given = GIVEN.get(key, Given()) if given is None else given
        self.job = with_signing(self.job, sign(self.progress, key, given, by=by, when=self.clock))
        return self

    def sign_all(self, keys: Sequence[str] = ORDER) -> "Bench":
        for key in keys:
            self.sign(key)
        return self

    def undo(self, key: str, why: str = "a slip") -> "Bench":
        self.clock += dt.timedelta(seconds=60.0)
        self.job = with_signing(self.job, undo(self.progress, key, by="R. Quill", when=self.clock, why=why))
        return self

    def done(self) -> tuple[str, ...]:
        return tuple(key for key, state in self.progress.states.items() if state.done)

    def why(self, key: str) -> str:
        return "; ".join(self.progress.states[key].reopened)

    def swap_pistons(self, one: int = 2, other: int = 3) -> "Bench":
        first, second = (self.job.in_cylinder(number).piston for number in (one, other))
        marks = {one: second, other: first}
        cylinders = tuple(replace(held, piston=marks.get(held.number, held.piston)) for held in self.job.sheet.cylinder)
        self.job = replace(self.job, sheet=replace(self.job.sheet, cylinder=cylinders))
        return self

    def reading(self, index: int, **changes: object) -> "Bench":
        listed = list(self.job.readings)
        listed[index] = replace(listed[index], **changes)
        self.job = replace(self.job, readings=tuple(listed))
        return self

    def index_of(self, part: str, feature: str, at: str = "") -> int:
        return next(
            index
            for index, reading in enumerate(self.job.readings)
            if (reading.part, reading.feature) == (part, feature) and at in ("", reading.at) and reading.taken
        )


@pytest.fixture(scope="session")
def harbour() -> Job:
    return demo("harbour")


@pytest.fixture
def bench(harbour: Job) -> Bench:
    return Bench(harbour)
