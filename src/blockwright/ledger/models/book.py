"""A book: all that is on record of one job. Its events are rows of their own; the book notes which is the last."""

from __future__ import annotations

import secrets
from typing import ClassVar

from django.db import models
from django.utils import timezone

from blockwright.ledger.models.only_added import OnlyAdded, OnlyAddedQuerySet

SLUG_LENGTH = 12
SIGNS = "23456789abcdefghijkmnopqrstuvwxyzABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters and digits that are not easily taken for one another: 12 of them are 70 bits that nobody guesses."""
LONGEST_TITLE = 200
LONGEST_NAME = 200


def new_slug() -> str:
    """A name for a book's address that cannot be guessed."""
    return "".join(secrets.choice(SIGNS) for _ in range(SLUG_LENGTH))


class Book(models.Model):
    """One job on record. `head_number` and `head_digest` are those of its last event, so that events cut off its end are missed.

    `opened_mark` is the mark that whoever opened it sent with it, once in the whole ledger; none where there was none.
    """

    slug = models.CharField(max_length=SLUG_LENGTH, unique=True, default=new_slug)
    title = models.CharField(max_length=LONGEST_TITLE)
    opened_at = models.DateTimeField(default=timezone.now)
    head_number = models.PositiveIntegerField(default=0)
    head_digest = models.CharField(max_length=64, blank=True, default="")
    archived = models.BooleanField(default=False)
    opened_mark = models.CharField(max_length=64, null=True, unique=True, default=None)

    class Meta:
        """The newest first."""

        ordering: ClassVar[list[str]] = ["-opened_at", "-pk"]

    def __str__(self) -> str:
        return self.title


class Attachment(OnlyAdded):
    """A photo or another file, once, whichever books it belongs to; its name is the SHA-256 digest of its content."""

    digest = models.CharField(max_length=64, primary_key=True)
    media_type = models.CharField(max_length=80)
    size = models.PositiveIntegerField()
    content = models.BinaryField()

    objects = OnlyAddedQuerySet["Attachment"].as_manager()

    def __str__(self) -> str:
        return f"{self.digest[:16]} ({self.media_type}, {self.size} bytes)"


class BookAttachment(OnlyAdded):
    """A file of a book: `name` is its name in the job folder's `attachments`."""

    book = models.ForeignKey(Book, on_delete=models.PROTECT, related_name="attachments")
    digest = models.ForeignKey(Attachment, on_delete=models.PROTECT, db_column="digest", related_name="books")
    name = models.CharField(max_length=LONGEST_NAME)

    objects = OnlyAddedQuerySet["BookAttachment"].as_manager()

    class Meta:
        """A name once a book."""

        ordering: ClassVar[list[str]] = ["book_id", "name"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["book", "name"], name="one_file_a_name")
        ]

    def __str__(self) -> str:
        return self.name
