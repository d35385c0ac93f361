"""Problems on standard error: inside 80 columns, and one fault on many lines told once."""

import pytest

from blockwright.cli.telling import told
from blockwright.problems import Place, Problem

BLADE = "one blade alone gives no size."


def on(line: int, what: str = BLADE, file: str = "readings.csv") -> Problem:
    return Problem("blade-interval", what, "Write both.", Place(file, line, "value"))


def test_the_same_fault_on_many_lines_is_one() -> None:
    said = told([*(on(line) for line in range(112, 120)), on(130), on(7, "other."), on(9, file="passes.csv")])
    assert said.splitlines() == [
        "11 things must be mended first:",
        "  readings.csv, lines 112 to 119 and 130, value: one blade alone gives no size.",
        "    Write both.",
        "  readings.csv, line 7, value: other. Write both.",
        "  passes.csv, line 9, value: one blade alone gives no size. Write both.",
    ]


def test_two_lines_are_named_both() -> None:
    assert "lines 3 and 4, value" in told([on(3), on(4)])


@pytest.mark.parametrize("length", [1, 30, 200])
def test_no_line_is_wider_than_eighty(length: int) -> None:
    lines = told([on(3, "word " * length)]).splitlines()
    assert max(map(len, lines)) <= 80


def test_nothing_is_lost_by_wrapping() -> None:
    what = "a " + "very " * 40 + "long one."
    assert " ".join(told([on(3, what)]).split()).endswith(f"{what} Write both.")


def test_a_problem_without_a_place_stands_alone() -> None:
    assert told([Problem("a", "what."), Problem("b", "else.")]) == "2 things must be mended first:\n  what.\n  else.\n"
