"""All engines on the bench, a line each; where there is none yet, the ways to get one."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.bench.access import hand_of
from blockwright.bench.addresses import Address, Need
from blockwright.bench.engines import engines_of, greeting, line_of
from blockwright.bench.state import seen
from blockwright.ledger.models import Book


def home(request: HttpRequest) -> HttpResponse:
    """The list. What is not judged yet is fetched line by line, so that the page does not wait for it."""
    engines = engines_of(hand_of(request))
    return render(request, "bench/home.html", {"engines": engines, "say": greeting(engines)})


def line(request: HttpRequest, book: Book) -> HttpResponse:
    """One engine's line, judged."""
    return render(request, "bench/_engine_line.html", {"each": line_of(book, seen(book))})


ADDRESSES = (
    Address("", "home", home, Need.SIGNED_IN),
    Address("e/<slug:book>/line/", "line", line, Need.VIEWER),
)
