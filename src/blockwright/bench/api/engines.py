"""Endpoints: the engines, one of them, and a new one from a job folder's zip."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpRequest, HttpResponse
from ninja import Field, Query, Router, Schema

from blockwright.acts.roles import Role
from blockwright.bench.access import Actor, hand_of
from blockwright.bench.acting import KEY, key_of
from blockwright.bench.addresses import Need, allowed, words_for
from blockwright.bench.api.answering import Paging, book_of, listed, marked
from blockwright.bench.api.describing import OPEN
from blockwright.bench.api.refusing import SORTS, RefusedError
from blockwright.bench.api.shapes import EngineHead, Page, SortTold
from blockwright.bench.api.telling import engine_head
from blockwright.bench.opening import brought_in, open_for, opened_before
from blockwright.ledger.models import Book

ZIP = "application/zip"
SENT = {ZIP: {"schema": {"type": "string", "format": "binary"}}}
UNCHANGED: dict[int, Any] = {304: None}

router = Router(tags=["engines"])


@router.get("/engines", response=Page[EngineHead], summary="The engines at which you have a seat, the newest first")
def engines(request: HttpRequest, paging: Query[Paging]) -> Any:
    """Archived ones are left out."""
    actor = hand_of(request)
    books = Book.objects.filter(archived=False)
    if actor.everywhere is None:
        books = books.filter(pk__in=list(actor.seats))
    part = books[paging.offset : paging.offset + paging.limit]
    return listed(request, [engine_head(each, actor) for each in part], books.count(), paging)


@router.get("/engines/{engine}", response={200: EngineHead, **UNCHANGED}, summary="One engine")
def engine(request: HttpRequest, engine: str) -> Any:
    """How far its book has got, and what you may do at it."""
    book = book_of(request, engine)
    marked(request, book)
    return engine_head(book, hand_of(request))


class Keyed(Schema):
    """The sender's own mark."""

    key: str = Field(
        description="Your own mark of this act. The same again is answered with the engine that was opened, and opens no other.",
        json_schema_extra={"pattern": f"^{KEY.pattern}$"},
    )


@router.post(
    "/engines",
    response={201: EngineHead},
    summary="A new engine from the zip of a job folder",
    openapi_extra={"requestBody": {"required": True, "content": SENT}},
)
def new_engine(request: HttpRequest, words: Query[Keyed], response: HttpResponse) -> Any:
    """The body is the zip itself: a folder of your own, or one that was taken out as the paper `folder`. For a builder at any engine.

    Send it again with the same key whenever in doubt: it is opened once.
    """
    actor = hand_of(request)
    if not allowed(actor, Need.BUILDER):
        raise PermissionDenied(words_for(Need.BUILDER))
    if request.content_type != ZIP:
        raise RefusedError(415, f"Send the zip itself as {ZIP}.")
    key = key_of(words.key)
    earlier = opened_before(actor, key)
    if earlier is not None:
        book = book_of(request, earlier.slug)
    else:
        book = open_for(actor, brought_in([SimpleUploadedFile("job.zip", request.read(), ZIP)]), key)
    response["Location"] = f"{request.path.rstrip('/')}/{book.slug}"
    return engine_head(book, actor_now(request, book))


def actor_now(request: HttpRequest, book: Book) -> Actor:
    """The actor with the seat that opening a book gave him."""
    actor = hand_of(request)
    return actor if actor.role_at(book) is not None else replace(actor, seats={**actor.seats, book.pk: Role.OWNER})


@router.get("/problems/{name}", response=SortTold, auth=None, tags=[OPEN], summary="What a sort of refusal means")
def problem(request: HttpRequest, name: str) -> Any:
    """The `type` of a refusal is an address of this kind."""
    found = next(((status, sort) for status, sort in SORTS.items() if sort.name == name), None)
    if found is None:
        raise RefusedError(404, "There is no such sort of refusal.")
    status, sort = found
    return SortTold(name=sort.name, title=sort.title, status=status, means=sort.means)
