"""What endpoints share: the engine of an address, the mark by which an asker knows that nothing has happened, parts of long lists, JSON."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from ninja import Field, Schema

from blockwright import __version__
from blockwright.bench.access import hand_of
from blockwright.bench.addresses import Need, allowed, words_for
from blockwright.ledger.models import Book
from blockwright.report.as_json import dumps

SLUG = re.compile(r"[A-Za-z0-9_-]{1,40}")
NOT_HERE = "There is no such engine here, or it is not one of yours."
MOST, USUAL, FARTHEST = 500, 100, 2_000_000_000

T = TypeVar("T")


class Paging(Schema):
    """Which part of a list."""

    offset: int = Field(0, ge=0, le=FARTHEST, description="How many to pass over.")
    limit: int = Field(USUAL, ge=1, le=MOST, description="How many at most.")


class UnchangedError(Exception):
    """Nothing has happened since the asker last looked."""


def book_of(request: HttpRequest, engine: str, need: Need = Need.VIEWER) -> Book:
    """The book of an address. Raises Http404 where the asker has no seat at it, PermissionDenied where his role is too low."""
    actor = hand_of(request)
    book = Book.objects.filter(slug=engine).first() if SLUG.fullmatch(engine) else None
    if book is None or actor.role_at(book) is None:
        raise Http404(NOT_HERE)
    if not allowed(actor, need, book):
        raise PermissionDenied(words_for(need))
    request.book = book  # type: ignore[attr-defined]
    return book


def marked(request: HttpRequest, book: Book) -> None:
    """Mark the answer with the book's last event, the program's version and the asker's role. Raises UnchangedError where the asker has it already.

    Whatever is read after this is at least as new as the mark, so that a mark never stands for more than was sent.
    """
    role = hand_of(request).role_at(book)
    told = f"{__version__} {book.head_number} {book.head_digest} {book.title} {book.archived} {role}"
    mark = f'"{book.head_number}-{hashlib.sha256(told.encode()).hexdigest()[:16]}"'
    request.api_mark = mark  # type: ignore[attr-defined]
    held = [each.strip().removeprefix("W/") for each in request.headers.get("If-None-Match", "").split(",")]
    if mark in held or held == ["*"]:
        raise UnchangedError


def unchanged(request: HttpRequest, fault: object) -> HttpResponse:
    """304."""
    return HttpResponse(status=304)


def as_they_are(value: Any) -> HttpResponse:
    """JSON as the command line prints it."""
    return HttpResponse(dumps(value, ascii=True), content_type="application/json")


def part_of(request: HttpRequest, every: Sequence[T], paging: Paging) -> dict[str, Any]:
    """The part of a list that was asked for, and where the next one is."""
    return listed(request, every[paging.offset : paging.offset + paging.limit], len(every), paging)


def listed(request: HttpRequest, items: Sequence[T], total: int, paging: Paging) -> dict[str, Any]:
    """A part that was cut out already."""
    end = paging.offset + paging.limit
    words = {**request.GET.dict(), "offset": end, "limit": paging.limit}
    following = f"{request.path}?{urlencode(words, errors='replace')}" if end < total else None
    return {"items": list(items), "total": total, "next": following}
