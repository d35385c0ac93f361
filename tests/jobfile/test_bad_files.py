"""Files that cannot be read as a whole: one clear problem each, the rest of the folder read all the same."""

import csv
import io
import os
import re

import pytest

from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError

FILES = ("job.toml", "gauges.toml", "readings.csv", "record.csv")
NEEDED = FILES[:3]


@pytest.mark.parametrize("file", NEEDED)
def test_missing(harbour, file) -> None:
    (harbour.path / file).unlink()
    found = harbour.only()
    assert (found.code, found.place.file) == ("file-missing", file)
    assert file in found.what
    assert "blockwright new" in found.mend


def test_the_record_may_be_missing(harbour) -> None:
    (harbour.path / "record.csv").unlink()
    assert harbour.job().records == ()


@pytest.mark.parametrize("file", FILES)
def test_a_folder_in_its_place(harbour, file) -> None:
    (harbour.path / file).unlink()
    (harbour.path / file).mkdir()
    found = harbour.only()
    assert (found.code, found.place.file) == ("file-kind", file)
    assert "folder" in found.what


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
@pytest.mark.parametrize("file", FILES)
def test_a_pipe_in_its_place_is_not_waited_for(harbour, file) -> None:
    (harbour.path / file).unlink()
    os.mkfifo(harbour.path / file)
    assert harbour.only().code == "file-kind"


@pytest.mark.parametrize("file", FILES)
def test_a_link_to_nothing(harbour, file) -> None:
    (harbour.path / file).unlink()
    (harbour.path / file).symlink_to(harbour.path / "nowhere")
    assert harbour.only().code == "file-missing"


@pytest.mark.parametrize("file", FILES)
def test_a_hundred_megabytes(harbour, file) -> None:
    with (harbour.path / file).open("r+b") as opened:
        opened.truncate(100_000_000)
    found = harbour.only()
    assert (found.code, found.place.file) == ("file-large", file)
    assert "100.0 MB" in found.what


@pytest.mark.parametrize("file", FILES)
def test_no_permission(harbour, file, monkeypatch) -> None:
    path_class = type(harbour.path)
    as_before = path_class.read_bytes

    def refuse(path):
        if path.name == file:
            raise PermissionError(13, "Permission denied", str(path))
        return as_before(path)

    monkeypatch.setattr(path_class, "read_bytes", refuse)
    found = harbour.only()
    assert (found.code, found.place.file) == ("file-permission", file)
    assert "right to read" in found.mend


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_no_permission_for_real(harbour) -> None:
    (harbour.path / "job.toml").chmod(0)
    assert harbour.only().code == "file-permission"


def test_a_disk_that_fails(harbour, monkeypatch) -> None:
    def fail(path):
        raise OSError(5, "Input/output error", str(path))

    monkeypatch.setattr(type(harbour.path), "read_bytes", fail)
    assert {problem.code for problem in harbour.refused()} == {"file-unreadable"}


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize(
    ("data", "code", "words"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "file-binary", "no text file"),
        ("format = 1\n".encode("utf-16"), "file-encoding", "UTF-16"),
        ("id;naïve\nzweite\n# Öl\n".encode("latin-1"), "file-encoding", "UTF-8"),
    ],
    ids=["picture", "utf-16", "latin-1"],
)
def test_no_text(harbour, file, data, code, words) -> None:
    harbour.write(file, data)
    found = harbour.only()
    assert (found.code, found.place.file) == (code, file)
    assert words in found.what


def test_a_wrong_letter_has_its_line(harbour) -> None:
    data = (harbour.path / "job.toml").read_bytes()
    harbour.write("job.toml", data.replace("°C".encode(), "°C".encode("latin-1"), 1))
    found = harbour.only()
    assert found.place.line == data[: data.index("°C".encode())].count(b"\n") + 1
    assert "UTF-8" in found.mend


@pytest.mark.parametrize("file", NEEDED)
def test_empty(harbour, file) -> None:
    harbour.write(file, "")
    problems = harbour.refused()
    assert {problem.place.file for problem in problems} == {file}


def test_no_such_folder(harbour) -> None:
    for name, words in (("nowhere", "no folder"), ("job.toml", "is a file"), ("x" * 5000, "cannot be looked into")):
        with pytest.raises(BlockwrightError) as raised:
            read_folder(harbour.path / name)
        assert words in raised.value.problems[0].what
        assert "blockwright new" in raised.value.problems[0].mend


def test_what_a_spreadsheet_saves_is_taken(demo) -> None:
    before = demo.job()
    for file, data in demo.bytes().items():
        demo.write(file, b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"))
    assert demo.job() == before


@pytest.mark.parametrize("separator", [";", "\t"])
def test_other_separators_are_taken(demo, separator) -> None:
    before = demo.job()
    for file in demo.bytes():
        if file.endswith(".csv"):
            demo.write(file, parted_by(separator, demo.text(file)))
    assert demo.job() == before


def test_decimal_commas_are_taken_in_a_file_parted_by_semicolons(demo) -> None:
    before = demo.job()
    for file in demo.bytes():
        if file.endswith(".csv"):
            demo.write(file, parted_by(";", demo.text(file), r"(?<=\d)\.(?=\d)", ","))
    assert "97,131" in demo.text("readings.csv") or demo.path.name != "harbour"
    after = demo.job()
    assert [reading.low_si for reading in after.readings] == [reading.low_si for reading in before.readings]
    assert after == before


def parted_by(separator: str, text: str, old: str = "(?!)", new: str = "") -> str:
    """The table with another separator, and in its number cells `new` for `old`."""
    rows = list(csv.reader(io.StringIO(text)))
    numbers = [
        rows[0].index(name) for name in ("value", "depth", "part_temp", "gauge_temp", "bore_temp") if name in rows[0]
    ]
    for row in rows[1:]:
        for index in numbers:
            row[index] = re.sub(old, new, row[index])
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows(rows)
    return out.getvalue()
