"""What was refused, in the form that the asker understands: a part of a page, a page, or problem+json (RFC 9457)."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from blockwright.ledger.faults import LEDGER
from blockwright.problems import BlockwrightError, Problem

PROBLEM_JSON = "application/problem+json"
REFUSED, AWAY = 422, 503
"""Input that cannot be used; the ledger does not answer now, and the same may be sent again."""
TRY_AGAIN_S = 3
JSON_ONLY = ("acts", "news", "photos")


def refused(request: HttpRequest, error: BlockwrightError, unusable: int = REFUSED) -> HttpResponse:
    """The answer to input that cannot be used, with every problem, its mend and the field it belongs to; 503 where the ledger is at fault."""
    away = any(problem.code == LEDGER for problem in error.problems)
    status = AWAY if away else unusable
    if wants_json(request):
        title = "The ledger does not answer." if away else "That cannot be kept."
        answer: HttpResponse = problem_json(title, str(error), error.problems, status)
    else:
        part = bool(request.headers.get("HX-Request"))
        template = "bench/_problems.html" if part else "bench/refused.html"
        answer = render(request, template, {"problems": capitals(error.problems)}, status=status)
    if away:
        answer["Retry-After"] = str(TRY_AGAIN_S)
    return answer


def problem_json(title: str, detail: str, problems: Iterable[Problem] = (), status: int = REFUSED) -> JsonResponse:
    """A problem+json answer."""
    said = {"title": title, "status": status, "detail": detail, "problems": [as_json(each) for each in problems]}
    return JsonResponse(said, status=status, content_type=PROBLEM_JSON)


def as_json(problem: Problem) -> dict[str, Any]:
    """One problem for a machine; file and line only where it has them."""
    place = problem.place
    said: dict[str, Any] = {"code": problem.code, "what": problem.what, "mend": problem.mend, "field": place.field}
    return said | ({"file": place.file} if place.file else {}) | ({"line": place.line} if place.line else {})


def wants_json(request: HttpRequest) -> bool:
    """Whether the asker speaks JSON: he sent it, asks for it and not for a page, or is at an address that speaks nothing else."""
    at = request.resolver_match
    if at is not None and at.view_name in JSON_ONLY:
        return True
    accepts = request.headers.get("Accept", "")
    sent = request.content_type == "application/json"
    return sent or ("json" in accepts and "text/html" not in accepts)


def capitals(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """Problems as sentences for a page."""
    return [
        {"what": p.what[:1].upper() + p.what[1:], "mend": p.mend, "at": str(p.place), "field": p.place.field, "code": p.code}
        for p in problems
    ]  # fmt: skip
