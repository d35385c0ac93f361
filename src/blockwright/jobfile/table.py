"""A CSV table as a spreadsheet saved it: separator found from the header, columns known by name, every row with its line."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from blockwright.jobfile.near import meant
from blockwright.problems import Place, Problem
from blockwright.quantities.errors import excerpt

SEPARATORS = (",", ";", "\t")
LONE_COMMA = re.compile(r"(?<![\d.,])(\d*),(\d+)(?![\d.,])")
"""A number with one comma and no point."""
UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
LONGEST_CELL = 10_000
MOST_COLUMNS = 60
MOST_ROWS = 20_000
IN_QUOTES = "A decimal comma, or a comma in a note? Put that cell into double quotes."
TOO_MUCH = "Strike out what is too much."


@dataclass(frozen=True)
class Row:
    """One row: cells by column as typed, its first line in the file, and what a comma means in a number."""

    cells: Mapping[str, str]
    line: int
    decimal_comma: bool = False

    def number(self, column: str) -> str:
        """A cell that holds a number, or two: in a file parted by semicolons with its decimal commas as points."""
        cell = self.cells.get(column, "")
        return with_point(cell) if self.decimal_comma else cell


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

    A row that cannot be read is a problem; the next one is read all the same.
    """
    lines = lines_of(text)
    form = _form(lines[0], file, columns, required, problems) if lines else None
    if form is None:
        if not lines or not lines[0].strip():
            problems.append(_header("there is no header in the first line", file, f"It should be: {','.join(columns)}"))
        return (), None
    if len(lines) > MOST_ROWS:
        what = f"the table has {len(lines)} lines; at most {MOST_ROWS} are read."
        problems.append(
            Problem("table-large", what, "Is it the right file? A large job has some hundreds.", Place(file))
        )
        return (), None
    return tuple(_rows(lines, file, form, problems)), form


def lines_of(text: str) -> list[str]:
    """The lines of a text with their ends, as an editor counts them."""
    return list(io.StringIO(text, newline=""))


def with_point(cell: str) -> str:
    """A number, or two, with the decimal comma as a point."""
    return LONE_COMMA.sub(r"\1.\2", cell) if "," in cell else cell


def write_table(rows: Sequence[Mapping[str, str]], form: Form) -> str:
    """A table as text, in the form given."""
    return "".join(
        [row_text(dict(zip(form.columns, form.columns, strict=True)), form), *(row_text(row, form) for row in rows)]
    )


def row_text(cells: Mapping[str, str], form: Form) -> str:
    """One row as text, with its line end."""
    return form.separator.join(_quoted(cells.get(name, ""), form.separator) for name in form.columns) + form.newline


def _quoted(cell: str, separator: str) -> str:
    if any(sign in cell for sign in (separator, '"', "\n", "\r")):
        return '"' + cell.replace('"', '""') + '"'
    return cell


def _form(
    header: str, file: str, columns: Sequence[str], required: Sequence[str], problems: list[Problem]
) -> Form | None:
    """How the table is laid out, by its first line; `None` where that cannot be used."""
    if not header.strip():
        return None
    separator = max(SEPARATORS, key=header.count)
    names = [name.strip().strip('"').strip().lower() for name in header.rstrip("\r\n").split(separator)]
    while names and not names[-1]:
        names.pop()
    faults = list(_header_faults(names, file, columns, required))
    problems.extend(faults)
    newline = "\r\n" if header.endswith("\r\n") else "\n"
    return None if faults else Form(separator, newline, tuple(names))


def _header_faults(
    names: Sequence[str], file: str, columns: Sequence[str], required: Sequence[str]
) -> Iterator[Problem]:
    if len(names) > MOST_COLUMNS or not set(names) & set(columns):
        yield _header("the first line does not name the columns", file, f"It should be: {','.join(columns)}")
        return
    misspelt = set()
    for name in dict.fromkeys(names):
        if name not in columns:
            near = meant(name, [column for column in columns if column not in names])
            misspelt.add(near)
            mend = near or f"The columns are: {', '.join(columns)}."
            yield _header(f"there is no column '{excerpt(name)}'", file, mend)
        elif names.count(name) > 1:
            yield _header(f"the column '{name}' is there twice", file, "Keep one.")
    for name in required:
        if name not in names and f"Did you mean '{name}'?" not in misspelt:
            yield _header(f"the column '{name}' is missing", file, f"The columns are: {', '.join(columns)}.")


def _header(what: str, file: str, mend: str = "") -> Problem:
    return Problem("table-header", what + ".", mend, Place(file, 1))


def _rows(lines: Sequence[str], file: str, form: Form, problems: list[Problem]) -> Iterator[Row]:
    """The rows after the header. Where one cannot be read, reading starts anew on the line after its first."""
    first = 1
    while first < len(lines):
        reader = csv.reader((lines[i] for i in range(first, len(lines))), delimiter=form.separator, strict=True)
        begin = first
        try:
            for cells in reader:
                if any(cell.strip() for cell in cells):
                    yield from _row(cells, Place(file, begin + 1), form, problems)
                begin = first + reader.line_num
            _check_end(lines, file, form, problems)
            return
        except csv.Error as error:
            problems.append(_unreadable(str(error), Place(file, begin + 1)))
            first = begin + 1


def _row(cells: list[str], place: Place, form: Form, problems: list[Problem]) -> Iterator[Row]:
    names = form.columns
    if any(cell.strip() for cell in cells[len(names) :]):
        what = f"the row has {len(cells)} cells, and the header has {len(names)}."
        problems.append(Problem("table-cells", what, IN_QUOTES if form.separator == "," else TOO_MUCH, place))
        return
    padded = [cell.strip() for cell in cells[: len(names)]] + [""] * (len(names) - len(cells))
    yield Row(dict(zip(names, padded, strict=True)), place.line, form.separator == ";")


def unfit_cells(row: Row, file: str) -> Iterator[Problem]:
    """What is wrong with cells that are too long, or hold signs that do not print."""
    if not UNPRINTABLE.search("".join(row.cells.values())) and max(map(len, row.cells.values())) <= LONGEST_CELL:
        return
    for name, cell in row.cells.items():
        here = Place(file, row.line, name)
        if len(cell) > LONGEST_CELL:
            what = f"the cell has {len(cell)} letters; at most {LONGEST_CELL} are kept."
            yield Problem("table-long", what, "Write it shorter.", here)
        elif UNPRINTABLE.search(cell):
            yield Problem("table-signs", "there are signs in the cell that do not print.", "Type it again.", here)


def _unreadable(said: str, place: Place) -> Problem:
    if "field limit" in said:
        return Problem(
            "table-long", f"a cell is longer than {LONGEST_CELL} letters.", "Is a quotation mark open?", place
        )
    return Problem(
        "table-quotes",
        "a quotation mark is open or out of place.",
        'Close it; a " inside quotes is written twice.',
        place,
    )


def _check_end(lines: Sequence[str], file: str, form: Form, problems: list[Problem]) -> None:
    """A last line that stops short is told: spreadsheets end every line."""
    last = lines[-1]
    if (
        len(lines) > 1
        and last.strip()
        and not last.endswith(("\n", "\r"))
        and last.count(form.separator) < len(form.columns) - 1
    ):
        what = "the file ends in the middle of this row."
        problems.append(
            Problem(
                "table-cut", what, "Is it cut off? Write the row to its end, with a line end.", Place(file, len(lines))
            )
        )
