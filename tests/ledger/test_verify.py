"""Whatever is altered, lost or moved by another program is found, and said of the right book and event."""

import datetime as dt
from collections.abc import Callable
from hashlib import sha256

import pytest
from django.db import connection

from blockwright.acts.event import Event, sealed
from blockwright.ledger.attachments import keep_file
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Attachment, Book
from blockwright.ledger.rows import row_of
from blockwright.ledger.store import LedgerStore, add_events
from blockwright.ledger.verify import verify

pytestmark = pytest.mark.django_db(transaction=True)
Take = Callable[..., Event]
AT = dt.datetime(2026, 5, 4, 9, 30, tzinfo=dt.UTC)
PHOTO = b"\xff\xd8\xff a photo"
NAME = f"{sha256(PHOTO).hexdigest()[:16]}.jpg"


@pytest.fixture
def full(store: LedgerStore, take: Take, texts: dict[str, str]) -> LedgerStore:
    """A book of five events and a photo, beside another book."""
    open_book(texts, "B. Hand", {NAME: PHOTO})
    for index in range(3):
        take(store, index)
    keep_file(store.book, NAME, PHOTO)
    store.keep("photo attached", {"photo": NAME, "part": "B1"}, by="A. Hand", at=AT, key="photo")
    return store


def planted(*statements: str) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def told(store: LedgerStore) -> str:
    """What is said of the book; of the other book nothing is."""
    found = verify()
    assert not found.sound
    assert found.problems == ()
    [said] = [book for book in found.books if book.problems]
    assert said.slug == store.book.slug
    assert verify(store.book).books == (said,)
    return "\n".join(map(str, said.problems))


def test_a_ledger_that_nobody_touched_is_sound(full: LedgerStore) -> None:
    found = verify()
    assert found.sound
    assert sorted((book.events, book.attachments) for book in found.books) == [(1, 1), (5, 1)]


def test_an_empty_ledger_is_sound() -> None:
    assert verify().sound
    assert verify().books == ()


EVENT = (
    "UPDATE ledger_eventrow SET {} WHERE number = {} AND book_id = (SELECT id FROM ledger_book WHERE head_number > 1)"
)
CUT = "DELETE FROM ledger_eventrow WHERE number {} AND book_id = (SELECT id FROM ledger_book WHERE head_number > 1)"
BOOK = "UPDATE ledger_book SET {} WHERE head_number > 1"


@pytest.mark.parametrize(
    ("statements", "words"),
    [
        ([EVENT.format("body = replace(body, '\"value\":\"3\"', '\"value\":\"9\"')", 3)], "event 3 (reading taken): it was altered"),
        ([EVENT.format("body = replace(body, '{\"cells\"', '{ \"cells\"')", 3)], "event 3 (reading taken): it was altered"),
        ([EVENT.format("body = 'none'", 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format("body = '[]'", 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format("at = '2026-05-04T07:30:00+00:00'", 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format("at = '2026-05-04 09:30:00+02:00'", 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format("at = '2026-05-04T09:30:00'", 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format('"by" = \'Somebody\'', 2)], "event 2 (reading taken): it was altered"),
        ([EVENT.format("kind = 'reading withdrawn'", 2)], "event 2 (reading withdrawn): it was altered"),
        ([EVENT.format("key = 'other'", 4)], "event 4 (reading taken): it was altered"),
        ([CUT.format("= 3")], "event 3 is missing"),
        ([CUT.format("= 5")], "event 5 is missing from the end"),
        ([CUT.format(">= 3")], "events 3 to 5 are missing from the end"),
        ([CUT.format(">= 1")], "events 1 to 5 are missing from the end"),
        ([EVENT.format("number = 9", 3), EVENT.format("number = 3", 4), EVENT.format("number = 4", 9)], "event 3 (reading taken)"),
        ([BOOK.format("head_digest = 'x'")], "the end of the book was written anew"),
        ([BOOK.format("head_number = 4")], "event 5 stands after event 4"),
    ],
)  # fmt: skip
def test_what_was_done_to_events_is_found(full: LedgerStore, statements: list[str], words: str) -> None:
    planted(*statements)
    assert words in told(full)


def test_an_end_that_was_written_anew_is_found(full: LedgerStore) -> None:
    """A forger who can make digests, and forgets that the book notes its last event."""
    last, *_, first = reversed(full.events())
    forged = sealed(
        last.number, last.kind, {**last.body, "note": "x"}, at=last.at, by=last.by, key=last.key, before=last.before
    )
    planted(CUT.format("= 5"))
    row_of(full.book, forged).save()
    assert first.number == 1
    assert "the end of the book was written anew" in told(full)


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("reading withdrawn", {"row": "no such row", "why": "x"}),
        ("reading taken", {"row": "r1"}),
        ("never heard of", {}),
        ("folder brought in", {"name": "x", "texts": {"job.toml": "nothing"}}),
    ],
)
def test_an_event_that_does_not_fold_is_found(full: LedgerStore, kind: str, body: dict[str, object]) -> None:
    head = Book.objects.get(pk=full.book.pk)
    odd = sealed(6, kind, body, at=AT, by="A. Hand", key="odd", before=head.head_digest)
    add_events(head, (odd,), title=head.title)
    assert f"event 6 ({kind}): it does not fit the job" in told(full)


def test_an_altered_attachment_is_found(full: LedgerStore) -> None:
    with connection.cursor() as cursor:
        cursor.execute("UPDATE ledger_attachment SET content = %s", [PHOTO + b"x"])
    found = verify()
    assert [str(problem.place) for book in found.books for problem in book.problems] == [NAME, NAME]
    assert all(
        "its content does not fit its digest" in str(problem) for book in found.books for problem in book.problems
    )


def test_an_altered_attachment_of_no_book_is_found() -> None:
    Attachment.objects.create(digest="0" * 64, media_type="image/jpeg", size=3, content=b"abc")
    found = verify()
    assert "its content does not fit its digest" in str(found.problems[0])
    assert not found.sound


def test_a_photo_that_an_event_names_and_the_book_lost_is_found(full: LedgerStore) -> None:
    planted("DELETE FROM ledger_bookattachment WHERE book_id = (SELECT id FROM ledger_book WHERE head_number > 1)")
    assert "the photo of event 5 is missing" in told(full)


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="a server does not let rows lose what they refer to")
@pytest.mark.parametrize(("table", "words"), [("attachment", "is missing"), ("book", "its events are still there")])
def test_what_rows_refer_to_and_is_gone_is_found(full: LedgerStore, table: str, words: str) -> None:
    planted("PRAGMA foreign_keys = OFF", f"DELETE FROM ledger_{table}", "PRAGMA foreign_keys = ON")
    found = verify()
    said = "\n".join(
        str(problem) for problem in (*found.problems, *(each for book in found.books for each in book.problems))
    )
    planted("DELETE FROM ledger_bookattachment", "DELETE FROM ledger_eventrow")
    assert words in said
