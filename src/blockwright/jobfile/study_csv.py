"""Reads a repeatability study from a spreadsheet's CSV file: one reading a line, in the columns appraiser, part, trial, value.

A column `unit` may give the unit of each value. A unit written behind the value itself goes before it, the unit given by the
caller comes last. Commas, semicolons or tabs part the columns. In a file parted by semicolons whose values have no decimal point
a comma is the decimal sign. The readings must be balanced. Whatever is wrong is collected, each problem with its line, its
column and the mend, and raised together.
"""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from itertools import islice, product
from pathlib import Path
from typing import NamedTuple

import numpy as np

from blockwright.metrology.study import StudyReadings
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import Kind, Quantity, parse

NEEDED = ("appraiser", "part", "trial", "value")
COLUMNS = (*NEEDED, "unit")
LARGEST_BYTES = 5_000_000
LONGEST_CELL = 60
MOST_PROBLEMS = 100

Key = tuple[str, ...]
"""Appraiser, part and trial."""

Cells = dict[str, str]
"""The cells of one line by column."""


class StudyFile(NamedTuple):
    """A study as read, and the unit in which to show it: that of its first value."""

    readings: StudyReadings
    unit: str


@dataclass(frozen=True)
class _Header:
    """The columns in their order in the file, and the sign that parts them."""

    columns: tuple[str, ...]
    comma: str


@dataclass
class _Found:
    """Values by key, the line that each key stands on, and what was wrong."""

    values: dict[Key, Quantity] = field(default_factory=dict)
    lines: dict[Key, int] = field(default_factory=dict)
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
    try:
        return _study(_text(path), unit)
    except BlockwrightError as error:
        raise BlockwrightError(problem.at(file=path.name) for problem in error.problems) from None


def _study(text: str, unit: str | None) -> StudyFile:
    written = [(n, line) for n, line in enumerate(re.split(r"\r\n|\r|\n", text), 1) if line.strip(" \t;,")]
    if not written:
        raise BlockwrightError(Problem("study-empty", "The file is empty.", f"Its first line is {','.join(NEEDED)}"))
    header = _header(*written[0])
    parted = {number: _cells(line, header) for number, line in written[1:]}
    found = _Found()
    comma_is_point = _comma_is_point(header, parted)
    for number, cells in _usable(parted, found.problems):
        _take(number, cells, comma_is_point, unit, found)
    if not parted:
        found.problems.append(Problem("study-empty", "No reading stands under the header.", "Add a line a reading."))
    elif len(found.lines) + sum(problem.code == "study-twice" for problem in found.problems) == len(parted):
        found.problems += _missing(found.lines)
    if found.problems:
        raise BlockwrightError(_capped(found.problems))
    names = _names(found.lines)
    values = np.array([found.values[key].si for key in product(*names)]).reshape([len(axis) for axis in names])
    return StudyFile(StudyReadings(names[0], names[1], values), next(iter(found.values.values())).unit)


def _header(number: int, line: str) -> _Header:
    """The header line, parted by whichever sign finds most of the columns."""
    try:
        parted = {comma: [cell.strip().casefold() for cell in _split(line, comma)] for comma in ";,\t"}
    except csv.Error:
        raise BlockwrightError(_open_quotes().at(line=number)) from None
    comma = max(parted, key=lambda sign: (len({*parted[sign]} & {*COLUMNS}), len(parted[sign])))
    problems = [problem.at(line=number) for problem in _header_problems(parted[comma])]
    if problems:
        raise BlockwrightError(_capped(problems))
    return _Header(tuple(parted[comma]), comma)


def _header_problems(columns: list[str]) -> Iterator[Problem]:
    for name in NEEDED:
        if name not in columns:
            mend = f"The first line names the columns: {','.join(NEEDED)}"
            yield Problem("study-column-missing", f"There is no column {name}.", mend)
    for name in dict.fromkeys(filter(None, columns)):
        if name not in COLUMNS:
            near = get_close_matches(name, COLUMNS, 1)
            mend = f"Did you mean {near[0]}?" if near else f"The columns are {', '.join(COLUMNS)}."
            yield Problem("study-column-unknown", f"The column {_excerpt(name)} is not known.", mend)
        elif columns.count(name) > 1:
            yield Problem("study-column-twice", f"The column {name} is there twice.", "Strike one out.")


def _cells(line: str, header: _Header) -> Cells | Problem:
    """The cells of one line by column, or why it cannot be parted into them."""
    try:
        cells = [cell.strip() for cell in _split(line, header.comma)]
    except csv.Error:
        return _open_quotes()
    width = len(header.columns)
    if any(cells[width:]) or any(cell for cell, name in zip(cells, header.columns, strict=False) if not name):
        mend = "Where a comma is the decimal sign, part the columns with semicolons or put the value in quotes."
        return Problem("study-cells", "There are more cells than columns.", mend)
    return {name: cell for name, cell in zip(header.columns, cells + [""] * width, strict=False) if name}


def _usable(parted: Mapping[int, Cells | Problem], problems: list[Problem]) -> Iterator[tuple[int, Cells]]:
    """The lines that can be used, with their numbers; what is wrong with the others goes to `problems`."""
    for number, cells in parted.items():
        wrong = [cells] if isinstance(cells, Problem) else list(_unfit(cells))
        problems += [problem.at(line=number) for problem in wrong]
        if not wrong and not isinstance(cells, Problem):
            yield number, cells


def _unfit(cells: Cells) -> Iterator[Problem]:
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


def _comma_is_point(header: _Header, parted: Mapping[int, Cells | Problem]) -> bool:
    """Whether the comma is this file's decimal sign: semicolons part its columns, and no value has a point at a digit."""
    values = (cells["value"] for cells in parted.values() if not isinstance(cells, Problem))
    return header.comma == ";" and not any(re.search(r"\d\.|\.\d", value) for value in values)


def _take(number: int, cells: Cells, comma_is_point: bool, unit: str | None, found: _Found) -> None:
    """Add one line's reading to what was found, or what is wrong with it to the problems."""
    key = (cells["appraiser"], cells["part"], cells["trial"])
    if key in found.lines:
        what = f"{key[0]}, part {key[1]}, trial {key[2]} stands already on line {found.lines[key]}."
        mend = "Number the trials of one part 1, 2, 3 ..., or strike out one of the two lines."
        found.problems.append(Problem("study-twice", what, mend).at(line=number, field="trial"))
        return
    found.lines[key] = number
    value = cells["value"].replace(",", ".", 1) if comma_is_point else cells["value"]
    try:
        found.values[key] = parse(value, Kind.LENGTH, unit=cells.get("unit") or unit, signed=True)
    except BlockwrightError as error:
        found.problems += [problem.at(line=number, field="value") for problem in error.problems]


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


def _split(line: str, comma: str) -> list[str]:
    return next(csv.reader([line], delimiter=comma, strict=True))


def _open_quotes() -> Problem:
    return Problem("study-quotes", "The quotes on this line do not close.", "Mend the quotes.")


def _excerpt(text: str) -> str:
    plain = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)
    return plain if len(plain) <= LONGEST_CELL else plain[:LONGEST_CELL] + "…"


def _text(path: Path) -> str:
    """The file as text. To be replaced by the shared safe reader of job files."""
    try:
        if not path.is_file():
            what = "This is not a file." if path.exists() else "There is no such file."
            raise BlockwrightError(Problem("file-none", what, "Check the name."))
        if path.stat().st_size > LARGEST_BYTES:
            what = f"The file is {path.stat().st_size / 1e6:.1f} MB, and {LARGEST_BYTES / 1e6:.0f} MB is the most."
            raise BlockwrightError(Problem("file-large", what, "Is it the right one? A study has some hundred lines."))
        data = path.read_bytes()
    except OSError as error:
        what = f"The file cannot be read: {error.strerror or 'unknown cause'}."
        raise BlockwrightError(Problem("file-unread", what, "Check its permissions.")) from None
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in data:
        raise BlockwrightError(Problem("file-binary", "This is not plain text.", "Save it as CSV in UTF-8."))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        what = "There are letters here that are not in UTF-8."
        raise BlockwrightError(Problem("file-not-utf8", what, "Save it as CSV in UTF-8.").at(line=line)) from None
