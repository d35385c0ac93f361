"""Reads a repeatability study from a spreadsheet's CSV file: one reading a line, in the columns appraiser, part, trial, value.

A column `unit` may give the unit of each value. A unit written behind the value itself goes before it, the unit given by the
caller comes last. The readings must be balanced: every appraiser has every trial of every part. Whatever is wrong is collected,
each problem with its line, its column and the mend, and raised together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice, product
from pathlib import Path
from typing import NamedTuple

import numpy as np

from blockwright.jobfile.table import Row, read_table
from blockwright.jobfile.textfile import read_text
from blockwright.metrology.study import StudyReadings
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind, Quantity, parse

NEEDED = ("appraiser", "part", "trial", "value")
COLUMNS = (*NEEDED, "unit")
LARGEST_BYTES = 5_000_000
LONGEST_CELL = 60
MOST_PROBLEMS = 100
FIND_STUDY = "Check its name and its folder."
NO_UNIT = "quantity-no-unit"

Key = tuple[str, ...]
"""Appraiser, part and trial."""


class StudyFile(NamedTuple):
    """A study as read, and the unit in which to show it: that of its first value."""

    readings: StudyReadings
    unit: str


@dataclass
class _Found:
    """Values by key, the line that each key stands on, what was wrong with values, and with all else."""

    values: dict[Key, Quantity] = field(default_factory=dict)
    lines: dict[Key, int] = field(default_factory=dict)
    unread: list[Problem] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def read_study(path: Path | str, *, unit: str | None = None) -> StudyFile:
    """Read a study file.

    Parameters
    ----------
    path : a CSV file in UTF-8, with or without a byte order mark, of at most 5 MB
    unit : unit of the values that carry none and have none in the column `unit`

    Raises BlockwrightError with the problems found; beyond a hundred they are only counted.
    """
    path = Path(path)
    if unit is not None:
        parse("0", Kind.LENGTH, unit=unit)
    text = _text(path).replace("\r\n", "\n").replace("\r", "\n")
    problems: list[Problem] = []
    rows, _ = read_table(text, path.name, COLUMNS, NEEDED, problems)
    try:
        return _study(rows, unit, problems)
    except BlockwrightError as error:
        raise BlockwrightError(problem.at(file=path.name) for problem in error.problems) from None


def _text(path: Path) -> str:
    try:
        return read_text(path, LARGEST_BYTES)
    except BlockwrightError as error:
        [problem] = error.problems
        missing = problem.code == "file-missing"
        if path.is_dir():
            what, mend = (
                "this is a folder; a study is one file.",
                "Name the CSV file in it: appraiser, part, trial, value.",
            )
            raise BlockwrightError(replace(problem, what=what, mend=mend)) from None
        raise BlockwrightError(replace(problem, mend=FIND_STUDY) if missing else problem) from None


def _study(rows: Sequence[Row], unit: str | None, problems: list[Problem]) -> StudyFile:
    """The study of these rows; `problems` are those of rows that could not be parted, and of the header."""
    found = _Found(problems=list(problems))
    usable = [row for row in rows if _fit(row, found.problems)]
    for row in usable:
        _take(row, unit, found)
    if not rows and not problems:
        found.problems.append(Problem("study-empty", "No reading stands under the header.", "Add a line a reading."))
    elif len(usable) == len(rows) and not problems:
        found.problems += _missing(found.lines)
    found.problems += _together(found.unread)
    if found.problems:
        raise BlockwrightError(_capped(sorted(found.problems, key=lambda problem: problem.place.line or math.inf)))
    names = _names(found.lines)
    values = np.array([found.values[key].si for key in product(*names)]).reshape([len(axis) for axis in names])
    return StudyFile(StudyReadings(names[0], names[1], values), next(iter(found.values.values())).unit)


def _fit(row: Row, problems: list[Problem]) -> bool:
    """Whether every cell of a row can be used; what is wrong goes to `problems`."""
    wrong = [problem.at(line=row.line) for problem in _unfit(row.cells)]
    problems += wrong
    return not wrong


def _unfit(cells: Mapping[str, str]) -> Iterator[Problem]:
    for name in COLUMNS:
        text = cells.get(name, "")
        if not text and name in NEEDED:
            problem = Problem("study-cell-empty", f"There is no {name}.", "Fill it in, or strike out the whole line.")
        elif not text.isprintable():
            problem = Problem("study-cell-signs", "There are signs in it that do not print.", "Type it again.")
        elif len(text) > LONGEST_CELL:
            problem = Problem("study-cell-long", f"It is {len(text)} signs long.", f"Keep it to {LONGEST_CELL}.")
        else:
            continue
        yield problem.at(field=name)


def _take(row: Row, unit: str | None, found: _Found) -> None:
    """Add one row's reading to what was found, or what is wrong with it to the problems."""
    key = hand, part, trial = (row.cells["appraiser"], row.cells["part"], row.cells["trial"])
    if key in found.lines:
        what = f"{hand}, part {part}, trial {trial} stands already on line {found.lines[key]}."
        mend = "Number the trials of one part 1, 2, 3 ..., or strike out one of the two lines."
        found.problems.append(Problem("study-twice", what, mend).at(line=row.line, field="trial"))
        return
    found.lines[key] = row.line
    try:
        found.values[key] = parse(row.number("value"), Kind.LENGTH, unit=row.cells.get("unit") or unit, signed=True)
    except BlockwrightError as error:
        found.unread += [problem.at(line=row.line, field="value") for problem in error.problems]


def _together(unread: Sequence[Problem]) -> Iterator[Problem]:
    """Values that are wrong in the same way told once, at the first, with the rows counted."""
    alike: dict[tuple[str, str], list[Problem]] = {}
    for problem in unread:
        said = "" if problem.code == NO_UNIT else f"{problem.what} {problem.mend}"
        alike.setdefault((problem.code, said), []).append(problem)
    for first, *others in alike.values():
        yield _counted(first, others) if others else first


def _counted(first: Problem, others: Sequence[Problem]) -> Problem:
    count, last = len(others) + 1, others[-1].place.line
    if first.code == NO_UNIT:
        what = f"{first.what} {count} rows are without, the last on line {last}."
        mend = "Give the unit of them all with --unit (mm, in or thou), or in a column 'unit'."
        return replace(first, what=what, mend=mend)
    return replace(first, what=f"{first.what} {count} rows are so, the last on line {last}.")


def _missing(present: Mapping[Key, int]) -> Iterator[Problem]:
    """A problem for each reading that the others make one expect; beyond a hundred they are only counted."""
    names = _names(present)
    count = math.prod(len(axis) for axis in names) - len(present)
    for hand, part, trial in islice((key for key in product(*names) if key not in present), MOST_PROBLEMS):
        what = f"{hand} has no trial {trial} of part {part}."
        yield Problem("study-missing", what, "Measure it, or leave that part, trial or appraiser out throughout.")
    if count > MOST_PROBLEMS:
        yield Problem("study-missing", f"{count - MOST_PROBLEMS} more readings are missing.")


def _names(keys: Mapping[Key, int]) -> tuple[tuple[str, ...], ...]:
    """Appraisers, parts and trials, each in the order in which they first appear."""
    return tuple(tuple(dict.fromkeys(key[axis] for key in keys)) for axis in range(3))


def _capped(problems: list[Problem]) -> list[Problem]:
    """The first hundred problems, and one that counts the rest."""
    more = len(problems) - MOST_PROBLEMS
    if more <= 1:
        return problems
    return [*problems[:MOST_PROBLEMS], Problem("study-more", f"{more} more problems follow.", "Mend these first.")]
