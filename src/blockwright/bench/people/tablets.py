"""Paired tablets: a token in a cookie that lasts, its digest in the ledger. A tablet opens nothing by itself; it lets hands change by PIN.

Browsers keep a cookie for 400 days at most; each change of hands renews it.
"""

from __future__ import annotations

import hashlib
import secrets
from typing import Any

from django.conf import settings
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from blockwright.bench.people.codes import PAIR, look_up, use_up
from blockwright.ledger.models import Tablet

SALT = "blockwright.bench.tablet"
LIFE_S = 400 * 24 * 3600


def cookie_name() -> str:
    """With the prefix by which a browser takes it over HTTPS alone, where that is spoken."""
    return "__Host-bw_tablet" if settings.SESSION_COOKIE_SECURE else "bw_tablet"


def pair(code: str) -> tuple[Tablet, str]:
    """The tablet that a code pairs, and its token, which is told this once. Raises BlockwrightError where the code is no good."""
    found = look_up(PAIR, code)
    use_up(found)
    token = secrets.token_urlsafe(32)
    assert found.made_by is not None
    return Tablet.objects.create(name=found.name, token_digest=digest(token), paired_by=found.made_by), token


def remember(response: HttpResponse, token: str) -> None:
    """Leave the token at the tablet."""
    kept: dict[str, Any] = {
        "max_age": LIFE_S,
        "httponly": True,
        "secure": settings.SESSION_COOKIE_SECURE,
        "samesite": "Lax",
        "path": "/",
    }
    response.set_signed_cookie(cookie_name(), token, salt=SALT, **kept)


def renew(request: HttpRequest, response: HttpResponse) -> None:
    """Let the cookie last anew."""
    token = _token(request)
    if token:
        remember(response, token)


def tablet_of(request: HttpRequest) -> Tablet | None:
    """The paired tablet that asks; None where it is none, or was struck off. Looked up once a request."""
    if not hasattr(request, "bw_tablet"):
        token = _token(request)
        found = Tablet.objects.filter(token_digest=digest(token), revoked_at=None).first() if token else None
        request.bw_tablet = found  # type: ignore[attr-defined]
    return request.bw_tablet  # type: ignore[attr-defined, no-any-return]


def strike_off(tablet: Tablet) -> None:
    """Its cookie opens nothing any more, and whoever is signed in on it by PIN is not."""
    tablet.revoked_at = timezone.now()
    tablet.save(update_fields=["revoked_at"])


def digest(token: str) -> str:
    """What the ledger keeps of a token; long and random as it is, a quick digest does."""
    return hashlib.sha256(token.encode()).hexdigest()


def _token(request: HttpRequest) -> str:
    try:
        return str(request.get_signed_cookie(cookie_name(), default="", salt=SALT, max_age=LIFE_S) or "")
    except signing.BadSignature:
        return ""
