"""Every form of an assessment for other programs, as files: the one list that the command line and the pages give out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockwright.choices.next_steps import NextStep, next_steps
from blockwright.fits.assessment import Assessment
from blockwright.report.as_json import assessment_json, dumps
from blockwright.report.export.as_csv import csv_text
from blockwright.report.export.as_xlsx import xlsx_bytes
from blockwright.report.export.tables import tables_of

WORKBOOK, JSON_FILE = "assessment.xlsx", "assessment.json"


def export_files(assessment: Assessment) -> Mapping[str, bytes]:
    """All of them by file name: a CSV a table, the workbook, the JSON."""
    return {**csv_files(assessment), WORKBOOK: workbook(assessment), JSON_FILE: json_file(assessment)}


def csv_files(assessment: Assessment) -> Mapping[str, bytes]:
    """A CSV file a table."""
    return {f"{table.name.lower()}.csv": csv_text(table).encode() for table in tables_of(assessment)}


def workbook(assessment: Assessment) -> bytes:
    """All tables as one workbook."""
    return xlsx_bytes(tables_of(assessment))


def json_file(assessment: Assessment, steps: Sequence[NextStep] | None = None) -> bytes:
    """The JSON by the published schema; `steps` where they are worked out already."""
    told = assessment_json(assessment, next_steps(assessment) if steps is None else steps)
    return (dumps(told) + "\n").encode()
