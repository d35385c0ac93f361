"""A new engine on the bench: an invented one, one's own from a few sizes, or a job from files."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from blockwright.bench.access import hand_of
from blockwright.bench.addresses import Address, Need
from blockwright.bench.opening import Brought, brought_in, open_for
from blockwright.bench.own_engine import answers_from, form_of
from blockwright.bench.problems import REFUSED, capitals
from blockwright.demos import NAMES, demo_texts
from blockwright.jobfile.beginning import begin
from blockwright.problems import BlockwrightError, Problem


def new(request: HttpRequest) -> HttpResponse:
    """The ways to get an engine."""
    return render(request, "bench/new.html")


def demo(request: HttpRequest) -> HttpResponse:
    """An invented job."""
    which = request.POST.get("which", "")
    if which not in NAMES:
        raise BlockwrightError(
            Problem("demo-name", "there is no such invented engine.", f"Choose {' or '.join(NAMES)}.")
        )
    return _opened(request, Brought(demo_texts(which), {}))


def own(request: HttpRequest) -> HttpResponse:
    """One's own engine: a form, and of its answers a job with every reading still to take."""
    if request.method != "POST":
        return render(request, "bench/new_own.html", form_of(request.GET))
    answers, units, full = answers_from(request.POST)
    try:
        return _opened(request, Brought(begin(answers, units, full=full).texts, {}))
    except BlockwrightError as error:
        return render(request, "bench/new_own.html", form_of(request.POST, error.problems), status=REFUSED)


def files(request: HttpRequest) -> HttpResponse:
    """A job from a zip or from its files."""
    if request.method != "POST":
        return render(request, "bench/new_files.html")
    try:
        return _opened(request, brought_in(request.FILES.getlist("files")))
    except BlockwrightError as error:
        return render(request, "bench/new_files.html", {"problems": capitals(error.problems)}, status=REFUSED)


def _opened(request: HttpRequest, brought: Brought) -> HttpResponse:
    book = open_for(hand_of(request), brought)
    return redirect("engine", book.slug)


ADDRESSES = (
    Address("new/", "new", new, Need.BUILDER),
    Address("new/demo/", "new_demo", demo, None, Need.BUILDER),
    Address("new/own/", "new_own", own, Need.BUILDER, Need.BUILDER),
    Address("new/files/", "new_files", files, Need.BUILDER, Need.BUILDER),
)
