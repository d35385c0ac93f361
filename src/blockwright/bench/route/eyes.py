"""The second pair of eyes: in a shop another hand proves by his PIN that he looked; at a bench of one's own his name is enough."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest

from blockwright.bench.people import pin, tries
from blockwright.ledger.models import Book, Hand, Seat
from blockwright.problems import BlockwrightError, Place, Problem

PLACE = Place(field="eyes")


def check_eyes(request: HttpRequest, book: Book, eyes: str, typed: str) -> None:
    """Nothing where the name is proved. Raises BlockwrightError (`eyes`) where in a shop nobody of that name has a seat here, or the PIN is wrong."""
    if not settings.SHOP or not eyes.strip():
        return
    counted = tries.counted(request, "pin", eyes)
    try:
        pin.check_pin(_hand(book, eyes), typed)
    except BlockwrightError as error:
        raise BlockwrightError(Problem(each.code, each.what, each.mend, PLACE) for each in error.problems) from None
    counted.forgiven()


def lookers(book: Book, but: int | None) -> list[str]:
    """Names of those with a seat and a PIN who may look besides the signer; nobody where there is no shop."""
    if not settings.SHOP:
        return []
    return sorted(hand.name for hand in _seated(book) if hand.pk != but)


def _seated(book: Book) -> list[Hand]:
    held = Seat.objects.filter(book=book, hand__user__is_active=True).select_related("hand__user")
    return [seat.hand for seat in held if seat.hand.pin_hash]


def _hand(book: Book, name: str) -> Hand:
    wanted = " ".join(name.split()).casefold()
    found = next((hand for hand in _seated(book) if hand.name.casefold() == wanted), None)
    if found is None:
        what = "nobody of that name has a seat at this engine and a PIN."
        raise BlockwrightError(Problem("sign-eyes", what, "Choose somebody who has.", PLACE))
    return found
