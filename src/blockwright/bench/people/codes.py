"""Codes that work once and for a while: to join (the hand sets his own password with it) and to pair a tablet.

Sixteen letters and digits out of 31 that nobody mixes up, four to a group: 79 bits. Kept as a digest. In an address a
code stands behind the `#`, which browsers do not send: it reaches no log and no other page.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import secrets

from django.db.models import QuerySet
from django.utils import timezone

from blockwright.ledger.models import Hand, OneTimeCode
from blockwright.problems import BlockwrightError, Place, Problem

LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
GROUPS, GROUP = 4, 4
JOIN, PAIR = "join", "pair"
LIFE = {JOIN: dt.timedelta(days=3), PAIR: dt.timedelta(minutes=10)}
FIRST_LIFE = dt.timedelta(hours=1)


def new_code(
    door: str, *, by: Hand | None = None, for_hand: Hand | None = None, name: str = "", life: dt.timedelta | None = None
) -> str:
    """A fresh code; those made before for the same hand, or by the same owner for a tablet, work no more."""
    same = {"for_hand": for_hand} if for_hand is not None else {"made_by": by}
    OneTimeCode.objects.filter(door=door, used_at=None, **same).delete()
    text = "-".join("".join(secrets.choice(LETTERS) for _ in range(GROUP)) for _ in range(GROUPS))
    until = timezone.now() + (life or LIFE[door])
    OneTimeCode.objects.create(
        door=door, code_digest=_digest(text), made_by=by, for_hand=for_hand, name=name, until=until
    )
    return text


def look_up(door: str, text: str) -> OneTimeCode:
    """The code, not yet used up. Raises BlockwrightError (`code`) where it is wrong, used, or too old: which of them is not told."""
    found = _open(door).filter(code_digest=_digest(text)).select_related("for_hand__user", "made_by").first()
    if found is None:
        raise BlockwrightError(_no_good())
    return found


def use_up(code: OneTimeCode) -> None:
    """Of several who use a code at the same moment, one gets through. Raises BlockwrightError for the others."""
    if _open(code.door).filter(pk=code.pk).update(used_at=timezone.now()) != 1:
        raise BlockwrightError(_no_good())


def any_open(door: str) -> bool:
    """Whether some code for this door waits to be used."""
    return _open(door).exists()


def _open(door: str) -> QuerySet[OneTimeCode]:
    return OneTimeCode.objects.filter(door=door, used_at=None, until__gt=timezone.now())


def _digest(text: str) -> str:
    plain = "".join(text.lower().replace("-", " ").split())
    return hashlib.sha256(plain.encode()).hexdigest()


def _no_good() -> Problem:
    what = "that code is not, or no longer, good."
    return Problem("code", what, "Type it again; if it stays so, have the owner make a new one.", Place(field="code"))
