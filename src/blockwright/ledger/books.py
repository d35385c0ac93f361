"""Books: found by what a person calls them, opened from the texts of a job, and given out again without loss."""

from __future__ import annotations

import datetime as dt
import secrets
from collections import Counter
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from django.db import transaction

from blockwright.acts.event import Event, event_line
from blockwright.acts.kept import EVENTS_FILE, Kept, events_of_folder, fold, start
from blockwright.acts.kinds.whole import BROUGHT
from blockwright.acts.store import proposed
from blockwright.ledger import cache
from blockwright.ledger.attachments import FOLDER, files_of, keep_file
from blockwright.ledger.faults import told
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.store import LedgerStore, add_events
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

NONE: Mapping[str, bytes] = MappingProxyType({})
CALLED = "job"
LIST = "'blockwright ledger list' shows them all."


def open_book(
    texts: Mapping[str, str], by: str, attachments: Mapping[str, bytes] = NONE, *, name: str = CALLED, mark: str = ""
) -> Book:
    """A new book from the files of a job folder, by file name; `name` is the folder's. A text may begin with a byte-order mark.

    With `mark`, at most 64 signs that no other book was opened with; one that was refuses (`opened_with` finds that book).

    Where `events.jsonl` is among the texts, its events are checked and kept as they are; where the other files say otherwise than the events, one
    more event says what they say. Raises BlockwrightError with all problems of all files, or where the database kept nothing.
    """
    files = {file: text for file, text in texts.items() if file != EVENTS_FILE}
    events, kept = _brought_in(events_of_folder(texts), files, name, by)
    _check_keys(events)
    with told("The job was NOT brought in", "Nothing was written."), transaction.atomic(durable=True):
        book = Book(title="", opened_mark=mark or None)
        book.save(force_insert=True)
        add_events(book, events, title=kept.job.sheet.job)
        for file, content in attachments.items():
            keep_file(book, file, content)
    cache.hold(book.slug, kept)
    return book


def opened_with(mark: str) -> Book | None:
    """The book that was opened with a mark; None where there is none."""
    with told("The ledger cannot be read"):
        return Book.objects.filter(opened_mark=mark).first() if mark else None


def bring_back(book: Book, texts: Mapping[str, str], by: str, attachments: Mapping[str, bytes] = NONE) -> Event | None:
    """What was changed in the files of a book while they were out, as one event; None where nothing was.

    Raises BlockwrightError where more was put on record since they were taken out: that would be lost from sight.
    """
    events = events_of_folder(texts)
    files = {file: text for file, text in texts.items() if file != EVENTS_FILE}
    store = LedgerStore(book)
    kept = fold(events)
    for file, content in attachments.items():
        keep_file(book, file, content)
    if kept.texts() == files:
        return None
    words = {"name": kept.base.path.name, "texts": files}
    return store.keep(BROUGHT, words, by=by, at=now(), key=_fresh_key(), on=kept.digest)


def book_of_events(events: Sequence[Event]) -> Book | None:
    """The book that these events were taken out of: it begins as they do."""
    if not events:
        return None
    row = EventRow.objects.filter(number=1, digest=events[0].digest).select_related("book").first()
    return row.book if row else None


def export_texts(book: Book) -> dict[str, bytes]:
    """Every file of a book, by its path in the job folder: the job's own, `events.jsonl`, and those in `attachments`.

    Raises BlockwrightError where the events on record were altered.
    """
    store = LedgerStore(book)
    kept = store.kept()
    lines = [f"{event_line(event)}\n" for event in store.events() if event.number <= kept.number]
    texts = {file: text.encode() for file, text in kept.texts().items()}
    files = {f"{FOLDER}/{name}": content for name, content in files_of(book).items()}
    return {**texts, EVENTS_FILE: "".join(lines).encode(), **files}


def find_book(called: str) -> Book:
    """The book of a slug, of the beginning of one, or of a title. Raises BlockwrightError where there is none, or more than one."""
    called = called.strip()
    with told("The ledger cannot be read"):
        exact = Book.objects.filter(slug=called).first()
        found = [exact] if exact else [book for book in Book.objects.all() if called and _is_called(book, called)]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(f"{book.slug} ({excerpt(book.title)})" for book in found[:8])
        what = f"'{excerpt(called)}' may be any of {names}."
        raise BlockwrightError(Problem("book-unclear", what, "Write more of it.", Place(field="book")))
    raise BlockwrightError(Problem("book-missing", f"there is no book '{excerpt(called)}'.", LIST, Place(field="book")))


def now() -> dt.datetime:
    """The time, with the zone of this machine."""
    return dt.datetime.now().astimezone().replace(microsecond=0)


def _is_called(book: Book, called: str) -> bool:
    return book.slug.startswith(called) or book.title.casefold() == called.casefold()


def _brought_in(
    events: tuple[Event, ...], files: Mapping[str, str], name: str, by: str
) -> tuple[tuple[Event, ...], Kept]:
    """The events of a new book, and the job with them."""
    kept = fold(events) if events else start(name, files)
    if events and kept.texts() == files:
        return events, kept
    words = {"name": kept.base.path.name or name, "texts": dict(files)}
    event, kept = proposed(kept, BROUGHT, words, by=by, at=now(), key=_fresh_key())
    return (*events, event), kept


def _check_keys(events: Sequence[Event]) -> None:
    twice = [key for key, times in Counter(event.key for event in events).items() if times > 1]
    if twice:
        what = f"two events bear the mark '{excerpt(twice[0])}'; each act has one of its own."
        raise BlockwrightError(Problem("event-chain", what, "Take the file from the export again.", Place(EVENTS_FILE)))


def _fresh_key() -> str:
    return secrets.token_hex(8)
