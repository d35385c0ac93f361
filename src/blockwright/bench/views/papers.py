"""The papers of an engine: what can be printed and taken out, one of them handed out, and a sheet held against the job."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from blockwright.acts.roles import Role
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.papers.catalogue import BY_KEY, GROUPS, SIZES, Paper
from blockwright.bench.papers.checking import held_against
from blockwright.bench.papers.handing import handed
from blockwright.bench.papers.making import maker
from blockwright.bench.papers.source import source
from blockwright.bench.problems import REFUSED, capitals
from blockwright.engine.job import Job
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError

BEING_MADE = 202


def papers(request: HttpRequest, book: Book) -> HttpResponse:
    """The list. Nothing is made for it."""
    return render(request, "bench/papers.html", _listed(request, book))


def paper(request: HttpRequest, book: Book, key: str) -> HttpResponse:
    """One paper as a file; or, where it takes longer, word that it is being made. `?paper=Letter` for the other size."""
    wanted, size = BY_KEY.get(key), _size(request)
    if wanted is None:
        raise Http404("There is no such paper.")
    of = source(book, whole=wanted.whole)
    made = maker.asked(wanted, of, size if wanted.sized else SIZES[0])
    if made is None:
        return _being_made(request, wanted)
    return handed(made, wanted.media, wanted.file_name(of.job, size))


def check(request: HttpRequest, book: Book) -> HttpResponse:
    """POST a form with the file `sheet`: whether it belongs to the job as it is now."""
    try:
        found: dict[str, Any] = {"held": held_against(book, request.FILES.get("sheet"))}
        status = 200
    except BlockwrightError as error:
        found, status = {"problems": capitals(error.problems)}, REFUSED
    return render(request, "bench/papers.html", {**_listed(request, book), **found}, status=status)


def _size(request: HttpRequest) -> str:
    """The paper's size that is asked for; A4 where none is, or where it is not known."""
    asked = request.GET.get("paper", "").lower()
    return next((size for size in SIZES if size.lower() == asked), SIZES[0])


def _being_made(request: HttpRequest, wanted: Paper) -> HttpResponse:
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"being": wanted.name}, status=BEING_MADE)
    answer = render(request, "bench/papers_made.html", {"paper": wanted}, status=BEING_MADE)
    answer["Refresh"] = "1"
    return answer


def _listed(request: HttpRequest, book: Book) -> dict[str, Any]:
    job = LedgerStore(book).kept().job
    groups = [(name, [_line(BY_KEY[key], job) for key in keys]) for name, keys in GROUPS]
    return {
        "groups": groups,
        "sizes": SIZES,
        "number": book.head_number,
        "may_check": may(request, book, Role.MEASURER),
    }


def _line(each: Paper, job: Job) -> dict[str, Any]:
    return {"paper": each, "lacking": each.lacking(job)}


ADDRESSES = (
    Address("e/<slug:book>/papers/", "papers", papers, Need.VIEWER),
    Address("e/<slug:book>/papers/check/", "papers-check", check, None, Need.MEASURER),
    Address("e/<slug:book>/papers/<slug:key>/", "paper", paper, Need.VIEWER),
)
