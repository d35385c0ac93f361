"""All engines, and a new one: invented, one's own, or from files."""

import io
import zipfile
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from blockwright.bench import opening, state
from blockwright.demos import demo_texts
from blockwright.ledger.books import export_texts
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore

OWN = {
    "name": "Bench 7", "layout": "inline", "cylinders": "4", "case": "block with caps", "housing_material": "grey iron", "rotation": "clockwise",
    "bore": "86", "stroke": "86 mm", "rod_length": "143", "main_journal": "55", "rod_journal": "48", "pin_diameter": "21", "units": "metric",
}  # fmt: skip


@pytest.fixture(autouse=True)
def fresh(transactional_db: None) -> None:
    state.forget()


def test_an_empty_bench_offers_three_ways(client: Client) -> None:
    html = client.get("/").content.decode()
    assert "No engine is on this bench yet." in html
    assert all(f'"/new/{way}/"' in html for way in ("demo", "own", "files"))


def test_from_nothing_to_the_first_verdict_is_one_press(client: Client) -> None:
    answer = client.post("/new/demo/", {"which": "harbour"}, follow=True)
    assert answer.redirect_chain == [(f"/e/{Book.objects.get().slug}/", 302)]
    assert "nonconforming" in answer.content.decode()


def test_only_the_invented_engines_there_are_can_be_opened(client: Client) -> None:
    assert client.post("/new/demo/", {"which": "../harbour"}).status_code == 422
    assert not Book.objects.exists()


def test_the_list_tells_each_engine_in_one_query(
    client: Client, harbour: Book, flat_six: Book, django_assert_num_queries: Any
) -> None:
    with django_assert_num_queries(1):
        html = client.get("/").content.decode()
    assert html.count("is being judged") == 2
    for book in (harbour, flat_six):
        assert f'hx-get="/e/{book.slug}/line/"' in html
        client.get(f"/e/{book.slug}/line/")
    with django_assert_num_queries(1):
        html = client.get("/").content.decode()
    assert "is being judged" not in html
    assert "Crank end float is too large." in html


def test_an_archived_engine_is_not_listed(client: Client, harbour: Book) -> None:
    harbour.archived = True
    harbour.save(update_fields=["archived"])
    assert harbour.slug not in client.get("/").content.decode()


def test_ones_own_engine_has_every_reading_still_to_take(client: Client) -> None:
    answer = client.post("/new/own/", OWN)
    assert answer.status_code == 302, answer.content
    job = LedgerStore(Book.objects.get()).kept().job
    assert (job.engine.name, job.engine.bore_m) == ("Bench 7", 0.086)
    assert job.readings
    assert not any(each.text for each in job.readings)


def test_a_number_alone_is_read_in_the_unit_beside_it(client: Client) -> None:
    sizes = {
        "bore": "3.386",
        "stroke": "3.386",
        "rod_length": "5,63",
        "main_journal": "2.165",
        "rod_journal": "1.89",
        "pin_diameter": "0.8268",
    }
    assert client.post("/new/own/", OWN | sizes | {"units": "inch"}).status_code == 302
    assert LedgerStore(Book.objects.get()).kept().job.engine.bore_m == pytest.approx(3.386 * 0.0254)


def test_every_fault_of_the_form_stands_at_its_field(client: Client) -> None:
    answer = client.post("/new/own/", OWN | {"bore": "86 furlongs", "name": "", "stroke": ""})
    html = answer.content.decode()
    assert answer.status_code == 422
    assert all(f'id="x-{key}"' in html for key in ("bore", "name", "stroke"))
    assert 'value="143"' in html, "what was typed stays"
    assert not Book.objects.exists()


@pytest.mark.parametrize("like", ["four", "six", "eight", "v-six", "flat-four", "flat-six", "single"])
def test_every_usual_shape_makes_an_engine(client: Client, like: str) -> None:
    from blockwright.bench.own_engine import LIKES

    answers = next(each.answers for each in LIKES if each.key == like)
    assert client.get("/new/own/", {"like": like}).status_code == 200
    assert client.post("/new/own/", OWN | answers).status_code == 302


def zipped(files: dict[str, bytes]) -> SimpleUploadedFile:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return SimpleUploadedFile("job.zip", held.getvalue(), "application/zip")


def harbour_files(folder: str = "") -> dict[str, bytes]:
    return {f"{folder}{name}": text.encode() for name, text in demo_texts("harbour").items()}


@pytest.mark.parametrize("folder", ["", "harbour/", "jobs/2026/harbour/"])
def test_a_zip_is_brought_in_without_loss(client: Client, folder: str) -> None:
    assert client.post("/new/files/", {"files": zipped(harbour_files(folder))}).status_code == 302
    out = export_texts(Book.objects.get())
    assert {name: out[name] for name in harbour_files()} == harbour_files()


def test_files_themselves_are_brought_in(client: Client) -> None:
    sent = [SimpleUploadedFile(name, content) for name, content in harbour_files().items()]
    assert client.post("/new/files/", {"files": sent}).status_code == 302


def test_a_book_taken_out_comes_back_with_its_events(client: Client, harbour: Book) -> None:
    assert client.post("/new/files/", {"files": zipped(export_texts(harbour))}).status_code == 302
    again = Book.objects.exclude(pk=harbour.pk).get()
    assert again.head_digest == harbour.head_digest


@pytest.mark.parametrize(
    ("files", "code"),
    [
        ({}, "bring-none"),
        ({"files": SimpleUploadedFile("job.zip", b"PK no zip")}, "bring-zip"),
        ({"files": SimpleUploadedFile("notes.txt", b"hello")}, "bring-no-job"),
        ({"files": SimpleUploadedFile("job.toml", b"\xff\xfe\x00")}, "text-encoding"),
        ({"files": zipped({"a/job.toml": b"", "b/job.toml": b""})}, "bring-twice"),
        ({"files": zipped({f"attachments/{n}.jpg": b"" for n in range(401)})}, "bring-size"),
    ],
)
def test_what_cannot_be_brought_in_is_told(client: Client, files: dict[str, Any], code: str) -> None:
    for file in files.values():
        file.seek(0)
    answer = client.post("/new/files/", files)
    assert answer.status_code == 422
    assert code in {each["code"] for each in answer.context["problems"]}
    assert not Book.objects.exists()


def test_a_zip_that_unpacks_to_too_much_is_refused_before_it_is_unpacked(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "MOST_ALL", 100_000)
    answer = client.post("/new/files/", {"files": zipped({"readings.csv": b"0" * 200_000})})
    assert {each["code"] for each in answer.context["problems"]} == {"bring-size"}


def test_a_job_with_faults_is_told_file_and_line(client: Client) -> None:
    files = harbour_files()
    files["readings.csv"] = files["readings.csv"].replace(b",bore,", b",boar,", 1)
    answer = client.post("/new/files/", {"files": zipped(files)})
    assert answer.status_code == 422
    assert "readings.csv, line" in answer.content.decode()
    assert not Book.objects.exists()


def test_a_shop_hand_who_opens_an_engine_gets_the_seat_of_its_owner(transactional_db: None) -> None:
    from blockwright.acts.roles import Role
    from blockwright.bench.access import Actor
    from blockwright.bench.opening import Brought, open_for
    from blockwright.bench.people.hands import take_on
    from blockwright.ledger.models import Seat

    hand = take_on("R. Lind")
    book = open_for(Actor(hand.name, hand_id=hand.pk), Brought(demo_texts("hillclimb"), {}))
    assert [(seat.book, seat.hand, seat.role) for seat in Seat.objects.all()] == [(book, hand, Role.OWNER)]
