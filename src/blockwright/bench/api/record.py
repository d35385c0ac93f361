"""Endpoints: the events of a book, for those who follow it; whether there are new ones; and an act, through the same door as the pages'."""

from __future__ import annotations

import json
from typing import Any

from django.db import Error
from django.http import HttpRequest, HttpResponse
from ninja import Field, Query, Router, Schema

from blockwright.acts.event import Event
from blockwright.acts.touched import touched
from blockwright.bench.access import hand_of
from blockwright.bench.acting import Said, said_from
from blockwright.bench.admitting import admit
from blockwright.bench.api.act_forms import act_examples
from blockwright.bench.api.answering import FARTHEST, MOST, USUAL, as_they_are, book_of, marked
from blockwright.bench.api.describing import COMPONENTS
from blockwright.bench.api.engines import UNCHANGED
from blockwright.bench.api.refusing import RefusedError
from blockwright.bench.api.shapes import Events, Kept, News
from blockwright.bench.api.telling import event_told
from blockwright.ledger.faults import told
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.rows import event_of
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.report.as_json import result_json

JSON = "application/json"
BODY = {
    "required": True,
    "content": {JSON: {"schema": {"$ref": f"{COMPONENTS}Act"}, "examples": act_examples()}},
}

router = Router(tags=["record"])


class Since(Schema):
    """From where on."""

    since: int = Field(0, ge=0, le=FARTHEST, description="Number of the last event that you have.")


class Following(Since):
    """From where on, and how many."""

    limit: int = Field(USUAL, ge=1, le=MOST, description="How many at most.")


@router.get("/engines/{engine}/events", response={200: Events, **UNCHANGED}, summary="Events since a number")
def events(request: HttpRequest, engine: str, words: Query[Following]) -> Any:
    """In their order, chained by their digests: to follow an engine, ask with the number of the last that you have."""
    book = book_of(request, engine)
    marked(request, book)
    with told("The events cannot be read from the ledger"):
        rows = EventRow.objects.filter(book=book, number__gt=words.since, number__lte=book.head_number)
        found = [event_of(row) for row in rows.order_by("number")[: words.limit]]
    last = found[-1].number if found else book.head_number
    return Events(
        number=book.head_number, items=[event_told(each) for each in found], more=last < book.head_number
    )  # fmt: skip


@router.get("/engines/{engine}/news", response={200: News, **UNCHANGED}, summary="Whether something has happened")
def news(request: HttpRequest, engine: str, words: Query[Since]) -> Any:
    """Cheap: nothing is judged for it."""
    book = book_of(request, engine)
    marked(request, book)
    return News(number=book.head_number, digest=book.head_digest, new=max(0, book.head_number - words.since))


@router.post(
    "/engines/{engine}/acts",
    response={201: Kept},
    summary="Do something: one act, whole or not at all",
    openapi_extra={"requestBody": BODY},
)
def acts(request: HttpRequest, engine: str) -> HttpResponse:
    """The one way to change an engine. The same key again is answered with what was kept, and kept once: send it again whenever in doubt."""
    book = book_of(request, engine)
    said = _said(request)
    admit(request, book, said)
    answer = as_they_are(_kept(book, said, hand_of(request).name))
    answer.status_code = 201
    return answer


def _said(request: HttpRequest) -> Said:
    """The act in the body. Raises RefusedError over what is not JSON, BlockwrightError over its form."""
    if request.content_type != JSON:
        raise RefusedError(415, f"Send an act as {JSON}.")
    try:
        json.loads(request.body, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise RefusedError(400, "The body is not JSON.") from None
    return said_from(request.body)


def _no_number(text: str) -> float:
    raise ValueError(text)


def _kept(book: Book, said: Said, by: str) -> dict[str, Any]:
    store = LedgerStore(book)
    event = store.keep(said.kind.name, said.words, by=by, at=said.at, key=said.key)
    if event.kind != said.kind.name:
        raise RefusedError(409, "", [_used(event.kind)])
    return {
        "number": event.number,
        "digest": event.digest,
        "kind": event.kind,
        "key": event.key,
        "row": str(event.body.get("row", "")),
        "fits": _touched(store, event),
    }


def _touched(store: LedgerStore, event: Event) -> list[dict[str, Any]]:
    """The fits that a reading touches; none where the ledger has gone since the act was kept, which is told all the same."""
    try:
        job = store.kept().job
    except (BlockwrightError, Error):
        return []
    return [result_json(each) for each in touched(job, event)]


def _used(kind: str) -> Problem:
    mend = "Send it with a key that you use for nothing else."
    return Problem("act-key-used", f"this key is that of an earlier act: {kind}.", mend, Place(field="key"))
