"""`blockwright work`: what it prints, keeps, draws and refuses. The calculation itself is stood in for by an invented result."""

import json
import signal
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from rich.cells import cell_len

from blockwright.cli import work as command
from blockwright.fits.assessment import Standing
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.work.result import Work

from ..report.work_sample import sample_work

WORK = sample_work()


class Stand:
    """Stands in for the calculation and for what is kept; remembers how it was asked."""

    def __init__(self) -> None:
        self.asked: list[dict[str, Any]] = []
        self.kept: Work | None = None
        self.fault: BaseException | None = None

    def work(self, job: Any, **words: Any) -> Work:
        self.asked.append(words)
        if words["progress"] is not None:
            words["progress"]("the cycle", 0.5)
        if self.fault is not None:
            raise self.fault
        return replace(sample_work(draws=words["samples"] > 0), samples=words["samples"], seed=words["seed"])

    def keep(self, work: Work) -> None:
        self.kept = work


@pytest.fixture
def stand(monkeypatch: pytest.MonkeyPatch) -> Stand:
    made = Stand()
    monkeypatch.setattr(command, "kept", lambda job: made.kept)
    monkeypatch.setattr(command, "keep", made.keep)
    heavy = SimpleNamespace(work=made.work)
    trace = SimpleNamespace(read_trace=lambda path: f"trace of {path}")
    monkeypatch.setitem(sys.modules, "blockwright.running.work", heavy)
    monkeypatch.setitem(sys.modules, "blockwright.running.work.trace", trace)
    return made


def flat(out: str) -> str:
    return " ".join(out.split())


def test_it_is_worked_out_once_and_kept(give: Callable, harbour: Path, stand: Stand) -> None:
    first = give("work", harbour)
    assert first.code == 0, first.err
    assert stand.asked == [{"samples": 2000, "seed": 6, "pressure": None, "progress": None}]
    assert give("work", harbour).out == first.out
    assert len(stand.asked) == 1, "what is kept is shown"
    assert stand.kept is not None
    assert first.err == ""


@pytest.mark.parametrize(
    ("kept", "words", "anew"),
    [
        ((2000, 6), (), False),
        ((500, 6), (), False),
        ((0, 6), (), True),
        ((0, 6), ("--samples", "0"), False),
        ((2000, 6), ("--samples", "0"), False),
        ((2000, 6), ("--samples", "500"), True),
        ((2000, 6), ("--samples", "2000"), False),
        ((2000, 6), ("--seed", "7"), True),
        ((2000, 7), ("--seed", "7"), False),
        ((2000, 6), ("--again",), True),
    ],
)
def test_what_is_kept_answers_where_it_is_enough(
    give: Callable, harbour: Path, stand: Stand, kept: tuple[int, int], words: tuple[str, ...], anew: bool
) -> None:
    stand.kept = replace(sample_work(draws=kept[0] > 0), samples=kept[0], seed=kept[1])
    assert give("work", harbour, *words).code == 0
    assert bool(stand.asked) is anew


def test_a_pressure_of_ones_own_is_always_worked_out(give: Callable, harbour: Path, stand: Stand) -> None:
    stand.kept = WORK
    assert give("work", harbour, "--pressure", "mine.csv").code == 0
    assert stand.asked[0]["pressure"] == "trace of mine.csv"


@pytest.mark.parametrize("draws", [True, False], ids=["drawn", "plain"])
@pytest.mark.parametrize("terminal", ["xterm", "dumb"])
@pytest.mark.parametrize("unit", ["", "um", "thou", "in", "uin"])
def test_it_keeps_to_80_columns(
    give: Callable, harbour: Path, stand: Stand, draws: bool, terminal: str, unit: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", terminal)
    monkeypatch.setenv("COLUMNS", "80")
    stand.kept = sample_work(draws=draws, cylinders=12)
    for more in ((), ("--facts",)):
        done = give("work", harbour, "--samples", "0", *more, *(("--unit", unit) if unit else ()))
        assert done.code == 0, done.err
        assert [line for line in done.out.splitlines() if cell_len(line) > 80] == []
        if terminal == "dumb":
            assert done.out.isascii()


def test_no_row_of_a_table_is_broken(give: Callable, harbour: Path, stand: Stand) -> None:
    """One line a bearing, a ring pack and a fit, each with its verdict at its end."""
    stand.kept = sample_work(cylinders=12)
    lines = give("work", harbour).out.splitlines()
    for head, count in (("MAIN BEARINGS", 13), ("ROD BEARINGS", 12), ("RINGS", 12)):
        start = lines.index(head) + 2
        rows = lines[start : start + count]
        assert all(row.lstrip().startswith(("main", "cylinder")) for row in rows), head
    verdicts = [line for line in lines if line.endswith(", computed bound")]
    assert len(verdicts) == len(stand.kept.fits)


def test_everything_is_told(give: Callable, harbour: Path, stand: Stand) -> None:
    said = flat(give("work", harbour).out)
    for text in (
        WORK.headline,
        *WORK.missing,
        *WORK.cautions,
        *WORK.not_validated,
        WORK.rings[0].looser,
        WORK.better[0].words,
    ):
        assert flat(text)[1:] in said, text
    for node in WORK.nodes:
        assert node.words in said
    assert "3 of them assumed: pressure in the manifold" in said


def test_facts_are_all_inputs_and_all_paths_of_heat(give: Callable, harbour: Path, stand: Stand) -> None:
    out = give("work", harbour, "--facts").out
    said = flat(out)
    for path in WORK.paths:
        assert path.words in said
    assert len([line for line in out.splitlines() if line.endswith("assumed")]) == len(WORK.paths)
    for fact in WORK.facts:
        assert fact.words.split()[0] in said
    assert "CLEARANCES" not in out


def test_what_is_out_exits_1(give: Callable, harbour: Path, stand: Stand) -> None:
    bad = replace(WORK.fits[0], standing=str(Standing.NONCONFORMING), said="nonconforming")
    stand.kept = replace(WORK, fits=(bad, *WORK.fits[1:]))
    assert give("work", harbour).code == 1
    assert give("work", harbour, "--json").code == 1


def test_json_is_the_result_whole(give: Callable, harbour: Path, stand: Stand) -> None:
    told = json.loads(give("work", harbour, "--json").out)
    assert told["format"] == "blockwright work 1"
    assert (told["samples"], told["seed"]) == (2000, 6)
    assert len(told["bearings"]) == len(WORK.bearings)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--samples", "7"), "7 draws are too few for a chance"),
        (("--samples", "-1"), "-1 draws are too few"),
        (("--samples", "9999999"), "more than can be waited for"),
        (("--seed", "-3"), "a seed is not below nil"),
        (("--unit", "furlong"), "not shown in 'furlong'"),
    ],
)
def test_wrong_use_is_one_message_and_nothing_is_worked_out(
    give: Callable, harbour: Path, stand: Stand, words: tuple[str, ...], said: str
) -> None:
    done = give("work", harbour, *words)
    assert (done.code, done.out, stand.asked) == (2, "", [])
    assert said in flat(done.err)
    assert done.err.startswith("One thing must be mended first:")


def test_a_job_that_cannot_be_worked_is_one_message(give: Callable, harbour: Path, stand: Stand) -> None:
    stand.fault = BlockwrightError(Problem("work-order", "the job has no firing order.", "Write it in job.toml."))
    done = give("work", harbour)
    assert (done.code, done.out) == (2, "")
    assert "the job has no firing order. Write it in job.toml." in flat(done.err)
    assert stand.kept is None


def test_ctrl_c_leaves_nothing(give: Callable, harbour: Path, stand: Stand, tmp_path: Path) -> None:
    stand.fault = KeyboardInterrupt()
    assert give("work", harbour, "--pictures", tmp_path / "drawn").code == 128 + signal.SIGINT
    assert stand.kept is None
    assert not (tmp_path / "drawn").exists()


def test_pictures_are_written_whole_and_not_over_what_is_there(
    give: Callable, harbour: Path, stand: Stand, tmp_path: Path
) -> None:
    to = tmp_path / "drawn"
    first = give("work", harbour, "--pictures", to)
    assert first.code == 0, first.err
    drawn = sorted(each.name for each in to.iterdir())
    assert len(drawn) >= 10
    assert all(each.endswith(".svg") for each in drawn)
    assert flat(f"{len(drawn)} pictures written to {to}:") in flat(first.out)
    asked = len(stand.asked)
    refused = give("work", harbour, "--pictures", to, "--again")
    assert (refused.code, len(stand.asked)) == (2, asked), "refused before anything is worked out"
    assert "--force" in refused.err
    (to / drawn[0]).write_text("<svg/>")
    foreign = give("work", harbour, "--pictures", to, "--force")
    assert foreign.code == 2
    assert drawn[0] in flat(foreign.err)
    assert (to / drawn[0]).read_text() == "<svg/>"
    (to / drawn[0]).unlink()
    assert give("work", harbour, "--pictures", to, "--force").code == 0
    assert sorted(each.name for each in to.iterdir()) == drawn


def test_a_disk_that_stops_leaves_no_half_of_a_picture(
    give: Callable, harbour: Path, stand: Stand, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Interrupted in the middle of a file: what is there is whole, and nothing lies beside it."""
    written = Path.write_bytes

    def stop(path: Path, content: bytes) -> int:
        if len(list(path.parent.iterdir())) == 3:
            written(path, content[:100])
            raise KeyboardInterrupt
        return written(path, content)

    monkeypatch.setattr(Path, "write_bytes", stop)
    assert give("work", harbour, "--pictures", tmp_path / "drawn").code == 130
    there = list((tmp_path / "drawn").iterdir())
    assert len(there) == 3
    assert all(each.read_text().rstrip().endswith("</svg>") for each in there)


def test_the_bar_goes_to_a_terminal_only(
    give: Callable, harbour: Path, stand: Stand, monkeypatch: pytest.MonkeyPatch
) -> None:
    give("work", harbour)
    assert stand.asked[-1]["progress"] is None
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    with command._bar() as progress:
        assert progress is not None
        progress("the cycle", 7.0)


def test_starting_the_command_line_loads_no_calculation() -> None:
    import subprocess

    asked = "import sys, blockwright.cli.main; print([name for name in sys.modules if name.startswith(('numba', 'scipy', 'blockwright.running.work'))])"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
