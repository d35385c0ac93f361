"""`rings file` as a builder would use it: a whole ring, wrong answers, stopping and going on, being killed."""

import csv
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from blockwright.jobfile.folder import read_folder

RING = ("--cylinder", "2", "--ring", "top", "--by", "T. Alder (invented)")
TEMPERATURES = "20 °C\n20 °C\n25 mm\n"


@pytest.fixture
def bench(hillclimb: Path) -> Path:
    """The flat six with its gaps not yet read."""
    path = hillclimb / "readings.csv"
    rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    feature = rows[0].index("feature")
    kept = [row for row in rows if not row[feature].endswith(" gap")]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(kept)
    return hillclimb


def entries(job: Path) -> list[tuple[float, str]]:
    return [(each.units, each.reading.text) for each in read_folder(job).job.passes]


def test_a_ring_from_its_first_reading_to_its_aim(give: Callable, bench: Path) -> None:
    answers = f"y\n{TEMPERATURES}0.30 to 0.35 mm\n5\ny\n{TEMPERATURES}0.40 to 0.45 mm\nq\n"
    done = give("rings", "file", bench, *RING, answers=answers)
    assert done.code == 0
    assert "R2 top, cylinder 2" in done.out
    assert "Stop: it conforms" in " ".join(done.out.split())
    assert "Ring map" in done.out
    assert entries(bench) == [(0.0, "0.30 to 0.35 mm"), (5.0, "0.40 to 0.45 mm")]
    assert all(len(line) <= 80 for line in done.out.split("Ring map")[1].splitlines())


def test_stopped_and_gone_on(give: Callable, bench: Path) -> None:
    give("rings", "file", bench, *RING, answers=f"y\n{TEMPERATURES}0.20 to 0.25 mm\nq\n")
    assert len(entries(bench)) == 1
    done = give("rings", "file", bench, *RING, answers=f"6\ny\n{TEMPERATURES}0.30 to 0.35 mm\nq\n")
    assert "Read its gap first" not in done.out.split("R2 top, cylinder 2")[1].split("Take")[0]
    assert [units for units, _ in entries(bench)] == [0.0, 6.0]


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ("0.45 to 0.40 mm", "from large to small"),
        ("0.40 mm", "blade"),
        ("wide", "'wide'"),
        ("23 to 24 mm", "did you mean"),
    ],
)
def test_a_gap_that_cannot_be_is_asked_again(give: Callable, bench: Path, wrong: str, told: str) -> None:
    done = give("rings", "file", bench, *RING, answers=f"y\n{TEMPERATURES}{wrong}\n0.30 to 0.35 mm\nq\n")
    assert told.lower() in " ".join(done.out.split()).lower()
    assert entries(bench) == [(0.0, "0.30 to 0.35 mm")]


@pytest.mark.parametrize("wrong", ["-3", "some", "2.5", "nan"])
def test_turns_that_cannot_be_are_asked_again(give: Callable, bench: Path, wrong: str) -> None:
    first = f"y\n{TEMPERATURES}0.20 to 0.25 mm\n"
    done = give("rings", "file", bench, *RING, answers=f"{first}{wrong}\n4\ny\n{TEMPERATURES}0.25 to 0.30 mm\nq\n")
    assert done.code == 0
    assert [units for units, _ in entries(bench)] == [0.0, 4.0]


def test_a_gap_that_shrank_is_read_again_and_the_slip_withdrawn(give: Callable, bench: Path) -> None:
    first = f"y\n{TEMPERATURES}0.25 to 0.30 mm\n"
    shrunk = f"4\ny\n{TEMPERATURES}0.10 to 0.15 mm\n"
    again = f"y\n{TEMPERATURES}0.30 to 0.35 mm\n1\nq\n"
    done = give("rings", "file", bench, *RING, answers=first + shrunk + again)
    said = " ".join(done.out.split())
    assert "hard to believe" in said
    assert "Read it again before anything more is taken" in said
    passes = read_folder(bench).job.passes
    assert [(each.units, each.reading.withdrawn) for each in passes] == [
        (0.0, ""),
        (4.0, "a slip, found when it was read again"),
        (0.0, ""),
    ]


def test_without_the_ritual_nothing_is_asked_for(give: Callable, bench: Path) -> None:
    done = give("rings", "file", bench, *RING, answers=f"n\ny\n{TEMPERATURES}0.30 to 0.35 mm\nq\n")
    assert "worth nothing without" in done.out
    assert len(entries(bench)) == 1


@pytest.mark.parametrize(
    ("words", "told"),
    [(("--cylinder", "9"), "There are"), (("--ring", "third"), "There are"), (("--gauge", "ZZ"), "no gauge 'ZZ'")],
)
def test_a_ring_or_gauge_nobody_declared(give: Callable, bench: Path, words: tuple[str, ...], told: str) -> None:
    done = give("rings", "file", bench, *words)
    assert done.code == 2
    assert told in done.err
    assert not (bench / "passes.csv").exists()


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system kills otherwise")
def test_killed_between_any_two_entries_every_entry_is_there(bench: Path) -> None:
    """Twelve sessions, each killed after a number of answers drawn by lot: what was answered in full is on the disk, and the folder reads."""
    lot = random.Random(5)
    command = [
        sys.executable,
        "-c",
        "from blockwright.cli.main import main; main()",
        "rings",
        "file",
        str(bench),
        *RING,
    ]
    for _ in range(12):
        known = len(entries(bench)) if (bench / "passes.csv").exists() else 0
        head = "y\n" if known == 0 else "0\ny\n"
        lines = (head + TEMPERATURES + "0.20 to 0.25 mm\n").splitlines(keepends=True)
        given = lot.randint(0, len(lines))
        with subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        ) as session:
            assert session.stdin is not None
            session.stdin.write("".join(lines[:given]))
            session.stdin.flush()
            _answered(bench, known, whole=given == len(lines))
            session.kill()
        found = len(entries(bench)) if (bench / "passes.csv").exists() else 0
        assert found == known + (given == len(lines))


def _answered(job: Path, known: int, *, whole: bool) -> None:
    """Wait until an entry that was answered in full is on the disk; a part of one gets half a second to do harm."""
    end = time.monotonic() + (30.0 if whole else 0.5)
    while time.monotonic() < end:
        if whole and (job / "passes.csv").exists() and len(entries(job)) > known:
            return
        time.sleep(0.05)
