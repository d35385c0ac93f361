"""Pages: signing in and out, joining by a code, one's own password and PIN."""

from __future__ import annotations

from typing import Any

from django.contrib.auth import update_session_auth_hash
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from blockwright.bench.addresses import Address, Need
from blockwright.bench.people import codes, hands, passwords, pin, sessions, tablets, tries
from blockwright.bench.people.answers import attempt, me, onward, page
from blockwright.ledger.models import Hand, Seat
from blockwright.problems import BlockwrightError, Place, Problem

WRONG = "that name and password do not go together."


def sign_in(request: HttpRequest) -> HttpResponse:
    """By name and password; a paired tablet is sent to its hands first."""
    if request.method == "POST":
        return attempt(request, "in", lambda: _sign_in(request), name=request.POST.get("name", ""))
    if tablets.tablet_of(request) is not None and "password" not in request.GET:
        return redirect(f"{reverse('hands')}?{request.GET.urlencode()}")
    return page(request, "in")


def _sign_in(request: HttpRequest) -> HttpResponse:
    name = request.POST.get("name", "")
    counted = tries.counted(request, "in", " ".join(name.split()))
    hand = passwords.right(request, name, request.POST.get("password", ""))
    if hand is None:
        mend = "Look at the name, and type the password again. If it is lost, the owner makes you a code to join anew."
        raise BlockwrightError(Problem("sign-in", WRONG, mend, Place(field="password")))
    counted.forgiven()
    pin.unlock(hand)
    sessions.sit_down(request, hand, sessions.PASSWORD)
    return redirect(onward(request))


def sign_out(request: HttpRequest) -> HttpResponse:
    """Nobody is signed in here any more."""
    sessions.stand_up(request)
    return redirect("hands" if tablets.tablet_of(request) is not None else "in")


def join(request: HttpRequest) -> HttpResponse:
    """With a code from the owner, or from the terminal: one's own password, and the name if one was never signed in."""
    if request.method == "POST":
        return attempt(request, "join", lambda: _join(request), name=request.POST.get("name", ""))
    return page(request, "join")


def _join(request: HttpRequest) -> HttpResponse:
    counted = tries.counted(request, codes.JOIN)
    code = codes.look_up(codes.JOIN, request.POST.get("code", ""))
    counted.forgiven()
    hand = code.for_hand
    assert hand is not None
    with transaction.atomic():
        if hand.user.last_login is None and request.POST.get("name", "").strip():
            hands.rename(hand, request.POST["name"])
        passwords.set_password(hand, request.POST.get("password", ""), request.POST.get("again", ""))
        codes.use_up(code)
    pin.unlock(hand)
    sessions.sit_down(request, hand, sessions.PASSWORD)
    return redirect("own")


def own(request: HttpRequest) -> HttpResponse:
    """One's own: what one may do where, a new password, a PIN."""
    hand = me(request)
    if request.method == "POST":
        return attempt(request, "own", lambda: _change(request, hand), **_of(hand))
    return page(request, "own", **_of(hand), done=request.GET.get("done", ""))


def _change(request: HttpRequest, hand: Hand) -> HttpResponse:
    """Both changes ask for the password: a tablet left lying with a name in use must not give it away."""
    what = "pin" if request.POST.get("do") == "pin" else "password"
    field = f"{what}_old"
    counted = tries.counted(request, "in", hand.name)
    if passwords.right(request, hand.name, request.POST.get("old", "")) is None:
        raise BlockwrightError(Problem("sign-in", "that is not your password.", "Type it again.", Place(field=field)))
    counted.forgiven()
    if what == "pin":
        pin.set_pin(hand, request.POST.get("pin", ""))
    else:
        passwords.set_password(hand, request.POST.get("password", ""), request.POST.get("again", ""))
        update_session_auth_hash(request, hand.user)
    return redirect(f"{reverse('own')}?done={what}")


def _of(hand: Hand) -> dict[str, Any]:
    return {"me": hand, "seats": Seat.objects.filter(hand=hand).select_related("book")}


ADDRESSES = (
    Address("in/", "in", sign_in, Need.ANYONE, Need.ANYONE),
    Address("out/", "out", sign_out, None, Need.ANYONE),
    Address("join/", "join", join, Need.ANYONE, Need.ANYONE),
    Address("hands/own/", "own", own, Need.SIGNED_IN, Need.SIGNED_IN),
)
