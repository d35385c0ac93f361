"""The route: all steps, one step with its evidence and its signature, and the builder's own changes to it."""

from __future__ import annotations

import datetime as dt

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from blockwright.acts.roles import Role
from blockwright.bench.access import hand_of
from blockwright.bench.act_fields import may
from blockwright.bench.addresses import Address, Need
from blockwright.bench.route import own as own_changes
from blockwright.bench.route.eyes import lookers
from blockwright.bench.route.now import progress_now
from blockwright.bench.route.overview import overview, pictures
from blockwright.bench.route.told import told
from blockwright.ledger.models import Book


def route(request: HttpRequest, book: Book) -> HttpResponse:
    """What can be done now, and every step; `?drawn` shows the route as a graph."""
    kept, progress = progress_now(book)
    now = dt.datetime.now(tz=dt.UTC)
    drawn = pictures(book, progress) if "drawn" in request.GET else []
    context = {
        **overview(book, progress, now),
        "number": kept.number,
        "drawn": drawn,
        "may_build": may(request, book, Role.BUILDER),
    }
    return render(request, "bench/route.html", context)


def step(request: HttpRequest, book: Book, step: str) -> HttpResponse:
    """One step: what to do, what it asks for, the form that signs it, and what undoing it would open."""
    kept, progress = progress_now(book)
    state = progress.states.get(step)
    if state is None:
        raise Http404("The route has no such step.")
    hand = hand_of(request)
    context = {
        **told(book, kept.job, progress, state),
        "number": kept.number,
        "may_build": may(request, book, Role.BUILDER),
    }
    return render(request, "bench/route_step.html", {**context, "lookers": lookers(book, hand.hand_id)})


def own(request: HttpRequest, book: Book) -> HttpResponse:
    """The builder's own steps, and what he moved or struck."""
    kept, progress = progress_now(book)
    context = {
        **own_changes.own(kept.job, progress),
        "number": kept.number,
        "may_build": may(request, book, Role.BUILDER),
    }
    return render(request, "bench/route_own.html", context)


ADDRESSES = (
    Address("e/<slug:book>/route/", "route", route, Need.VIEWER),
    Address("e/<slug:book>/route/<path:step>/", "route-step", step, Need.VIEWER),
    Address("e/<slug:book>/route-own/", "route-own", own, Need.VIEWER),
)
