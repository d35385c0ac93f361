"""PINs: four to eight digits, for a quick change of hands at a paired tablet; good for nothing anywhere else.

Five wrong ones in a row lock it, for a quarter of an hour, then for twice as long each time, a day at most; the
password opens it at once. A try is counted before it is looked at, so that many at the same moment all count.
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone

from blockwright.bench.people.tries import minutes
from blockwright.ledger.models import Hand
from blockwright.problems import BlockwrightError, Place, Problem

SHORTEST, LONGEST = 4, 8
TRIES = 5
FIRST_LOCK, LONGEST_LOCK = dt.timedelta(minutes=15), dt.timedelta(days=1)
PLACE = Place(field="pin")


def set_pin(hand: Hand, pin: str) -> None:
    """Set it. Raises BlockwrightError where it is none or one that everybody would try first."""
    if not (pin.isascii() and pin.isdigit() and SHORTEST <= len(pin) <= LONGEST):
        raise BlockwrightError(Problem("pin", "a PIN has four to eight digits.", "Choose one.", PLACE))
    if easy(pin):
        raise BlockwrightError(
            Problem("pin", "that PIN is the first that anybody would try.", "Choose another.", PLACE)
        )
    hand.pin_hash = make_password(pin)
    hand.pin_tries, hand.locked_until = 0, None
    hand.save(update_fields=["pin_hash", "pin_tries", "locked_until"])


def easy(pin: str) -> bool:
    """All alike, or counting up or down."""
    return {int(b) - int(a) for a, b in pairwise(pin)} in ({0}, {1}, {-1})


def clear_pin(hand: Hand) -> None:
    """Leave him without one: he signs in by password."""
    hand.pin_hash, hand.pin_tries, hand.locked_until = "", 0, None
    hand.save(update_fields=["pin_hash", "pin_tries", "locked_until"])


def unlock(hand: Hand) -> None:
    """Forget wrong tries: he has given his password."""
    Hand.objects.filter(pk=hand.pk).update(pin_tries=0, locked_until=None)


def check_pin(hand: Hand, pin: str) -> None:
    """Nothing where it is right. Raises BlockwrightError where it is wrong, locked, or there is none."""
    if not hand.pin_hash:
        mend = "Sign in with the password, and set one under “Your own”."
        raise BlockwrightError(Problem("pin-none", f"{hand.name} has no PIN yet.", mend, PLACE))
    _count(hand)
    if not check_password(pin, hand.pin_hash):
        raise BlockwrightError(_wrong(hand))
    unlock(hand)


def _count(hand: Hand) -> None:
    """Count a try, and lock with it if it is the last of five. Raises BlockwrightError where it is locked already."""
    now = timezone.now()
    with transaction.atomic():
        free = Hand.objects.filter(Q(locked_until=None) | Q(locked_until__lte=now), pk=hand.pk)
        if free.update(pin_tries=F("pin_tries") + 1) != 1:
            hand.refresh_from_db()
            raise BlockwrightError(_locked(hand, now))
        hand.refresh_from_db()
        if hand.pin_tries % TRIES == 0:
            hand.locked_until = now + lock_after(hand.pin_tries)
            hand.save(update_fields=["locked_until"])


def lock_after(tries: int) -> dt.timedelta:
    """How long so many wrong ones in a row lock."""
    turns = min(tries // TRIES - 1, 10)
    return min(FIRST_LOCK * (1 << turns), LONGEST_LOCK)


def _wrong(hand: Hand) -> Problem:
    left = TRIES - hand.pin_tries % TRIES
    if left == TRIES:
        return _locked(hand, timezone.now())
    more = "one more try" if left == 1 else f"{left} more tries"
    return Problem("pin-wrong", "that is not the PIN.", f"There {'is' if left == 1 else 'are'} {more}.", PLACE)


def _locked(hand: Hand, now: dt.datetime) -> Problem:
    wait = minutes((hand.locked_until or now) - now)
    mend = f"Sign in with the password, or wait {wait}."
    return Problem("pin-locked", f"too many wrong PINs for {hand.name}: it is locked.", mend, PLACE)
