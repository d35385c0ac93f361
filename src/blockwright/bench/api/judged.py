"""Endpoints: the assessment as the command line gives it, its fits, one fit's story, and the route."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from ninja import Field, Query, Router

from blockwright.bench.api.answering import Paging, as_they_are, book_of, marked, part_of
from blockwright.bench.api.describing import COMPONENTS, json_of
from blockwright.bench.api.engines import UNCHANGED
from blockwright.bench.api.route_shapes import RouteTold
from blockwright.bench.fit.told import result_at
from blockwright.bench.papers.source import source
from blockwright.bench.state import seen
from blockwright.bench.work.held import result_of
from blockwright.problems import BlockwrightError
from blockwright.report.as_json import assessment_json, result_json, story_json
from blockwright.report.route_json import route_json
from blockwright.report.story import story_of

FITS_FORM = {
    "type": "object",
    "required": ["items", "total", "next"],
    "properties": {
        "items": {"type": "array", "items": {"$ref": f"{COMPONENTS}Assessment.fit"}},
        "total": {"type": "integer"},
        "next": {"type": ["string", "null"]},
    },
}

router = Router(tags=["judged"])


class Choice(Paging):
    """Which fits."""

    fit: str = Field("", max_length=80, description="Name of a fit; every one where not given.")
    standing: str = Field("", max_length=40, description="conforms, undecided, nonconforming, open, ...")


@router.get(
    "/engines/{engine}/assessment",
    response={200: dict[str, Any], **UNCHANGED},
    summary="The whole assessment, by the published schema",
    openapi_extra={"responses": {200: json_of("Assessment", "What 'blockwright fits --json' prints.")}},
)
def assessment(request: HttpRequest, engine: str) -> HttpResponse:
    """Every fit at every position, work that was ordered, what was noticed, and what to do next."""
    book = book_of(request, engine)
    marked(request, book)
    now = seen(book)
    return as_they_are(assessment_json(now.assessment, now.steps))


@router.get(
    "/engines/{engine}/fits",
    response={200: dict[str, Any], **UNCHANGED},
    summary="Fits, a part of the list at a time",
    openapi_extra={
        "responses": {200: {"description": "Fits.", "content": {"application/json": {"schema": FITS_FORM}}}}
    },
)
def fits(request: HttpRequest, engine: str, choice: Query[Choice]) -> HttpResponse:
    """In the order of the assessment."""
    book = book_of(request, engine)
    marked(request, book)
    chosen = [
        each
        for each in seen(book).assessment.results
        if choice.fit in ("", each.fit.name) and choice.standing in ("", str(each.standing))
    ]
    part = part_of(request, chosen, choice)
    return as_they_are({**part, "items": [result_json(each) for each in part["items"]]})


@router.get(
    "/engines/{engine}/fits/{fit}/{position}",
    response={200: dict[str, Any], **UNCHANGED},
    summary="One fit's story",
    openapi_extra={"responses": {200: json_of("Assessment.story", "What 'blockwright explain --json' prints.")}},
)
def fit(request: HttpRequest, engine: str, fit: str, position: str) -> HttpResponse:
    """What it rests on, its budget of uncertainty, and every source of its limits. `wall clearance`, `cylinder 3`."""
    book = book_of(request, engine)
    marked(request, book)
    now = seen(book)
    try:
        result = result_at(now, fit, position)
    except BlockwrightError as error:
        raise Http404(str(error)) from None
    found = result_of(book.pk, now.kept)
    work = found.work if found is not None and found.current else None
    return as_they_are(story_json(result, story_of(now.job, result, work=work), work))


@router.get(
    "/engines/{engine}/route", response=RouteTold, by_alias=True, summary="The route, as the command line gives it"
)
def route(request: HttpRequest, engine: str) -> HttpResponse:
    """Every step with what it needs, waits for and lacks, clocks that run, and what can be measured for the last time now.

    It says what time it is, and so bears no mark.
    """
    of = source(book_of(request, engine))
    return as_they_are(route_json(of.job, of.progress, dt.datetime.now(tz=dt.UTC).replace(microsecond=0)))
