"""What the tests of the command line share: a way to give a command, and fresh copies of the demonstration jobs."""

import csv
import io
import shutil
import sys
from collections.abc import Callable, Mapping
from importlib import resources
from pathlib import Path
from typing import NamedTuple

import pytest

from blockwright.cli.main import main
from blockwright.engine.features import FEATURES

Give = Callable[..., "Done"]

ENGINE = {
    "name": "Bench 7", "bore": "86 mm", "stroke": "86 mm", "rod-length": "143 mm", "main-journal": "55 mm",
    "rod-journal": "48 mm", "pin-diameter": "21 mm",
}  # fmt: skip
"""All that `new --no-ask` cannot do without; invented."""


TYPICAL = {
    "shell wall": "1.5", "shell crush": "0.05", "pin room": "70.3", "pin length": "70", "top groove width": "1.55",
    "second groove width": "1.55", "top groove depth": "4.1", "second groove depth": "4.1", "top ring height": "1.5",
    "second ring height": "1.5", "top ring wall": "4", "second ring wall": "4", "crank runout": "0.02", "crank end float": "0.1",
    "piston to deck": "0.5", "turning torque": "5", "bore roughness": "2", "main journal roughness": "1", "rod journal roughness": "1",
    "skirt": "85.9", "main journal": "55", "rod journal": "48", "pin": "21", "second land": "85.4", "third land": "85.5",
    "tunnel step": "0", "deck hollow": "0",
}  # fmt: skip
"""What each feature of `ENGINE` might read, in the unit of its row; comparators read nothing beside their setting, blades an interval."""


def typical(feature: str) -> str:
    """What a feature might read; something between the ends of what is plausible where nothing is said here."""
    if feature in TYPICAL:
        return TYPICAL[feature]
    low, high = (float(end.split()[0]) for end in FEATURES[feature].span)
    return f"{(low * high) ** 0.5:.3f}"


def fill(folder: Path) -> None:
    """Write a reading into every row that is still to be taken."""
    path = folder / "readings.csv"
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        gap = row["gauge"] == "FB1" and row["feature"] not in TYPICAL
        row["value"] = "0.40 to 0.45" if gap else "0" if row["setting"] else typical(row["feature"])
        row["depth"] = "40 mm" if row["feature"].endswith(" gap") else ""
    with path.open("w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, rows[0], lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


@pytest.fixture
def filled() -> Callable[[Path], None]:
    """`fill`, for tests."""
    return fill


class Done(NamedTuple):
    """What a command left behind; in `err`, lines that were wrapped are whole again."""

    code: int
    out: str
    err: str


@pytest.fixture
def give(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Give:
    """Give a command line in this process; `answers` is what is typed."""
    monkeypatch.delenv("COLUMNS", raising=False)

    def run(*words: object, answers: str = "") -> Done:
        monkeypatch.setattr(sys, "argv", ["blockwright", *map(str, words)])
        monkeypatch.setattr(sys, "stdin", io.StringIO(answers))
        capsys.readouterr()
        try:
            main()
            code = None
        except SystemExit as ended:
            code = ended.code
        assert code is None or isinstance(code, int)
        out, err = capsys.readouterr()
        return Done(code or 0, out, err.replace("\n    ", " "))

    return run


def copied(name: str, to: Path) -> Path:
    with resources.as_file(resources.files("blockwright.demos") / name) as source:
        return Path(shutil.copytree(source, to / name))


@pytest.fixture
def harbour(tmp_path: Path) -> Path:
    """The inline four: something of every standing."""
    return copied("harbour", tmp_path)


@pytest.fixture
def hillclimb(tmp_path: Path) -> Path:
    """The flat six: all well but the crank's end float."""
    return copied("hillclimb", tmp_path)


@pytest.fixture
def made(give: Give, tmp_path: Path) -> Callable[..., Path]:
    """Make a job without questions; options by name, an empty text leaves one out."""

    def make(folder: str = "job", *flags: str, **options: str) -> Path:
        named: Mapping[str, str] = ENGINE | {name.replace("_", "-"): value for name, value in options.items()}
        words = [word for name, value in named.items() if value for word in (f"--{name}", value)]
        done = give("new", tmp_path / folder, "--no-ask", *flags, *words)
        assert done.code == 0, done.err
        return tmp_path / folder

    return make
