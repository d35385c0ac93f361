"""An event on record: one act, as a row. What it says is in the words of its body; `acts` knows what they mean.

`at` is kept as text, with its zone as the bench had it, and `body` as the canonical JSON text: the digest is over exactly these letters, and a
column of a finer type would give other ones back.
"""

from __future__ import annotations

from typing import ClassVar

from django.db import models

from blockwright.ledger.models.book import Book
from blockwright.ledger.models.only_added import OnlyAdded, OnlyAddedQuerySet

LONGEST_BY = 200
LONGEST_KEY = 200


class EventRow(OnlyAdded):
    """One act of a book. Numbers run 1, 2, 3; `key` is the sender's own mark, so that an act sent twice is kept once."""

    book = models.ForeignKey(Book, on_delete=models.PROTECT, related_name="events")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=60)
    at = models.CharField(max_length=40)
    by = models.CharField(max_length=LONGEST_BY)
    key = models.CharField(max_length=LONGEST_KEY)
    body = models.TextField()
    before = models.CharField(max_length=64, blank=True)
    digest = models.CharField(max_length=64)

    objects = OnlyAddedQuerySet["EventRow"].as_manager()

    class Meta:
        """In the order of their numbers, each number and each key once a book."""

        ordering: ClassVar[list[str]] = ["book_id", "number"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["book", "number"], name="one_event_a_number"),
            models.UniqueConstraint(fields=["book", "key"], name="one_event_a_key"),
            models.CheckConstraint(condition=models.Q(number__gte=1), name="events_from_one"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.kind}"
