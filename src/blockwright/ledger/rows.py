"""An event ↔ its row. The row holds the very letters that the digest is over."""

from __future__ import annotations

import datetime as dt
import json

from blockwright.acts.event import Event, canonical
from blockwright.ledger.models import Book, EventRow
from blockwright.problems import BlockwrightError, Problem


def row_of(book: Book, event: Event) -> EventRow:
    """A row for the event, not yet added."""
    return EventRow(book=book, number=event.number, kind=event.kind, at=event.at.isoformat(), by=event.by, key=event.key,
                    body=canonical(event.body), before=event.before, digest=event.digest)  # fmt: skip


def event_of(row: EventRow) -> Event:
    """The event in a row. Raises BlockwrightError where the row holds none."""
    try:
        at, body = dt.datetime.fromisoformat(row.at), json.loads(row.body)
    except ValueError:
        at, body = None, None
    if at is None or at.tzinfo is None or not isinstance(body, dict):
        raise BlockwrightError(_altered(row))
    event = Event(row.number, row.kind, at, row.by, row.key, body, row.before, row.digest)
    if at.isoformat() != row.at or canonical(body) != row.body:
        raise BlockwrightError(_altered(row))
    return event


def _altered(row: EventRow) -> Problem:
    what = f"event {row.number} ({row.kind}): it was altered after it was recorded: it is not written as events are."
    return Problem("event-chain", what, "Put back the last good backup.")
