"""A copy of a demonstration job to spoil, and what is said of it when it is read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from pathlib import Path

import pytest

from blockwright.engine.job import Job
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.problems import BlockwrightError, Problem


@dataclass(frozen=True)
class Bench:
    """A job folder that a test may spoil."""

    path: Path

    def text(self, file: str) -> str:
        return (self.path / file).read_bytes().decode()

    def write(self, file: str, text: str | bytes) -> None:
        (self.path / file).write_bytes(text if isinstance(text, bytes) else text.encode())

    def change(self, file: str, old: str, new: str) -> None:
        """Put `new` in the place of the first `old`."""
        text = self.text(file)
        assert old in text, old
        self.write(file, text.replace(old, new, 1))

    def line(self, file: str, words: str) -> int:
        """Line of the first `words`, 1 being the first."""
        text = self.text(file)
        return text.count("\n", 0, text.index(words)) + 1

    def bytes(self) -> dict[str, bytes]:
        if not self.path.is_dir():
            return {}
        return {path.name: path.read_bytes() for path in sorted(self.path.iterdir()) if path.is_file()}

    def read(self) -> JobFolder:
        return read_folder(self.path)

    def job(self) -> Job:
        return self.read().job

    def refused(self) -> tuple[Problem, ...]:
        """Every problem of a folder that cannot be read. Nothing in it may change, and each says where it is and what is wrong."""
        with pytest.raises(BlockwrightError) as raised:
            self.read()
        for problem in raised.value.problems:
            assert problem.place.file
            assert problem.what
            assert problem.code
            assert str(problem).isprintable(), repr(str(problem))
        return raised.value.problems

    def only(self) -> Problem:
        problems = self.refused()
        assert len(problems) == 1, "\n".join(map(str, problems))
        return problems[0]


def demo_files(name: str) -> Iterator[tuple[str, bytes]]:
    for item in (resources.files("blockwright.demos") / name).iterdir():
        if item.name.endswith((".toml", ".csv")):
            yield item.name, item.read_bytes()


def copied(name: str, to: Path) -> Bench:
    to.mkdir(parents=True)
    for file, data in demo_files(name):
        (to / file).write_bytes(data)
    return Bench(to)


@pytest.fixture
def harbour(tmp_path: Path) -> Bench:
    return copied("harbour", tmp_path / "harbour")


@pytest.fixture(params=["harbour", "hillclimb"])
def demo(request: pytest.FixtureRequest, tmp_path: Path) -> Bench:
    return copied(request.param, tmp_path / request.param)


@pytest.fixture
def hillclimb(tmp_path: Path) -> Bench:
    return copied("hillclimb", tmp_path / "hillclimb")
