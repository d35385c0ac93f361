"""The build sheet's pages: archival and readable to those who cannot see them, by an independent reader; and nothing runs off or over."""

import io
import itertools
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from blockwright.problems import BlockwrightError
from blockwright.report.paper import paper
from blockwright.report.sheet.digests import digests_from
from blockwright.report.sheet.make import sheet_pdf
from blockwright.running.assess import assess

from .sheet_pages import ANY, JOBS, POINT_MM, boxes, collisions, elements, job_of, pdf_of, reader

DEMOS = ("harbour", "hillclimb")
HEAVY = pytest.mark.slow
KINDS = [pytest.param(kind, marks=[] if kind in (*DEMOS, "empty") else HEAVY) for kind in JOBS]
SIZES_MM = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
LEAST_MARGIN_MM = 4.0
"""What most printers cannot print on."""


def fonts(resources: Any, seen: set[int]) -> Iterator[DictionaryObject]:
    """Every font of a page and of the pictures on it."""
    for each in resources.get("/Font", {}).values():
        yield each.get_object()
    for each in resources.get("/XObject", {}).values():
        number = each.idnum if isinstance(each, IndirectObject) else id(each)
        form = each.get_object()
        if number not in seen and "/Resources" in form:
            seen.add(number)
            yield from fonts(form["/Resources"].get_object(), seen)


@pytest.mark.parametrize("kind", [*DEMOS, "empty"])
def test_it_says_what_it_is(kind: str) -> None:
    """ISO 14289-1 (PDF/UA-1) 7.1, 7.2 and ISO 19005-2 (PDF/A-2) 6.6: language, title, tags, and both standards in plain metadata."""
    pdf = reader(pdf_of(kind))
    root = pdf.trailer["/Root"]
    assert root["/Lang"] in ("en", "en-GB")
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert pdf.metadata is not None
    assert pdf.metadata.title == f"Build sheet: {job_of(kind).sheet.job}, {job_of(kind).engine.name}"
    metadata = root["/Metadata"].get_object()
    assert "/Filter" not in metadata
    plain = metadata.get_data().decode()
    for standard in (
        "<pdfaid:part>2</pdfaid:part>",
        "<pdfaid:conformance>A</pdfaid:conformance>",
        "<pdfuaid:part>1</pdfuaid:part>",
    ):
        assert standard in plain
    assert root["/OutputIntents"]
    assert "/Encrypt" not in pdf.trailer
    assert all(page["/Tabs"] == "/S" for page in pdf.pages)


@pytest.mark.parametrize("kind", DEMOS)
def test_pictures_are_said_in_words(kind: str) -> None:
    found = [element for element in elements(reader(pdf_of(kind))) if element["/S"] == "/Figure"]
    assert len(found) >= 3
    assert all(len(str(element.get("/Alt", ""))) > 20 for element in found)


@pytest.mark.parametrize("kind", DEMOS)
def test_headings_and_tables_are_in_order(kind: str) -> None:
    """Levels are not skipped (7.4.2); a row holds cells only, and each table has a head with its direction (7.5)."""
    tags = list(elements(reader(pdf_of(kind))))
    levels = [int(str(tag["/S"])[2:]) for tag in tags if str(tag["/S"]) in ("/H1", "/H2", "/H3", "/H4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    rows = [tag for tag in tags if tag["/S"] == "/TR"]
    assert len(rows) > 100
    for row in rows:
        held = row["/K"] if isinstance(row["/K"], list) else [row["/K"]]
        assert {str(cell.get_object()["/S"]) for cell in held} <= {"/TH", "/TD"}
    heads = [tag for tag in tags if tag["/S"] == "/TH"]
    assert heads
    assert all("/Scope" in str(tag.get("/A")) for tag in heads)
    assert all("/K" in tag for tag in heads), "a head without a word"


@pytest.mark.parametrize("kind", DEMOS)
def test_all_type_is_embedded(kind: str) -> None:
    found = [font for page in reader(pdf_of(kind)).pages for font in fonts(page["/Resources"], set())]
    assert found
    for font in found:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inner["/FontDescriptor"].get_object())
        assert "/ToUnicode" in font
    names = {str(font["/BaseFont"]) for font in found}
    assert any("SourceSans" in name for name in names)


@pytest.mark.parametrize("named", ["a4", "us-letter"])
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_runs_off_the_page_or_over_other_text(kind: str, named: str) -> None:
    """By a second reader: where each run of text lies on its page."""
    width_mm, height_mm = SIZES_MM[named]
    pages = 0
    for number, (width, height), runs in boxes(pdf_of(kind, named)):
        pages += 1
        assert (width * POINT_MM, height * POINT_MM) == pytest.approx((width_mm, height_mm), abs=0.1)
        assert runs, f"page {number} is blank"
        edge = LEAST_MARGIN_MM / POINT_MM
        off = [
            (text, box)
            for text, box in runs
            if box[0] < edge or box[1] < edge or box[2] > width - edge or box[3] > height - edge
        ]
        assert off == []
        assert collisions(runs) == []
    assert pages == len(PdfReader(io.BytesIO(pdf_of(kind, named))).pages)


def test_the_same_job_gives_the_same_bytes() -> None:
    assert sheet_pdf(assess(job_of("harbour")), ANY) == sheet_pdf(assess(job_of("harbour")), ANY)


def test_its_date_is_the_last_day_of_the_job() -> None:
    pdf = reader(pdf_of("hillclimb"))
    assert pdf.metadata is not None
    assert str(pdf.metadata.creation_date_raw).startswith("D:20260918")


def test_a_paper_that_is_not_known_is_refused() -> None:
    with pytest.raises(BlockwrightError, match="Say A4 or Letter"):
        paper("A5")


STRANGE = {
    "emoji": "Boat 😀 漢字", "markup": '#panic() *x* $y$ <a> "q" \\ `', "control signs": "a\nb\tc\x00d\x1b[31m", "right to left": "مرحبا עברית",
    "solid": "w" * 3000, "many words": "word " * 300, "for XML": "<&>\"'", "no width": "a\u200bb\ufeff", "half a sign": "a\ud800b",
    "marks on marks": "e\u0301\u0302" * 5, "fixed blanks": "a\u00a0b" * 50, "commas": "a, b=c", "keywords": "job=1, </pdf:Keywords>",
}  # fmt: skip


@pytest.mark.parametrize("name", STRANGE.values(), ids=STRANGE)
def test_any_name_can_be_set(name: str) -> None:
    """Whatever stands in a file as a name: a sheet is made, nothing runs off it, and its fingerprints are read back."""
    job = job_of("empty")
    engine = replace(job.engine, name=name, entered={})
    made = sheet_pdf(assess(replace(job, sheet=replace(job.sheet, job=name, customer=name, engine=engine))), ANY)
    for _, (width, height), runs in boxes(made):
        assert all(box[0] >= 11 and box[1] >= 11 and box[2] <= width - 11 and box[3] <= height - 11 for _, box in runs)
    assert digests_from(made) == ANY
