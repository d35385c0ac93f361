"""Who may what: every address of the bench, asked by everybody, with every method.

Each view is replaced by one that says that it was reached; the guard before it is the true one. What is expected is worked out here, from the words of
the rule, and not by the guard's own functions.
"""

import re
from dataclasses import replace

import pytest
from django.http import HttpResponse
from django.urls import get_resolver

from blockwright.acts.roles import Role
from blockwright.bench.addresses import Address, Need
from blockwright.ledger.models import Book

from .shop_hands import all_addresses, browser, hire, open_shop, signed_in

REACHED = 299
METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE")
WHO = ("anonymous", "stranger", "viewer", "measurer", "builder", "owner")
RANK = {"viewer": 2, "measurer": 3, "builder": 4, "owner": 5}
"""By the numbers of `Need`; a stranger is signed in and has no seat at the book asked for."""

WORDS = {"slug": "some-word", "int": "1", "str": "word", "path": "a/b", "position": "cylinder 1"}
PUBLIC = {"in", "out", "join", "hands", "pair", "certificate", "name", "healthz", "readyz", "worker"}
"""The only addresses that anybody may ask for."""
OWNERS = {"people", "person", "tablets", "tokens", "seats"}
FOR_SCRIPTS = {"acts", "news", "photos"}
"""What no page is ever shown for."""
LOOKERS_POST = {"acts"}
"""Where a viewer may send, because the act itself says what role it needs."""


def reached(request, **words):
    return HttpResponse(status=REACHED)


def real(address: Address, slug: str) -> str:
    """An address with its words filled in."""
    parts = []
    for piece in address.route.split("<"):
        word, close, rest = piece.partition(">")
        if not close:
            parts.append(piece)
            continue
        kind, _, name = word.rpartition(":")
        parts.append((slug if name == "book" else WORDS.get(kind or "str", "word")) + rest)
    return "/" + "".join(parts)


def plain(answer) -> str:
    """A page without its tokens, which are new each time."""
    return re.sub(r"[A-Za-z0-9]{64}", "", answer.content.decode())


@pytest.fixture
def doors(settings, db):
    """The addresses, behind which nothing lies but the guard; the books; everybody's browser."""
    settings_of = [replace(each, view=reached) for each in all_addresses()]
    open_shop(settings)
    book, other = Book.objects.create(title="Four"), Book.objects.create(title="Six")
    hands = {"viewer": Role.VIEWER, "measurer": Role.MEASURER, "builder": Role.BUILDER}
    browsers = {"anonymous": browser()}
    browsers |= {name: signed_in(hire(f"The {name}", book=book, role=role)) for name, role in hands.items()}
    browsers["stranger"] = signed_in(hire("The stranger", book=other, role=Role.BUILDER))
    browsers["owner"] = signed_in(hire("The owner", owner=True))
    open_shop(settings, settings_of)
    return book, browsers


def expected(address: Address, method: str, who: str) -> set[int]:
    need = address.get if method in {"GET", "HEAD"} else address.post if method == "POST" else None
    of_book = "<slug:book>" in address.route
    if need is None:
        return {405}
    if need == Need.ANYONE and not of_book:
        return {REACHED}
    if who == "anonymous":
        return {401 if address.name in FOR_SCRIPTS else 302}
    if of_book and who == "stranger":
        return {404}
    if need <= Need.SIGNED_IN:
        return {REACHED}
    rank = RANK.get(who, RANK["builder"] if not of_book else 0)  # the stranger builds elsewhere
    return {REACHED} if rank >= need else {403}


@pytest.mark.parametrize("address", all_addresses(), ids=lambda each: each.name)
def test_every_address_for_everybody_by_every_method(doors, address):
    book, browsers = doors
    for who in WHO:
        for method in METHODS:
            answer = browsers[who].generic(method, real(address, book.slug))
            assert answer.status_code in expected(address, method, who), (who, method, answer.status_code)
            if answer.status_code == 302:
                assert answer["Location"].startswith("/in/?next=")


@pytest.mark.parametrize(
    "address", [each for each in all_addresses() if "<slug:book>" in each.route], ids=lambda each: each.name
)
def test_a_guessed_book_is_answered_like_somebody_elses(doors, address):
    """Nobody learns by asking which books there are."""
    book, browsers = doors
    method = "GET" if address.get is not None else "POST"
    elses = browsers["stranger"].generic(method, real(address, book.slug))
    guessed = browsers["stranger"].generic(method, real(address, "guessedguess"))
    assert elses.status_code == guessed.status_code == 404
    if method == "GET":
        assert plain(elses).replace(book.slug, "guessedguess") == plain(guessed)


def test_the_table_covers_what_is_served():
    """Each pattern of the real table is a guarded address, but for the API's own."""
    for pattern in get_resolver("blockwright.bench.urls").url_patterns:
        route = str(pattern.pattern)
        if route.startswith(("api/", "static/")):
            continue
        assert pattern.callback.address in all_addresses(), route


def test_what_is_open_to_anybody_is_a_short_list():
    anybody = {each.name for each in all_addresses() if Need.ANYONE in (each.get, each.post)}
    assert anybody <= PUBLIC, anybody - PUBLIC


def test_what_changes_a_book_needs_a_seat_that_may():
    for each in all_addresses():
        if "<slug:book>" in each.route:
            assert each.get is None or each.get >= Need.VIEWER, each.name
            assert each.post is None or each.post >= Need.MEASURER or each.name in LOOKERS_POST, each.name


def test_what_is_about_people_is_the_owners():
    owners = {
        each.name
        for each in all_addresses()
        if each.name in OWNERS and each.get == Need.OWNER and each.post == Need.OWNER
    }
    assert owners == OWNERS
    assert all(each.name in OWNERS | PUBLIC | {"own"} for each in all_addresses() if each.route.startswith("people/"))


def test_an_owner_has_every_book_without_a_seat(doors):
    book, browsers = doors
    assert browsers["owner"].get(f"/e/{book.slug}/news/").status_code == REACHED


def test_a_script_whose_hand_has_gone_is_not_taken_to_a_page(doors):
    """It would take the page for its answer, and a reading for kept."""
    book, browsers = doors
    sent = browsers["anonymous"].post(
        f"/e/{book.slug}/acts/", "{}", content_type="application/json", headers={"Accept": "application/json"}
    )
    assert sent.status_code == 401
    assert sent["Content-Type"] == "application/problem+json"
    part = browsers["anonymous"].get(f"/e/{book.slug}/", headers={"HX-Request": "true"})
    assert part.status_code == 401
    assert part["HX-Redirect"] == "/in/"
