"""Pages for the owner: who works here, and what each may do at each engine."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from blockwright.acts.roles import Role
from blockwright.bench.addresses import Address, Need
from blockwright.bench.people import codes, hands, pin
from blockwright.bench.people.answers import attempt, me, page
from blockwright.bench.people.reach import address_of, code_picture
from blockwright.ledger.models import Book, Hand
from blockwright.problems import BlockwrightError, Place, Problem

SEATS = (Role.VIEWER, Role.MEASURER, Role.BUILDER)
MAY = {
    Role.VIEWER: "looks",
    Role.MEASURER: "takes readings",
    Role.BUILDER: "decides and signs",
}
"""What a seat is for, in a few words."""
CHOICES = tuple((int(role), f"{role.word}: {MAY[role]}") for role in SEATS)


def people(request: HttpRequest) -> HttpResponse:
    """Everybody; and taking somebody on."""
    if request.method == "POST":
        return attempt(request, "people", lambda: _take_on(request), **_everybody(), name=request.POST.get("name", ""))
    return page(request, "people", **_everybody())


def _take_on(request: HttpRequest) -> HttpResponse:
    hand = hands.take_on(request.POST.get("name", ""), owner="owner" in request.POST)
    return _with_code(request, hand)


def _with_code(request: HttpRequest, hand: Hand) -> HttpResponse:
    """His page with a fresh code to join; shown this once."""
    code = codes.new_code(codes.JOIN, by=me(request), for_hand=hand)
    link = address_of(request, "join", code)
    return page(request, "person", **_of(request, hand), code=code, link=link, picture=code_picture(link))


def person(request: HttpRequest, hand: int) -> HttpResponse:
    """One of them: his seats, a code to join anew, his PIN cleared, letting him go."""
    found = get_object_or_404(Hand.objects.select_related("user"), pk=hand)
    if request.method == "POST":
        return attempt(request, "person", lambda: _do(request, found), **_of(request, found))
    return page(request, "person", **_of(request, found))


def _do(request: HttpRequest, hand: Hand) -> HttpResponse:
    what = request.POST.get("do", "")
    if what == "code" and hand.user.is_active:
        return _with_code(request, hand)
    if what not in DOING:
        raise BlockwrightError(
            Problem("people", "it is not said what to do.", "Use one of the buttons.", Place(field="do"))
        )
    DOING[what](request, hand)
    return redirect("person", hand=hand.pk)


def _seats(request: HttpRequest, hand: Hand) -> None:
    """Every book's choice as it was sent; a book that was not sent keeps its seat."""
    for book in Book.objects.all():
        said = request.POST.get(f"seat-{book.pk}")
        if said is not None:
            hands.give_seat(hand, book, _role(said))


def _role(text: str) -> Role | None:
    roles = {str(int(role)): role for role in SEATS}
    if text and text not in roles:
        raise BlockwrightError(
            Problem("seat", "there is no such seat.", "Choose one of the list.", Place(field="seat"))
        )
    return roles.get(text)


def seats(request: HttpRequest, book: Book) -> HttpResponse:
    """Who may do what at one engine."""
    everybody = Hand.objects.filter(user__is_active=True).select_related("user")
    if request.method == "POST":
        return attempt(request, "seats", lambda: _seats_at(request, book, everybody), **_at(book, everybody))
    return page(request, "seats", **_at(book, everybody))


def _seats_at(request: HttpRequest, book: Book, everybody: Iterable[Hand]) -> HttpResponse:
    for hand in everybody:
        said = request.POST.get(f"seat-{hand.pk}")
        if said is not None:
            hands.give_seat(hand, book, _role(said))
    return redirect("seats", book=book.slug)


def _at(book: Book, everybody: Iterable[Hand]) -> dict[str, Any]:
    held = {seat.hand_id: seat.role for seat in book.seats.all()}
    return {"rows": [(hand, held.get(hand.pk, 0)) for hand in everybody], "choices": CHOICES}


DOING: dict[str, Callable[[HttpRequest, Hand], None]] = {
    "seats": _seats,
    "pin": lambda _request, hand: pin.clear_pin(hand),
    "let-go": lambda request, hand: hands.let_go(hand, me(request)),
    "take-back": lambda _request, hand: hands.take_back(hand),
}


def _everybody() -> dict[str, Any]:
    return {
        "people": Hand.objects.select_related("user").prefetch_related("seats").order_by("-user__is_active", "name")
    }


def _of(request: HttpRequest, hand: Hand) -> dict[str, Any]:
    held = {seat.book_id: seat.role for seat in hand.seats.all()}
    books = [(book, held.get(book.pk, 0)) for book in Book.objects.order_by("archived", "title")]
    oneself = hand.pk == request.hand.hand_id  # type: ignore[attr-defined]
    return {"person": hand, "books": books, "choices": CHOICES, "joined": hands.joined(hand), "oneself": oneself}


ADDRESSES = (
    Address("people/", "people", people, Need.OWNER, Need.OWNER),
    Address("people/<int:hand>/", "person", person, Need.OWNER, Need.OWNER),
    Address("e/<slug:book>/seats/", "seats", seats, Need.OWNER, Need.OWNER),
)
