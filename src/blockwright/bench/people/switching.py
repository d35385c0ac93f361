"""The page that says whose hands are at this tablet, and changes them."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import redirect

from blockwright.bench.addresses import Address, Need
from blockwright.bench.people import pin, sessions, tablets, tries
from blockwright.bench.people.answers import attempt, onward, page
from blockwright.bench.problems import wants_json
from blockwright.ledger.models import Hand
from blockwright.problems import BlockwrightError, Place, Problem

UNPAIRED = "Hands change by PIN only at a tablet that the owner has paired. Sign in with your password."


def hands(request: HttpRequest) -> HttpResponse:
    """Everybody with a PIN, to tap on; only at a paired tablet, elsewhere nobody's name is shown."""
    tablet = tablets.tablet_of(request)
    if request.method == "POST":
        if tablet is None:
            raise PermissionDenied(UNPAIRED)
        return attempt(request, "hands", lambda: _change_hands(request), **_here(request))
    if tablet is None:
        return redirect("own" if request.hand.signed_in else "in")  # type: ignore[attr-defined]
    return page(request, "_hands" if "part" in request.GET else "hands", **_here(request))


def _change_hands(request: HttpRequest) -> HttpResponse:
    tablet = tablets.tablet_of(request)
    counted = tries.counted(request, "pin")
    hand = _chosen(request.POST.get("hand", ""))
    pin.check_pin(hand, request.POST.get("pin", ""))
    counted.forgiven()
    sessions.sit_down(request, hand, sessions.PIN, tablet)
    said = {"name": hand.name, "token": get_token(request)}
    response: HttpResponse = JsonResponse(said) if wants_json(request) else redirect(onward(request))
    tablets.renew(request, response)
    return response


def _chosen(text: str) -> Hand:
    found = (
        Hand.objects.filter(pk=int(text), user__is_active=True)
        if text.isascii() and text.isdigit() and len(text) < 10
        else None
    )
    hand = found.select_related("user").first() if found is not None else None
    if hand is None:
        raise BlockwrightError(Problem("hand", "nobody is chosen.", "Tap a name first.", Place(field="hand")))
    return hand


def _here(request: HttpRequest) -> dict[str, Any]:
    """Who can be tapped on, and who was, for a form shown again."""
    people = Hand.objects.filter(user__is_active=True).exclude(pin_hash="")
    return {"people": people, "chosen": request.POST.get("hand", ""), "tablet": tablets.tablet_of(request)}


ADDRESSES = (Address("hands/", "hands", hands, Need.ANYONE, Need.ANYONE),)
