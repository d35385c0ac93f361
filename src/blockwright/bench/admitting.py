"""Who may do an act at a book, whichever way it comes in: by role, and where it names a second pair of eyes, by that hand's PIN."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from blockwright.bench.access import hand_of
from blockwright.bench.acting import Said
from blockwright.bench.route.eyes import check_eyes
from blockwright.ledger.models import Book

SIGNED = "step signed"


def admit(request: HttpRequest, book: Book, said: Said) -> None:
    """Nothing where the act may be done. Raises PermissionDenied over the role, BlockwrightError over the second pair of eyes."""
    role = hand_of(request).role_at(book)
    if role is None or role < said.kind.role:
        raise PermissionDenied(f"'{said.kind.name}' needs a higher role at this engine.")
    if said.kind.name == SIGNED:
        check_eyes(request, book, str(said.words.get("eyes", "")), said.pin)
