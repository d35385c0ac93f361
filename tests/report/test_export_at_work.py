"""The engine at work for spreadsheets: the numbers of the record in the unit that is named, and no table where nothing is worked out."""

import csv
import io

import openpyxl
import pytest

from blockwright.report.export.files import csv_files, export_files, workbook
from blockwright.report.export.tables import tables_of
from blockwright.running.assess import assess

from .sheet_pages import demo
from .work_sample import sample_work

HARBOUR, WORK = assess(demo("harbour")), sample_work()


def rows_of(name: str, work=WORK) -> list[dict[str, str]]:
    text = csv_files(HARBOUR, work)[name].decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def test_every_hot_fit_has_its_row() -> None:
    rows = rows_of("at-work.csv")
    assert len(rows) == len(WORK.fits)
    for row, fit in zip(rows, WORK.fits, strict=True):
        assert (row["fit"], row["position"], row["verdict"], row["unit"]) == (fit.fit, fit.position, fit.said, "mm")
        for column, value in (
            ("cold", fit.cold.value),
            ("hot", fit.hot.value),
            ("hot from", fit.hot.low),
            ("hot to", fit.hot.high),
        ):
            assert float(row[column]) * 1e-3 == pytest.approx(value, rel=1e-9)
        assert float(row["chance inside"]) == pytest.approx(fit.inside, rel=1e-9)
        assert (row["high"] == "") is (fit.high is None)


def test_without_draws_there_is_no_span() -> None:
    assert {row["hot from"] + row["hot to"] for row in rows_of("at-work.csv", sample_work(draws=False))} == {""}


def test_every_bearing_has_its_row() -> None:
    rows = rows_of("bearings-at-work.csv")
    assert [row["bearing"] for row in rows] == [each.name for each in WORK.bearings]
    for row, told in zip(rows, WORK.bearings, strict=True):
        assert row["measured"] == ("yes" if told.read else "no")
        assert float(row["thinnest film um"]) * 1e-6 == pytest.approx(told.film_m.value, rel=1e-9)
        assert float(row["clearance hot mm"]) * 1e-3 == pytest.approx(told.hot_m.value, rel=1e-9)
        assert float(row["oil L/min"]) * 1e-3 / 60.0 == pytest.approx(told.flow_m3_s.value, rel=1e-9)
        assert float(row["loss W"]) == pytest.approx(told.loss_w.value, rel=1e-9)


def test_the_workbook_has_them_after_the_fits() -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook(HARBOUR, WORK)))
    assert book.sheetnames[:3] == ["Fits", "At work", "Bearings at work"]


def test_without_a_result_nothing_is_added() -> None:
    assert set(export_files(HARBOUR, WORK)) - set(export_files(HARBOUR)) == {"at-work.csv", "bearings-at-work.csv"}
    assert "At work" not in [table.name for table in tables_of(HARBOUR)]
