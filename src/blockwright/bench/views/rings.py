"""The ring bench: all rings of an engine, and the filing of one."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.template.loader import render_to_string

from blockwright.bench.access import hand_of
from blockwright.bench.addresses import Address, Need
from blockwright.bench.rings.card import card, ring_words
from blockwright.bench.rings.held import rings_seen
from blockwright.bench.rings.listing import listing, state_named
from blockwright.ledger.models import Book


def rings(request: HttpRequest, book: Book) -> HttpResponse:
    """All rings of all cylinders, and which to do next."""
    return render(request, "bench/rings.html", listing(book, rings_seen(book)))


def ring(request: HttpRequest, book: Book, cyl: int, ring: str) -> HttpResponse:
    """The filing of one ring."""
    context = _ring(request, book, cyl, ring)
    answer = render(request, "bench/rings_file.html", context)
    answer["Cache-Control"] = "no-cache"
    return answer


def ring_now(request: HttpRequest, book: Book, cyl: int, ring: str) -> HttpResponse:
    """One ring as it stands, as JSON: its card, the parts of the page that the bench draws, whose hand it is and the mark of his posts."""
    context = _ring(request, book, cyl, ring)
    parts = {name: render_to_string(f"bench/rings_{name}.html", context) for name in ("said", "facts")}
    answer = JsonResponse({**context["known"], **parts, "csrf": get_token(request)})
    answer["Cache-Control"] = "no-cache"
    return answer


def _ring(request: HttpRequest, book: Book, cylinder: int, ring: str) -> dict[str, Any]:
    """What the page of a ring shows. Raises Http404 for one that is not filed in this engine."""
    seen = rings_seen(book)
    state = state_named(seen.bench, cylinder, ring)
    if state is None:
        raise Http404("There is no such ring here, or its set is not made for filing.")
    hand = hand_of(request)
    known = {"card": card(book, seen, state, hand.role_at(book)).as_json(), "hand": hand.name}
    return {**ring_words(book, seen, state), "known": known, "card": known["card"]}


ADDRESSES = (
    Address("e/<slug:book>/rings/", "rings", rings, Need.VIEWER),
    Address("e/<slug:book>/rings/<int:cyl>/<slug:ring>/", "ring", ring, Need.VIEWER),
    Address("e/<slug:book>/rings-now/<int:cyl>/<slug:ring>/", "ring-now", ring_now, Need.VIEWER),
)
