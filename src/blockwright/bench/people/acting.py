"""Who acts in a request, in shop mode: a program by its token, under the API's address alone; else the hand of the session."""

from __future__ import annotations

from django.http import HttpRequest

from blockwright.acts.roles import Role
from blockwright.bench.access import STRANGER, Actor
from blockwright.bench.people.sessions import by_password, hand_in_session
from blockwright.bench.people.tokens import token_of
from blockwright.ledger.models import ApiToken, Hand

API = "/api/"


def actor_of(request: HttpRequest) -> Actor:
    """The actor; a stranger where nobody said who he is. A token that is sent and does not hold is a stranger, whatever the session says."""
    if request.path.startswith(API) and "Authorization" in request.headers:
        token = token_of(request)
        return STRANGER if token is None else _by_token(token)
    hand = hand_in_session(request)
    return STRANGER if hand is None else _by_session(hand, strong=by_password(request))


def _by_session(hand: Hand, *, strong: bool) -> Actor:
    """An owner who came by PIN works at every engine, but looks after people only once he gave his password."""
    everywhere = Role.OWNER if hand.is_owner else None
    return Actor(
        hand.name, hand_id=hand.pk, is_owner=hand.is_owner and strong, everywhere=everywhere, seats=seats_of(hand)
    )


def _by_token(token: ApiToken) -> Actor:
    """A token never looks after people; one that may not write only looks."""
    most = Role.OWNER if token.may_write else Role.VIEWER
    seats = {book: min(role, most) for book, role in seats_of(token.hand).items()}
    everywhere = most if token.hand.is_owner else None
    return Actor(token.hand.name, hand_id=token.hand.pk, everywhere=everywhere, seats=seats)


def seats_of(hand: Hand) -> dict[int, Role]:
    """His role by the id of the book."""
    return {seat.book_id: Role(seat.role) for seat in hand.seats.all()}
