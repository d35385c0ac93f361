"""`blockwright match`: 80 columns, plain letters, exit codes, the builder's rules, wrong usage in words."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

EVERYTHING = ("--pistons", "--rings", "--shells", "--rods")


@pytest.mark.parametrize("name", ["harbour", "hillclimb"])
def test_80_columns(give: Callable, request: pytest.FixtureRequest, name: str) -> None:
    done = give("match", request.getfixturevalue(name), *EVERYTHING)
    assert (done.code in (0, 1), done.err) == (True, "")
    assert [line for line in done.out.splitlines() if cell_len(line) > 80] == []
    assert done.out.count("TO BORES") == 2


def test_plain_letters(harbour: Path) -> None:
    given = [sys.executable, "-c", "from blockwright.cli.main import main; main()", "match", str(harbour), *EVERYTHING]
    done = subprocess.run(given, capture_output=True, env=os.environ | {"PYTHONIOENCODING": "ascii"}, check=False)
    assert (done.returncode, done.stderr) == (1, b"")
    assert done.stdout.isascii()
    assert [line for line in done.stdout.splitlines() if len(line) > 80] == []


def test_exit_codes(give: Callable, harbour: Path, hillclimb: Path, tmp_path: Path) -> None:
    assert give("match", hillclimb).code == 0
    assert give("match", harbour).code == 1, "no piston fits bore 3"
    assert give("match", hillclimb, "--shells").code == 0, "walls are still to read"
    assert give("match", hillclimb, "--shells", "--strict").code == 1
    assert give("match", tmp_path / "nowhere").code == 2


def test_what_stays_and_what_must_not_go(give: Callable, hillclimb: Path) -> None:
    done = give("match", hillclimb, "--keep", "P1=1", "--not", "P2=cylinder 3", "--json")
    placed = {each["at"]: each["parts"] for each in json.loads(done.out)["matches"][0]["best"]["places"]}
    assert placed["cylinder 1"] == ["P1"]
    assert placed["cylinder 3"] != ["P2"]
    free = json.loads(give("match", hillclimb, "--json").out)["matches"][0]["best"]
    kept = json.loads(done.out)["matches"][0]["best"]
    assert kept["worst_deviation"] >= free["worst_deviation"]


def test_work_to_order_is_told(give: Callable, harbour: Path) -> None:
    out = " ".join(give("match", harbour).out.split())
    assert "WORK TO ORDER Hone bore 3 to 97." in out
    assert "for P3, plate on" in out
    (match,) = json.loads(give("match", harbour, "--json").out)["matches"]
    (order,) = match["orders"]
    assert (order["feature"], order["at"]) == ("bore", "cylinder 3")
    assert 97.2e-3 < order["low_m"] < order["high_m"] < 97.3e-3


@pytest.mark.parametrize(("words", "said"), [
    (("--keep", "P1"), "keep: 'P1' names no part and place. Write the mark, =, and the number of the place: P3=3."),
    (("--not", "=3"), "not: '=3' names no part and place."),
    (("--keep", "P99=1"), "no part 'P99' can be chosen. There are: P1, P2, P3, P4, P5, P6."),
    (("--keep", "P1=9"), "there is no place 'cylinder 9'."),
    (("--keep", "P1=1", "--keep", "P1=2"), "P1 is to stay in cylinder 1 and in cylinder 2"),
    (("--keep", "P1=1", "--not", "P1=1"), "P1 is to stay in cylinder 1 and is not to go there."),
    (("--step", "soon"), "step: "),
    (("--step", "2 g", "--shells"), "Add --pistons or --rods."),
    (("--step", "2 g", "--rods"), "no mass is known with C1, C2, C3, C4, C5, C6"),
], ids=str)  # fmt: skip
def test_wrong_words(give: Callable, hillclimb: Path, words: tuple[str, ...], said: str) -> None:
    done = give("match", hillclimb, *words)
    assert (done.code, done.out) == (2, "")
    assert said in " ".join(done.err.split())


def test_one_bank_has_nothing_to_balance(give: Callable, harbour: Path) -> None:
    done = give("match", harbour, "--step", "2 g")
    assert done.code == 2
    assert "this engine has one bank" in done.err


def test_banks_are_balanced(give: Callable, hillclimb: Path) -> None:
    done = give("match", hillclimb, "--step", "0.15 g", "--json")
    masses = [0.0, 0.0]
    for each in json.loads(done.out)["matches"][0]["best"]["places"]:
        masses[each["at"] > "cylinder 3"] += each["mass_kg"]
    assert abs(masses[0] - masses[1]) <= 0.15e-3 + 1e-9


def test_banks_of_which_a_bore_is_not_read_are_not_called_balanced(give: Callable, hillclimb: Path) -> None:
    path = hillclimb / "readings.csv"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text(
        "".join(line for line in lines if ",cylinder 2," not in line or ",bore," not in line), encoding="utf-8"
    )
    done = give("match", hillclimb, "--step", "2 g")
    assert done.code == 2
    assert "nothing can be chosen for cylinder 2" in " ".join(done.err.split())
    assert give("match", hillclimb).code == 0
