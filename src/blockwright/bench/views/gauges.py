"""The register of gauges: what each is worth, when it is due, what it was set on and who used it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from blockwright.acts.roles import Role
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.gauges.forms import forms
from blockwright.bench.gauges.listing import listing
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore


def gauges(request: HttpRequest, book: Book) -> HttpResponse:
    """The register; `?again=M1` fills the form with what is known of a gauge."""
    job = LedgerStore(book).kept().job
    context = {**listing(book, job, timezone.localdate()), **forms(job, request.GET.get("again", ""))}
    mays = {"may_build": may(request, book, Role.BUILDER), "may_measure": may(request, book, Role.MEASURER)}
    return render(request, "bench/gauges.html", {**context, **mays})


ADDRESSES = (Address("e/<slug:book>/gauges/", "gauges", gauges, Need.VIEWER),)
