"""`blockwright sheet`: written, checked against its data, and refused in plain words."""

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader


@pytest.fixture
def sheet(give: Callable, harbour: Path, tmp_path: Path) -> Path:
    """A sheet of the harbour job."""
    done = give("sheet", harbour, "--to", tmp_path / "sheet.pdf")
    assert (done.code, done.err) == (0, "")
    assert "Build sheet written to" in plainly(done.out)
    return tmp_path / "sheet.pdf"


def plainly(text: str) -> str:
    """What was printed, on one line."""
    return " ".join(text.split())


def changed(path: Path, before: str, after: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")


def test_a_sheet_belongs_to_its_job(give: Callable, harbour: Path, sheet: Path) -> None:
    done = give("sheet", "--check", sheet, harbour)
    assert done.code == 0
    assert "belongs to this job: all 5 files" in plainly(done.out)


def test_fingerprints_are_those_of_any_other_tool(harbour: Path, sheet: Path) -> None:
    metadata = PdfReader(sheet).metadata
    text = "".join(page.extract_text() for page in PdfReader(sheet).pages)
    assert metadata is not None
    for path in harbour.iterdir():
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
        assert f"{path.name}={digest}" in str(metadata["/Keywords"])
        assert digest in text


@pytest.mark.parametrize(
    ("file", "before", "after"),
    [
        ("readings.csv", "97.2", "97.3"),
        ("job.toml", "265 kW", "266 kW"),
        ("gauges.toml", "2027-03-31", "2027-04-30"),
        ("record.csv", "dressed", "drossed"),
    ],
    ids=lambda value: value if str(value).endswith(("csv", "toml")) else "",
)
def test_a_changed_file_is_caught_and_named(
    give: Callable, harbour: Path, sheet: Path, file: str, before: str, after: str
) -> None:
    text = (harbour / file).read_text(encoding="utf-8")
    if before not in text:
        row = next(line for line in text.splitlines() if line.startswith("r20,"))
        before, after = row, row + " "
    changed(harbour / file, before, after)
    done = give("sheet", "--check", sheet, harbour)
    assert done.code == 1
    assert f"{file} was changed" in plainly(done.out)
    assert plainly(done.out).count("was changed") == 1


def test_files_that_came_or_went_are_named(give: Callable, harbour: Path, sheet: Path) -> None:
    (harbour / "record.csv").unlink()
    assert "record.csv is gone" in plainly(give("sheet", "--check", sheet, harbour).out)
    again = give("sheet", harbour, "--to", sheet)
    assert (again.code, "say --force to write it anew" in plainly(again.err)) == (2, True)
    assert give("sheet", harbour, "--to", sheet, "--force").code == 0
    (harbour / "record.csv").write_text("number,event,fit,at,value,by,when,why,digest\n", encoding="utf-8")
    done = give("sheet", "--check", sheet, harbour)
    assert (done.code, "record.csv is new" in plainly(done.out)) == (1, True)


def test_another_job_is_not_taken_for_it(give: Callable, hillclimb: Path, sheet: Path) -> None:
    assert give("sheet", "--check", sheet, hillclimb).code == 1


def test_fingerprints_that_were_tampered_with(give: Callable, harbour: Path, sheet: Path) -> None:
    raw, digest = sheet.read_bytes(), hashlib.sha256((harbour / "job.toml").read_bytes()).hexdigest().encode()
    sheet.write_bytes(raw.replace(digest, b"0" * 64))
    done = give("sheet", "--check", sheet, harbour)
    assert done.code == 2
    assert "changed after it was made" in plainly(done.err)


@pytest.mark.parametrize(
    "content", [b"", b"%PDF-1.7\n%%EOF\n", b"plain text", bytes(range(256))], ids=["empty", "bare", "text", "bytes"]
)
def test_what_is_no_sheet_of_ours_is_refused(give: Callable, harbour: Path, tmp_path: Path, content: bytes) -> None:
    other = tmp_path / "other.pdf"
    other.write_bytes(content)
    done = give("sheet", "--check", other, harbour)
    assert done.code == 2
    assert "is no build sheet of blockwright" in plainly(done.err)


def test_a_sheet_that_is_not_there(give: Callable, harbour: Path, tmp_path: Path) -> None:
    done = give("sheet", "--check", tmp_path / "none.pdf", harbour)
    assert (done.code, "there is no file" in plainly(done.err)) == (2, True)


def test_letter_paper(give: Callable, harbour: Path, tmp_path: Path) -> None:
    assert give("sheet", harbour, "--to", tmp_path / "l.pdf", "--paper", "letter").code == 0
    box = PdfReader(tmp_path / "l.pdf").pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((612.0, 792.0), abs=0.1)


def test_refusals_are_one_message_each_and_leave_nothing(give: Callable, harbour: Path, tmp_path: Path) -> None:
    to = tmp_path / "x.pdf"
    cases = (
        (("sheet", harbour, "--to", to, "--paper", "A5"), "'A5' is no paper"),
        (("sheet", harbour), "nothing says where"),
        (("sheet", harbour, "--to", tmp_path / "no" / "x.pdf"), "cannot be written"),
        (("sheet", harbour, "--to", tmp_path), "cannot be written"),
        (("sheet", tmp_path / "nobody", "--to", to), "there is no folder"),
        (("sheet", "--check", to, tmp_path / "nobody"), "there is no file"),
    )
    for words, told in cases:
        done = give(*words)
        assert done.code == 2, words
        assert told in plainly(done.err)
        assert done.err.startswith("One thing must be mended first:")
    assert not to.exists()


def test_a_file_of_the_job_is_never_written_over(give: Callable, harbour: Path) -> None:
    before = (harbour / "readings.csv").read_bytes()
    for words in ((), ("--force",)):
        done = give("sheet", harbour, "--to", harbour / "readings.csv", *words)
        assert (done.code, "is no PDF" in plainly(done.err)) == (2, True)
    assert (harbour / "readings.csv").read_bytes() == before


def test_a_job_that_cannot_be_read_makes_no_sheet_but_can_be_checked(
    give: Callable, harbour: Path, sheet: Path, tmp_path: Path
) -> None:
    changed(harbour / "job.toml", "[engine]", "[engine")
    assert give("sheet", harbour, "--to", tmp_path / "y.pdf").code == 2
    done = give("sheet", "--check", sheet, harbour)
    assert (done.code, "job.toml was changed" in plainly(done.out)) == (1, True)
