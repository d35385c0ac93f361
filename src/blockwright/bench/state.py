"""A book as it stands: its job, the judgement of it and what to do next, worked out once for each number of the book.

The page of an engine needs every fit; a reading needs only those that it touches and never waits for this.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from threading import Lock

from blockwright.acts.kept import Kept
from blockwright.choices.next_steps import NextStep, next_steps
from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.report.rows import Block, blocks
from blockwright.running.assess import assess

MOST_BOOKS = 12
"""Books of which the judgement is held; a six with 250 readings takes a few megabytes."""


@dataclass(frozen=True)
class Seen:
    """A book at one number: what is kept, the judgement, and what follows from it. What is costly is worked out when first asked for."""

    kept: Kept

    @property
    def job(self) -> Job:
        """The job at this number."""
        return self.kept.job

    @property
    def number(self) -> int:
        """Number of the last event that is in it."""
        return self.kept.number

    @cached_property
    def assessment(self) -> Assessment:
        """Every fit, judged."""
        return assess(self.job)

    @cached_property
    def steps(self) -> tuple[NextStep, ...]:
        """What to do next, first things first."""
        return next_steps(self.assessment)

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """Every fit as shown, a block a kind."""
        return blocks(self.assessment)

    @cached_property
    def results(self) -> Mapping[tuple[str, Position], FitResult]:
        """Every result by the name of its fit and its position."""
        return {(result.fit.name, result.position): result for result in self.assessment.results}


class _Cache:
    """The latest Seen of each of some books. One book is judged once however many ask at a time."""

    def __init__(self) -> None:
        self._held: OrderedDict[int, Seen] = OrderedDict()
        self._locks: dict[int, Lock] = {}
        self._lock = Lock()

    def judged(self, book_id: int, kept: Kept) -> Seen:
        """What is held of a book where it is that of `kept`, else the book judged anew; who asks meanwhile waits for the same."""
        with self._lock:
            lock = self._locks.setdefault(book_id, Lock())
        with lock:
            found = self._held.get(book_id)
            if found is None or (found.number, found.kept.digest) != (kept.number, kept.digest):
                found = Seen(kept)
                found.assessment  # noqa: B018 - judged while nobody else judges it
            self._keep(book_id, found)
        return found

    def _keep(self, book_id: int, held: Seen) -> None:
        with self._lock:
            self._held[book_id] = held
            self._held.move_to_end(book_id)
            while len(self._held) > MOST_BOOKS:
                self._held.popitem(last=False)

    def held(self, book: Book) -> Seen | None:
        """What is held of a book, where it is that of its last event and judged."""
        with self._lock:
            found = self._held.get(book.pk)
        current = found is not None and (found.number, found.kept.digest) == (book.head_number, book.head_digest)
        return found if current and found is not None and "assessment" in found.__dict__ else None

    def forget(self) -> None:
        """Hold nothing any more."""
        with self._lock:
            self._held.clear()


_cache = _Cache()


def seen(book: Book) -> Seen:
    """A book as it stands, judged; the same object until something happens to the book."""
    return _cache.judged(book.pk, LedgerStore(book).kept())


def held(book: Book) -> Seen | None:
    """A book as it stands, where it is judged already; asks nobody."""
    return _cache.held(book)


def forget() -> None:
    """Hold nothing of any book, for tests and after a restore."""
    _cache.forget()
