"""What is on record can be read and added to, by no way of the program changed or taken away."""

import pytest
from django.db import IntegrityError
from django.db.models import ProtectedError

from blockwright.ledger.attachments import keep_file
from blockwright.ledger.models import Attachment, Book, BookAttachment, EventRow
from blockwright.ledger.models.only_added import OnlyAdded, OnlyAddedError

pytestmark = pytest.mark.django_db(transaction=True)
MODELS = OnlyAdded.__subclasses__()


@pytest.fixture(autouse=True)
def _there(book: Book) -> None:
    keep_file(book, "photo.jpg", b"\xff\xd8\xff photo")


def test_these_are_only_added() -> None:
    assert set(MODELS) == {EventRow, Attachment, BookAttachment}


@pytest.mark.parametrize("model", MODELS)
def test_a_row_stays(model: type[OnlyAdded]) -> None:
    row = model._default_manager.get()
    for refused in (row.save, row.delete):
        with pytest.raises(OnlyAddedError, match="only ever added"):
            refused()


@pytest.mark.parametrize("model", MODELS)
def test_rows_stay(model: type[OnlyAdded]) -> None:
    rows = model._default_manager.all()
    name = "digest" if model is not BookAttachment else "name"
    changes = (
        lambda: rows.update(**{name: "x"}),
        lambda: rows.filter(pk__isnull=False).delete(),
        lambda: rows._raw_delete(None),  # type: ignore[attr-defined]
        lambda: rows.bulk_update(list(rows), [name]),
        lambda: rows.update_or_create(pk=1, defaults={name: "x"}),
        lambda: rows.bulk_create(list(rows), update_conflicts=True, update_fields=[name], unique_fields=["pk"]),
        lambda: model._default_manager.update(**{name: "x"}),
    )
    for change in changes:
        with pytest.raises(OnlyAddedError):
            change()
    assert rows.count() == 1


def test_a_book_with_events_stays(book: Book) -> None:
    with pytest.raises(ProtectedError):
        book.delete()
    with pytest.raises(ProtectedError):
        Book.objects.all().delete()


def test_a_copy_with_the_same_number_is_refused(book: Book) -> None:
    row = EventRow.objects.get()
    twin = EventRow(
        book=book, number=1, kind=row.kind, at=row.at, by=row.by, key="another", body=row.body, digest=row.digest
    )
    with pytest.raises(IntegrityError):
        twin.save()
