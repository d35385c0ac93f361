"""The record of an engine: who did what and when, and whether the chain is whole."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.bench.addresses import Address, Need
from blockwright.bench.history.listing import listing
from blockwright.ledger.models import Book
from blockwright.ledger.verify import verify


def history(request: HttpRequest, book: Book) -> HttpResponse:
    """Every event, the newest first; `?part=`, `?by=`, `?kind=` choose, `?page=` turns."""
    return render(request, "bench/history.html", listing(book, request.GET.dict()))


def whole(request: HttpRequest, book: Book) -> HttpResponse:
    """Look through everything: the chain, the job that the events make, and every photo."""
    (found,) = verify(book).books
    return render(request, "bench/history_whole.html", {"found": found})


ADDRESSES = (
    Address("e/<slug:book>/history/", "history", history, Need.VIEWER),
    Address("e/<slug:book>/history/whole/", "history-whole", whole, Need.VIEWER),
)
