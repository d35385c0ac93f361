"""The page of an engine: the plan, the next thing, every fit with its mark, what was noticed, and the parts."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.bench.addresses import Address, Need
from blockwright.bench.standing import standing
from blockwright.bench.state import seen
from blockwright.ledger.models import Book


def engine(request: HttpRequest, book: Book) -> HttpResponse:
    """Everything about the engine as it stands."""
    return render(request, "bench/engine.html", standing(book, seen(book)))


ADDRESSES = (Address("e/<slug:book>/", "engine", engine, Need.VIEWER),)
