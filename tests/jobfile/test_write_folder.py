"""Files are written whole or not at all, and what was there is there until the new one is."""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.problems import BlockwrightError


@pytest.fixture
def changed(harbour):
    """The texts of a job of which every file has changed."""
    folder = harbour.read()
    job = folder.job
    job = replace(
        job,
        sheet=replace(job.sheet, customer="somebody else"),
        gauge_sheet=replace(job.gauge_sheet, setting=job.gauge_sheet.setting[:-1]),
        readings=job.readings[1:],
    )
    texts = folder_texts(job, folder)
    assert sum(texts[file] != folder.texts[file] for file in texts) == 3
    return texts


def refused(path, texts, read=None):
    with pytest.raises(BlockwrightError) as raised:
        write_folder(path, texts, read)
    (problem,) = raised.value.problems
    assert problem.what
    assert problem.mend
    assert problem.place.file
    return problem


def failing(after: int, fault: OSError):
    """A function that does what another does, and fails at the call after so many."""

    def made(function):
        calls = 0

        def called(*args, **kwargs):
            nonlocal calls
            calls += 1
            if calls > after:
                raise fault
            return function(*args, **kwargs)

        return called

    return made


FULL = OSError(28, "No space left on device")


@pytest.mark.parametrize("after", [0, 1, 2])
def test_a_disk_that_is_full_changes_nothing(harbour, changed, monkeypatch, after) -> None:
    before = harbour.bytes()
    monkeypatch.setattr(os, "fsync", failing(after, FULL)(os.fsync))
    found = refused(harbour.path, changed)
    assert harbour.bytes() == before
    assert "No space left on device" in found.what
    assert "Every file is as it was." in found.mend


def test_an_interrupt_changes_nothing(harbour, changed, monkeypatch) -> None:
    before = harbour.bytes()

    def interrupt(handle):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_folder(harbour.path, changed)
    assert harbour.bytes() == before


@pytest.mark.parametrize("after", [0, 1, 2])
def test_a_file_that_cannot_take_its_place(harbour, changed, monkeypatch, after) -> None:
    before = harbour.bytes()
    monkeypatch.setattr(Path, "replace", failing(after, PermissionError(13, "Permission denied"))(Path.replace))
    found = refused(harbour.path, changed)
    now = harbour.bytes()
    assert now.keys() == before.keys()
    done = [file for file in changed if now[file] != before[file]]
    assert len(done) == after
    assert all(now[file] == changed[file].encode() for file in done)
    assert all(file in found.mend for file in done)


def test_a_folder_that_may_not_be_written(harbour, changed, monkeypatch) -> None:
    def refuse(*args, **kwargs):
        raise PermissionError(13, "Permission denied", str(harbour.path))

    before = harbour.bytes()
    monkeypatch.setattr("tempfile.mkstemp", refuse)
    assert "right to write" in refused(harbour.path, changed).mend
    assert harbour.bytes() == before


def test_a_file_in_the_place_of_the_folder(harbour, changed) -> None:
    assert refused(harbour.path / "job.toml", changed).code == "file-write"
    assert refused(harbour.path / "job.toml" / "deeper", changed).code == "file-write"


def test_a_folder_in_the_place_of_a_file(harbour, changed) -> None:
    (harbour.path / "readings.csv").unlink()
    (harbour.path / "readings.csv").mkdir()
    before = harbour.bytes()
    refused(harbour.path, changed)
    assert harbour.bytes() == before


def test_what_another_program_changed_is_not_lost(harbour, changed) -> None:
    read = harbour.read().texts
    harbour.write("readings.csv", harbour.text("readings.csv") + "r900,P1,skirt,,,,97.13,mm,M1,,,,,,,,,,\n")
    before = harbour.bytes()
    found = refused(harbour.path, changed, read)
    assert (found.code, found.place.file) == ("file-changed", "readings.csv")
    assert harbour.bytes() == before
    (harbour.path / "readings.csv").unlink()
    assert refused(harbour.path, changed, read).code == "file-changed"


def test_a_new_folder(harbour, tmp_path) -> None:
    texts = folder_texts(harbour.job())
    write_folder(tmp_path / "deep" / "down", texts)
    assert {path.name: path.read_text(encoding="utf-8") for path in (tmp_path / "deep" / "down").iterdir()} == texts


def test_an_unchanged_file_is_not_touched(harbour, changed) -> None:
    same = {file for file in changed if changed[file] == harbour.text(file)}
    files = [harbour.path / file for file in changed]
    for file in files:
        os.utime(file, (1, 1))
    write_folder(harbour.path, changed)
    assert {file.name for file in files if file.stat().st_mtime == 1} == same


@pytest.mark.skipif(os.name != "posix", reason="rights and links as POSIX has them")
class TestAsItWas:
    def test_rights_stay(self, harbour, changed) -> None:
        (harbour.path / "job.toml").chmod(0o640)
        write_folder(harbour.path, changed)
        assert (harbour.path / "job.toml").stat().st_mode & 0o777 == 0o640

    def test_a_link_stays_a_link(self, harbour, changed, tmp_path) -> None:
        real = tmp_path / "elsewhere.toml"
        (harbour.path / "job.toml").rename(real)
        (harbour.path / "job.toml").symlink_to(real)
        write_folder(harbour.path, changed)
        assert (harbour.path / "job.toml").is_symlink()
        assert real.read_text(encoding="utf-8") == changed["job.toml"]
