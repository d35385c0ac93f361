"""A table as CSV that opens clean in a spreadsheet: UTF-8 with its mark, commas, numbers with a point, no cell that is taken for a formula."""

from __future__ import annotations

import csv
import io
import re

from blockwright.report.export.tables import Cell, Table

SIGNED_NUMBER = re.compile(r"[+-][\d.]+")
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
MARK = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""Spreadsheets take a file without it for the old letters of their system, and spoil `±` and `°`."""


def csv_text(table: Table) -> str:
    """The table with its byte order mark; lines end as RFC 4180 has them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(table.columns)
    writer.writerows([_cell(cell) for cell in row] for row in table.rows)
    return MARK + out.getvalue()


def _cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float):
        return repr(cell)
    formula = cell.startswith(STARTS_A_FORMULA) and not SIGNED_NUMBER.fullmatch(cell)
    return f"'{cell}" if formula else cell
