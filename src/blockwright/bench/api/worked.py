"""Endpoints: the engine at work, where it is worked out for its readings as they stand, and having it worked out."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import Router
from ninja.responses import Status

from blockwright.bench.addresses import Need
from blockwright.bench.api.answering import as_they_are, book_of
from blockwright.bench.api.describing import COMPONENTS
from blockwright.bench.api.record import JSON
from blockwright.bench.api.refusing import RefusedError
from blockwright.bench.api.shapes import BeingMade
from blockwright.bench.state import seen
from blockwright.bench.work.held import result_of
from blockwright.bench.work.running import runner
from blockwright.ledger.store import LedgerStore
from blockwright.report.work.as_json import FORMAT, work_json

BEING = "The engine at work"
NONE_YET = (
    "The engine at work is not worked out for its readings as they stand. Send a POST to this address to have it done."
)
UNDER_WAY = "The engine is being worked out: {percent} %. Ask again."
AGAIN_S = "5"
EXAMPLE = {
    "format": FORMAT,
    "program": "blockwright 0.0",
    "job": "HB-4 (invented)",
    "headline": "Hot, one fit is undecided: the top end gap of cylinder 2.",
    "fits": [
        {
            "fit": "top end gap",
            "position": "cylinder 2",
            "hot": {"value": 45e-6, "sd": 30e-6, "low": -14e-6, "high": 104e-6, "error": 0.7e-6},
            "low": 0.0,
            "high": None,
            "standing": "undecided",
        }
    ],
}
"""The head of an answer, and one of its fits."""
ANSWER = {
    "description": "What 'blockwright work --json' prints: numbers in SI, curves and all.",
    "content": {"application/json": {"schema": {"$ref": f"{COMPONENTS}Work"}, "example": EXAMPLE}},
}
BODY = {
    "required": True,
    "content": {JSON: {"schema": {"type": "object", "description": "Nothing is asked for."}, "example": {}}},
}

router = Router(tags=["at work"])


@router.get(
    "/engines/{engine}/work",
    response={200: dict[str, Any]},
    summary="The engine at work, where it is worked out",
    openapi_extra={"responses": {200: ANSWER}},
)
def work(request: HttpRequest, engine: str) -> HttpResponse:
    """Clearances when hot, oil films, gas past the rings, temperatures, loads, for the readings as they stand; 404 where that is not worked out."""
    book = book_of(request, engine)
    found = result_of(book.pk, seen(book).kept)
    if found is not None and found.current:
        return as_they_are(work_json(found.work))
    state = runner.state(book.pk)
    if state is not None and state.under_way:
        raise RefusedError(404, UNDER_WAY.format(percent=state.percent), headers={"Retry-After": AGAIN_S})
    failed = f" The last try failed: {' '.join(state.failed)}" if state is not None else ""
    raise RefusedError(404, f"{NONE_YET}{failed}")


@router.post(
    "/engines/{engine}/work",
    response={202: BeingMade},
    summary="Have the engine worked out",
    openapi_extra={"requestBody": BODY},
)
def work_out(request: HttpRequest, engine: str, response: HttpResponse) -> Any:
    """Begun beside the bench for the readings as they stand, one calculation an engine: what is under way goes on. Ask by GET until it is there."""
    book = book_of(request, engine, Need.MEASURER)
    if request.content_type != JSON:
        raise RefusedError(415, f"Send {{}} as {JSON}.")
    runner.begin(book.pk, LedgerStore(book).kept())
    response["Retry-After"] = AGAIN_S
    return Status(202, BeingMade(being=BEING))
