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


@pytest.mark.parametrize("how", ["q\n", ""], ids=["q", "closed"])
def test_what_was_taken_is_kept_before_its_gap_is_read(give: Callable, bench: Path, how: str) -> None:
    given = f"y\n{TEMPERATURES}0.20 to 0.25 mm\n6\n{how}"
    assert "6 turns written down" in give("rings", "file", bench, *RING, answers=given).out
    assert entries(bench) == [(0.0, "0.20 to 0.25 mm"), (6.0, "")]
    assert "gap not read since" in give("rings", "map", bench).out
    done = give("rings", "file", bench, *RING, answers=f"y\n{TEMPERATURES}0.25 to 0.30 mm\nq\n")
    assert "6 turns taken, gap not read since: read it first." in " ".join(done.out.split())
    assert "Turns taken" not in done.out.split("read it first")[1].split("Gap in")[0]
    assert entries(bench) == [(0.0, "0.20 to 0.25 mm"), (6.0, "0.25 to 0.30 mm")]


def test_a_gap_read_by_another_hand_is_an_entry_of_its_own(give: Callable, bench: Path) -> None:
    give("rings", "file", bench, *RING, answers=f"y\n{TEMPERATURES}0.20 to 0.25 mm\n6\nq\n")
    other = (*RING[:4], "--by", "S. Birch (invented)")
    give("rings", "file", bench, *other, answers=f"y\n{TEMPERATURES}0.25 to 0.30 mm\nq\n")
    assert entries(bench) == [(0.0, "0.20 to 0.25 mm"), (6.0, ""), (0.0, "0.25 to 0.30 mm")]
    assert [each.reading.by[:1] for each in read_folder(bench).job.passes] == ["T", "T", "S"]


def test_more_than_advised_is_not_kept_until_it_is_confirmed(give: Callable, bench: Path) -> None:
    first = f"y\n{TEMPERATURES}0.20 to 0.25 mm\n"
    give("rings", "file", bench, *RING, answers=f"{first}90\nq\n")
    assert [units for units, _ in entries(bench)] == [0.0]
    give("rings", "file", bench, *RING, answers="90\ny\nq\n")
    assert entries(bench)[-1] == (90.0, "")


def test_two_readings_that_contradict_each_other_are_listed_and_the_slip_withdrawn(give: Callable, bench: Path) -> None:
    first = f"y\n{TEMPERATURES}0.20 to 0.25 mm\n"
    again = "0\ny\n0.50 to 0.55 mm\n2\nq\n"
    said = " ".join(give("rings", "file", bench, *RING, answers=first + again).out.split())
    assert "What was read since the last pass disagrees" in said
    assert [bool(each.reading.withdrawn) for each in read_folder(bench).job.passes] == [False, True]


def test_an_answer_that_is_none_is_told_what_is_wanted(give: Callable, bench: Path) -> None:
    done = give("rings", "file", bench, *RING, answers=f"maybe\n\ny\n{TEMPERATURES}\n0.30 to 0.35 mm\nq\n")
    assert done.out.count("Say y or n.") == 2
    assert done.out.count("Something must be typed here; q stops.") == 1
    assert len(entries(bench)) == 1


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


def test_what_is_no_count_is_not_echoed_whole(give: Callable, bench: Path) -> None:
    typed = "\x1b[31m" + "x" * 500
    done = give("rings", "file", bench, *RING, answers=f"y\n{TEMPERATURES}0.20 to 0.25 mm\n{typed}\nq\n")
    assert "is no count of" in done.out
    assert "\x1b" not in done.out
    assert "x" * 50 not in done.out


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
def test_killed_between_any_two_answers_nothing_that_was_answered_is_lost(bench: Path) -> None:
    """Sixteen sessions, each killed after a number of answers drawn by lot: turns that were answered, and gaps, are on the disk, and the folder reads."""
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
    for _ in range(16):
        turns, gaps, waiting = _on_disk(bench)
        lines = [
            f"{'' if waiting or not gaps else '1,'}y",
            *TEMPERATURES.split("\n")[:3],
            _blades(turns + (not waiting and gaps > 0)),
        ]
        answers = ",".join(lines).split(",")
        given = lot.randint(0, len(answers))
        took = float(given > 0 and answers[0] == "1")
        wanted = (turns + took, gaps + (given == len(answers)))
        with subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        ) as session:
            assert session.stdin is not None
            session.stdin.write("".join(f"{answer}\n" for answer in answers[:given]))
            session.stdin.flush()
            _answered(bench, wanted, changed=wanted != (turns, gaps))
            session.kill()
        assert _on_disk(bench)[:2] == wanted


def _on_disk(job: Path) -> tuple[float, int, bool]:
    """Turns taken in all, gaps read, and whether the last entry waits for its gap."""
    found = entries(job) if (job / "passes.csv").exists() else []
    return sum(units for units, _ in found), sum(bool(gap) for _, gap in found), bool(found) and not found[-1][1]


def _blades(turns: float) -> str:
    """Which blades a gap of 0.21 mm goes between that a turn opens by 0.01 mm."""
    low = int((21 + turns) // 5) * 5
    return f"0.{low:02d} to 0.{low + 5:02d} mm"


def _answered(job: Path, wanted: tuple[float, int], *, changed: bool) -> None:
    """Wait until what was answered is on the disk; an answer that writes nothing gets half a second to do harm."""
    end = time.monotonic() + (30.0 if changed else 0.5)
    while time.monotonic() < end:
        if changed and _on_disk(job)[:2] == wanted:
            return
        time.sleep(0.05)
