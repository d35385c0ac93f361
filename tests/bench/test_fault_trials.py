"""The trials of `tools/fault_trials.py` in short: a bench that is killed, whose disk fills up or goes, whose ledger is held, whose database restarts."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOOLS = ROOT / "tools"
SEED = 11
LONGEST_S = 300.0
pytestmark = pytest.mark.slow
needs_postgresql = pytest.mark.skipif(
    not any(Path("/").glob("usr/lib/postgresql/*/bin/initdb")) and shutil.which("initdb") is None,
    reason="no PostgreSQL here",
)


def tried(database: str, fault: str, trials: int = 1) -> tuple[int, dict[str, dict[str, str]], str]:
    """Exit code, the table by the first word of each row, and all that was said."""
    words = ["--trials", str(trials), "--seed", str(SEED), "--clients", "4", "--database", database, "--fault", fault]
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("BLOCKWRIGHT", "DJANGO"))}
    done = subprocess.run(
        [sys.executable, str(TOOLS / "fault_trials.py"), *words],
        capture_output=True,
        text=True,
        check=False,
        timeout=LONGEST_S,
        env=clean,
    )
    lines = [
        [cell.strip() for cell in line.strip("| ").split("|")]
        for line in done.stdout.splitlines()
        if line.startswith("|")
    ]
    said = done.stdout + done.stderr
    assert len(lines) > 2, said
    return done.returncode, {row[0]: dict(zip(lines[0], row, strict=True)) for row in lines[2:]}, said


def assert_unharmed(row: dict[str, str], said: str) -> None:
    assert [row[name] for name in ("lost", "twice", "strays", "books unsound")] == ["0"] * 4, said
    assert int(row["readings"]) > 0, said
    assert int(row["acknowledged"]) > 0, said


def assert_told(row: dict[str, str], said: str) -> None:
    assert int(row["told no"]) > 0, said
    assert row["told no"] == row["of these 503 with a mend"], said


def test_killed_again_and_again_it_loses_nothing() -> None:
    code, rows, said = tried("sqlite", "kill", trials=6)
    assert code == 0, said
    assert rows["kill"]["trials"] == "6"
    assert int(rows["kill"]["unanswered"]) > 0, said
    assert_unharmed(rows["kill"], said)


@pytest.mark.parametrize("fault", ["full-disk", "read-only", "locked"])
def test_what_a_disk_can_do_loses_nothing_and_is_told(fault: str) -> None:
    code, rows, said = tried("sqlite", fault)
    assert_unharmed(rows[fault], said)
    assert_told(rows[fault], said)
    assert code == 0, said


@needs_postgresql
def test_a_database_that_restarts_loses_nothing_and_is_told() -> None:
    code, rows, said = tried("postgresql", "restart")
    for row in rows.values():
        assert_unharmed(row, said)
    assert len(rows) == 3, said
    assert_told(rows["restart, down for long"], said)
    assert code == 0, said


def judged(sent: object, before: set[str], at_once: object, looked: object):
    sys.path.insert(0, str(TOOLS))
    try:
        from trials.judging import outcome
    finally:
        sys.path.remove(str(TOOLS))
    return outcome("any", sent, before, at_once, looked)


@pytest.fixture
def told():
    """A reading that was acknowledged as event 2, and the book in which it lies so."""
    sys.path.insert(0, str(TOOLS))
    try:
        from trials.clients import Answer, Sent
        from trials.looking import Kept, Looked
    finally:
        sys.path.remove(str(TOOLS))
    first = Kept(1, "d1", "folder brought in", "", 0)
    sent = Sent("k.0", {"note": "k.0"}, [Answer(201, 0.1, 2, "d2")])

    def book(*rows: tuple[str, int, str, int], problems: tuple[str, ...] = ()) -> Looked:
        events = {"first": [first]}
        for key, number, digest, readings in rows:
            events.setdefault(key, []).append(Kept(number, digest, "reading taken", key, readings))
        return Looked(events, list(problems))

    return sent, book


GOOD = ("k.0", 2, "d2", 1)


def test_the_judge_finds_nothing_where_nothing_is_wrong(told) -> None:
    sent, book = told
    assert not judged([sent], set(), book(GOOD), book(GOOD)).harmed


@pytest.mark.parametrize(
    ("rows", "what"),
    [
        ([], "lost"),
        ([("k.0", 3, "d2", 1)], "lost"),
        ([("k.0", 2, "other", 1)], "lost"),
        ([("k.0", 2, "d2", 0)], "lost"),
        ([GOOD, ("k.0", 3, "d3", 1)], "twice"),
        ([("k.0", 2, "d2", 2)], "twice"),
        ([GOOD, ("stranger", 3, "d3", 1)], "strays"),
    ],
)
def test_the_judge_sees_a_loss_and_a_double(told, rows, what) -> None:
    sent, book = told
    found = judged([sent], set(), book(*rows), book(*rows))
    assert found.harmed
    assert getattr(found, what)


def test_the_judge_sees_a_loss_that_sending_again_would_hide(told) -> None:
    sent, book = told
    assert judged([sent], set(), book(), book(GOOD)).lost == ("k.0",)
    assert not judged([sent], {"k.0"}, book(), book(GOOD)).harmed


def test_the_judge_counts_what_was_kept_unheard(told) -> None:
    sent, book = told
    assert judged([sent], {"k.0"}, book(GOOD), book(GOOD)).late == 1


def test_the_judge_passes_on_what_verify_finds(told) -> None:
    sent, book = told
    assert judged([sent], set(), book(GOOD, problems=("the chain is broken",)), book(GOOD)).chain == (
        "the chain is broken",
    )
