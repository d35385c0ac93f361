"""All tables of a job as one workbook: a sheet a table, heads that stay in sight, numbers as numbers, texts as texts."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Sequence

import xlsxwriter

from blockwright.report.export.tables import Cell, Table

WIDEST = 60
NARROWEST = 8
LONGEST_TEXT = 32_000
"""A spreadsheet's cell holds 32,767 letters."""
MADE = dt.datetime(2000, 1, 1)
"""Written as the time of making, so that the same job gives the same bytes."""


def xlsx_bytes(tables: Sequence[Table]) -> bytes:
    """The workbook."""
    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(out, options) as book:
        book.set_properties({"title": tables[0].name, "created": MADE})
        head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
        plain = book.add_format({"valign": "top"})
        for table in tables:
            page = book.add_worksheet(table.name)
            page.freeze_panes(1, 0)
            page.set_landscape()
            page.fit_to_pages(1, 0)
            page.repeat_rows(0)
            for column, name in enumerate(table.columns):
                page.set_column(column, column, _width([row[column] for row in table.rows], name))
                page.write_string(0, column, name, head)
            for number, row in enumerate(table.rows, 1):
                for column, cell in enumerate(row):
                    if isinstance(cell, str):
                        page.write_string(number, column, cell[:LONGEST_TEXT], plain)
                    elif cell is not None:
                        page.write_number(number, column, cell, plain)
            if table.rows:
                page.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
    return out.getvalue()


def _width(cells: Sequence[Cell], head: str) -> int:
    longest = max(
        (len(f"{cell:.6g}" if isinstance(cell, float) else cell) for cell in cells if cell is not None), default=0
    )
    return min(max(longest, min(len(head), 14), NARROWEST) + 1, WIDEST)
