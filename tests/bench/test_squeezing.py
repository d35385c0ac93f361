"""What is squeezed on its way to a tablet, what is not, and that it comes out as it was."""

import gzip
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.test import Client, RequestFactory

from blockwright.bench.squeezing import Squeezed

from .conftest import Page
from .shop_hands import browser, hire, open_shop, signed_in

pytestmark = pytest.mark.django_db

TAKES = {"Accept-Encoding": "gzip, deflate, br"}
CSS, FONT = "bench/bench.css", "fonts/SourceSansPro-Regular.otf"


def body(answer: Any) -> bytes:
    """The whole of it; what is streamed comes from a file, which is closed."""
    content = b"".join(answer) if answer.streaming else answer.content
    answer.close()
    return content


def headers_of(client: Client, name: str, **headers: str) -> Any:
    answer = client.get(f"/static/{name}", headers=headers)
    body(answer)
    return answer


def content_of(name: str) -> bytes:
    found = finders.find(name)
    assert isinstance(found, str)
    return Path(found).read_bytes()


@pytest.mark.parametrize(
    "name", [CSS, FONT, "bench/js/measure.js", "django_htmx/htmx-2.min.js", "ninja/swagger-ui-bundle.js"]
)
def test_a_static_file_comes_squeezed_and_whole(client: Client, name: str) -> None:
    plain, squeezed = (client.get(f"/static/{name}", headers=headers) for headers in ({}, TAKES))
    assert "Content-Encoding" not in plain
    assert squeezed["Content-Encoding"] == "gzip"
    sent = body(squeezed)
    assert (len(sent), squeezed["Content-Length"]) == (len(sent), str(len(sent)))
    assert len(sent) < 0.62 * len(content_of(name))
    assert gzip.decompress(sent) == body(plain) == content_of(name)
    same = {"Content-Type", "Cache-Control", "ETag", "Last-Modified", "Vary"}
    assert {each: plain[each] for each in same} == {each: squeezed[each] for each in same}
    assert plain["Vary"] == "Accept-Encoding"


@pytest.mark.parametrize("takes", ["", "identity", "br", "gzip;q=0", "gzip; q=0.0, br"])
def test_who_does_not_take_it_so_gets_it_as_it_is(client: Client, takes: str) -> None:
    answer = client.get(f"/static/{CSS}", headers={"Accept-Encoding": takes})
    assert "Content-Encoding" not in answer
    assert body(answer) == content_of(CSS)


def test_a_part_of_a_file_a_head_and_what_has_not_changed(client: Client) -> None:
    part = client.get(f"/static/{FONT}", headers={**TAKES, "Range": "bytes=10-19"})
    assert (part.status_code, body(part)) == (206, content_of(FONT)[10:20])
    assert "Content-Encoding" not in part
    head = client.head(f"/static/{CSS}", headers=TAKES)
    assert (head.status_code, head["Content-Encoding"]) == (200, "gzip")
    mark = headers_of(client, CSS, **TAKES)["ETag"]
    assert client.get(f"/static/{CSS}", headers={**TAKES, "If-None-Match": mark}).status_code == 304
    assert client.post(f"/static/{CSS}", headers=TAKES).status_code == 405


def test_what_is_small_or_squeezed_already_is_left(client: Client) -> None:
    small = [name for name in ("bench/mark.svg", "bench/app.webmanifest") if len(content_of(name)) < 1000]
    assert small
    for name in small:
        assert "Content-Encoding" not in headers_of(client, name, **TAKES)


def test_only_type_is_kept_unasked(client: Client) -> None:
    """An address bears no mark of its content: what is renewed with the bench is asked for again."""
    assert "immutable" in headers_of(client, FONT)["Cache-Control"]
    for name in (CSS, "bench/js/measure.js", "django_htmx/htmx-2.min.js"):
        assert headers_of(client, name)["Cache-Control"] == "max-age=0, public"


@pytest.mark.parametrize("rest", ["", "measure/", "measure-plan/", "measure-sketches/", "rings/", "route/", "parts/"])
def test_a_page_of_an_engine_comes_squeezed(page: Page, rest: str) -> None:
    answer = page.client.get(page.at(rest), headers=TAKES)
    assert answer["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in answer["Vary"]
    whole = gzip.decompress(answer.content)
    assert len(answer.content) < 0.35 * len(whole)
    assert len(whole) == pytest.approx(len(page.get(rest).content), abs=200)
    assert "Content-Encoding" not in page.get(rest)


def test_two_answers_of_one_page_are_of_no_one_length(page: Page) -> None:
    """Up to a hundred random letters are added, so that one length says little."""
    assert len({len(page.client.get(page.at("gauges/"), headers=TAKES).content) for _ in range(12)}) > 3


def test_the_mark_against_forged_forms_is_masked_anew_each_time(page: Page) -> None:
    told = [page.client.get(page.at("gauges/")).context["csrf_token"] for _ in range(5)]
    assert len({str(each) for each in told}) == 5


def test_what_the_api_tells_comes_squeezed_and_its_mark_still_holds(page: Page) -> None:
    at = f"/api/v1/engines/{page.book.slug}/assessment"
    answer = page.client.get(at, headers=TAKES)
    assert answer["Content-Encoding"] == "gzip"
    assert gzip.decompress(answer.content) == page.client.get(at).content
    assert page.client.get(at, headers={**TAKES, "If-None-Match": answer["ETag"]}).status_code == 304


def test_no_page_about_people_is_squeezed(settings: Any, transactional_db: None) -> None:
    open_shop(settings)
    hand = hire(owner=True)
    client = signed_in(hand)
    for at in ("/people/", "/people/tokens/", "/people/tablets/", f"/people/{hand.pk}/", "/"):
        answer = client.get(at, headers=TAKES)
        assert (answer.status_code, "Content-Encoding" in answer) == (200, False), at
    assert "Content-Encoding" not in browser().get("/in/", headers=TAKES)


@pytest.mark.parametrize(
    ("at", "kind", "status"),
    [
        ("/e/x/", "text/html", 422),
        ("/e/x/photos/y.jpg/", "image/jpeg", 200),
        ("/people/", "text/html", 200),
        ("/e/x/", "application/zip", 200),
    ],
)
def test_what_is_not_squeezed(at: str, kind: str, status: int) -> None:
    answer = HttpResponse(b"a" * 5000, content_type=kind, status=status)
    assert Squeezed(lambda request: answer)(RequestFactory().get(at, headers=TAKES)).content == b"a" * 5000
