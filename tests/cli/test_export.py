"""`blockwright export`: what it writes, and what it refuses to write over."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

FILES = {
    "fits.csv", "readings.csv", "parts.csv", "gauges.csv", "noticed.csv", "about.csv", "assessment.xlsx", "assessment.json",
}  # fmt: skip


def test_every_form_is_written(give: Callable, harbour: Path, tmp_path: Path) -> None:
    done = give("export", harbour, "--to", tmp_path / "out")
    assert done.code == 0
    assert {path.name for path in (tmp_path / "out").iterdir()} == FILES
    assert all(name in " ".join(done.out.split()) for name in FILES)
    assert json.loads((tmp_path / "out" / "assessment.json").read_text(encoding="utf-8"))["fits"]


def test_what_is_there_is_kept(give: Callable, harbour: Path, tmp_path: Path) -> None:
    mine = tmp_path / "fits.csv"
    mine.write_text("mine")
    done = give("export", harbour, "--to", tmp_path)
    assert done.code == 2
    assert "already holds fits.csv" in done.err
    assert mine.read_text() == "mine"
    assert not (tmp_path / "assessment.json").exists()
    assert give("export", harbour, "--to", tmp_path, "--force").code == 0
    assert mine.read_text(encoding="utf-8") != "mine"


@pytest.mark.parametrize("words", [(), ("--force",)])
def test_a_job_is_never_written_over(give: Callable, harbour: Path, words: tuple[str, ...]) -> None:
    before = (harbour / "readings.csv").read_bytes()
    done = give("export", harbour, "--to", harbour, *words)
    assert done.code == 2
    assert "holds a job" in done.err
    assert (harbour / "readings.csv").read_bytes() == before


def test_a_file_is_no_folder(give: Callable, harbour: Path, tmp_path: Path) -> None:
    (tmp_path / "here").write_text("")
    done = give("export", harbour, "--to", tmp_path / "here")
    assert (done.code, "is a file" in done.err) == (2, True)


def test_without_a_job(give: Callable) -> None:
    done = give("export")
    assert (done.code, "no job is named" in done.err) == (2, True)


def test_the_schema_alone(give: Callable) -> None:
    done = give("export", "--schema")
    assert done.code == 0
    assert json.loads(done.out)["title"] == "Blockwright assessment"
