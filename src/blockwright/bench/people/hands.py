"""Taking somebody on, letting him go, his seats.

A hand who leaves keeps his name: it stands in the record. Nobody else can take it.
"""

from __future__ import annotations

import secrets

from django.contrib.auth import get_user_model
from django.db import IntegrityError, transaction
from django.utils import timezone

from blockwright.acts.roles import Role
from blockwright.bench.access import LONGEST_NAME
from blockwright.bench.people.codes import FIRST_LIFE, JOIN, new_code
from blockwright.bench.people.pin import clear_pin
from blockwright.ledger.models import ApiToken, Book, Hand, OneTimeCode, Seat
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

FIRST = "owner"


def proper_name(text: str, field: str = "name") -> str:
    """A name as it is kept. Raises BlockwrightError where it is blank, too long or not printable."""
    name = " ".join(text.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        what = f"“{excerpt(name)}” will not do as a name." if name else "there is no name."
        raise BlockwrightError(
            Problem("name", what, f"Write one of at most {LONGEST_NAME} letters.", Place(field=field))
        )
    return name


def take_on(name: str, *, owner: bool = False) -> Hand:
    """A new hand, who cannot sign in before he has joined by a code. Raises BlockwrightError where the name is taken."""
    kept = proper_name(name)
    taken = BlockwrightError(
        Problem("name-taken", f"there is or was a {excerpt(kept)} here.", "Take another name.", Place(field="name"))
    )
    if Hand.objects.filter(name__iexact=kept).exists():
        raise taken
    try:
        with transaction.atomic():
            user = get_user_model().objects.create_user(username=f"hand-{secrets.token_hex(8)}")
            return Hand.objects.create(user=user, name=kept, is_owner=owner)
    except IntegrityError:
        raise taken from None


def rename(hand: Hand, name: str) -> None:
    """Give him the name that he wants, before anything is on record under the old one."""
    kept = proper_name(name)
    if Hand.objects.filter(name__iexact=kept).exclude(pk=hand.pk).exists():
        raise BlockwrightError(
            Problem("name-taken", f"there is or was a {excerpt(kept)} here.", "Take another name.", Place(field="name"))
        )
    hand.name = kept
    hand.save(update_fields=["name"])


def joined(hand: Hand) -> bool:
    """Whether he has a password of his own."""
    return bool(hand.user.has_usable_password())


def let_go(hand: Hand, by: Hand | None) -> None:
    """He signs in no more; his tokens and codes die, his name stays. Raises BlockwrightError for oneself and for the last owner."""
    if by is not None and hand.pk == by.pk:
        raise BlockwrightError(Problem("let-go", "that is you.", "Another owner must do it."))
    if hand.is_owner and not _other_owners(hand):
        raise BlockwrightError(Problem("let-go", f"{hand.name} is the only owner.", "Make another one first."))
    with transaction.atomic():
        hand.user.is_active = False
        hand.user.set_unusable_password()
        hand.user.save(update_fields=["is_active", "password"])
        clear_pin(hand)
        hand.seats.all().delete()
        ApiToken.objects.filter(hand=hand, revoked_at=None).update(revoked_at=timezone.now())
        OneTimeCode.objects.filter(for_hand=hand).delete()
        OneTimeCode.objects.filter(made_by=hand, used_at=None).delete()


def take_back(hand: Hand) -> None:
    """He is here again, without seats, and joins anew by a code."""
    hand.user.is_active = True
    hand.user.save(update_fields=["is_active"])


def give_seat(hand: Hand, book: Book, role: Role | None) -> None:
    """His role at a book; None takes the seat away."""
    if role is None:
        Seat.objects.filter(hand=hand, book=book).delete()
    else:
        Seat.objects.update_or_create(hand=hand, book=book, defaults={"role": int(role)})


def first_owner_code() -> str | None:
    """A code for the first owner, good for an hour, where no owner has joined yet; None where one has."""
    owners = Hand.objects.filter(is_owner=True, user__is_active=True).select_related("user")
    if any(joined(owner) for owner in owners):
        return None
    owner = owners.first() or take_on(_free_name(), owner=True)
    return new_code(JOIN, for_hand=owner, life=FIRST_LIFE)


def _free_name() -> str:
    return FIRST if not Hand.objects.filter(name__iexact=FIRST).exists() else f"{FIRST} {secrets.token_hex(2)}"


def _other_owners(hand: Hand) -> bool:
    others = Hand.objects.filter(is_owner=True, user__is_active=True).exclude(pk=hand.pk).select_related("user")
    return any(joined(each) for each in others)
