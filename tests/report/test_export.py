"""Exports read back by programs of others: openpyxl the workbook, jsonschema the JSON, the standard library the CSV."""

import csv
import io
import json
from importlib import resources
from pathlib import Path

import jsonschema
import openpyxl
import pytest

from blockwright.choices.next_steps import next_steps
from blockwright.fits.assessment import Assessment
from blockwright.jobfile.folder import read_folder
from blockwright.report.as_json import assessment_json, dumps
from blockwright.report.export.as_csv import csv_text
from blockwright.report.export.as_xlsx import xlsx_bytes
from blockwright.report.export.schema import schema_text
from blockwright.report.export.tables import Table, tables_of
from blockwright.running.assess import assess


def demo(name: str) -> Assessment:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return assess(read_folder(Path(folder)).job)


DEMOS = {name: demo(name) for name in ("harbour", "hillclimb")}
SCHEMA = json.loads(schema_text())


@pytest.fixture(params=DEMOS, scope="module")
def assessment(request: pytest.FixtureRequest) -> Assessment:
    return DEMOS[request.param]


def test_the_json_keeps_the_schema(assessment: Assessment) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(json.loads(dumps(assessment_json(assessment, next_steps(assessment)))), SCHEMA)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda whole: whole.pop("fits"),
        lambda whole: whole.update(format="another 1"),
        lambda whole: whole["fits"][0].update(standing="fine"),
        lambda whole: whole["fits"][0].update(value="0.1 mm"),
        lambda whole: whole["fits"][0].pop("remedy"),
        lambda whole: whole["fits"][0].update(extra=1),
    ],
)
def test_the_schema_refuses_what_is_not_so(spoil) -> None:
    harbour = DEMOS["harbour"]
    whole = json.loads(dumps(assessment_json(harbour, next_steps(harbour))))
    spoil(whole)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(whole, SCHEMA)


def test_the_workbook_holds_every_cell(assessment: Assessment) -> None:
    tables = tables_of(assessment)
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes(tables)))
    assert book.sheetnames == [table.name for table in tables]
    for table in tables:
        head, *rows = book[table.name].iter_rows(values_only=True)
        assert head == table.columns
        assert [tuple(None if cell == "" else cell for cell in row) for row in rows] == [
            tuple(None if cell == "" else cell for cell in row) for row in table.rows
        ]
        assert book[table.name].freeze_panes == "A2"


def test_the_fits_say_what_the_assessment_says(assessment: Assessment) -> None:
    table = tables_of(assessment)[0]
    assert len(table.rows) == len(assessment.results)
    scale = {"mm": 1e-3, "um": 1e-6, "Nm": 1.0, "MPa": 1e6}
    for row, result in zip(table.rows, assessment.results, strict=True):
        said = dict(zip(table.columns, row, strict=True))
        assert (said["fit"], said["position"], said["verdict"]) == (result.fit.name, str(result.position), result.words)
        bounds = (result.limits.low_value, result.limits.aim, result.limits.high_value)
        value = result.estimate.value if result.found else None
        for name, si in zip(("low", "aim", "high", "value"), (*bounds, value), strict=True):
            assert said[name] == (None if si is None else pytest.approx(si / scale[said["unit"]], rel=1e-11))


def test_csv_comes_back_as_it_was(assessment: Assessment) -> None:
    for table in tables_of(assessment):
        text = csv_text(table)
        assert text.startswith("\ufeff")
        head, *rows = csv.reader(io.StringIO(text.removeprefix("\ufeff")))
        assert tuple(head) == table.columns
        assert len(rows) == len(table.rows)
        for row, cells in zip(rows, table.rows, strict=True):
            for read, cell in zip(row, cells, strict=True):
                assert (float(read) if isinstance(cell, float) else read) == (cell if cell is not None else "")


HOSTILE = ('=HYPERLINK("x")', "@SUM(A1)", "-cmd", "+1+1", "a,b", 'say "so"', "two\nlines", "0042", "1e5")


def test_no_text_becomes_a_formula_or_a_number() -> None:
    table = Table("Texts", ("text",), tuple((text,) for text in HOSTILE))
    page = openpyxl.load_workbook(io.BytesIO(xlsx_bytes([table])))["Texts"]
    assert [row[0].value for row in page.iter_rows(min_row=2)] == list(HOSTILE)
    assert {row[0].data_type for row in page.iter_rows(min_row=2)} == {"s"}
    rows = list(csv.reader(io.StringIO(csv_text(table))))[1:]
    assert [row[0].removeprefix("'") for row in rows] == list(HOSTILE)
    assert not any(row[0].startswith(("=", "@", "+", "-")) for row in rows)


def test_signed_numbers_as_written_stay_as_they_are() -> None:
    assert "-0.012\r\n" in csv_text(Table("Texts", ("text",), (("-0.012",),)))


def test_the_same_job_gives_the_same_bytes(assessment: Assessment) -> None:
    assert xlsx_bytes(tables_of(assessment)) == xlsx_bytes(tables_of(assessment))
