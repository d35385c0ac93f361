"""A book as a store: acts kept once, in order, on the true head, and nothing acknowledged that is not on record."""

import datetime as dt
from collections.abc import Callable

import pytest
from django.db import OperationalError, connection, transaction

from blockwright.acts.event import Event, check_chain
from blockwright.acts.kept import fold
from blockwright.ledger import cache
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.store import LedgerStore
from blockwright.problems import BlockwrightError

pytestmark = pytest.mark.django_db(transaction=True)
Take = Callable[..., Event]
AT = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.timezone(dt.timedelta(hours=2)))


def test_a_new_book_holds_the_job_that_was_brought_in(store: LedgerStore, texts: dict[str, str]) -> None:
    kept = store.kept()
    assert (kept.number, kept.texts()) == (1, texts)
    assert store.book.title == "Bench 7"


def test_an_act_is_on_record_with_its_place_in_the_chain(store: LedgerStore, take: Take) -> None:
    first, second = take(store, 0), take(store, 1)
    assert (first.number, second.number, second.before) == (2, 3, first.digest)
    assert check_chain(store.events()) == ()
    there = Book.objects.get(pk=store.book.pk)
    assert (there.head_number, there.head_digest) == (3, second.digest)
    assert store.kept().digest == second.digest


def test_the_time_keeps_the_zone_of_the_bench(store: LedgerStore, take: Take) -> None:
    take(store, 0)
    assert store.events()[-1].at.isoformat() == "2026-05-04T09:30:00+02:00"


def test_the_same_key_is_kept_once(store: LedgerStore, take: Take) -> None:
    first = take(store, 0, "3", key="sent")
    assert take(store, 0, "4", key="sent") == first
    assert EventRow.objects.count() == 2


def test_the_same_key_in_another_book_is_another_act(store: LedgerStore, take: Take, texts: dict[str, str]) -> None:
    from blockwright.ledger.books import open_book

    other = LedgerStore(open_book(texts, "A. Hand"))
    assert take(store, 0, key="sent").number == take(other, 1, key="sent").number == 2


def test_what_is_refused_leaves_no_trace(store: LedgerStore) -> None:
    with pytest.raises(BlockwrightError) as refused:
        store.keep("reading taken", {"row": "none such", "value": "3", "unit": "um"}, by="A. Hand", at=AT, key="k")
    assert refused.value.problems[0].place.field == "row"
    assert EventRow.objects.count() == 1
    assert store.kept().number == 1


@pytest.mark.parametrize(
    ("changed", "field"),
    [({"by": " "}, "by"), ({"key": ""}, "key"), ({"key": "k" * 201}, "key"), ({"by": "a\0b"}, "by"), ({"at": AT.replace(tzinfo=None)}, "at")],
)  # fmt: skip
def test_who_and_when_must_be_said(store: LedgerStore, rows: list[str], changed: dict[str, str], field: str) -> None:
    said = {"by": "A. Hand", "at": AT, "key": "k", **changed}
    with pytest.raises(BlockwrightError) as refused:
        store.keep("reading taken", {"row": rows[0], "value": "3", "unit": "um"}, **said)  # type: ignore[arg-type]
    assert refused.value.problems[0].place.field == field


def test_an_act_can_ask_for_the_head_that_it_was_made_on(store: LedgerStore, take: Take, rows: list[str]) -> None:
    seen = store.kept().digest
    event = take(store, 0)
    with pytest.raises(BlockwrightError, match="more was put on record"):
        store.keep("reading taken", {"row": rows[1], "value": "3", "unit": "um"}, by="A. Hand", at=AT, key="k", on=seen)
    assert (
        store.keep(
            "reading taken", {"row": rows[1], "value": "3", "unit": "um"}, by="A. Hand", at=AT, key="k", on=event.digest
        ).number
        == 3
    )


def test_what_another_process_kept_is_seen(store: LedgerStore, take: Take) -> None:
    before = store.kept()
    take(store, 0)
    now = store.kept()
    cache.drop(store.book.slug)
    cache.hold(store.book.slug, before)
    assert store.kept() == now != before


def test_a_job_that_was_folded_is_not_folded_again(store: LedgerStore, take: Take, django_assert_num_queries: Callable[..., object]) -> None:  # fmt: skip
    take(store, 0)
    first = store.kept()
    with django_assert_num_queries(1):  # type: ignore[attr-defined]
        assert store.kept() is first


def test_what_is_held_follows_the_book_only(store: LedgerStore, take: Take, texts: dict[str, str]) -> None:
    from blockwright.ledger.books import open_book

    take(store, 0)
    strange = LedgerStore(
        open_book({**texts, "readings.csv": texts["readings.csv"].replace("r1,", "x1,", 1)}, "B. Hand")
    )
    other = strange.kept()
    cache.drop(store.book.slug)
    cache.hold(store.book.slug, other)
    assert store.kept() == fold(store.events())


def test_the_cache_gives_up_the_oldest(store: LedgerStore) -> None:
    kept = store.kept()
    for number in range(cache.MOST):
        cache.hold(f"other {number}", kept)
    assert cache.held(store.book.slug) is None
    assert store.kept() == kept


def test_an_altered_record_is_not_worked_on(store: LedgerStore, take: Take) -> None:
    take(store, 0)
    with connection.cursor() as cursor:
        cursor.execute(
            'UPDATE ledger_eventrow SET body = replace(body, \'"value":"3"\', \'"value":"9"\') WHERE number = 2'
        )
    cache.drop(store.book.slug)
    with pytest.raises(BlockwrightError, match="altered outside this program") as told:
        store.kept()
    assert "ledger verify" in str(told.value)
    with pytest.raises(BlockwrightError, match="altered outside this program"):
        take(store, 1)


def test_acknowledged_means_committed(store: LedgerStore, take: Take) -> None:
    with transaction.atomic(), pytest.raises(RuntimeError, match="durable"):
        take(store, 0)
    assert EventRow.objects.count() == 1


def test_a_fault_while_committing_is_looked_into(
    store: LedgerStore, take: Take, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The database had committed, and the word of it was lost on the way."""
    real = connection._commit  # type: ignore[attr-defined]

    def lost() -> None:
        monkeypatch.undo()
        real()
        raise OperationalError("server closed the connection unexpectedly")

    monkeypatch.setattr(connection, "_commit", lost)
    assert take(store, 0, key="sent").number == 2
    assert [event.key for event in store.events()][1:] == ["sent"]


def test_a_fault_while_committing_that_kept_nothing_says_so(store: LedgerStore, take: Take, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    def full() -> None:
        monkeypatch.undo()
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(connection, "_commit", full)
    with pytest.raises(BlockwrightError, match=r"The reading was NOT kept\. What is wrong: the disk is full\.") as told:
        take(store, 0)
    assert "Make room" in told.value.problems[0].mend
    assert EventRow.objects.count() == 1


def test_a_book_that_is_gone_is_told(store: LedgerStore) -> None:
    store.book.pk = 0
    with pytest.raises(BlockwrightError, match="not in the ledger"):
        store.kept()
