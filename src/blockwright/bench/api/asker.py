"""Who asks: the hand of a token, or, where nobody logs in, whoever sits at this machine.

No cookie counts here, so that no page elsewhere can make a browser act in somebody's name. In local mode there is no secret to send; what keeps
other pages out there is `secure.doors` (only this machine, only by its own names, nothing that bears another page's origin), and that nothing
which acts is sent in one of the three kinds of content that a form can send.
"""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from ninja.security import HttpBearer

from blockwright.acts.roles import Role
from blockwright.bench.access import NOBODY_NAMED, STRANGER, Actor
from blockwright.bench.api.refusing import RefusedError
from blockwright.bench.people import tries
from blockwright.bench.people.acting import actor_of
from blockwright.bench.secure.doors import from_this_machine
from blockwright.problems import BlockwrightError

DOOR = "api"
LOCAL = Actor(NOBODY_NAMED, is_owner=True, everywhere=Role.OWNER)
NO_TOKEN = "Send a token: Authorization: Bearer bw_…. An owner of the shop makes one under People."
NOT_HOLDING = "This token does not hold. It may have been revoked, or cut short in copying."


class Bearer(HttpBearer):
    """`Authorization: Bearer bw_…`. A token that is sent is held to, in local mode too."""

    def __call__(self, request: HttpRequest) -> Actor:
        """The actor, who is then the request's. Raises RefusedError."""
        sent = request.headers.get(self.header)
        request.hand = actor = without_token(request) if sent is None else self.authenticate(request, sent)  # type: ignore[attr-defined]
        return actor

    def authenticate(self, request: HttpRequest, token: str) -> Actor:
        """The actor of the token in the header. A failed one is counted; one that holds never waits for what others failed at."""
        actor = actor_of(request)
        if actor.signed_in:
            return actor
        try:
            tries.counted(request, DOOR)
        except BlockwrightError as error:
            wait = str(int(tries.WHILE.total_seconds()))
            raise RefusedError(429, str(error), error.problems, {"Retry-After": wait}) from None
        raise RefusedError(401, NOT_HOLDING)


def without_token(request: HttpRequest) -> Actor:
    """The one bench of local mode. Raises RefusedError in a shop, or for another machine."""
    actor = STRANGER if settings.SHOP or not from_this_machine(request) else LOCAL
    if not actor.signed_in:
        raise RefusedError(401, NO_TOKEN)
    return actor
