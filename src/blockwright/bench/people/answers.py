"""What the pages about people have in common: where to go on to, and a form shown again with what was wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

from blockwright.bench.problems import capitals, refused, wants_json
from blockwright.ledger.models import Hand
from blockwright.problems import BlockwrightError

TOO_MANY, UNUSABLE = 429, 422


def onward(request: HttpRequest, otherwise: str = "/") -> str:
    """Where to go on to: `next`, if it lies in this bench."""
    to = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(to, {request.get_host()}, require_https=request.is_secure())
    return to if to and ours else otherwise


def attempt(request: HttpRequest, template: str, act: Callable[[], HttpResponse], **words: Any) -> HttpResponse:
    """What `act` answers; where it is refused, the page again with every problem at its field."""
    try:
        return act()
    except BlockwrightError as error:
        status = TOO_MANY if error.problems[0].code == "tries" else UNUSABLE
        if wants_json(request):
            return refused(request, error, status)
        return page(request, template, status, **words, **faults(error))


def page(request: HttpRequest, template: str, status: int = 200, **words: Any) -> HttpResponse:
    """A page about people, with where it leads on to."""
    return render(request, f"bench/people/{template}.html", {"next": onward(request, ""), **words}, status=status)


def faults(error: BlockwrightError) -> Mapping[str, Any]:
    """The problems for a form: `problems`, and `fault` by field."""
    problems = capitals(error.problems)
    return {"problems": problems, "fault": {each["field"]: each for each in problems if each["field"]}}


def me(request: HttpRequest) -> Hand:
    """The hand who asks; only behind a guard that lets nobody else through."""
    return Hand.objects.select_related("user").get(pk=request.hand.hand_id)  # type: ignore[attr-defined]
