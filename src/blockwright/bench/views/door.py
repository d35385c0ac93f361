"""The one door for every act of a page or of a tablet's outbox, and the look whether something has happened meanwhile."""

from __future__ import annotations

from typing import Any

from django.db import Error
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string

from blockwright.acts.event import Event
from blockwright.acts.touched import touched
from blockwright.bench.access import hand_of
from blockwright.bench.acting import Said, said_from
from blockwright.bench.addresses import Address, Need
from blockwright.bench.admitting import admit
from blockwright.bench.verdicts import verdict
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError


def acts(request: HttpRequest, book: Book) -> HttpResponse:
    """POST JSON {kind, words, key, at}: kept, or refused with every problem. The same key again gives the same answer."""
    said = said_from(request.body)
    admit(request, book, said)
    return JsonResponse(answer(book, said, hand_of(request).name), status=201)


def answer(book: Book, said: Said, by: str) -> dict[str, Any]:
    """Keep an act, and what its sender is told of it."""
    store = LedgerStore(book)
    event = store.keep(said.kind.name, said.words, by=by, at=said.at, key=said.key)
    told = {
        "number": event.number,
        "digest": event.digest,
        "kind": event.kind,
        "key": event.key,
        "row": event.body.get("row") or event.body.get("cells", {}).get("id", ""),
    }
    return told | {"html": _verdict_html(store, book, event)}


def _verdict_html(store: LedgerStore, book: Book, event: Event) -> str:
    """For a reading, the fits that it touches; nothing for any other act, or where the ledger has gone since the reading was kept."""
    if event.kind not in WITH_VERDICT:
        return ""
    try:
        job = store.kept().job
    except (BlockwrightError, Error):
        return ""
    return render_to_string("bench/_verdict.html", {"verdict": verdict(job, touched(job, event)), "book": book})


WITH_VERDICT = ("reading taken", "reading withdrawn")


def news(request: HttpRequest, book: Book) -> HttpResponse:
    """GET ?since=N: the number of the last event, and how many are new since N."""
    text = request.GET.get("since", "")
    since = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else book.head_number
    return JsonResponse({"number": book.head_number, "new": max(0, book.head_number - since)})


ADDRESSES = (
    Address("e/<slug:book>/acts/", "acts", acts, None, Need.VIEWER),
    Address("e/<slug:book>/news/", "news", news, Need.VIEWER),
)
