"""Where each ring's gap goes on its piston, which rings belong to which bore, and what putting them on asks."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.bench.addresses import Address, Need
from blockwright.bench.rings.crowns import crowns
from blockwright.bench.rings.held import rings_seen
from blockwright.ledger.models import Book


def clocking(request: HttpRequest, book: Book) -> HttpResponse:
    """The clocking of every cylinder."""
    return render(request, "bench/clocking.html", crowns(book, rings_seen(book)))


ADDRESSES = (Address("e/<slug:book>/clocking/", "clocking", clocking, Need.VIEWER),)
