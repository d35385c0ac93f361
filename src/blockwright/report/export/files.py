"""Every form of an assessment for other programs, as files: the one list that the command line and the pages give out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from blockwright.choices.next_steps import NextStep, next_steps
from blockwright.fits.assessment import Assessment
from blockwright.report.as_json import assessment_json, dumps
from blockwright.report.export.as_csv import csv_text
from blockwright.report.export.as_xlsx import xlsx_bytes
from blockwright.report.export.tables import tables_of
from blockwright.running.work.result import Work

WORKBOOK, JSON_FILE = "assessment.xlsx", "assessment.json"


def export_files(assessment: Assessment, work: Work | None = None) -> Mapping[str, bytes]:
    """All of them by file name: a CSV a table, the workbook, the JSON; `work`: the engine at work, where that is worked out."""
    return {**csv_files(assessment, work), WORKBOOK: workbook(assessment, work), JSON_FILE: json_file(assessment)}


def csv_files(assessment: Assessment, work: Work | None = None) -> Mapping[str, bytes]:
    """A CSV file a table."""
    named = ((table.name.lower().replace(" ", "-"), table) for table in tables_of(assessment, work))
    return {f"{name}.csv": csv_text(table).encode() for name, table in named}


def workbook(assessment: Assessment, work: Work | None = None) -> bytes:
    """All tables as one workbook."""
    return xlsx_bytes(tables_of(assessment, work))


def json_file(assessment: Assessment, steps: Sequence[NextStep] | None = None) -> bytes:
    """The JSON by the published schema; `steps` where they are worked out already."""
    told = assessment_json(assessment, next_steps(assessment) if steps is None else steps)
    return (dumps(told) + "\n").encode()
