"""Passwords: what is asked of one, setting it, and telling whether it is right.

Long rather than odd: ten signs, none of the much used ones, not his own name. Kept by Argon2.
"""

from __future__ import annotations

from django.contrib.auth import authenticate
from django.contrib.auth.password_validation import (
    CommonPasswordValidator,
    MinimumLengthValidator,
    NumericPasswordValidator,
)
from django.core.exceptions import ValidationError
from django.http import HttpRequest

from blockwright.ledger.models import Hand
from blockwright.problems import BlockwrightError, Place, Problem

SHORTEST, LONGEST = 10, 200
RULES = (MinimumLengthValidator(SHORTEST), CommonPasswordValidator(), NumericPasswordValidator())
NOBODY = "\N{NO-BREAK SPACE}"
"""No user has this name: asked for where a hand is unknown, so that the answer takes as long as for one that is known."""


def set_password(hand: Hand, password: str, again: str) -> None:
    """Set it. Raises BlockwrightError where the two differ or it is too easy. Sessions by the old one end."""
    problem = fault(hand, password, again)
    if problem is not None:
        raise BlockwrightError(problem)
    hand.user.set_password(password)
    hand.user.save(update_fields=["password"])


def fault(hand: Hand, password: str, again: str) -> Problem | None:
    """What is wrong with a password; None where it will do."""
    place = Place(field="password")
    if password != again:
        return Problem("password", "the two passwords differ.", "Type the same one twice.", Place(field="again"))
    if len(password) > LONGEST:
        return Problem("password", "the password is too long.", f"Take at most {LONGEST} signs.", place)
    if hand.name.casefold() in password.casefold():
        return Problem("password", "the password has the name in it.", "Take one that does not.", place)
    try:
        for rule in RULES:
            rule.validate(password)
    except ValidationError:
        mend = f"Take {SHORTEST} signs or more, not digits alone, and none that everybody takes: three or four words do well."
        return Problem("password", "that password is too easy.", mend, place)
    return None


def right(request: HttpRequest, name: str, password: str) -> Hand | None:
    """The hand of this name whose password it is; None where either is wrong, or he has left."""
    hand = Hand.objects.filter(name__iexact=" ".join(name.split())).select_related("user").first()
    username = hand.user.get_username() if hand is not None else NOBODY
    user = authenticate(request, username=username, password=password[: LONGEST + 1])
    return hand if user is not None and hand is not None and user.pk == hand.user.pk else None
