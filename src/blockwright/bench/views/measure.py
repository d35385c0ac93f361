"""The measuring page, what it fetches anew when something happened, and the service worker that keeps it on the tablet."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render

from blockwright.acts.roles import Role
from blockwright.bench.access import hand_of
from blockwright.bench.addresses import Address, Need
from blockwright.bench.measure.here import spot_in_hand
from blockwright.bench.measure.kept_files import kept_files, mark_of_files
from blockwright.bench.measure.plan import measure_plan, sketches
from blockwright.bench.measure.words import spot_words
from blockwright.choices.stations import stations
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore

WORKER = Path(__file__).parents[1] / "static" / "bench" / "js" / "sw.js"


def measure(request: HttpRequest, book: Book) -> HttpResponse:
    """The page at the next spot that waits; at the first where none does."""
    return _page(request, book, "")


def measure_spot(request: HttpRequest, book: Book, spot: str) -> HttpResponse:
    """The page at one spot, by its key or the id of a row there, or at the next one of a part or a feature; else at the next that waits."""
    return _page(request, book, spot)


def _page(request: HttpRequest, book: Book, wanted: str) -> HttpResponse:
    kept = LedgerStore(book).kept()
    spot = spot_in_hand(stations(kept.job), wanted)
    plan = measure_plan(kept.job, kept.number)
    known = {"plan": plan.as_json(), "at": spot.key if spot else ""} | _whose(request, book)
    return _fresh(
        render(
            request,
            "bench/measure.html",
            {
                "known": known,
                "spot": spot,
                "plan": plan,
                "plan_words": spot_words(spot) if spot else "",
                "may": known["may"],
            },
        )
    )


def _whose(request: HttpRequest, book: Book) -> dict[str, Any]:
    """Whose hand it is, and whether he may measure at this engine."""
    hand = hand_of(request)
    role = hand.role_at(book)
    return {"hand": hand.name, "may": role is not None and role >= Role.MEASURER}


def plan_now(request: HttpRequest, book: Book) -> HttpResponse:
    """The plan as JSON, with whose hand it is for and the mark that a post of his must bear."""
    kept = LedgerStore(book).kept()
    told = {"plan": measure_plan(kept.job, kept.number).as_json(), "csrf": get_token(request)}
    return _fresh(JsonResponse(told | _whose(request, book) | {"title": book.title}))


def sketches_of(request: HttpRequest, book: Book) -> HttpResponse:
    """Every sketch of the book's spots, by name."""
    return JsonResponse(sketches(LedgerStore(book).kept().job))


def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, with the list of files that it keeps."""
    listed = "".join(f'  "{address}",\n' for address in kept_files())
    text = WORKER.read_text("utf-8").replace("/* FILES */", listed).replace("FILES_MARK", mark_of_files())
    response = HttpResponse(text, content_type="text/javascript; charset=utf-8")
    response["Service-Worker-Allowed"] = "/"
    return _fresh(response)


def _fresh(response: HttpResponse) -> HttpResponse:
    response["Cache-Control"] = "no-cache"
    return response


ADDRESSES = (
    Address("e/<slug:book>/measure/", "measure", measure, Need.VIEWER),
    Address("e/<slug:book>/measure/<path:spot>/", "measure-spot", measure_spot, Need.VIEWER),
    Address("e/<slug:book>/measure-plan/", "measure-plan", plan_now, Need.VIEWER),
    Address("e/<slug:book>/measure-sketches/", "measure-sketches", sketches_of, Need.VIEWER),
    Address("sw.js", "worker", worker, Need.ANYONE),
)
