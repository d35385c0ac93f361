"""Parts: each by its mark and where it goes; what a swap would change, before it is done; two pistons side by side."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.acts.roles import Role
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.parts.forms import forms
from blockwright.bench.parts.listing import listing
from blockwright.bench.parts.putting import put, role_of, say
from blockwright.bench.problems import REFUSED, capitals
from blockwright.bench.state import Seen, seen
from blockwright.choices.pistons import pistons_of
from blockwright.engine.positions import Place
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError
from blockwright.report.piston_rows import NOTE, piston_rows
from blockwright.report.ring_words import PISTON_CAUTION


def parts(request: HttpRequest, book: Book) -> HttpResponse:
    """Every part, every place, work ordered; `?again=P3` fills the form with what is known of a part."""
    return render(request, "bench/parts.html", _page(request, book, seen(book)))


def putting(request: HttpRequest, book: Book) -> HttpResponse:
    """What putting a part (`part`, of shells `part` twice) into a place (`at`) would change, with `swap` in exchange for what is there.

    Without a part, taking out what is there (`as`).
    """
    now = seen(book)
    marks = [mark for each in request.GET.getlist("part") if (mark := each.strip())]
    at, role = request.GET.get("at", ""), request.GET.get("as", "")
    try:
        change = put(now, at, role_of(now.job, marks) if marks or not role else role, marks, swap="swap" in request.GET)
    except BlockwrightError as error:
        faults = {"problems": capitals(error.problems), "put_marks": marks, "put_at": at}
        return render(request, "bench/parts.html", {**_page(request, book, now), **faults}, status=REFUSED)
    return render(
        request,
        "bench/parts_put.html",
        {"change": change, "say": say(change), "may_build": may(request, book, Role.BUILDER)},
    )


def pistons(request: HttpRequest, book: Book) -> HttpResponse:
    """Two pistons in one bore, side by side."""
    job = LedgerStore(book).kept().job
    marks, bores = pistons_of(job), [place.number for place in job.engine.positions(Place.CYLINDER)]
    first, second = request.GET.get("first", "".join(marks[:1])), request.GET.get("second", "".join(marks[1:2]))
    at = request.GET.get("at", str(bores[0]))
    context: dict[str, Any] = {
        "marks": marks,
        "bores": bores,
        "first": first,
        "second": second,
        "at": at,
        "caution": PISTON_CAUTION,
        "note": NOTE,
    }
    if len(marks) < 2:
        return render(request, "bench/parts_pistons.html", context)
    try:
        context["rows"] = piston_rows(
            job, first, second, int(at) if at.isascii() and at.isdigit() and len(at) < 4 else 0
        )
    except BlockwrightError as error:
        return render(
            request, "bench/parts_pistons.html", {**context, "problems": capitals(error.problems)}, status=REFUSED
        )
    return render(request, "bench/parts_pistons.html", context)


def _page(request: HttpRequest, book: Book, now: Seen) -> dict[str, Any]:
    context = {**listing(now), **forms(now.job, request.GET.get("again", ""))}
    return context | {"may_build": may(request, book, Role.BUILDER)}


ADDRESSES = (
    Address("e/<slug:book>/parts/", "parts", parts, Need.VIEWER),
    Address("e/<slug:book>/parts/put/", "parts-put", putting, Need.VIEWER),
    Address("e/<slug:book>/parts/pistons/", "parts-pistons", pistons, Need.VIEWER),
)
