"""Formulas: the list of them, and a form for each that works it out."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.bench.addresses import Address, Need
from blockwright.bench.problems import REFUSED
from blockwright.bench.reckon.forms import form_of, listing
from blockwright.problems import BlockwrightError


def reckon(request: HttpRequest) -> HttpResponse:
    """All formulas by what they serve."""
    return render(request, "bench/reckon.html", listing())


def one(request: HttpRequest, formula: str) -> HttpResponse:
    """One formula: its form, with what is given filled in, and its result."""
    try:
        context = form_of(formula, request.GET.dict())
    except BlockwrightError as error:
        raise Http404(str(error)) from None
    return render(request, "bench/reckon_one.html", context, status=REFUSED if context["refused"] else 200)


ADDRESSES = (
    Address("reckon/", "reckon", reckon, Need.SIGNED_IN),
    Address("reckon/<str:formula>/", "reckon-one", one, Need.SIGNED_IN),
)
