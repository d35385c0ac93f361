"""What is kept of a book at work: the result for its readings as they stand, or the last one that was seen, of older readings.

Nothing is ever worked out here.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field, replace
from threading import Lock
from typing import Any

from blockwright.acts.kept import Kept
from blockwright.running.work.kept import kept
from blockwright.running.work.result import Work

MOST_BOOKS = 12


@dataclass(frozen=True)
class Result:
    """A result and the number of the event at which its readings stood. `current`: they stand so still."""

    work: Work
    number: int
    digest: str
    current: bool = True
    drawn: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)
    """Its pictures by the unit of their lengths, once somebody has looked at them."""


class _Held:
    """The last result of each of some books."""

    def __init__(self) -> None:
        self._held: OrderedDict[int, Result] = OrderedDict()
        self._lock = Lock()

    def put(self, book_id: int, result: Result) -> None:
        with self._lock:
            self._held[book_id] = result
            self._held.move_to_end(book_id)
            while len(self._held) > MOST_BOOKS:
                self._held.popitem(last=False)

    def get(self, book_id: int) -> Result | None:
        with self._lock:
            return self._held.get(book_id)

    def forget(self) -> None:
        with self._lock:
            self._held.clear()


_held = _Held()


def result_of(book_id: int, now: Kept) -> Result | None:
    """The result for a book as it stands; where there is none, the last one that was seen of it."""
    last = _held.get(book_id)
    if last is not None and last.digest == now.digest:
        return last
    found = current_work(now)
    if found is not None:
        result = Result(found, now.number, now.digest)
        _held.put(book_id, result)
        return result
    return None if last is None else replace(last, current=False)


def current_work(now: Kept) -> Work | None:
    """What is kept on disk for a job as it stands."""
    return kept(now.job)


def remember(book_id: int, then: Kept) -> bool:
    """Hold what was just worked out for a book as it stood then; false where it is not to be found."""
    found = current_work(then)
    if found is not None:
        _held.put(book_id, Result(found, then.number, then.digest))
    return found is not None


def forget() -> None:
    """Hold nothing, for tests and after a restore."""
    _held.forget()
