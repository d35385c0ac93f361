"""`blockwright rings ...` and `blockwright pistons`: 80 columns, plain letters, wrong usage in words. What they say is tested with what they rest on."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.cells import cell_len

from blockwright.report.ring_words import MOUNTING_CAUTION, PISTON_CAUTION

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


@pytest.mark.parametrize("typed", ["x", "²", "1.5", "", "9" * 5000])
@pytest.mark.parametrize("command", [
    ("rings", "file", "{}", "--cylinder"), ("rings", "clock", "{}"), ("pistons", "{}", "P1", "P2", "--cylinder"),
], ids=" ".join)  # fmt: skip
def test_a_cylinder_that_is_no_number(give: Callable, harbour: Path, command: tuple[str, ...], typed: str) -> None:
    """One line with the option and the mend, nothing of how the program reads its options."""
    done = give(*words(command, harbour), typed)
    assert (done.code, done.out) == (2, "")
    head, *lines = done.err.splitlines()
    said = " ".join(line.strip() for line in lines)
    assert head == "One thing must be mended first:"
    assert said.startswith(f"cylinder: '{typed[:40]}")
    assert said.endswith("is no number of a cylinder. Write it as a whole number: 3.")


def test_what_may_cut_is_said_first(give: Callable, harbour: Path) -> None:
    for command, caution in (
        (("rings", "stress", "{}"), MOUNTING_CAUTION),
        (("pistons", "{}", "P1", "P2"), PISTON_CAUTION),
    ):
        assert " ".join(give(*words(command, harbour)).out.split()).startswith(caution)


def test_a_cylinder_in_which_no_ring_is_filed(give: Callable, harbour: Path) -> None:
    """The error alone, without the caution that belongs to filing, and a short list."""
    done = give("rings", "file", harbour, "--cylinder", "9")
    assert (done.code, done.out) == (2, "")
    listed = done.err.partition("There are: ")[2]
    assert len(listed.split(";")) == 8
    assert "and 8 more." in listed


@pytest.mark.parametrize("more", [(), ("--cylinder", "2")])
def test_a_ring_that_is_no_kind_of_ring(give: Callable, harbour: Path, more: tuple[str, ...]) -> None:
    done = give("rings", "file", harbour, "--ring", "bogus", *more)
    assert (done.code, done.out) == (2, "")
    assert " ".join(done.err.split()).endswith(
        "no ring 'bogus' is filed in this job. There are: top, second, upper rail, lower rail."
    )


@pytest.mark.parametrize(("gauge", "why"), [
    ("M4", "cannot go into a gap"), ("M2", "does not take 0.4 mm"), ("BG1", "shows differences from a setting"), ("TW1", "measures torque"),
])  # fmt: skip
def test_a_gauge_that_cannot_read_a_gap_is_refused_at_once(give: Callable, harbour: Path, gauge: str, why: str) -> None:
    done = give("rings", "file", harbour, "--gauge", gauge)
    said = " ".join(done.err.split())
    assert (done.code, done.out) == (2, "")
    assert f"gauge {gauge} " in said
    assert why in said
    assert "Name another: FB1, FB2." in said


def test_a_piston_out_of_its_limits_says_which_side_and_what_it_needs(give: Callable, harbour: Path) -> None:
    """Bore 3 of the inline four is too small for its piston; the remedy is that of `fits`."""
    done = give("pistons", harbour, "P3", "P4", "--cylinder", "3")
    said = " ".join(done.out.split())
    assert "under the low" in said
    assert "what it needs" in said
    assert "hone" in said


def test_columns_do_not_run_together(give: Callable, harbour: Path) -> None:
    text = (harbour / "job.toml").read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if line.replace(" ", "") != 'alloy="aluminium2618"']
    (harbour / "job.toml").write_text("\n".join(kept) + "\n", encoding="utf-8")
    assert "aluminium 2618 (assumed)aluminium" not in give("pistons", harbour, "P1", "P2").out


def test_what_a_ring_lacks_is_told_in_full_and_how_its_rows_are_had(give: Callable, harbour: Path) -> None:
    said = " ".join(give("rings", "stress", harbour).out.split())
    assert "more." not in said
    assert "second land of P3" in said
    assert "blockwright new --full" in said


def test_the_row_shown_for_what_a_ring_lacks_can_be_added(give: Callable, harbour: Path) -> None:
    before = give("rings", "stress", harbour).out
    row = next(line.strip() for line in before.splitlines() if "ring free opening,,," in line)
    with (harbour / "readings.csv").open("a", encoding="utf-8") as file:
        file.write(row + "\n")
    after = give("rings", "stress", harbour)
    assert after.err == ""
    assert before.count("top ring free opening of R1") == after.out.count("top ring free opening of R1") + 1
