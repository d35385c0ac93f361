"""One book as a store of acts: the job as its events make it, and a new act kept.

An act is acknowledged when it is committed, never before. Writers of one book wait for one another at the book's row; each drafts its act on the
true head, so that numbers have no gaps and the chain holds, whichever process they run in.
"""

from __future__ import annotations

import contextlib
import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import Error, transaction

from blockwright.acts.event import Event
from blockwright.acts.kept import Kept, fold
from blockwright.acts.kinds import Who
from blockwright.acts.store import proposed
from blockwright.ledger import cache
from blockwright.ledger.faults import problem_of, told
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.models.book import LONGEST_TITLE
from blockwright.ledger.models.event import LONGEST_BY, LONGEST_KEY
from blockwright.ledger.rows import event_of, row_of
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

READINGS = ("reading taken", "gap read")


@dataclass(frozen=True)
class Head:
    """The last event of a book, as the book's row notes it."""

    number: int
    digest: str


class LedgerStore:
    """The acts of one book. Cheap to make; what was folded is held for the whole process."""

    def __init__(self, book: Book) -> None:
        self.book = book

    def kept(self) -> Kept:
        """The job as the events on record make it. Raises BlockwrightError where they were altered, or the database does not answer."""
        with told("The job cannot be read from the ledger"):
            return self._kept_at(self._head())

    def events(self, after: int = 0) -> tuple[Event, ...]:
        """The events on record with a higher number, in their order. Raises BlockwrightError where they were altered."""
        with told("The events cannot be read from the ledger"):
            return self._events(after, self._head().number)

    def keep(self, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime, key: str, on: str = "") -> Event:
        """Keep one act: drafted on the true head, sealed, committed. The same key again returns the event that has it.

        With `on`, the digest of an event, it is kept only where that is still the last one. Raises BlockwrightError where the act is
        refused, or where the database did not keep it.
        """
        who = _checked(by, at, key)
        stage = "before"
        try:
            with transaction.atomic(durable=True):
                event, kept = self._drafted(kind, words, who, on)
                stage = "commit"
        except Error as fault:
            earlier, known = self._after_all(key)
            if earlier is None:
                raise BlockwrightError(_not_kept(kind, fault, sure=known or stage == "before")) from fault
            return earlier
        if kept is not None:
            cache.hold(self.book.slug, kept)
        return event

    def _drafted(self, kind: str, words: Mapping[str, Any], who: Who, on: str) -> tuple[Event, Kept | None]:
        """Within the transaction: the new event added and the job with it; or the earlier event with this key."""
        head = self._head(lock=True)
        earlier = self._with_key(who.key)
        if earlier is not None:
            return earlier, None
        if on not in ("", head.digest):
            raise BlockwrightError(_went_on(self.book))
        event, kept = proposed(self._kept_at(head), kind, words, by=who.by, at=who.at, key=who.key)
        add_events(self.book, (event,), title=kept.job.sheet.job)
        return event, kept

    def _head(self, *, lock: bool = False) -> Head:
        books = Book.objects.select_for_update() if lock else Book.objects.all()
        found = books.filter(pk=self.book.pk).values_list("head_number", "head_digest").first()
        if found is None:
            raise BlockwrightError(
                Problem("book-missing", "this job is not in the ledger.", "Open the list of engines.")
            )
        return Head(*found)

    def _kept_at(self, head: Head) -> Kept:
        """The job at a head: what is held, with the events since; folded anew where what is held does not lead there."""
        held = cache.held(self.book.slug)
        if held is not None and held.number <= head.number:
            events = self._events(held.number, head.number) if held.number < head.number else ()
            if _leads(Head(held.number, held.digest), events, head):
                return self._hold(fold(events, held) if events else held)
        cache.drop(self.book.slug)
        events = self._events(0, head.number)
        if not _leads(Head(0, ""), events, head):
            raise BlockwrightError(_altered(self.book))
        return self._hold(fold(events))

    def _hold(self, kept: Kept) -> Kept:
        cache.hold(self.book.slug, kept)
        return kept

    def _events(self, after: int, until: int) -> tuple[Event, ...]:
        rows = EventRow.objects.filter(book=self.book.pk, number__gt=after, number__lte=until).order_by("number")
        return tuple(event_of(row) for row in rows)

    def _with_key(self, key: str) -> Event | None:
        row = EventRow.objects.filter(book=self.book.pk, key=key).first()
        return event_of(row) if row else None

    def _after_all(self, key: str) -> tuple[Event | None, bool]:
        """The event, where the database had committed it before the fault came; and whether that could be found out."""
        with contextlib.suppress(Error):
            return self._with_key(key), True
        return None, False


def add_events(book: Book, events: Sequence[Event], *, title: str) -> None:
    """Within a transaction: add events at the end of a book, whose row then notes the last of them."""
    EventRow.objects.bulk_create([row_of(book, event) for event in events])
    last = events[-1]
    book.head_number, book.head_digest, book.title = last.number, last.digest, title[:LONGEST_TITLE]
    book.save(update_fields=["head_number", "head_digest", "title"])


def _leads(start: Head, events: Sequence[Event], head: Head) -> bool:
    """Whether unaltered events lead from one head to the other without a gap."""
    for event in events:
        if event.number != start.number + 1 or event.before != start.digest or not event.sound:
            return False
        start = Head(event.number, event.digest)
    return start == head


def _checked(by: str, at: dt.datetime, key: str) -> Who:
    problems = []
    for field, text, longest in (("by", by, LONGEST_BY), ("key", key, LONGEST_KEY)):
        if not text.strip() or len(text) > longest or not text.isprintable():
            problems.append(Problem("act-who", f"'{excerpt(text)}' will not do here.",
                                    f"Between 1 and {longest} letters and signs.", Place(field=field)))  # fmt: skip
    if at.tzinfo is None:
        problems.append(
            Problem("act-when", "the time has no zone.", "Write it so: 2026-05-04T09:30:00+02:00", Place(field="at"))
        )
    if problems:
        raise BlockwrightError(problems)
    return Who(by=by, at=at, key=key)


def _not_kept(kind: str, fault: Error, *, sure: bool) -> Problem:
    lead = "The reading was NOT kept" if kind in READINGS else f"This was NOT kept ({kind})"
    if sure:
        return problem_of(fault, lead, "Nothing was written.")
    lead = lead.replace("was NOT kept", "may NOT have been kept", 1)
    return problem_of(fault, lead, "Send it again: what was kept is not kept twice.")


def _went_on(book: Book) -> Problem:
    what = f"more was put on record of '{excerpt(book.title)}' since."
    return Problem("event-since", what, "Nothing was written. Look at it as it is now, then do it again.")


def _altered(book: Book) -> Problem:
    what = f"the record of '{excerpt(book.title)}' was altered outside this program, or a part of it is missing."
    return Problem("event-chain", what, "'blockwright ledger verify' says where. Put back the last good backup.")
