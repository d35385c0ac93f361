"""The engine at work: the result that is kept for it, and the button that has it worked out beside the server."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from blockwright.acts.roles import Role
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.state import seen
from blockwright.bench.work.running import runner
from blockwright.bench.work.told import page
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore


def work(request: HttpRequest, book: Book) -> HttpResponse:
    """The page; a POST has it worked out and comes back to the page, which then tells how far it is."""
    if request.method == "POST":
        runner.begin(book.pk, LedgerStore(book).kept())
        return HttpResponseRedirect(reverse("work", kwargs={"book": book.slug}))
    return render(request, "bench/work.html", {**page(book, seen(book)), "may_work": may(request, book, Role.MEASURER)})


def now(request: HttpRequest, book: Book) -> HttpResponse:
    """How far it is, as a part of the page; once it is over, word that the page is to be fetched anew."""
    state = runner.state(book.pk)
    if state is not None and state.under_way:
        return render(request, "bench/work_now.html", {"state": state})
    return HttpResponse(status=204, headers={"HX-Refresh": "true"})


ADDRESSES = (
    Address("e/<slug:book>/work/", "work", work, Need.VIEWER, Need.MEASURER),
    Address("e/<slug:book>/work/now/", "work-now", now, Need.VIEWER),
)
