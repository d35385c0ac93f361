"""Signing in and out, and the end of what nobody uses.

A session knows how its hand came in. By password: at any machine, until eight hours went by without use, seven days
at most. By PIN: at a paired tablet only, until half an hour went by without use or twelve hours in all, or until the
tablet is struck off or the PIN changed. The page's own look for news every few seconds is no use.
"""

from __future__ import annotations

import hashlib
import time
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse

from blockwright.ledger.models import Hand, Tablet

PASSWORD, PIN = "password", "pin"
IDLE_S = {PASSWORD: 8 * 3600, PIN: 30 * 60}
LONGEST_S = {PASSWORD: 7 * 24 * 3600, PIN: 12 * 3600}
NOTED_EVERY_S = 60
"""A use is noted at most this often: a reading does not wait for a write that nobody needs."""
NO_USE = "/news/"
BACKEND = "django.contrib.auth.backends.ModelBackend"
BY, BEGUN, USED, TABLET, SEAL = "bw_by", "bw_begun", "bw_used", "bw_tablet", "bw_seal"


def sit_down(request: HttpRequest, hand: Hand, by: str, tablet: Tablet | None = None) -> None:
    """Sign a hand in; whoever was signed in here is not any more."""
    logout(request)
    request.session.clear_expired()
    login(request, hand.user, backend=BACKEND)
    now = int(time.time())
    request.session.update({BY: by, BEGUN: now, USED: now, SEAL: _seal(hand)})
    if tablet is not None:
        request.session[TABLET] = tablet.pk


def stand_up(request: HttpRequest) -> None:
    """Sign out: the session is gone from the database, too."""
    logout(request)


def by_password(request: HttpRequest) -> bool:
    """Whether the hand of this session gave his password."""
    return bool(request.session.get(BY) == PASSWORD)


def hand_in_session(request: HttpRequest) -> Hand | None:
    """The hand who is signed in and still here."""
    user: Any = request.user
    if not user.is_authenticated:
        return None
    hand = Hand.objects.filter(user_id=user.pk, user__is_active=True).prefetch_related("seats").first()
    return hand if hand is not None and (by_password(request) or _pin_holds(request, hand)) else None


def _pin_holds(request: HttpRequest, hand: Hand) -> bool:
    """A PIN is good at its tablet, as long as both stand."""
    from blockwright.bench.people.tablets import tablet_of

    tablet = tablet_of(request)
    return tablet is not None and request.session.get(TABLET) == tablet.pk and request.session.get(SEAL) == _seal(hand)


def _seal(hand: Hand) -> str:
    return hashlib.sha256(hand.pin_hash.encode()).hexdigest()[:16]


class Idle:
    """Ends a session that went unused for too long, before anybody asks whose it is."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, with whoever is still here."""
        if settings.SHOP and BY in request.session:
            _note(request, int(time.time()))
        return self.answer(request)


def _note(request: HttpRequest, now: int) -> None:
    session = request.session
    by, used, begun = session[BY], session.get(USED, 0), session.get(BEGUN, 0)
    if now - used > IDLE_S.get(by, 0) or now - begun > LONGEST_S.get(by, 0):
        logout(request)
    elif now - used >= NOTED_EVERY_S and not request.path.endswith(NO_USE):
        session[USED] = now
