"""Jobs that were folded already, one a book, for the threads of this process. What is in it is checked against the book's head by its user."""

from __future__ import annotations

import threading
from collections import OrderedDict

from blockwright.acts.kept import Kept

MOST = 32
"""Books held at once; the one that was not asked for the longest goes first."""

_lock = threading.Lock()
_held: OrderedDict[str, Kept] = OrderedDict()


def held(slug: str) -> Kept | None:
    """The job of a book as it was last folded here."""
    with _lock:
        kept = _held.get(slug)
        if kept is not None:
            _held.move_to_end(slug)
        return kept


def hold(slug: str, kept: Kept) -> None:
    """Keep a folded job, unless a later one is held."""
    with _lock:
        there = _held.pop(slug, None)
        _held[slug] = kept if there is None or there.number <= kept.number else there
        while len(_held) > MOST:
            _held.popitem(last=False)


def drop(slug: str) -> None:
    """Forget a book: what was folded does not agree with what is on record."""
    with _lock:
        _held.pop(slug, None)
