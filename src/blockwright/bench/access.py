"""Who acts: the one form in which the pages know a person, and the hook by which they learn it.

In local mode there is one bench and no login: the actor may do all, and his name is what was typed once. In shop mode `settings.BENCH_ACTOR`
names the function that tells who is signed in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, cast

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.utils.module_loading import import_string

from blockwright.acts.roles import Role
from blockwright.ledger.models import Book

NAME_COOKIE, NAME_SALT = "bw_name", "blockwright.bench.name"
NOBODY_NAMED = "bench"
LONGEST_NAME = 60
A_YEAR_S = 365 * 24 * 3600


@dataclass(frozen=True)
class Actor:
    """One person at the bench. `seats`: his role by the id of the book; `everywhere`: a role that he has at every book."""

    name: str
    signed_in: bool = True
    hand_id: int | None = None
    is_owner: bool = False
    everywhere: Role | None = None
    seats: Mapping[int, Role] = field(default_factory=dict)

    def role_at(self, book: Book) -> Role | None:
        """His role at a book; None where he has no seat."""
        held = [role for role in (self.everywhere, self.seats.get(book.pk)) if role is not None]
        return max(held, default=None)

    @property
    def highest(self) -> Role | None:
        """The highest role that he has anywhere."""
        held = [*([self.everywhere] if self.everywhere is not None else []), *self.seats.values()]
        return max(held, default=None)


STRANGER = Actor("", signed_in=False)
"""Somebody who has not said who he is."""

ActorOf = Callable[[HttpRequest], Actor]


def actor_of(request: HttpRequest) -> Actor:
    """Who acts in this request."""
    return _hook(settings.BENCH_ACTOR)(request)


def hand_of(request: HttpRequest) -> Actor:
    """Who acts in this request, as the middleware found it out: asked once a request."""
    return cast(Actor, request.hand)  # type: ignore[attr-defined]


@cache
def _hook(dotted: str) -> ActorOf:
    return cast(ActorOf, import_string(dotted))


def local_actor(request: HttpRequest) -> Actor:
    """The one bench of local mode: it may do all."""
    return Actor(local_name(request), is_owner=True, everywhere=Role.OWNER)


def local_name(request: HttpRequest) -> str:
    """The name that was typed on this machine, or `bench`."""
    try:
        said = request.get_signed_cookie(NAME_COOKIE, default="", salt=NAME_SALT)
    except signing.BadSignature:
        said = ""
    return said or NOBODY_NAMED


def remember_name(response: HttpResponse, name: str) -> None:
    """Keep the name that was typed, for a year, on this machine."""
    kept: Any = " ".join(name.split())[:LONGEST_NAME]
    response.set_signed_cookie(NAME_COOKIE, kept, salt=NAME_SALT, max_age=A_YEAR_S, httponly=True, samesite="Lax")
