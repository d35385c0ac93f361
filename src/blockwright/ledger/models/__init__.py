"""The tables of the ledger."""

from blockwright.ledger.models.book import Attachment, Book, BookAttachment, new_slug
from blockwright.ledger.models.event import EventRow
from blockwright.ledger.models.people import ApiToken, Hand, OneTimeCode, Seat, Tablet, Try

__all__ = [
    "ApiToken",
    "Attachment",
    "Book",
    "BookAttachment",
    "EventRow",
    "Hand",
    "OneTimeCode",
    "Seat",
    "Tablet",
    "Try",
    "new_slug",
]
