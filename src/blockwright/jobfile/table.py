"""A CSV table as a spreadsheet saved it: separator found from the header, columns known by name, every row with its line."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from blockwright.problems import Place, Problem

SEPARATORS = (",", ";", "\t")
DECIMAL_COMMA = re.compile(r"^\s*[-+−]?\d*,\d+(?!\d*,)")
LONGEST_CELL = 10_000


@dataclass(frozen=True)
class Row:
    """One row: cells by column as typed, the line of the file, and the cells as used where some are inherited."""

    cells: Mapping[str, str]
    line: int
    used: Mapping[str, str] | None = None


@dataclass(frozen=True)
class Form:
    """How a table is laid out: separator, line end, order of columns. Kept so that it is written back alike."""

    separator: str
    newline: str
    columns: tuple[str, ...]


def read_table(
    text: str, file: str, columns: Sequence[str], required: Sequence[str], problems: list[Problem]
) -> tuple[tuple[Row, ...], Form | None]:
    """The rows of a table and its form (`None` where the header cannot be used); problems are added to the list.

    A decimal comma in a file that separates by semicolon or tab is read as a decimal point.
    """
    header = text.split("\n", 1)[0].rstrip("\r")
    if not header.strip():
        problems.append(_header(f"the file has no header; it should be: {','.join(columns)}", file))
        return (), None
    separator = max(SEPARATORS, key=header.count)
    names = tuple(name.strip().strip('"').strip().lower() for name in header.split(separator))
    faults = list(_header_faults(names, file, columns, required))
    problems.extend(faults)
    if faults:
        return (), None
    newline = "\r\n" if text.split("\n", 1)[0].endswith("\r") else "\n"
    return tuple(_rows(text, file, names, separator, problems)), Form(separator, newline, names)


def write_table(rows: Sequence[Mapping[str, str]], form: Form) -> str:
    """A table as text, in the form given."""
    lines = [form.separator.join(form.columns)]
    for cells in rows:
        lines.append(form.separator.join(_quoted(cells.get(name, ""), form.separator) for name in form.columns))
    return form.newline.join(lines) + form.newline


def _quoted(cell: str, separator: str) -> str:
    if any(sign in cell for sign in (separator, '"', "\n", "\r")):
        return '"' + cell.replace('"', '""') + '"'
    return cell


def _header_faults(
    names: Sequence[str], file: str, columns: Sequence[str], required: Sequence[str]
) -> Iterator[Problem]:
    for name in names:
        if name not in columns:
            near = difflib.get_close_matches(name, columns, n=1, cutoff=0.5)
            mend = f"Did you mean '{near[0]}'?" if near else f"The columns are: {', '.join(columns)}."
            yield _header(f"there is no column '{name[:40]}'", file, mend)
        elif names.count(name) > 1:
            yield _header(f"the column '{name}' is there twice", file, "Keep one.")
    for name in required:
        if name not in names:
            yield _header(f"the column '{name}' is missing", file, f"The columns are: {', '.join(columns)}.")


def _header(what: str, file: str, mend: str = "") -> Problem:
    return Problem("table-header", what + ".", mend, Place(file, 1))


def _rows(text: str, file: str, names: Sequence[str], separator: str, problems: list[Problem]) -> Iterator[Row]:
    reader = csv.reader(text.splitlines(keepends=True), delimiter=separator, strict=True)
    line = 1
    try:
        for cells in reader:
            start, line = line, reader.line_num + 1
            if start == 1 or not any(cell.strip() for cell in cells):
                continue
            if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
                what = f"the row has {len(cells)} cells, the header {len(names)}."
                problems.append(Problem("table-cells", what, "Is a decimal comma unquoted?", Place(file, start)))
                continue
            padded = [*cells, *[""] * (len(names) - len(cells))]
            yield Row({name: _cell(cell, separator) for name, cell in zip(names, padded, strict=False)}, start)
    except csv.Error as error:
        what = f"the row cannot be read: {error}."
        problems.append(Problem("table-syntax", what, "A quotation mark is open or out of place.", Place(file, line)))


def _cell(cell: str, separator: str) -> str:
    cell = cell.strip()[:LONGEST_CELL]
    return cell.replace(",", ".", 1) if separator != "," and DECIMAL_COMMA.match(cell) else cell
