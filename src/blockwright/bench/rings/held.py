"""The rings of a book as they stand: planned once for each number of the book, since a plan takes half a second."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from blockwright.choices.ring_bench import RingBench, ring_bench
from blockwright.engine.job import Job
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore

MOST_BOOKS = 6


@dataclass(frozen=True)
class RingsSeen:
    """The ring bench of a book after its event `number`."""

    number: int
    digest: str
    bench: RingBench

    @property
    def job(self) -> Job:
        """The job at this number."""
        return self.bench.job


_held: OrderedDict[int, RingsSeen] = OrderedDict()
_lock = Lock()


def rings_seen(book: Book) -> RingsSeen:
    """Where every ring of a book stands; who asks while it is worked out waits for the same."""
    kept = LedgerStore(book).kept()
    with _lock:
        found = _held.get(book.pk)
        if found is None or (found.number, found.digest) != (kept.number, kept.digest):
            found = RingsSeen(kept.number, kept.digest, ring_bench(kept.job))
        _held[book.pk] = found
        _held.move_to_end(book.pk)
        while len(_held) > MOST_BOOKS:
            _held.popitem(last=False)
    return found
