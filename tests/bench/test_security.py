"""The bench's doors: headers on every answer, forged and foreign requests, hosts, forms without their token."""

import pytest
from django.http import HttpResponse
from django.test import Client, RequestFactory

from blockwright.bench.addresses import Address, Need
from blockwright.bench.secure.doors import Door
from blockwright.bench.secure.names import allowed_hosts
from blockwright.ledger.models import Book

from .shop_hands import HOST, PASSWORD, PERSON, all_addresses, browser, hire, open_shop, signed_in
from .test_roles import real

pytestmark = pytest.mark.django_db

LOCAL = {"HTTP_HOST": "localhost:8765", "REMOTE_ADDR": "127.0.0.1"}
WANTED = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def directives(policy: str) -> dict[str, list[str]]:
    return {words[0]: words[1:] for words in (each.split() for each in policy.split(";")) if words}


def check_headers(answer, *, shop: bool) -> None:
    for name, value in WANTED.items():
        assert answer[name] == value, name
    policy = directives(answer["Content-Security-Policy"])
    assert policy["default-src"] == ["'none'"]
    assert policy["frame-ancestors"] == ["'none'"]
    assert not {"'unsafe-inline'", "'unsafe-eval'", "*", "http:", "https:"} & {
        each for words in policy.values() for each in words
    }
    assert policy.get("script-src", []) in ([], ["'self'"], ["'none'"])
    assert "camera=()" in answer["Permissions-Policy"]
    assert "screen-wake-lock=(self)" in answer["Permissions-Policy"]
    assert ("Strict-Transport-Security" in answer) == shop
    assert "Cache-Control" in answer


def boom(request):
    raise RuntimeError("the shelf fell down")


BOOM = Address("boom/", "boom", boom, Need.ANYONE, Need.ANYONE)


@pytest.mark.parametrize("address", all_addresses(), ids=lambda each: each.name)
def test_every_answer_of_every_address_bears_the_headers(settings, address):
    open_shop(settings)
    book = Book.objects.create(title="Four")
    clients = (browser(), signed_in(hire(owner=True)))
    for client in clients:
        client.raise_request_exception = False
        for method in ("GET", "POST", "PUT"):
            check_headers(client.generic(method, real(address, book.slug)), shop=True)


def test_not_found_refused_and_broken_answers_bear_them_too(settings):
    open_shop(settings, (*all_addresses(), BOOM))
    client = browser(enforce_csrf_checks=True, raise_request_exception=False)
    for answer, status in (
        (client.get("/nowhere/"), 404),
        (client.get("/boom/"), 500),
        (client.post("/in/", {"name": "x", "password": "y"}), 403),
        (client.get("/in/", HTTP_HOST="elsewhere.example"), 400),
        (client.post("/in/", HTTP_ORIGIN="https://elsewhere.example"), 403),
        (client.put("/in/"), 403),
    ):
        assert answer.status_code == status
        check_headers(answer, shop=True)


def test_a_fault_says_nothing_of_itself(settings):
    open_shop(settings, (*all_addresses(), BOOM))
    answer = browser(raise_request_exception=False).get("/boom/")
    assert b"shelf" not in answer.content
    assert b"Traceback" not in answer.content


def test_private_pages_are_not_stored(settings):
    open_shop(settings)
    client = signed_in(hire(owner=True))
    for path in ("/people/", "/hands/own/", "/in/?password=1"):
        assert client.get(path)["Cache-Control"] == "no-store"


def test_local_mode_tells_no_browser_to_insist_on_https():
    check_headers(Client(**LOCAL).get("/nowhere/"), shop=False)


# Local mode: who is let in at all


@pytest.mark.parametrize("host", ["localhost:8765", "127.0.0.1:8765", "[::1]:8765", "LOCALHOST", "localhost."])
def test_the_bench_answers_to_its_own_names(host):
    assert Client(REMOTE_ADDR="127.0.0.1", HTTP_HOST=host).get("/healthz").status_code in {200, 404, 301}


@pytest.mark.parametrize(
    "host",
    [
        "elsewhere.example",
        "localhost.elsewhere.example",
        "192.168.7.2:8765",
        "127.0.0.1.elsewhere.example",
        "127.0.0.2",
        "",
        "a b",
        "localhost@elsewhere.example",
    ],
)
def test_a_name_pointed_at_this_machine_by_somebody_else_is_refused(settings, host):
    settings.ALLOWED_HOSTS = allowed_hosts("")
    for method in ("GET", "POST", "HEAD"):
        assert (
            Client(REMOTE_ADDR="127.0.0.1", HTTP_HOST=host, SERVER_NAME="elsewhere.example")
            .generic(method, "/")
            .status_code
            == 400
        )


@pytest.mark.parametrize("place", ["192.168.7.9", "10.0.0.1", "fe80::1", "", "unknown"])
def test_local_mode_answers_no_other_machine(place):
    assert Client(HTTP_HOST="localhost", REMOTE_ADDR=place).get("/").status_code == 403


def through(method="POST", **headers):
    """What the door alone answers: 200 where it lets a request through."""
    request = RequestFactory().generic(method, "/", **LOCAL, headers=headers)
    return Door(lambda _request: HttpResponse())(request).status_code


@pytest.mark.parametrize(
    ("method", "headers", "status"),
    [
        ("POST", {"Origin": "http://localhost:8765", "Sec-Fetch-Site": "same-origin"}, 200),
        ("POST", {"Origin": "http://localhost:8765"}, 200),
        ("POST", {}, 200),  # no browser; the form's token is asked for behind the door
        ("POST", {"Origin": "http://localhost:9000", "Sec-Fetch-Site": "same-site"}, 403),
        ("POST", {"Origin": "https://localhost:8765"}, 403),
        ("POST", {"Origin": "http://elsewhere.example"}, 403),
        ("POST", {"Origin": "null"}, 403),
        ("POST", {"Sec-Fetch-Site": "cross-site"}, 403),
        ("PUT", {"Sec-Fetch-Site": "cross-site"}, 403),
        ("POST", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 403),
        ("GET", {"Sec-Fetch-Site": "same-origin"}, 200),
        ("GET", {"Sec-Fetch-Site": "none"}, 200),
        ("GET", {}, 200),
        ("GET", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "document"}, 200),
        ("GET", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate", "Sec-Fetch-Dest": "iframe"}, 403),
        ("GET", {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors", "Sec-Fetch-Dest": "image"}, 403),
        ("GET", {"Sec-Fetch-Site": "same-site", "Sec-Fetch-Mode": "cors", "Sec-Fetch-Dest": "empty"}, 403),
    ],
)
def test_only_our_own_pages_may_act(method, headers, status):
    assert through(method, **headers) == status


def test_foreign_requests_are_refused_in_shop_mode_too(settings):
    open_shop(settings)
    client = signed_in(hire(owner=True))
    assert client.post("/people/", {"name": "Eve"}, HTTP_ORIGIN="https://elsewhere.example").status_code == 403
    assert client.post("/people/", {"name": "Eve"}, HTTP_ORIGIN=f"https://{HOST}").status_code == 200


@pytest.mark.parametrize(
    "address", [each for each in all_addresses() if each.post is not None], ids=lambda each: each.name
)
def test_no_form_is_taken_without_its_token(settings, address):
    """Signed in as the owner, and everything right but the token."""
    open_shop(settings)
    book = Book.objects.create(title="Four")
    client = signed_in(hire(owner=True))
    client.handler.enforce_csrf_checks = True
    answer = client.post(real(address, book.slug), {"name": "x"}, HTTP_REFERER=f"https://{HOST}/")
    assert answer.status_code == 403
    assert b"lay open too long" in answer.content


def test_the_name_of_a_person_is_never_markup(settings):
    open_shop(settings)
    client = signed_in(hire(owner=True))
    page = client.post("/people/", {"name": "<script>alert(1)</script>"})
    assert b"<script>alert" not in page.content
    assert b"&lt;script&gt;alert" in page.content


def test_no_page_about_people_has_script_or_style_in_it(settings):
    open_shop(settings)
    client = signed_in(hire(owner=True))
    pages = [
        client.get(path)
        for path in (
            "/in/?password=1",
            "/join/",
            "/pair/",
            "/hands/own/",
            "/people/",
            "/people/tablets/",
            "/people/tokens/",
        )
    ]
    pages.append(client.post("/people/tablets/", {"name": "by the hone"}))
    pages.append(client.post("/people/", {"name": "Eve Invented"}))
    for page in pages:
        assert page.status_code == 200
        text = page.content.decode()
        assert " style=" not in text
        assert "<style" not in text
        assert "onclick=" not in text
        assert text.count("<script") == text.count("<script src=") + text.count('<script type="module" src=')


def test_a_password_never_comes_back_in_a_page(settings):
    open_shop(settings)
    hire()
    answer = browser().post("/in/", {"name": PERSON, "password": f"{PASSWORD}!"})
    assert answer.status_code == 422
    assert PASSWORD.encode() not in answer.content


def test_hosts_of_the_shop():
    hosts = allowed_hosts("Bench.local, 192.168.7.2 ,fd00::2")
    assert hosts == ["localhost", "127.0.0.1", "[::1]", "bench.local", "192.168.7.2", "[fd00::2]"]
