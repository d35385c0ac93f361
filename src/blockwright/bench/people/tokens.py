"""Tokens by which another program speaks for a hand, under the API's address: shown once, kept as a digest, revocable.

`Authorization: Bearer bw_…`. A token does what its hand may at each engine, no more; one that may not write only
looks; none looks after people.
"""

from __future__ import annotations

import secrets

from django.http import HttpRequest
from django.utils import timezone

from blockwright.bench.people.tablets import digest
from blockwright.ledger.models import ApiToken, Hand

MARK = "bw_"
SCHEME = "bearer"


def new_token(hand: Hand, name: str, *, may_write: bool) -> tuple[ApiToken, str]:
    """A token and its text, which is told this once."""
    text = MARK + secrets.token_urlsafe(32)
    return ApiToken.objects.create(hand=hand, name=name, token_digest=digest(text), may_write=may_write), text


def revoke(token: ApiToken) -> None:
    """It opens nothing any more."""
    token.revoked_at = timezone.now()
    token.save(update_fields=["revoked_at"])


def token_of(request: HttpRequest) -> ApiToken | None:
    """The token that was sent, where it holds and its hand is still here."""
    scheme, _, text = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != SCHEME or not text.strip().startswith(MARK):
        return None
    held = ApiToken.objects.filter(token_digest=digest(text.strip()), revoked_at=None, hand__user__is_active=True)
    return held.select_related("hand__user").prefetch_related("hand__seats").first()
