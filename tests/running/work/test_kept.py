"""What is kept of an engine at work: read back as it was, and never for another job, table or version."""

import json
import subprocess
import sys
from dataclasses import replace
from importlib import resources

import pytest

from blockwright.running.work import kept


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setattr(kept, "_folder", lambda: tmp_path)
    return tmp_path


@pytest.fixture
def job(engines, harbour):
    return engines.single(harbour)


def stored(folder):
    [path] = folder.glob("*")
    return path


def test_read_back_as_it_was(folder, one, job):
    kept.keep(one)
    assert kept.kept(job) == one
    assert stored(folder).suffix == ".json"


def test_nothing_kept_nothing_found(folder, job):
    assert kept.kept(job) is None


def test_another_reading_finds_nothing(folder, one, job):
    kept.keep(one)
    first, *rest = job.readings
    other = replace(job, readings=(replace(first, low_si=first.low_si + 1e-6, high_si=first.high_si + 1e-6), *rest))
    assert kept.kept(other) is None
    assert kept.kept(replace(job, readings=tuple(rest))) is None


@pytest.mark.parametrize(
    "what",
    [
        {"duty": {"power_w": 66e3}},
        {"temperatures": {"crown_c": 250.0}},
        {"at_work": {"oil_jets": False}},
        {"rules": {"level": 0.9}},
    ],
)
def test_another_fact_finds_nothing(folder, one, job, engines, what):
    kept.keep(one)
    assert kept.kept(engines.changed(job, **what)) is None


def test_another_table_or_version_finds_nothing(folder, one, job, monkeypatch):
    kept.keep(one)
    with monkeypatch.context() as other:
        other.setattr(kept, "_tables", lambda: ("a value changed",))
        assert kept.kept(job) is None
    with monkeypatch.context() as other:
        other.setattr(kept, "VERSION", kept.VERSION + 1)
        assert kept.kept(job) is None
    assert kept.kept(job) == one


def test_every_table_that_the_calculation_reads_is_in_the_digest():
    """Each file of materials but strengths and bolts, which cold fits and joints rest on."""
    listed = {each.name for each in resources.files("blockwright.materials").iterdir() if each.name.endswith(".toml")}
    assert listed - set(kept.TABLES) <= {"fatigue.toml", "bolts.toml"}
    assert set(kept.TABLES) <= listed


DIGEST = """
from importlib import resources
from pathlib import Path
from blockwright.jobfile.folder import read_folder
from blockwright.running.work.kept import digest_of
print(digest_of(read_folder(Path(str(resources.files("blockwright.demos") / "hillclimb"))).job))
"""


def test_the_digest_is_the_same_in_every_run(hillclimb):
    """Sets of words come in another order with every run of Python; a digest must not hang on it."""
    digests = {
        subprocess.run(
            [sys.executable, "-c", DIGEST],
            env={"PYTHONHASHSEED": str(seed)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in (1, 2, 3)
    }
    assert digests == {kept.digest_of(hillclimb)}


def test_where_a_reading_stood_in_its_file_does_not_matter(job):
    first, *rest = job.readings
    moved = replace(first, place=replace(first.place, line=999))
    assert kept.digest_of(replace(job, readings=(moved, *rest))) == kept.digest_of(job)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text[: len(text) // 2],
        lambda text: "",
        lambda text: "[]",
        lambda text: '"no"',
        lambda text: "null",
        lambda text: json.dumps({key: value for key, value in json.loads(text).items() if key != "rings"}),
        lambda text: json.dumps({**json.loads(text), "samples": "many"}),
        lambda text: json.dumps({**json.loads(text), "fits": 3}),
        lambda text: json.dumps({**json.loads(text), "digest": "of another"}),
    ],
)
def test_a_damaged_file_is_as_good_as_none(folder, one, job, damage):
    kept.keep(one)
    path = stored(folder)
    path.write_text(damage(path.read_text(encoding="utf-8")), encoding="utf-8")
    assert kept.kept(job) is None


def test_bytes_that_are_no_text_are_as_good_as_none(folder, one, job):
    kept.keep(one)
    stored(folder).write_bytes(b"\xff\xfe\x00{")
    assert kept.kept(job) is None


def test_one_on_a_builders_own_pressure_is_not_kept(folder, one):
    kept.keep(replace(one, digest=""))
    assert list(folder.iterdir()) == []


def test_where_nothing_can_be_written_it_goes_on(monkeypatch, one, tmp_path):
    monkeypatch.setattr(kept, "_folder", lambda: None)
    kept.keep(one)
    monkeypatch.setattr(kept, "_folder", lambda: tmp_path / "is not there")
    kept.keep(one)


def test_the_oldest_are_forgotten(folder, one, monkeypatch):
    monkeypatch.setattr(kept, "MOST_KEPT", 3)
    for i in range(5):
        kept.keep(replace(one, digest=f"{i}"))
    assert len(list(folder.glob("*.json"))) == 3
    assert (folder / "4.json").exists()
