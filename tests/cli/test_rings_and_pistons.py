"""`blockwright rings ...` and `blockwright pistons`: 80 columns, plain letters, wrong usage in words. What they say is tested with what they rest on."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

SHOWN = [
    ("rings", "gaps", "{}"),
    ("rings", "map", "{}"),
    ("rings", "clock", "{}"),
    ("rings", "stress", "{}"),
    ("pistons", "{}", "P1", "P2"),
]


def words(command: tuple[str, ...], folder: Path) -> list[str]:
    return [word.format(folder) for word in command]


@pytest.mark.parametrize("command", SHOWN, ids=" ".join)
@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_80_columns(give: Callable, request: pytest.FixtureRequest, command: tuple[str, ...], name: str) -> None:
    done = give(*words(command, request.getfixturevalue(name)))
    assert (done.code in (0, 1), done.err) == (True, "")
    assert [line for line in done.out.splitlines() if cell_len(line) > 80] == []


@pytest.mark.parametrize("command", SHOWN, ids=" ".join)
def test_plain_letters(harbour: Path, command: tuple[str, ...]) -> None:
    environment = os.environ | {"PYTHONIOENCODING": "ascii"}
    given = [sys.executable, "-c", "from blockwright.cli.main import main; main()", *words(command, harbour)]
    done = subprocess.run(given, capture_output=True, env=environment, check=False)
    assert (done.returncode in (0, 1), done.stderr) == (True, b"")
    assert done.stdout.isascii()
    assert [line for line in done.stdout.splitlines() if len(line) > 80] == []


@pytest.mark.parametrize("command", [*SHOWN, ("rings", "file", "{}")], ids=" ".join)
def test_a_folder_that_is_not_there(give: Callable, tmp_path: Path, command: tuple[str, ...]) -> None:
    done = give(*words(command, tmp_path / "nowhere"))
    assert (done.code, done.out) == (2, "")
    assert "no folder" in done.err


@pytest.mark.parametrize(("command", "said"), [
    (("rings",), "Usage: blockwright rings"),
    (("rings", "gap", "."), "No such command 'gap'"),
    (("rings", "clock", ".", "x"), "Invalid value"),
    (("pistons", ".", "P1"), "Missing argument"),
])  # fmt: skip
def test_wrong_words(give: Callable, command: tuple[str, ...], said: str) -> None:
    done = give(*command)
    assert done.code == 2
    assert said in done.out + done.err
    assert "Traceback" not in done.err


def test_a_piston_or_cylinder_that_does_not_exist(give: Callable, harbour: Path) -> None:
    for given in (
        ("pistons", harbour, "P1", "P99"),
        ("pistons", harbour, "P1", "P2", "--cylinder", "9"),
        ("rings", "clock", harbour, "9"),
    ):
        done = give(*given)
        assert (done.code, done.out) == (2, ""), given
        assert "must be mended first" in done.err
