"""Wrong usage, wrong input, and faults of the program itself: always words, never a traceback, and the right exit code."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

import blockwright.cli.fits
from blockwright import __version__
from blockwright.fits.registry import REGISTRY

COMMAND = (sys.executable, "-c", "from blockwright.cli.main import main; main()")


def in_words(done: object, code: int, *parts: str) -> None:
    """Nothing on standard output, and on the other one words with these parts in them."""
    assert (done.code, done.out) == (code, ""), done
    assert "Traceback" not in done.err
    said = " ".join(done.err.split())
    for part in parts:
        assert part in said, done.err


def test_no_command_shows_help_and_a_version_can_be_asked_for(give: Callable) -> None:
    assert "Usage: blockwright" in "".join(give()[1:])
    assert give("--version") == (0, f"blockwright {__version__}\n", "")


@pytest.mark.parametrize(("words", "parts"), [
    (("fit", "."), ("No such command 'fit'",)),
    (("fits",), ("Missing argument 'JOB'",)),
    (("fits", "--al", "."), ("No such option: --al",)),
    (("fits", "a", "b"), ("unexpected extra argument",)),
    (("explain", "."), ("Missing argument 'FIT'",)),
    (("gauge-study",), ("Missing argument 'FILE'",)),
])  # fmt: skip
def test_wrong_words_exit_2(give: Callable, words: tuple[str, ...], parts: tuple[str, ...]) -> None:
    in_words(give(*words), 2, *parts)


@pytest.mark.parametrize(
    "words", [("fits", "{}"), ("explain", "{}", "wall clearance", "1"), ("accept", "{}", "wall clearance", "1")]
)
def test_a_folder_that_is_not_there(give: Callable, tmp_path: Path, words: tuple[str, ...]) -> None:
    in_words(give(*(word.format(tmp_path / "nowhere") for word in words)), 2, "no folder", "nowhere", "blockwright new")


def test_a_file_in_place_of_the_folder(give: Callable, harbour: Path) -> None:
    in_words(give("fits", harbour / "job.toml"), 2, "job.toml", "folder")


def test_an_empty_folder_names_every_file_that_is_missing(give: Callable, tmp_path: Path) -> None:
    in_words(give("fits", tmp_path), 2, "3 things must be mended first:", "job.toml", "gauges.toml", "readings.csv")


def test_a_name_too_long_for_the_disk(give: Callable) -> None:
    in_words(give("fits", "x" * 5000), 2, "One thing must be mended first:")


@pytest.mark.parametrize(("typed", "meant"), [
    ("walclearance", "wall clearance"), ("wall clearence", "wall clearance"), ("mainfilm", "main film"), ("end float", "crank end float"),
])  # fmt: skip
def test_a_fit_that_does_not_exist_names_the_nearest(give: Callable, harbour: Path, typed: str, meant: str) -> None:
    assert meant in REGISTRY
    in_words(give("explain", harbour, typed, "1"), 2, f"there is no fit '{typed}'", f"Did you mean '{meant}'?")
    in_words(give("fits", harbour, "--only", typed), 2, f"Did you mean '{meant}'?")


def test_a_fit_that_is_like_none(give: Callable, harbour: Path) -> None:
    in_words(give("explain", harbour, "xyzzy", "1"), 2, "there is no fit 'xyzzy'")
    in_words(give("fits", harbour, "--only", "xyzzy"), 2, "Say out, undecided, open, or the name of a fit.")


def test_a_fit_that_this_engine_does_not_have(give: Callable, harbour: Path) -> None:
    in_words(give("explain", harbour, "pin press", "1"), 2, "this engine has no pin press", "floating")


def test_a_position_that_does_not_exist(give: Callable, harbour: Path) -> None:
    listed = "cylinder 1, cylinder 2, cylinder 3, cylinder 4"
    in_words(give("explain", harbour, "wall clearance"), 2, "at which cylinder?", listed)
    in_words(
        give("explain", harbour, "wall clearance", "cylinder 9"),
        2,
        "no position 'cylinder 9'",
        "Did you mean 'cylinder",
        listed,
    )
    in_words(give("explain", harbour, "wall clearance", "cilinder 4"), 2, "Did you mean 'cylinder 4'?")
    in_words(give("explain", harbour, "wall clearance", "main 3"), 2, "no position 'main 3'", listed)


ODD = "\x1b[31m" + "x" * 2000
"""A text that would colour a terminal, far too long to be echoed."""


@pytest.mark.parametrize("words", [
    ("fits", "{}", "--only", ODD), ("fits", "{}", "--unit", ODD), ("explain", "{}", ODD, "1"), ("explain", "{}", "wall clearance", ODD),
    ("accept", "{}", ODD, "1"), ("pistons", "{}", ODD, "P1"), ("rings", "file", "{}", "--ring", ODD), ("rings", "file", "{}", "--gauge", ODD),
    ("new", "{}/new", "--no-ask", "--housing-material", ODD), ("new", "{}/new", "--no-ask", "--cylinders", "9" * 5000),
    ("fits", ODD[:200]), ("rings", "clock", "{}", "1", "--svg", "{}/" + ODD[:100] + "/a.svg"),
], ids=lambda words: " ".join(word for word in words if len(word) < 30))  # fmt: skip
def test_what_was_typed_is_not_echoed_whole(give: Callable, harbour: Path, words: tuple[str, ...]) -> None:
    done = give(*(word.replace("{}", str(harbour)) for word in words))
    assert done.code == 2, done
    assert "\x1b" not in done.out + done.err
    assert "mended first:" in done.err
    assert max(len(word) for word in done.err.split()) < 300


def test_an_alloy_or_a_state_of_a_file_is_not_echoed_whole(give: Callable, harbour: Path) -> None:
    job, readings = harbour / "job.toml", harbour / "readings.csv"
    job.write_text(job.read_text().replace('"grey iron"', f'"{"x" * 2000}"', 1))
    readings.write_text(readings.read_text().replace("plate on", "y" * 2000, 1))
    done = give("fits", harbour)
    in_words(done, 2, "is not in the materials list", "is no state that is known here")
    assert max(len(word) for word in done.err.split()) < 100


def test_a_unit_that_does_not_exist(give: Callable, harbour: Path) -> None:
    for words in (("fits", harbour), ("explain", harbour, "wall clearance", "4")):
        in_words(give(*words, "--unit", "parsec"), 2, "'parsec'", "mm, um, thou, in, tenths")
        in_words(give(*words, "--unit", "Nm"), 2, "'Nm'")


def test_bad_files_are_all_told_at_once(give: Callable, harbour: Path) -> None:
    job, readings = harbour / "job.toml", harbour / "readings.csv"
    job.write_text(job.read_text().replace("stroke = ", "strok = ", 1))
    readings.write_text(readings.read_text() + "r900,P9,skirt,,,,97.1,mm,M1,,,,,,,,,,\n")
    in_words(
        give("fits", harbour), 2, "things must be mended first:", "Did you mean 'stroke'?", "'P9'", "readings.csv, line"
    )


def test_a_fault_of_the_program_is_one_line(give: Callable, harbour: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(job: object) -> None:
        raise ZeroDivisionError("two\nlines")

    monkeypatch.setattr(blockwright.cli.fits, "assess", broken)
    done = give("fits", harbour)
    in_words(done, 3, "blockwright has a fault of its own (ZeroDivisionError: two lines). Please report it.")
    assert done.err.count("\n") == 1
    monkeypatch.setenv("BLOCKWRIGHT_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        give("fits", harbour)


def test_the_interrupt_key_ends_quietly(give: Callable, harbour: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(job: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(blockwright.cli.fits, "assess", interrupted)
    in_words(give("fits", harbour), 130)


def test_the_interrupt_key_at_a_question_makes_nothing(tmp_path: Path) -> None:
    asking = subprocess.Popen([*COMMAND, "new", str(tmp_path / "job")], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE, env=os.environ | {"PYTHONUNBUFFERED": "1"})  # fmt: skip
    with asking:
        assert asking.stdout is not None
        assert asking.stdout.read(4) == b"What"
        time.sleep(0.1)
        asking.send_signal(signal.SIGINT)
        asking.wait(timeout=30)  # before its input is closed, which would be an answer too
        assert asking.stderr is not None
        said = asking.stderr.read()
    assert asking.returncode == 130
    assert b"Traceback" not in said
    assert not (tmp_path / "job").exists()


@pytest.mark.skipif(not hasattr(signal, "SIGPIPE"), reason="this system has no closed pipes")
@pytest.mark.parametrize("words", [("fits", "--all"), ("fits", "--json"), ("fits",)])
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_has_seen_enough(harbour: Path, words: tuple[str, ...], unbuffered: str) -> None:
    """As with `| head -1`: no traceback, and not the exit code of a fit that is out."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    writer = subprocess.Popen([*COMMAND, words[0], str(harbour), *words[1:]], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                              env=environment | ({"PYTHONUNBUFFERED": "1"} if unbuffered else {}))  # fmt: skip
    assert writer.stdout is not None
    writer.stdout.close()
    with writer:
        said = writer.stderr.read() if writer.stderr else b""
        assert writer.wait(timeout=30) == -signal.SIGPIPE
    assert said == b""
