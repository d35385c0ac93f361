"""How far the assembly of a book has got, worked out once for each number of the book."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from blockwright.acts.kept import Kept
from blockwright.choices.route.progress import Progress
from blockwright.choices.route.whole import route_progress
from blockwright.jobfile.attachments import lost_among
from blockwright.ledger.models import Book, BookAttachment
from blockwright.ledger.store import LedgerStore

MOST_BOOKS = 12
Key = tuple[int, str, tuple[tuple[str, str], ...]]
_held: OrderedDict[int, tuple[Key, Progress]] = OrderedDict()
_lock = Lock()


def progress_now(book: Book) -> tuple[Kept, Progress]:
    """What is kept of a book, and how far its assembly has got; a photo that is missing or altered opens its step again."""
    kept = LedgerStore(book).kept()
    lost = lost_among(_digests(book), kept.job.signings) if any(each.given.photos for each in kept.job.signings) else {}
    key = (kept.number, kept.digest, tuple(lost.items()))
    with _lock:
        found = _held.get(book.pk)
    if found is not None and found[0] == key:
        return kept, found[1]
    made = route_progress(kept.job, lost)
    with _lock:
        _held[book.pk] = (key, made)
        _held.move_to_end(book.pk)
        while len(_held) > MOST_BOOKS:
            _held.popitem(last=False)
    return kept, made


def _digests(book: Book) -> dict[str, str]:
    return dict(BookAttachment.objects.filter(book=book).values_list("name", "digest_id"))
