"""Eighty columns: no line is wider, and no row of a table is broken, whatever a job is called and however much is in it."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

from blockwright.cli.fits import SHOWN_IN
from blockwright.cli.new import QUESTIONS
from blockwright.jobfile.folder import read_folder
from blockwright.running.assess import assess

LONG = "Straight-through hill climb engine of the second series no. 12"
assert len(LONG) > 60


def narrow(out: str) -> list[str]:
    lines = out.splitlines()
    assert [line for line in lines if cell_len(line) > 80] == []
    return lines


VERDICT = re.compile(
    r"(conforms|common practice|computed bound|undecided|nonconforming|under concession|on judgement|no limit given|open: \d+ to read)$"
)
AFTER_THE_TABLE = ("WORK ORDERED, AND WHAT CAME BACK", "NOTICED", "WHAT TO DO NEXT, IN THIS ORDER")


def whole_rows(lines: list[str], results: int) -> None:
    """One line a result: set in, and ending in its verdict."""
    end = min(lines.index(heading) for heading in AFTER_THE_TABLE if heading in lines)
    rows = [line for line in lines[lines.index("") : end] if line.startswith("  ")]
    assert [row for row in rows if not VERDICT.search(row)] == []
    assert len(rows) == results


def renamed(folder: Path) -> Path:
    """Names and marks as long as anyone would write them."""
    job, readings = folder / "job.toml", folder / "readings.csv"
    text, table = job.read_text(), readings.read_text()
    text = re.sub(r'^name = ".*"', f'name = "{LONG}"', text, count=1, flags=re.MULTILINE)
    for mark in ("P1", "P2", "P3", "P4", "R1", "W1", "C1", "K1"):
        long = f"{mark}-{'x' * 57}"
        text, table = (
            text.replace(f'"{mark}"', f'"{long}"'),
            re.sub(rf"^(r\d+),{mark},", rf"\1,{long},", table, flags=re.MULTILINE),
        )
    text = text.replace('mark = "B1"', f'mark = "B1"\nnote = "{LONG * 3}"')
    table = re.sub(r",$", f",{LONG}", table, flags=re.MULTILINE)
    job.write_text(text)
    readings.write_text(table.replace(f"note{LONG}", "note", 1))
    return folder


JOBS = ("harbour", "hillclimb", "harbour, long names", "sixteen", "sixteen, empty")


@pytest.fixture(
    params=[pytest.param(name, marks=pytest.mark.slow if name in ("hillclimb", "sixteen") else ()) for name in JOBS]
)
def job(request: pytest.FixtureRequest, made: Callable, filled: Callable) -> Path:
    if request.param.startswith("sixteen"):
        full = ("--full",) if "empty" in request.param else ()
        folder: Path = made("job", *full, layout="V", cylinders="16", name=LONG)
        if not full:
            filled(folder)
        return folder
    name, _, long = request.param.partition(", ")
    folder = request.getfixturevalue(name)
    return renamed(folder) if long else folder


@pytest.mark.parametrize("terminal", ["xterm", "dumb"])
def test_fits_keeps_to_80_columns(give: Callable, job: Path, terminal: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With marks in block characters, and in plain letters."""
    monkeypatch.setenv("TERM", terminal)
    monkeypatch.setenv("COLUMNS", "80")
    results = len(assess(read_folder(job).job).results)
    narrow(give("fits", job).out)
    for unit in SHOWN_IN if terminal == "xterm" else ("mm", "in", "uin"):
        done = give("fits", job, "--all", "--unit", unit)
        assert done.code in (0, 1), done.err
        whole_rows(narrow(done.out), results)


def test_a_choice_of_fits_keeps_to_80_columns(give: Callable, job: Path) -> None:
    for chosen in ("out", "undecided", "open", "wall clearance", "turning torque", "main journal out-of-round"):
        narrow(give("fits", job, "--only", chosen).out)


@pytest.mark.parametrize("unit", ["", *(pytest.param(unit, marks=pytest.mark.slow) for unit in ("um", "in", "uin"))])
def test_every_story_keeps_to_80_columns(give: Callable, harbour: Path, unit: str) -> None:
    """Every fit of the job once in each unit, at the position where it stands worst."""
    folder = renamed(harbour)
    worst = {}
    for result in assess(read_folder(folder).job).results:
        if result.fit.name not in worst or result.out or result.record:
            worst[result.fit.name] = result
    for result in worst.values():
        done = give("explain", folder, result.fit.name, result.position, *(("--unit", unit) if unit else ()))
        assert done.code == int(result.out), done.err
        narrow(done.out)


def test_demo_keeps_to_80_columns(give: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    narrow(give("demo").out)


def test_commands_to_copy_are_never_broken(give: Callable, tmp_path: Path) -> None:
    folder = tmp_path / "a folder with spaces and of some length"
    out = give("demo", folder).out
    assert f"  blockwright explain '{folder}'/harbour 'wall clearance' 4\n" in out


def test_new_keeps_to_80_columns(give: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every question leaves room for its answer; after it the line goes on here, since nobody typed a line end."""
    monkeypatch.chdir(tmp_path)
    told = (
        LONG,
        "W",
        "V",
        "6",
        "",
        "",
        "",
        "wood",
        "",
        "",
        "86",
        *("86 mm", "86 mm", "143 mm", "55 mm", "48 mm", "21 mm"),
        *[""] * 5,
    )
    done = give("new", "job", answers="".join(f"{each}\n" for each in told))
    assert done.code == 0, done.err
    prompts = [f"{each.words} [{each.usual}]: " if each.usual else f"{each.words}: " for each in QUESTIONS]
    assert max(map(len, prompts)) < 80
    narrow(re.sub("|".join(map(re.escape, prompts)), "\n", done.out))


def test_a_signature_keeps_to_80_columns(give: Callable, hillclimb: Path) -> None:
    narrow(give("accept", hillclimb, "crank end float", "--by", LONG, "--why", LONG).out)


def test_a_study_keeps_to_80_columns(give: Callable, tmp_path: Path) -> None:
    hands, parts = [f"{LONG} {n}" for n in (1, 2)], [f"part {LONG} {n}" for n in (1, 2, 3)]
    rows = [f"{hand},{part},{trial},{20 + 0.01 * p + 0.001 * ((trial * 7 + p + h) % 3) + 0.1 * (trial == 3 and p == 1)}"
            for h, hand in enumerate(hands) for p, part in enumerate(parts) for trial in (1, 2, 3)]  # fmt: skip
    rows = [row.replace("hill climb engine of the second series no. 12", "engine") for row in rows]
    path = tmp_path / "study.csv"
    path.write_text("appraiser,part,trial,value\n" + "\n".join(rows) + "\n")
    for unit in ("mm", "in", "um"):
        done = give("gauge-study", path, "--unit", unit, "--tolerance", f"1 {unit}")
        assert done.code == 0, done.err
        narrow(done.out)


@pytest.mark.parametrize("command", [(), ("new",), ("fits",), ("explain",), ("accept",), ("gauge-study",), ("demo",)])
def test_help_keeps_to_80_columns(give: Callable, command: tuple[str, ...]) -> None:
    done = give(*command, "--help")
    assert done.code == 0
    assert "Usage: blockwright" in done.out
    narrow(done.out)
