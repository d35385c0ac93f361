"""Terminals that have plain letters only: nothing crashes, nothing is lost, tables keep their width."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.cli import letters
from blockwright.fits.assessment import Standing
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess

NAMED = "Ölkanne – Größe №5 (±2 µm) “flat”"


def blockwright(*words: object, encoding: str, **more: str) -> subprocess.CompletedProcess[bytes]:
    """A command in a process of its own, whose output has this encoding."""
    environment = os.environ | {"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0", "LC_ALL": "C"} | more
    command = [sys.executable, "-c", "from blockwright.cli.main import main; main()", *map(str, words)]
    return subprocess.run(command, capture_output=True, env=environment, check=False)


def named(folder: Path) -> Path:
    job = folder / "job.toml"
    lines = job.read_text(encoding="utf-8").splitlines(keepends=True)
    first = next(i for i, line in enumerate(lines) if line.startswith("name = "))
    lines[first] = f'name = "{NAMED}"\n'
    job.write_text("".join(lines), encoding="utf-8")
    return folder


@pytest.mark.parametrize("encoding", ["ascii", "ascii:strict", "latin-1", "cp437"])
def test_fits_in_letters_that_the_terminal_has(harbour: Path, encoding: str) -> None:
    done = blockwright("fits", named(harbour), encoding=encoding)
    assert (done.returncode, done.stderr) == (1, b"")
    text = done.stdout.decode(encoding.partition(":")[0])
    assert all(len(line) <= 80 for line in text.splitlines())
    assert "+/-" in text
    undecided = sum(result.standing is Standing.UNDECIDED for result in assess(read_folder(harbour).job).results)
    assert sum("?|?" in line for line in text.splitlines()) == undecided


@pytest.mark.parametrize("words", [
    ("fits", "--all"), ("fits", "--json"), ("explain", "wall clearance", "4"), ("explain", "turning torque", "stage seals"),
    ("explain", "wall clearance", "4", "--json"), ("explain", "bore tapir"), ("fits", "--only", "±"),
])  # fmt: skip
def test_every_command_survives_ascii(harbour: Path, words: tuple[str, ...]) -> None:
    done = blockwright(words[0], named(harbour), *words[1:], encoding="ascii")
    assert done.returncode in (0, 1, 2)
    assert b"fault of its own" not in done.stderr
    assert (done.stdout + done.stderr).isascii()


def test_json_in_ascii_loses_nothing(harbour: Path) -> None:
    plain, full = (blockwright("fits", named(harbour), "--json", encoding=each).stdout for each in ("ascii", "utf-8"))
    assert plain.isascii()
    assert json.loads(plain) == json.loads(full.decode("utf-8"))
    assert json.loads(plain)["engine"] == NAMED


def test_a_study_in_ascii(tmp_path: Path) -> None:
    rows = [
        f"{hand},{part},{trial},{10 + part + 0.001 * trial * (part + hand)}"
        for hand in (1, 2)
        for part in (1, 2, 3)
        for trial in (1, 2)
    ]
    path = tmp_path / "study.csv"
    path.write_text("appraiser,part,trial,value\n" + "\n".join(rows) + "\n")
    for flag in ((), ("--json",)):
        done = blockwright("gauge-study", path, "--unit", "mm", *flag, encoding="ascii")
        assert (done.returncode, done.stderr) == (0, b""), done.stderr
        assert done.stdout.isascii()


def test_a_dumb_terminal_gets_plain_marks(give: Callable, harbour: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert give("fits", harbour).out.isascii()
    monkeypatch.setenv("TERM", "xterm")
    assert not give("fits", harbour).out.isascii()


def test_signs_are_spelled_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert letters.spelled("0.094 ± 0.005 mm at 20 °C, 45°") == "0.094+/-0.005 mm at 20 C, 45 deg"


def test_what_cannot_be_spelled_becomes_its_plain_letter_or_a_question_mark() -> None:
    letters.make_safe()
    assert "Größe ± 活塞 – é".encode("ascii", letters.HANDLER) == b"Gro?e +/- ?? - e"
