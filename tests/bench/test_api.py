"""The API in local mode: each answer, marks and parts of lists, acts through the one door, and every refusal as problem+json."""

import csv
import io
import json
import secrets
import zipfile
from typing import Any

import jsonschema
import pytest
from django.db import OperationalError
from django.test import Client, RequestFactory, override_settings
from django.urls import get_resolver, path

from blockwright.acts.kinds import KINDS
from blockwright.acts.kinds.kind import fit_words
from blockwright.bench.api.act_examples import EXAMPLES
from blockwright.bench.api.refusing import SORTS
from blockwright.bench.api.route_shapes import RouteTold
from blockwright.bench.state import seen
from blockwright.bench.wsgi import application
from blockwright.demos import demo_texts
from blockwright.ledger.books import export_texts, open_book
from blockwright.ledger.models import Book, BookAttachment
from blockwright.ledger.store import LedgerStore
from blockwright.report.export.schema import schema_text

from .conftest import Page
from .test_photos import OWN, PNG, STEP, chunk, send

ROOT = "/api/v1"
PROBLEM = "application/problem+json"


class Program:
    """Another program on this machine."""

    def __init__(self, book: Book, **words: Any) -> None:
        self.client, self.book = Client(raise_request_exception=False, **words), book

    def at(self, rest: str = "") -> str:
        return f"{ROOT}/engines/{self.book.slug}{rest}"

    def get(self, rest: str = "", words: dict[str, Any] | None = None, **headers: str) -> Any:
        return self.client.get(self.at(rest), words or {}, headers=headers)

    def act(self, kind: str, words: dict[str, Any], key: str = "", **more: Any) -> Any:
        said = {"kind": kind, "words": words, "key": key or f"t-{secrets.token_hex(8)}", **more}
        return self.client.post(self.at("/acts"), json.dumps(said), content_type="application/json")


@pytest.fixture
def program(harbour: Book) -> Program:
    return Program(harbour)


def refused(answer: Any, status: int) -> dict[str, Any]:
    """What a refusal says; its form is that of RFC 9457 with our list of problems."""
    assert answer.status_code == status, answer.content
    assert answer["Content-Type"] == PROBLEM
    said = json.loads(answer.content)
    assert set(said) == {"type", "title", "status", "detail", "problems"}
    assert said["status"] == status
    assert said["title"]
    assert said["detail"]
    assert all({"code", "what", "mend", "field"} <= set(each) for each in said["problems"])
    return said


def zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return out.getvalue()


READ = {"part": "B1", "feature": "bore", "at": "cylinder 1", "spot": "top thrust", "value": "-9", "unit": "um", "gauge": "BG1",
        "setting": "S1", "sitting": "bores 1"}  # fmt: skip


def test_engines_are_listed_in_parts(program: Program, flat_six: Book) -> None:
    first = program.client.get(f"{ROOT}/engines", {"limit": 1}).json()
    assert (first["total"], [each["id"] for each in first["items"]]) == (2, [flat_six.slug])
    second = program.client.get(first["next"]).json()
    assert ([each["id"] for each in second["items"]], second["next"]) == ([program.book.slug], None)


def test_one_engine_is_told(program: Program) -> None:
    told = program.get().json()
    assert (told["id"], told["role"], told["number"]) == (program.book.slug, "owner", program.book.head_number)


def test_the_assessment_holds_to_the_published_schema(program: Program) -> None:
    jsonschema.validate(program.get("/assessment").json(), json.loads(schema_text()))


def test_fits_are_those_of_the_assessment_whatever_part_is_asked_for(program: Program) -> None:
    whole = program.get("/assessment").json()["fits"]
    gathered: list[Any] = []
    address: str | None = program.at("/fits?limit=37")
    while address:
        part = program.client.get(address).json()
        assert len(part["items"]) <= 37
        gathered += part["items"]
        address = part["next"]
    assert gathered == whole
    chosen = program.get("/fits", {"fit": "wall clearance", "standing": whole[0]["standing"], "limit": 500}).json()
    wanted = [each for each in whole if (each["fit"], each["standing"]) == ("wall clearance", whole[0]["standing"])]
    assert chosen["items"] == wanted


def test_readings_are_those_of_the_job(program: Program) -> None:
    job = LedgerStore(program.book).kept().job
    told = program.get("/readings", {"limit": 500}).json()
    assert told["total"] == len(job.readings)
    by_id = {row.id: row for row in job.readings}
    for each in told["items"]:
        row = by_id[each["id"]]
        assert (each["low"], each["high"], each["typed"]) == (row.low_si, row.high_si, dict(row.cells))
        assert (each["standing"] == "taken") is row.taken
    waiting = program.get("/readings", {"standing": "waits", "limit": 500}).json()["items"]
    assert {each["id"] for each in waiting} == {row.id for row in job.readings if not row.taken and not row.withdrawn}


@pytest.fixture
def half_read(transactional_db: None) -> Program:
    """The harbour four with two readings still to take."""
    texts = dict(demo_texts("harbour"))
    head, *rows = csv.reader(io.StringIO(texts["readings.csv"]))
    value, by, when = (head.index(name) for name in ("value", "by", "when"))
    for row in rows[:2]:
        row[value] = row[by] = row[when] = ""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([head, *rows])
    return Program(open_book({**texts, "readings.csv": out.getvalue()}, "A. Hand", name="harbour"))


def test_stations_still_to_take_and_a_reading_into_one_of_their_rows(half_read: Program) -> None:
    every, left = half_read.get("/stations", {"every": "true"}).json(), half_read.get("/stations").json()
    assert left == [each for each in every if each["waiting"]]
    assert 0 < len(left) < len(every)
    waiting = [spot for station in left for spot in station["spots"] if spot["waits"]]
    assert [spot["empty"] for spot in waiting] == [["r1"], ["r2"]]
    answer = half_read.act("reading taken", {"row": "r1", "value": "-8", "unit": "um"})
    assert (answer.status_code, answer.json()["row"]) == (201, "r1")
    (told,) = [spot for station in half_read.get("/stations").json() for spot in station["spots"] if spot["waits"]]
    assert told["id"] == "r2"


def test_gauges_settings_and_parts_are_those_of_the_job(program: Program) -> None:
    job = LedgerStore(program.book).kept().job
    gauges, settings, parts = (
        program.get(f"/{name}", {"limit": 500}).json()["items"] for name in ("gauges", "settings", "parts")
    )
    assert [each["id"] for each in gauges] == list(job.gauges)
    assert [each["resolution_si"] for each in gauges] == [gauge.resolution_si for gauge in job.gauges.values()]
    assert [each["size_m"] for each in settings] == [setting.size_m for setting in job.settings.values()]
    assert [each["mark"] for each in parts] == [part.mark for part in job.sheet.part]
    assert {each["mark"]: each["home"] for each in parts} == {
        part.mark: str(job.home(part.mark) or "") for part in job.sheet.part
    }


def test_a_reading_is_kept_once_and_followers_see_it(program: Program) -> None:
    before = program.book.head_number
    first = program.act("reading taken", READ, key="reader-1:0001")
    again = program.act("reading taken", READ, key="reader-1:0001")
    assert first.status_code == again.status_code == 201, first.content
    assert first.json() == again.json()
    assert first.json()["fits"]
    assert first.json()["number"] == before + 1
    news = program.get("/news", {"since": before}).json()
    assert (news["number"], news["new"]) == (before + 1, 1)
    events = program.get("/events", {"since": before}).json()
    assert [(each["kind"], each["row"]) for each in events["items"]] == [("reading taken", first.json()["row"])]
    assert not events["more"]


def test_events_are_followed_a_few_at_a_time_along_their_chain(program: Program) -> None:
    for number in range(3):
        assert program.act("wheel put on", {"wheel": f"W{number}"}).status_code == 201
    since, digest, more, seen_numbers = 0, "", True, []
    while more:
        told = program.get("/events", {"since": since, "limit": 2}).json()
        for each in told["items"]:
            assert each["before"] == digest
            since, digest = each["number"], each["digest"]
            seen_numbers.append(since)
        more = told["more"]
    assert seen_numbers == list(range(1, told["number"] + 1))
    assert digest == program.get().json()["digest"]


def test_a_key_is_not_taken_for_an_act_of_another_kind(program: Program) -> None:
    assert program.act("wheel put on", {"wheel": "W7"}, key="reader-1:0009").status_code == 201
    said = refused(program.act("reading taken", READ, key="reader-1:0009"), 409)
    assert said["problems"][0]["field"] == "key"
    assert LedgerStore(program.book).events()[-1].kind == "wheel put on"


@pytest.mark.parametrize(
    "rest",
    ["", "/assessment", "/fits", "/fits/wall%20clearance/cylinder%203", "/readings", "/stations", "/gauges", "/settings", "/parts",
     "/events", "/news"],
)  # fmt: skip
def test_nothing_is_sent_twice_and_whatever_happens_is_sent(program: Program, rest: str) -> None:
    first = program.get(rest)
    assert first.status_code == 200
    mark = first["ETag"]
    same = program.get(rest, **{"If-None-Match": mark})
    assert (same.status_code, same.content, same["ETag"]) == (304, b"", mark)
    assert program.get(rest, **{"If-None-Match": f'W/{mark}, "other"'}).status_code == 304
    assert program.get(rest, **{"If-None-Match": '"other"'}).status_code == 200
    program.act("wheel put on", {"wheel": "W7"})
    assert program.get(rest, **{"If-None-Match": mark}).status_code == 200


def test_papers_are_listed_and_handed_out(program: Program) -> None:
    listed = program.get("/papers").json()
    assert any(each["lacking"] for each in listed)
    for each in listed:
        answer = program.client.get(each["href"])
        if each["lacking"]:
            refused(answer, 422)
            continue
        for _ in range(60):
            if answer.status_code != 202:
                break
            assert answer["Retry-After"] == "1"
            answer = program.client.get(each["href"])
        assert answer.status_code == 200, each
        assert answer["Content-Type"] == each["media"]
    assert {"sheet", "labels", "folder", "workbook", "tables", "json"} <= {each["key"] for each in listed}
    assert program.client.get(program.at("/papers/json")).content == b"".join(program.get("/papers/json"))
    refused(program.get("/papers/nothing"), 404)
    refused(program.get("/papers/sheet", {"paper": "A3"}), 422)


def test_a_folder_that_was_taken_out_is_brought_in_again(program: Program) -> None:
    files = export_texts(program.book)
    answer = program.client.post(f"{ROOT}/engines?key=folder:0001", zipped(files), content_type="application/zip")
    assert answer.status_code == 201, answer.content
    book = Book.objects.get(slug=answer.json()["id"])
    assert answer["Location"] == f"{ROOT}/engines/{book.slug}"
    assert export_texts(book) == files


def test_a_new_engine_is_refused_with_the_files_problems(program: Program) -> None:
    count = Book.objects.count()
    at = f"{ROOT}/engines?key=folder:0001"
    refused(program.client.post(at, b"no zip", content_type="application/zip"), 422)
    refused(program.client.post(at, {"files": io.BytesIO(b"x")}), 415)
    broken = {**{name: text.encode() for name, text in demo_texts("harbour").items()}, "job.toml": b"format = 3"}
    said = refused(program.client.post(at, zipped(broken), content_type="application/zip"), 422)
    assert any(each.get("file") == "job.toml" for each in said["problems"])
    assert Book.objects.count() == count
    mended = zipped({name: text.encode() for name, text in demo_texts("harbour").items()})
    assert program.client.post(at, mended, content_type="application/zip").status_code == 201


def test_an_engine_that_is_sent_twice_is_opened_once(program: Program) -> None:
    sent = zipped({name: text.encode() for name, text in demo_texts("hillclimb").items()})
    count = Book.objects.count()
    for key in ("", "?key=", "?key=short", "?key=with%20gap"):
        said = refused(program.client.post(f"{ROOT}/engines{key}", sent, content_type="application/zip"), 422)
        assert [each["field"] for each in said["problems"]] == ["key"]
    assert Book.objects.count() == count
    answers = [
        program.client.post(f"{ROOT}/engines?key={key}", sent, content_type="application/zip")
        for key in ("folder:0001", "folder:0001", "folder:0002")
    ]
    assert [each.status_code for each in answers] == [201] * 3
    first, again, other = (each.json() for each in answers)
    assert first == again
    assert first["id"] != other["id"]
    assert Book.objects.count() == count + 2


def test_an_engine_that_two_send_at_once_with_one_key_is_opened_once(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither finds the other's when it looks; the ledger lets one of them open it, and the other is told that one."""
    monkeypatch.setattr("blockwright.bench.api.engines.opened_before", lambda actor, key: None)
    sent = zipped({name: text.encode() for name, text in demo_texts("hillclimb").items()})
    count = Book.objects.count()
    first, second = (
        program.client.post(f"{ROOT}/engines?key=folder:0001", sent, content_type="application/zip") for _ in range(2)
    )
    assert (first.status_code, first.json()) == (second.status_code, second.json())
    assert first.status_code == 201
    assert Book.objects.count() == count + 1


def test_every_refusal_of_an_act_names_its_field(program: Program) -> None:
    bad = refused(program.act("reading taken", {**READ, "value": "three"}), 422)
    assert [each["field"] for each in bad["problems"]] == ["value"]
    unknown = refused(program.act("reading token", READ), 422)
    assert "reading taken" in unknown["problems"][0]["mend"]
    assert refused(program.act("reading taken", READ, key="x"), 422)["problems"][0]["field"] == "key"
    assert refused(program.act("reading taken", READ, at="noon"), 422)["problems"][0]["field"] == "at"


@pytest.mark.parametrize(
    ("body", "content", "status"),
    [
        (b"{", "application/json", 400),
        (b'{"kind": NaN}', "application/json", 400),
        (b"[" * 100_000, "application/json", 400),
        (b"\xff\xfe", "application/json", 400),
        (b"[]", "application/json", 422),
        (b"{}", "text/plain", 415),
        (b"kind=x", "application/x-www-form-urlencoded", 415),
        (b'{"kind": "' + b"x" * (3 * 1024 * 1024) + b'"}', "application/json", 413),
    ],
)
def test_a_body_that_is_no_act(program: Program, body: bytes, content: str, status: int) -> None:
    refused(program.client.post(program.at("/acts"), body, content_type=content), status)


@pytest.mark.parametrize(
    ("method", "rest", "status"),
    [
        ("GET", "/nothing", 404),
        ("GET", "/fits/wall%20clearance/cylinder%2099", 404),
        ("GET", "/fits/no%20such%20fit/cylinder%201", 404),
        ("GET", "/acts", 405),
        ("POST", "/assessment", 405),
        ("DELETE", "", 405),
        ("PUT", "/readings", 405),
        ("GET", "/readings?limit=0", 422),
        ("GET", "/readings?limit=501", 422),
        ("GET", "/readings?standing=maybe", 422),
        ("GET", "/events?since=-1", 422),
        ("GET", "/events?since=99999999999999999999", 422),
        ("GET", "/news?since=one", 422),
    ],
)
def test_what_cannot_be_answered_is_said_in_the_same_form(
    program: Program, method: str, rest: str, status: int
) -> None:
    answer = program.client.generic(method, program.at(rest))
    said = refused(answer, status)
    if status == 405:
        assert answer["Allow"]
    if status == 422:
        assert said["problems"][0]["field"] in rest


def test_what_no_address_is_under_api_is_a_problem_too(client: Client, db: None) -> None:
    for at in ("/api/", "/api/v1/", "/api/v2/engines", "/api/v1/engines/"):
        refused(client.get(at), 404)


def test_another_name_and_another_page_are_refused_in_the_same_form(program: Program) -> None:
    refused(Client(HTTP_HOST="elsewhere.invalid").get(f"{ROOT}/engines"), 400)
    refused(Client(REMOTE_ADDR="192.168.7.9").get(f"{ROOT}/engines"), 403)
    body = json.dumps({"kind": "wheel put on", "words": {"wheel": "W7"}, "key": "reader-1:0009"})
    for headers in ({"Origin": "https://elsewhere.invalid"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = program.client.post(program.at("/acts"), body, content_type="application/json", headers=headers)
        refused(answer, 403)
    assert program.get("/news").json()["number"] == program.book.head_number


def test_more_than_anything_holds_is_refused_unread(program: Program) -> None:
    refused(
        program.client.post(
            f"{ROOT}/engines?key=folder:0001", b"", content_type="application/zip", CONTENT_LENGTH=str(10**9)
        ),
        413,
    )


def broken(request: Any) -> Any:
    raise RuntimeError("a secret of the inside")


class Broken:
    """The bench's addresses and one with a fault."""

    handler500 = "blockwright.bench.views.errors.faulty"
    urlpatterns = (path("api/v1/broken", broken), *get_resolver("blockwright.bench.urls").url_patterns)


def test_a_fault_of_our_own_tells_nothing_of_the_inside(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    with override_settings(ROOT_URLCONF=Broken):
        outside = program.client.get("/api/v1/broken")
    assert "secret" not in json.dumps(refused(outside, 500))
    monkeypatch.setattr("blockwright.bench.api.judged.seen", broken)
    inside = program.get("/assessment")
    assert "secret" not in json.dumps(refused(inside, 500))
    assert "Traceback" not in inside.content.decode()


def away(*_: object, **__: object) -> None:
    raise OperationalError("server closed the connection unexpectedly")


@pytest.mark.parametrize("gone", ["_head", "keep"])
def test_a_ledger_that_is_away_is_told_so_that_the_act_is_sent_again(
    program: Program, monkeypatch: pytest.MonkeyPatch, gone: str
) -> None:
    monkeypatch.setattr(LedgerStore, gone, away)
    answer = program.act("wheel put on", {"wheel": "W7"})
    assert refused(answer, 503)["problems"][0]["code"] == "ledger-database"
    assert answer["Retry-After"].isdecimal()


def test_what_was_kept_is_acknowledged_though_the_ledger_went_away_then(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(LedgerStore, "kept", away)
    answer = program.act("reading taken", READ)
    assert (answer.status_code, answer.json()["fits"]) == (201, [])
    monkeypatch.undo()
    assert LedgerStore(program.book).kept().number == answer.json()["number"]


def test_a_page_is_refused_as_a_page(client: Client, db: None) -> None:
    assert client.get("/nowhere/")["Content-Type"].startswith("text/html")


@pytest.mark.parametrize("status", SORTS)
def test_every_sort_of_refusal_is_explained_where_its_type_says(client: Client, db: None, status: int) -> None:
    from blockwright.bench.api.refusing import type_of

    told = client.get(type_of(status)).json()
    assert (told["status"], told["title"]) == (status, SORTS[status].title)


def test_every_kind_of_act_is_described_with_its_words_and_an_example(client: Client, db: None) -> None:
    document = client.get(f"{ROOT}/openapi.json").json()
    forms = document["components"]["schemas"]
    body = document["paths"][f"{ROOT}/engines/{{engine}}/acts"]["post"]["requestBody"]["content"]["application/json"]
    shown = {each["summary"]: each["value"] for each in body["examples"].values()}
    assert set(shown) == set(KINDS) == set(EXAMPLES) == set(forms["Act"]["discriminator"]["mapping"])
    for kind in KINDS.values():
        name = forms["Act"]["discriminator"]["mapping"][kind.name].rpartition("/")[2]
        form = forms[name]
        words = form["properties"]["words"]
        assert form["description"].startswith(kind.doc)
        assert {word: told["description"] for word, told in words["properties"].items()} == {
            word.name: word.doc for word in kind.words
        }
        assert words.get("required", []) == [word.name for word in kind.words if word.required]
        jsonschema.validate(shown[kind.name], form)
        fit_words(kind, EXAMPLES[kind.name])


def test_examples_that_rest_on_nothing_else_are_kept_as_they_are(program: Program) -> None:
    for kind in ("concession", "reading withdrawn", "wheel put on", "part registered", "part assigned", "gauge registered", "limit set",
                 "sheet changed"):  # fmt: skip
        answer = program.act(kind, dict(EXAMPLES[kind]))
        assert answer.status_code == 201, (kind, answer.content)


def test_the_docs_page_loads_only_from_here_under_the_strict_policy(client: Client, db: None) -> None:
    page = client.get(f"{ROOT}/docs")
    assert page.status_code == 200
    html = page.content.decode()
    assert "://" not in html.replace("http://www.w3.org", "")
    assert "unsafe" not in page["Content-Security-Policy"]
    assert "<style" not in html
    assert " style=" not in html
    for name in ("swagger-ui-bundle.js", "swagger-ui-init.js", "swagger-ui.css"):
        assert f"/static/ninja/{name}" in html


def test_the_route_is_told_whole_in_the_form_that_is_described(program: Program) -> None:
    """With every sort of evidence and a signature that holds; a name more or less than the form has is a fault."""
    assert program.act("sheet changed", {"table": "step", "values": [STEP]}).status_code == 201
    kept = program.client.post(program.at("/photos"), PNG, content_type="image/png").json()["photo"]
    signed = program.act("step signed", {"step": OWN, "photos": [f"{kept} from tray.png"], "note": "all there"})
    assert signed.status_code == 201, signed.content
    told = program.get("/route").json()
    RouteTold.model_validate(told)
    (step,) = [each for each in told["steps"] if each["key"] == OWN]
    assert (step["state"], step["signed"]["photos"], step["signed"]["note"]) == (
        "done",
        [f"{kept} from tray.png"],
        "all there",
    )
    assert {each["proof"] for one in told["steps"] for each in one["evidence"]} >= {"fit", "photo", "count"}
    assert any("value" in each and each["value"] is not None for one in told["steps"] for each in one["evidence"])
    assert (
        told["counts"]["steps"] == len(told["steps"]) == sum(told["counts"][each] for each in ("done", "now", "waits"))
    )
    assert any(each["missing"] for each in told["steps"])


def test_a_photo_goes_the_way_of_the_pages(program: Program, page: Page) -> None:
    """The same file by either way is the same photo; what it tells besides the picture is off; an act says what it is of."""
    talking = PNG[:-12] + chunk(b"tEXt", b"Comment\0at home") + PNG[-12:]
    sent = program.client.post(program.at("/photos"), talking, content_type="image/png")
    assert sent.status_code == 201, sent.content
    assert sent.json() == send(page, PNG).json()
    assert sent["Location"] == program.at(f"/photos/{sent.json()['photo']}")
    got = program.client.get(sent["Location"])
    assert (got.content, got["Content-Type"], got["X-Content-Type-Options"]) == (PNG, "image/png", "nosniff")
    assert "sandbox" in got["Content-Security-Policy"]
    told = program.act("photo attached", {"photo": sent.json()["photo"], "part": "P1"})
    assert (told.status_code, told.json()["kind"]) == (201, "photo attached")


@pytest.mark.parametrize(
    ("body", "content", "status"),
    [
        (PNG, "application/octet-stream", 415),
        (PNG, "multipart/form-data; boundary=x", 415),
        (b"x", "image/png", 422),
        (b"<svg/>", "image/png", 422),
        (PNG[:-20], "image/png", 422),
        (PNG + b"x" * 16_000_000, "image/png", 422),
    ],
    ids=["unsaid", "form", "nothing", "drawing", "cut off", "large"],
)
def test_what_is_no_photo_is_not_kept(program: Program, body: bytes, content: str, status: int) -> None:
    said = refused(program.client.post(program.at("/photos"), body, content_type=content), status)
    assert [each["field"] for each in said["problems"]] == (["photo"] if status == 422 else [])
    assert not BookAttachment.objects.exists()


def test_a_photo_that_is_not_here(program: Program) -> None:
    for name in ("0123456789abcdef.jpg", "nothing", "0123456789abcdef.jpg.png"):
        refused(program.get(f"/photos/{name}"), 404)


@pytest.mark.parametrize(
    "at", ["/engines", "/openapi.json", "/docs", "/engines/{}", "/engines/{}/readings", "/engines/{}/papers/tables"]
)
def test_head_is_answered_as_get_would_be_without_its_body(program: Program, at: str) -> None:
    """By the application itself: the client of the tests would take a body away."""
    asked = f"{ROOT}{at.format(program.book.slug)}"
    status, headers, body = asked_of_the_application("GET", asked)
    head = asked_of_the_application("HEAD", asked)
    assert (head[0], head[2]) == (status, b"")
    assert status == "200 OK"
    assert head[1] == {"Content-Length": str(len(body))} | headers


def test_head_is_refused_where_get_is_and_named_where_it_may(program: Program) -> None:
    assert program.client.head(program.at("/nothing")).status_code == 404
    assert program.client.head(program.at("/acts")).status_code == 405
    assert program.client.post(program.at("/readings"), {}, content_type="application/json")["Allow"] == "GET, HEAD"
    assert program.client.put(f"{ROOT}/engines")["Allow"] == "GET, HEAD, POST"
    assert program.client.get(program.at("/acts"))["Allow"] == "POST"
    mark = program.get("/readings")["ETag"]
    assert program.client.head(program.at("/readings"), headers={"If-None-Match": mark}).status_code == 304


def asked_of_the_application(method: str, at: str) -> tuple[str, dict[str, str], bytes]:
    """Status, headers and body as the server gets them; headers without those that are new each time."""
    begun: list[Any] = []
    environ = RequestFactory().generic(method, at).environ
    answer = application(environ, lambda *words: begun.extend(words))
    try:
        body = b"".join(answer)
    finally:
        answer.close()
    return begun[0], dict(begun[1]), body


def test_nothing_is_judged_for_news(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("blockwright.bench.state.assess", broken)
    assert program.get("/news").status_code == 200
    with pytest.raises(RuntimeError):
        seen(program.book)
