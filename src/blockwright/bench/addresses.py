"""The pages' addresses, and the guard at every one of them: whose book it is, who may look, who may act.

A views module declares its `ADDRESSES`; the guard is put before each by `paths` and cannot be left out. To a view that has a book in its address
it hands the `Book` itself. A book at which somebody has no seat is not found for him; a lesser role is told so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import IntEnum
from functools import wraps
from typing import Any

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.urls import URLPattern, path

from blockwright.acts.roles import Role
from blockwright.bench.access import Actor, hand_of
from blockwright.bench.problems import problem_json, wants_json
from blockwright.ledger.models import Book

View = Callable[..., HttpResponse]
READS = ("GET", "HEAD")
NOBODY = "Tap “Who is here?” at the top, or sign in. Nothing was kept; what you typed is still there."


class Need(IntEnum):
    """Who may: from VIEWER to BUILDER a seat at the book of the address is meant, or at any where the address has no book."""

    ANYONE = 0
    SIGNED_IN = 1
    VIEWER = 2
    MEASURER = 3
    BUILDER = 4
    OWNER = 5


ROLE = {Need.VIEWER: Role.VIEWER, Need.MEASURER: Role.MEASURER, Need.BUILDER: Role.BUILDER}


@dataclass(frozen=True)
class Address:
    """One address: its route, its name, its view, and who may look (`get`) and act (`post`) there; None: nobody."""

    route: str
    name: str
    view: View
    get: Need | None
    post: Need | None = None

    @property
    def methods(self) -> tuple[str, ...]:
        """The methods that are answered here."""
        return (*(READS if self.get is not None else ()), *(("POST",) if self.post is not None else ()))

    def need(self, method: str) -> Need | None:
        """Who may use a method here; None where it is not answered."""
        return self.get if method in READS else self.post if method == "POST" else None


def paths(addresses: Iterable[Address]) -> list[URLPattern]:
    """Django's paths of some addresses, each with the guard before it."""
    return [path(each.route, guarded(each), name=each.name) for each in addresses]


def guarded(address: Address) -> View:
    """The view of an address behind its guard."""

    @wraps(address.view)
    def view(request: HttpRequest, **words: Any) -> HttpResponse:
        need = address.need(request.method or "")
        if need is None:
            return HttpResponseNotAllowed(address.methods)
        refused = _refusal(request, need, words)
        return refused or address.view(request, **words)

    view.address = address  # type: ignore[attr-defined]
    return view


def _refusal(request: HttpRequest, need: Need, words: dict[str, Any]) -> HttpResponse | None:
    """None where the actor may; puts the book in the place of its slug. Raises Http404 or PermissionDenied."""
    if need is Need.ANYONE and "book" not in words:
        return None
    actor = hand_of(request)
    if not actor.signed_in:
        return _sign_in_first(request)
    book = _book(words["book"], actor) if "book" in words else None
    if book is not None:
        words["book"] = request.book = book  # type: ignore[attr-defined]
    if not allowed(actor, need, book):
        raise PermissionDenied(words_for(need))
    return None


def _sign_in_first(request: HttpRequest) -> HttpResponse:
    """To the page for it; a script is told so, and is not sent on to a page that it would take for its answer."""
    if wants_json(request):
        return problem_json("Nobody is signed in here.", NOBODY, status=401)
    answer = redirect_to_login(request.get_full_path(), settings.LOGIN_URL)
    if request.headers.get("HX-Request"):
        return HttpResponse(status=401, headers={"HX-Redirect": str(settings.LOGIN_URL)})
    return answer


def allowed(actor: Actor, need: Need, book: Book | None = None) -> bool:
    """Whether an actor may, at this book, or at any where none is given."""
    if need is Need.OWNER:
        return actor.is_owner
    if need not in ROLE:
        return need is Need.ANYONE or actor.signed_in
    role = actor.role_at(book) if book is not None else actor.highest
    return role is not None and role >= ROLE[need]


def _book(slug: str, actor: Actor) -> Book:
    book = Book.objects.filter(slug=slug).first()
    if book is None or actor.role_at(book) is None:
        raise Http404("There is no such engine here, or it is not one of yours.")
    return book


def words_for(need: Need) -> str:
    """Why somebody may not, in words."""
    if need is Need.OWNER:
        return "This is for an owner of the shop. If you are one, sign in by your password: a PIN is not enough."
    wanted = {Need.BUILDER: "a builder", Need.MEASURER: "somebody who measures"}
    who = wanted.get(need, "somebody with a seat at this engine")
    return f"This is for {who}. Ask whoever keeps the book of this engine."
