"""A book as it stands: judged once for each of its numbers, and never in the way of a reading."""

import threading
from typing import Any

import pytest

from blockwright.bench import state
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.running import assess as running


@pytest.fixture
def judgings(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Every job that is judged as a whole."""
    judged: list[object] = []

    def assess(job: Any) -> Any:
        judged.append(job)
        return running.assess(job)

    monkeypatch.setattr(state, "assess", assess)
    return judged


def test_a_book_is_judged_once_until_something_happens(page: Any, judgings: list[object]) -> None:
    first = state.seen(page.book)
    assert state.seen(page.book) is first
    assert len(judgings) == 1
    row = next(each for each in first.job.readings if each.text and not each.withdrawn)
    assert page.act("reading withdrawn", {"row": row.id, "why": "gauge slipped"}).status_code == 201
    assert len(judgings) == 1, "keeping an act does not wait for the whole judgement"
    again = state.seen(Book.objects.get(pk=page.book.pk))
    assert (again.number, len(judgings)) == (first.number + 1, 2)


def test_many_who_ask_at_once_wait_for_one_judgement(harbour: Book, judgings: list[object]) -> None:
    LedgerStore(harbour).kept()
    found: list[object] = []
    kept = LedgerStore(harbour).kept()

    def ask() -> None:
        found.append(state._cache.judged(harbour.pk, kept))

    threads = [threading.Thread(target=ask) for _ in range(6)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(judgings) == 1
    assert len(set(map(id, found))) == 1


def test_what_is_held_is_told_only_where_it_is_judged_and_current(harbour: Book) -> None:
    assert state.held(harbour) is None
    seen = state.seen(harbour)
    assert state.held(harbour) is seen
    harbour.head_number += 1
    assert state.held(harbour) is None


def test_no_more_books_are_held_than_fit(harbour: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = LedgerStore(harbour).kept()
    monkeypatch.setattr(state, "MOST_BOOKS", 2)
    cache = state._Cache()
    for number in range(5):
        cache.judged(number, kept)
    assert list(cache._held) == [3, 4]
