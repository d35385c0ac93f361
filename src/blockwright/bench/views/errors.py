"""The pages that say no: not found, not yours, a fault of our own; each in our own look and, for a machine, as problem+json."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from blockwright.bench.problems import problem_json, wants_json

NOT_FOUND = "There is no such page here, or it is not one of yours."
STALE = "This page lay open too long to trust it. Load it again; what you kept is kept."
UNFIT = "What was sent is larger than this page takes, or is not what it sends. Nothing was kept."
FAULT = "The bench has a fault of its own. What was kept is kept; nothing half done was recorded."


def unfit(request: HttpRequest, exception: Exception) -> HttpResponse:
    """400: larger or other than a page sends."""
    return _page(request, 400, "That cannot be read", UNFIT)


def missing(request: HttpRequest, exception: Exception) -> HttpResponse:
    """404."""
    said = str(exception.args[0]) if exception.args and isinstance(exception.args[0], str) else NOT_FOUND
    return _page(request, 404, "Not here", said)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    """403: signed in, and not enough."""
    return _page(request, 403, "Not yours to do", str(exception) or "This is for somebody else.")


def stale(request: HttpRequest, reason: str = "") -> HttpResponse:
    """403: a form from a page that is too old."""
    return _page(request, 403, "Load this page again", STALE)


def faulty(request: HttpRequest) -> HttpResponse:
    """500: drawn without the database and without asking who it is for."""
    if wants_json(request):
        return problem_json("A fault of our own", FAULT, status=500)
    return HttpResponse(
        render_to_string("bench/broken.html", {"title": "A fault of our own", "said": FAULT}), status=500
    )


def _page(request: HttpRequest, status: int, title: str, said: str) -> HttpResponse:
    if wants_json(request):
        return problem_json(title, said, status=status)
    return render(request, "bench/no.html", {"title": title, "said": said, "status": status}, status=status)
