"""The pages of an engine that are not in the bar, and the name of whoever is at this machine."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

from blockwright.bench.access import remember_name
from blockwright.bench.addresses import Address, Need
from blockwright.bench.links import link
from blockwright.ledger.models import Book
from blockwright.problems import BlockwrightError, Place, Problem

PAGES = (
    (
        "work",
        "The engine at work",
        "Clearances when hot, oil films, gas past the rings, loads: on the clearances as measured",
    ),
    ("gauges", "Gauges", "Certificates, senses, and what each was set on"),
    ("parts", "Parts", "Every part by its mark, and where it goes"),
    ("clocking", "Ring gaps round the piston", "Where each gap is to lie"),
    ("parts-pistons", "Two pistons", "Side by side in one bore: clearances cold and hot, lands, mass"),
    ("reckon", "Formulas", "Any formula behind the fits, worked out by hand, with its source"),
    ("history", "History", "Every act, who did it and when; nothing is ever lost"),
    ("seats", "Seats", "Who may look, measure and build at this engine"),
)
"""Address, name and words of each; those that this bench lacks are left out."""


def more(request: HttpRequest, book: Book) -> HttpResponse:
    """The other pages of an engine."""
    every = (
        {"to": link(name, book=book.slug) or link(name), "name": title, "words": words} for name, title, words in PAGES
    )
    return render(request, "bench/more.html", {"pages": [each for each in every if each["to"]]})


def name(request: HttpRequest) -> HttpResponse:
    """Local mode: the name that stands under what is done at this machine."""
    if request.method != "POST":
        return render(request, "bench/name.html", {"next": request.GET.get("next", "/")})
    typed = " ".join(request.POST.get("name", "").split())
    if not typed or not typed.isprintable():
        raise BlockwrightError(Problem("name-empty", "a name is wanted.", "Type one.", Place(field="name")))
    to = request.POST.get("next", "/")
    safe = url_has_allowed_host_and_scheme(to, {request.get_host()}, require_https=request.is_secure())
    answer = HttpResponseRedirect(to if safe else "/")
    remember_name(answer, typed)
    return answer


ADDRESSES: tuple[Address, ...] = (Address("e/<slug:book>/more/", "more", more, Need.VIEWER),)
if not settings.SHOP:
    ADDRESSES += (Address("name/", "name", name, Need.ANYONE, Need.ANYONE),)
