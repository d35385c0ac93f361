"""`blockwright accept`: a signed row, sealed to the one before, and nothing else in the folder is touched."""

import csv
import datetime as dt
import hashlib
import io
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.acts.kinds import signatures
from blockwright.fits.assessment import Standing
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess

FLOAT = ("crank end float",)
SIGNED = ("--by", "Ann B.", "--why", "one season, then thicker washers")


def rows(folder: Path, separator: str = ",") -> list[dict[str, str]]:
    text = (folder / "record.csv").read_bytes().decode()
    return list(csv.DictReader(io.StringIO(text, newline=""), delimiter=separator))


def digest(row: dict[str, str], before: str) -> str:
    """SHA-256 over the digest before and the row's own cells, joined by line feeds: as the job folder's page says."""
    cells = [row[name] for name in ("number", "event", "fit", "at", "value", "by", "when", "why")]
    return hashlib.sha256("\n".join([before, *cells]).encode()).hexdigest()


def others(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != "record.csv"}


def test_a_concession_is_sealed_and_ends_the_matter(give: Callable, hillclimb: Path) -> None:
    before = others(hillclimb)
    done = give("accept", hillclimb, *FLOAT, *SIGNED)
    assert (done.code, done.err) == (0, "")
    assert "Signed: concession for crank end float" in done.out
    assert "by Ann B." in " ".join(done.out.split())
    [row] = rows(hillclimb)
    today = dt.datetime.now(tz=dt.UTC).date().isoformat()
    assert (row["number"], row["event"], row["fit"], row["at"], row["by"]) == (
        "1",
        "concession",
        "crank end float",
        "engine",
        "Ann B.",
    )
    assert row["when"] == today
    assert row["digest"] == digest(row, "")
    assert others(hillclimb) == before
    shown = give("fits", hillclimb)
    assert shown.code == 0
    assert "out, under concession" in shown.out


def test_a_second_signature_is_chained_to_the_first(give: Callable, harbour: Path) -> None:
    old = rows(harbour)
    for fit, at in (("wall clearance", "3"), ("main film", "3"), ("wall clearance", "4")):
        assert give("accept", harbour, fit, at, *SIGNED).code == 0
    now = rows(harbour)
    assert now[: len(old)] == old
    assert [row["number"] for row in now] == [str(n) for n in range(1, len(now) + 1)]
    assert [row["event"] for row in now[-3:]] == ["concession", "concession", "judgement"]
    for before, row in zip(["", *(row["digest"] for row in now)], now, strict=False):
        assert row["digest"] == digest(row, before)
    told = {
        (each["fit"], each["at"]): each["words"] for each in json.loads(give("fits", harbour, "--json").out)["fits"]
    }
    assert told[("wall clearance", "cylinder 4")] == "accepted on judgement"
    assert told[("main film", "main 3")] == "out, under concession"


def test_every_fit_that_is_out_or_undecided_can_be_signed_for(give: Callable, harbour: Path) -> None:
    """The value is written as it was shown; read back it must still cover the fit."""
    asks = [result for result in assess(read_folder(harbour).job).results
            if result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED) and not result.record]  # fmt: skip
    assert len(asks) > 3
    for result in asks:
        assert give("accept", harbour, result.fit.name, result.position, *SIGNED).code == 0
    assert give("fits", harbour).code == 0
    after = assess(read_folder(harbour).job)
    assert not after.out
    assert {result.standing for result in after.unsettled} <= {Standing.OPEN}


def test_words_of_the_builder_come_back_as_typed(give: Callable, hillclimb: Path) -> None:
    why = 'customer said: "go on", then; paid, twice\tover – ±1'
    assert give("accept", hillclimb, *FLOAT, "--by", "Ölmann, J.", "--why", why).code == 0
    [record] = read_folder(hillclimb).job.records
    assert (record.by, record.why) == ("Ölmann, J.", why)
    assert give("fits", hillclimb).code == 0


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("separator", [",", ";"])
def test_a_spreadsheets_own_form_is_kept(give: Callable, harbour: Path, newline: str, separator: str) -> None:
    """A record.csv that came back from a spreadsheet with other separators and line ends goes on so; what was there keeps its seal."""
    old = rows(harbour)
    text = io.StringIO(newline="")
    table = csv.DictWriter(text, old[0], delimiter=separator, lineterminator=newline)
    table.writeheader()
    table.writerows(old)
    (harbour / "record.csv").write_bytes(text.getvalue().encode())
    assert give("accept", harbour, "wall clearance", "3", *SIGNED).code == 0
    data = (harbour / "record.csv").read_bytes()
    assert data.startswith(text.getvalue().encode())
    assert data.count(b"\r\n") == (data.count(b"\n") if newline == "\r\n" else 0)
    now = rows(harbour, separator)
    assert now[-1]["digest"] == digest(now[-1], old[-1]["digest"])
    assert give("fits", harbour).code == 1


def test_comments_in_the_job_stay(give: Callable, hillclimb: Path) -> None:
    job = hillclimb / "job.toml"
    job.write_bytes(b"# mine, do not touch\r\n" + job.read_bytes().replace(b"\n", b"\r\n"))
    before = job.read_bytes()
    assert give("accept", hillclimb, *FLOAT, *SIGNED).code == 0
    assert job.read_bytes() == before


@pytest.mark.parametrize(
    "given", [(), ("--by", "Ann"), ("--why", "so"), ("--by", "  ", "--why", "so"), ("--by", "Ann", "--why", " ")]
)
def test_without_name_and_reason_nothing_is_signed(give: Callable, hillclimb: Path, given: tuple[str, ...]) -> None:
    done = give("accept", hillclimb, *FLOAT, *given)
    assert done.code == 2
    assert "--by 'name' --why 'reason'" in done.err
    assert not (hillclimb / "record.csv").exists()


@pytest.mark.parametrize(("fit", "at", "standing"), [
    ("wall clearance", "2", "conforms"), ("wall clearance", "1", "open"), ("main journal size", "1", "no limit given"),
    ("bore taper", "3", "inside common practice"),
])  # fmt: skip
def test_there_is_nothing_to_sign_for_a_fit_that_needs_nothing(
    give: Callable, harbour: Path, fit: str, at: str, standing: str
) -> None:
    before = (harbour / "record.csv").read_bytes()
    done = give("accept", harbour, fit, at, *SIGNED)
    assert done.code == 2
    assert f": {standing}. There is nothing to sign for." in " ".join(done.err.split())
    assert (harbour / "record.csv").read_bytes() == before


@pytest.mark.parametrize("name", ["job.toml", "gauges.toml", "readings.csv", "record.csv"])
def test_a_file_that_was_changed_meanwhile_is_not_overwritten(
    give: Callable, harbour: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """Saved by another program after the job was read, before the acceptance is written."""
    path = harbour / name
    changed = path.read_bytes() + b"\n"
    judged = signatures.judge
    before = {each.name: each.read_bytes() for each in harbour.iterdir()}

    def judged_while_it_is_saved(*asked: object) -> object:
        path.write_bytes(changed)
        return judged(*asked)

    monkeypatch.setattr(signatures, "judge", judged_while_it_is_saved)
    done = give("accept", harbour, "wall clearance", "3", *SIGNED)
    assert (done.code, done.out) == (2, "")
    assert f"{name} was changed by another program since it was read. Nothing was written. Do it again." in done.err
    assert {each.name: each.read_bytes() for each in harbour.iterdir()} == before | {name: changed}


def test_a_row_that_was_changed_afterwards_is_found_out(give: Callable, hillclimb: Path) -> None:
    give("accept", hillclimb, *FLOAT, *SIGNED)
    path = hillclimb / "record.csv"
    path.write_text(path.read_text().replace("Ann B.", "Bob C."))
    done = give("accept", hillclimb, *FLOAT, *SIGNED)
    assert done.code == 2
    assert "its digest does not fit" in done.err


def test_an_acceptance_ends_where_the_value_has_moved_since(give: Callable, hillclimb: Path) -> None:
    """A part that was worked on again is another part: the signature was for the old value."""
    give("accept", hillclimb, *FLOAT, *SIGNED)
    readings = hillclimb / "readings.csv"
    lines = readings.read_text().splitlines(keepends=True)
    at = next(i for i, line in enumerate(lines) if ",crank end float," in line)
    value = next(cell for cell in lines[at].split(",") if cell.startswith("0."))
    lines[at] = lines[at].replace(f",{value},", ",0.40,")
    readings.write_text("".join(lines))
    shown = give("fits", hillclimb)
    assert shown.code == 1
    assert "sign again" in " ".join(shown.out.split())


def test_a_record_that_another_began_meanwhile_is_not_written_over(
    give: Callable, hillclimb: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There was no record.csv when the job was read: somebody else signed first."""
    path = hillclimb / "record.csv"
    assert not path.exists()
    judged = signatures.judge

    def judged_while_another_signs(*asked: object) -> object:
        path.write_bytes(b"signed by another\n")
        return judged(*asked)

    monkeypatch.setattr(signatures, "judge", judged_while_another_signs)
    done = give("accept", hillclimb, *FLOAT, *SIGNED)
    assert (done.code, done.out) == (2, "")
    assert "record.csv was changed by another program since it was read. Nothing was written." in done.err
    assert path.read_bytes() == b"signed by another\n"


def test_signing_twice_with_nothing_changed_is_refused(give: Callable, harbour: Path) -> None:
    assert give("accept", harbour, "wall clearance", "3", *SIGNED).code == 0
    before = (harbour / "record.csv").read_bytes()
    again = give("accept", harbour, "wall clearance", "3", *SIGNED)
    assert again.code == 2
    assert f"already signed by {SIGNED[1]} on {dt.date.today().isoformat()[:4]}" in " ".join(again.err.split())
    assert (harbour / "record.csv").read_bytes() == before
