"""One fit's whole story: what it is, what it rests on, who limits it, what would mend it; signed for and limited here."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.acts.roles import Role
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.fit.forms import forms
from blockwright.bench.fit.told import result_at, told
from blockwright.bench.state import seen
from blockwright.ledger.models import Book
from blockwright.problems import BlockwrightError


def fit(request: HttpRequest, book: Book, fit: str, position: str) -> HttpResponse:
    """Everything that stands behind a fit at a position; `?unit=` looks at it in another unit."""
    now = seen(book)
    try:
        result = result_at(now, fit, position)
    except BlockwrightError as error:
        raise Http404(str(error)) from None
    context = told(book, now, result, request.GET.get("unit", ""))
    return render(
        request, "bench/fit.html", {**context, **forms(now.job, result), "may_build": may(request, book, Role.BUILDER)}
    )


ADDRESSES = (Address("e/<slug:book>/fit/<str:fit>/<str:position>/", "fit", fit, Need.VIEWER),)
