"""The guard: every address, every method, every role; and what each of them is told."""

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.urls import URLPattern

from blockwright.acts.roles import Role
from blockwright.bench import urls
from blockwright.bench.access import STRANGER, Actor
from blockwright.bench.addresses import Address, Need, allowed, guarded, paths
from blockwright.ledger.models import Book

VIEWER, MEASURER, BUILDER, OWNER = Role.VIEWER, Role.MEASURER, Role.BUILDER, Role.OWNER
BOOK_NEEDS = (Need.VIEWER, Need.MEASURER, Need.BUILDER)


def seen_by(request: HttpRequest, book: object = None) -> HttpResponse:
    return HttpResponse(f"seen {book}")


def asked(actor: Actor, method: str = "GET") -> HttpRequest:
    request = getattr(RequestFactory(), method.lower())("/somewhere/?a=1")
    request.hand, request.book = actor, None
    return request


def seated(book: Book, role: Role) -> Actor:
    return Actor("A. Hand", hand_id=7, seats={book.pk: role})


def test_a_view_is_handed_the_book_itself(harbour: Book) -> None:
    view = guarded(Address("e/<slug:book>/", "x", seen_by, Need.VIEWER))
    request = asked(seated(harbour, VIEWER))
    assert view(request, book=harbour.slug).content.decode() == f"seen {harbour}"
    assert request.book == harbour


@pytest.mark.parametrize("need", BOOK_NEEDS)
@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_role_may_what_it_is_given_and_no_more(harbour: Book, need: Need, role: Role, method: str) -> None:
    view = guarded(Address("e/<slug:book>/", "x", seen_by, need, need))
    least = {Need.VIEWER: 1, Need.MEASURER: 2, Need.BUILDER: 3}[need]
    if role >= least:
        assert view(asked(seated(harbour, role), method), book=harbour.slug).status_code == 200
    else:
        with pytest.raises(PermissionDenied):
            view(asked(seated(harbour, role), method), book=harbour.slug)


def test_a_book_without_a_seat_is_as_one_that_is_not_there(harbour: Book) -> None:
    view = guarded(Address("e/<slug:book>/", "x", seen_by, Need.VIEWER))
    elsewhere = Actor("B. Hand", hand_id=8, seats={harbour.pk + 1: OWNER})
    told = []
    for actor, slug in ((elsewhere, harbour.slug), (seated(harbour, OWNER), "nosuchbook22")):
        with pytest.raises(Http404) as refused:
            view(asked(actor), book=slug)
        told.append(str(refused.value))
    assert told[0] == told[1]


def test_an_owner_of_the_shop_by_seat_alone_does_not_look_after_people(harbour: Book) -> None:
    assert not allowed(seated(harbour, OWNER), Need.OWNER, harbour)
    assert allowed(Actor("A. Hand", is_owner=True), Need.OWNER)


@pytest.mark.parametrize("need", [need for need in Need if need is not Need.ANYONE])
def test_a_stranger_is_asked_who_he_is(need: Need, db: None) -> None:
    answer = guarded(Address("somewhere/", "x", seen_by, need))(asked(STRANGER))
    assert (answer.status_code, answer["Location"]) == (302, "/in/?next=/somewhere/%3Fa%3D1")


def test_anyone_may_what_is_open_to_all() -> None:
    assert guarded(Address("healthz", "x", seen_by, Need.ANYONE))(asked(STRANGER)).status_code == 200


@pytest.mark.parametrize(
    ("get", "post", "method", "allow"),
    [
        (Need.ANYONE, None, "POST", "GET, HEAD"),
        (None, Need.ANYONE, "GET", "POST"),
        (None, Need.ANYONE, "HEAD", "POST"),
        (Need.ANYONE, Need.ANYONE, "PUT", "GET, HEAD, POST"),
        (Need.ANYONE, Need.ANYONE, "DELETE", "GET, HEAD, POST"),
    ],
)
def test_a_method_that_is_not_declared_is_not_answered(get: Need, post: Need, method: str, allow: str) -> None:
    answer = guarded(Address("x/", "x", seen_by, get, post))(asked(STRANGER, method))
    assert (answer.status_code, answer["Allow"]) == (405, allow)


def test_every_pattern_of_the_bench_has_its_guard() -> None:
    plain = [
        each for each in urls.urlpatterns if isinstance(each, URLPattern) and not str(each.pattern).startswith("api/")
    ]
    assert plain
    assert all(hasattr(each.callback, "address") for each in plain)


def test_names_and_routes_are_each_used_once() -> None:
    every = list(urls.every_address())
    assert len({each.name for each in every}) == len({each.route for each in every}) == len(every)


def test_every_address_that_names_a_book_asks_for_a_seat() -> None:
    for each in urls.every_address():
        for need in (each.get, each.post):
            if "<slug:book>" in each.route and need is not None:
                assert need >= Need.VIEWER, each.name


def test_paths_keep_route_and_name() -> None:
    (made,) = paths([Address("e/<slug:book>/x/", "x", seen_by, Need.VIEWER)])
    assert (str(made.pattern), made.name) == ("e/<slug:book>/x/", "x")


def test_an_unknown_page_says_so_in_our_own_look_and_to_a_machine(client: Client, db: None) -> None:
    page = client.get("/nowhere/")
    assert page.status_code == 404
    assert "bench/bench.css" in page.content.decode()
    told = client.get("/nowhere/", headers={"Accept": "application/json"})
    assert (told.status_code, told["Content-Type"]) == (404, "application/problem+json")
