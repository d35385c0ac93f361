"""`blockwright demo`: two jobs that are whole, and commands to try that work."""

import re
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.jobfile.folder import read_folder


def test_it_leaves_two_jobs_and_shows_the_first(give: Callable, tmp_path: Path) -> None:
    done = give("demo", tmp_path / "try")
    assert (done.code, done.err) == (0, "")
    for name in ("harbour", "hillclimb"):
        assert read_folder(tmp_path / "try" / name).job.sheet.invented
    first = give("fits", tmp_path / "try" / "harbour").out
    assert done.out.startswith(first)


def test_the_folder_has_a_usual_name(give: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert give("demo").code == 0
    assert sorted(path.name for path in (tmp_path / "blockwright-demo").iterdir()) == [
        "harbour",
        "harbour-papers",
        "hillclimb",
    ]


def test_every_command_that_it_names_runs(give: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    out = give("demo", "my demo").out
    commands = [shlex.split(line)[1:] for line in out.splitlines() if re.match(r"  blockwright \w", line)]
    assert len(commands) >= 4
    for words in commands:
        if words[0] != "new":
            done = give(*words)
            assert (done.code in (0, 1), done.err) == (True, ""), words


def test_jobs_that_are_there_already_are_kept(give: Callable, tmp_path: Path) -> None:
    give("demo", tmp_path)
    job = tmp_path / "harbour" / "job.toml"
    job.write_text(job.read_text().replace('job = "HB-4 demonstration"', 'job = "mine now"'))
    done = give("demo", tmp_path)
    assert done.code == 0
    assert done.out.startswith("mine now:")


def test_a_folder_that_holds_something_else_is_left_alone(give: Callable, tmp_path: Path) -> None:
    (tmp_path / "harbour").mkdir()
    (tmp_path / "harbour" / "note.txt").write_text("mine")
    done = give("demo", tmp_path)
    assert done.code == 2
    assert "not empty and holds no job" in done.err
    assert [path.name for path in (tmp_path / "harbour").iterdir()] == ["note.txt"]


@pytest.mark.parametrize("place", ["file", "file/within"])
def test_a_place_that_cannot_be_written_is_told(give: Callable, tmp_path: Path, place: str) -> None:
    (tmp_path / "file").write_text("mine")
    done = give("demo", tmp_path / place)
    assert done.code == 2
    assert "cannot be written" in done.err
    assert (tmp_path / "file").read_text() == "mine"
