"""Too many tries in a while are refused: by the name that was given, and by where they come from.

Counted in the database, so that a second worker or a restart forgets nothing. A try is written down before it is
looked at, so that many at the same moment all count. Names and addresses are kept as a keyed digest only: a password
typed in the wrong field leaves no trace.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from blockwright.ledger.models import Try
from blockwright.problems import BlockwrightError, Problem

WHILE = dt.timedelta(minutes=15)
KEPT = dt.timedelta(days=1)
PER_NAME, PER_PLACE = 8, 30
"""Failed tries in that while; then the next is refused unseen. A place has more: several people may share it."""


@dataclass(frozen=True)
class Counted:
    """A try that was let through to be looked at: to be `forgiven` where it turns out good."""

    rows: tuple[int, ...]

    def forgiven(self) -> None:
        """It worked: it does not count."""
        Try.objects.filter(pk__in=self.rows).update(worked=True)


def counted(request: HttpRequest, door: str, name: str = "") -> Counted:
    """Write a try down. Raises BlockwrightError (`tries`) where there were too many, by name or by place."""
    Try.objects.filter(at__lt=timezone.now() - KEPT).delete()
    keys = [(f"place:{request.META.get('REMOTE_ADDR', '')}", PER_PLACE)]
    if name:
        keys.append((f"name:{name.casefold()}", PER_NAME))
    rows = [Try.objects.create(door=door, who=_digest(key)) for key, _most in keys]
    waits = [_wait(door, row, most) for row, (_key, most) in zip(rows, keys, strict=True)]
    longest = max(waits)
    if longest > dt.timedelta(0):
        Try.objects.filter(pk__in=[row.pk for row in rows]).delete()
        raise BlockwrightError(_too_many(longest))
    return Counted(tuple(row.pk for row in rows))


def _wait(door: str, row: Try, most: int) -> dt.timedelta:
    """How long until this many failed tries have passed out of the while; nothing where there were fewer."""
    since = row.at - WHILE
    others = Try.objects.filter(door=door, who=row.who, worked=False, at__gt=since).exclude(pk=row.pk)
    latest = list(others.order_by("-at").values_list("at", flat=True)[:most])
    return latest[-1] - since if len(latest) >= most else dt.timedelta(0)


def _digest(key: str) -> str:
    return salted_hmac("blockwright.bench.tries", key, algorithm="sha256").hexdigest()


def _too_many(wait: dt.timedelta) -> Problem:
    return Problem(
        "tries", "there were too many tries that failed.", f"Wait {minutes(wait)}, then try once more, slowly."
    )


def minutes(wait: dt.timedelta) -> str:
    """A wait in words, rounded up."""
    count = max(1, math.ceil(wait.total_seconds() / 60))
    return "one minute" if count == 1 else f"{count} minutes"
