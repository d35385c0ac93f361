"""Papers as they are handed out: each is opened by a reader of its own kind, and the job that is taken out is read back."""

from __future__ import annotations

import csv
import io
import json
import time
import zipfile
from collections.abc import Iterator
from typing import Any

import jsonschema
import openpyxl
import pypdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from blockwright.acts.kept import EVENTS_FILE, events_of_folder
from blockwright.acts.roles import Role
from blockwright.bench.papers import making
from blockwright.bench.papers.catalogue import BY_KEY, PAPERS
from blockwright.bench.papers.making import Maker
from blockwright.bench.papers.source import source
from blockwright.jobfile.folder import read_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book
from blockwright.report.export.schema import schema_text

from .conftest import Page
from .shop_hands import hire, open_shop, signed_in

A4, LETTER = (595, 842), (612, 792)
PATIENT = Maker(120.0)


@pytest.fixture(autouse=True)
def patience(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Papers are waited for: what is made on a slow machine is not told to be being made."""
    monkeypatch.setattr("blockwright.bench.views.papers.maker", PATIENT)
    yield
    PATIENT.forget()


def got(page: Page, key: str, **words: str) -> Any:
    answer = page.get(f"papers/{key}/", **words)
    assert answer.status_code == 200, answer.content[:400]
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Disposition"].startswith('attachment; filename="')
    return answer


def name_of(answer: Any) -> str:
    return str(answer["Content-Disposition"].split('"')[1])


def size_of(content: bytes) -> tuple[int, int]:
    box = pypdf.PdfReader(io.BytesIO(content)).pages[0].mediabox
    return round(float(box.width)), round(float(box.height))


def text_of(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(content)).pages)


def test_the_list_makes_nothing_and_names_every_paper(
    page: Page, monkeypatch: pytest.MonkeyPatch, django_assert_max_num_queries: Any
) -> None:
    page.get("papers/")
    monkeypatch.setattr(PATIENT, "asked", None)
    with django_assert_max_num_queries(6):
        text = page.get("papers/").content.decode()
    for each in PAPERS:
        assert each.name in text, each.key
    assert text.count("data-paper") == sum(2 if each.sized else 1 for each in PAPERS if each.key != "blank") + 1
    assert "No reading is left to take." in text


@pytest.mark.parametrize(
    ("key", "said"), [("sheet", "Build sheet"), ("labels", "Cylinder 1"), ("blank-all", "bore of B1")]
)
def test_a_pdf_comes_on_either_paper(page: Page, key: str, said: str) -> None:
    plain, letter = got(page, key), got(page, key, paper="letter")
    assert plain["Content-Type"] == "application/pdf"
    assert (size_of(plain.content), size_of(letter.content)) == (A4, LETTER)
    assert said.lower() in text_of(plain.content).lower()
    assert name_of(letter) == name_of(plain).replace(".pdf", "-letter.pdf")
    assert name_of(plain).isascii()
    assert " " not in name_of(plain)


def test_the_workbook_has_every_fit(page: Page) -> None:
    answer = got(page, "workbook")
    assert answer["Content-Type"] == "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    book = openpyxl.load_workbook(io.BytesIO(answer.content))
    fits = list(book["Fits"].iter_rows(values_only=True))
    assert fits[0][:3] == ("group", "fit", "position")
    assert ("wall clearance", "cylinder 3") in {row[1:3] for row in fits}


def test_tables_and_pictures_come_in_zips(page: Page) -> None:
    tables = zipfile.ZipFile(io.BytesIO(got(page, "tables").content))
    assert tables.testzip() is None
    rows = list(csv.reader(io.StringIO(tables.read("readings.csv").decode("utf-8-sig"))))
    assert len(rows) > 100
    drawn = zipfile.ZipFile(io.BytesIO(got(page, "pictures").content))
    assert {"engine-plan.svg", "bores.svg", "bore-1.svg", "ring-clocking-1.svg", "route-1.svg"} <= set(drawn.namelist())
    assert drawn.read("engine-plan.svg").startswith(b"<svg")


def test_the_json_keeps_its_schema(page: Page) -> None:
    answer = got(page, "json")
    assert answer["Content-Type"] == "application/json"
    told = json.loads(answer.content)
    jsonschema.validate(told, json.loads(schema_text()))


def test_the_whole_job_is_read_back_and_brought_in_again(page: Page) -> None:
    page.act("reading withdrawn", {"row": "r20", "why": "gauge slipped"})
    archive = zipfile.ZipFile(io.BytesIO(got(page, "folder").content))
    texts = {name: archive.read(name).decode() for name in archive.namelist()}
    assert [each.kind for each in events_of_folder(texts)] == ["folder brought in", "reading withdrawn"]
    job = read_texts("job", {name: text for name, text in texts.items() if name != EVENTS_FILE}).job
    assert next(each for each in job.readings if each.id == "r20").withdrawn == "gauge slipped"
    again = open_book(texts, "B. Hand")
    assert again.head_number == 2


def test_a_sheet_is_held_against_the_job(page: Page) -> None:
    sheet = got(page, "sheet").content
    answer = sent(page.client, page.book, sheet)
    assert "The sheet belongs to this job" in answer.content.decode()
    page.act("reading withdrawn", {"row": "r20", "why": "gauge slipped"})
    told = sent(page.client, page.book, sheet).content.decode()
    assert "does not belong" in told
    assert "readings.csv was changed" in told
    assert "job.toml was changed" not in told


@pytest.mark.parametrize(
    ("content", "said"),
    [(b"", "is no build sheet"), (b"%PDF-1.7 nothing", "is no build sheet"), (None, "no file was chosen")],
)
def test_what_is_no_sheet_is_refused_at_its_field(page: Page, content: bytes | None, said: str) -> None:
    answer = sent(page.client, page.book, content)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert said in text.lower()
    assert 'aria-describedby="sheet-fault"' in text


def sent(client: Client, book: Book, content: bytes | None) -> Any:
    files = {} if content is None else {"sheet": SimpleUploadedFile("sheet.pdf", content, "application/pdf")}
    return client.post(f"/e/{book.slug}/papers/check/", files)


def test_a_paper_that_takes_long_says_so_and_comes(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    hasty = Maker(0.0)
    monkeypatch.setattr("blockwright.bench.views.papers.maker", hasty)
    first = page.get("papers/labels/")
    assert (first.status_code, first["Refresh"]) == (202, "1")
    assert "being made" in first.content.decode()
    machine = page.client.get(page.at("papers/blank-all/"), headers={"Accept": "application/json, */*"})
    assert machine.json() == {"being": "All readings"}
    until = time.monotonic() + 60
    while (last := page.get("papers/labels/")).status_code == 202 and time.monotonic() < until:
        time.sleep(0.05)
    assert last.content.startswith(b"%PDF-")


def test_a_paper_is_made_once_for_an_event_and_anew_for_the_next(page: Page) -> None:
    made: list[int] = []
    counted = BY_KEY["json"].__class__(
        **{**BY_KEY["json"].__dict__, "make": lambda of, size: made.append(of.seen.number) or b"x"}
    )
    for _ in range(3):
        PATIENT.asked(counted, source(page.book), "A4")
    page.act("reading withdrawn", {"row": "r20", "why": "gauge slipped"})
    page.book.refresh_from_db()
    PATIENT.asked(counted, source(page.book), "A4")
    assert made == [1, 2]


def test_the_maker_lets_go_of_old_papers(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(making, "MOST_KEPT", 3)
    few = Maker(60.0)
    paper = BY_KEY["json"].__class__(**{**BY_KEY["json"].__dict__, "make": lambda of, size: size.encode()})
    assert [few.asked(paper, source(page.book), str(number)) for number in range(6)] == [
        str(number).encode() for number in range(6)
    ]
    assert len(few._held) == 3


def test_labels_are_not_offered_where_no_part_is_assigned(page: Page) -> None:
    for cylinder in range(1, 5):
        for role in ("piston", "pin", "rings", "rod", "shells"):
            page.act("part assigned", {"at": f"cylinder {cylinder}", "as": role, "parts": []})
    for main in range(1, 6):
        page.act("part assigned", {"at": f"main {main}", "as": "shells", "parts": []})
    assert "No part is assigned" in page.get("papers/").content.decode()
    assert page.get("papers/labels/").status_code == 422


def test_an_unknown_paper_is_not_found(page: Page) -> None:
    assert page.get("papers/invoice/").status_code == 404


def test_a_viewer_takes_papers_out_and_checks_none(harbour: Book, settings: Any) -> None:
    open_shop(settings)
    client = signed_in(hire("The viewer", book=harbour, role=Role.VIEWER))
    assert client.get(f"/e/{harbour.slug}/papers/json/").status_code == 200
    assert 'name="sheet"' not in client.get(f"/e/{harbour.slug}/papers/").content.decode()
    assert sent(client, harbour, b"x").status_code == 403
