"""Who works at the bench: hands, what each may do with which book, and the tablets and programs that speak for them.

Nothing secret is kept as it is: a PIN by a slow hash, a token (long and random) by its SHA-256 digest.
"""

from __future__ import annotations

from typing import ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone

from blockwright.ledger.models.book import Book

LONGEST_NAME = 80


class Hand(models.Model):
    """A person at the bench. The password, where he has one, is the user's; the PIN is for a paired tablet."""

    user = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="hand")
    name = models.CharField(max_length=LONGEST_NAME, unique=True)
    is_owner = models.BooleanField(default=False)
    pin_hash = models.CharField(max_length=200, blank=True, default="")
    pin_tries = models.PositiveSmallIntegerField(default=0)
    locked_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        """By name."""

        ordering: ClassVar[list[str]] = ["name"]

    def __str__(self) -> str:
        return self.name


class Seat(models.Model):
    """What a hand may do with one book: a role of `acts.roles`."""

    book = models.ForeignKey(Book, on_delete=models.CASCADE, related_name="seats")
    hand = models.ForeignKey(Hand, on_delete=models.CASCADE, related_name="seats")
    role = models.PositiveSmallIntegerField()

    class Meta:
        """One seat a hand."""

        ordering: ClassVar[list[str]] = ["book_id", "hand_id"]
        constraints: ClassVar[list[models.BaseConstraint]] = [
            models.UniqueConstraint(fields=["book", "hand"], name="one_seat_a_hand")
        ]

    def __str__(self) -> str:
        return f"{self.hand}: {self.role}"


class Tablet(models.Model):
    """A tablet that was paired with the bench, and that hands sign in on by PIN."""

    name = models.CharField(max_length=LONGEST_NAME)
    token_digest = models.CharField(max_length=64, unique=True)
    paired_by = models.ForeignKey(Hand, on_delete=models.PROTECT, related_name="tablets")
    paired_at = models.DateTimeField(default=timezone.now)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """By name."""

        ordering: ClassVar[list[str]] = ["name", "pk"]

    def __str__(self) -> str:
        return self.name


class ApiToken(models.Model):
    """A token by which another program speaks for a hand."""

    hand = models.ForeignKey(Hand, on_delete=models.CASCADE, related_name="tokens")
    name = models.CharField(max_length=LONGEST_NAME)
    token_digest = models.CharField(max_length=64, unique=True)
    may_write = models.BooleanField(default=False)
    created_at = models.DateTimeField(default=timezone.now)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """The oldest first."""

        ordering: ClassVar[list[str]] = ["created_at", "pk"]

    def __str__(self) -> str:
        return self.name


class OneTimeCode(models.Model):
    """A code that works once and for a while: to join (`for_hand` sets his own password) or to pair a tablet (`name`)."""

    door = models.CharField(max_length=20)
    code_digest = models.CharField(max_length=64, unique=True)
    for_hand = models.ForeignKey(Hand, on_delete=models.CASCADE, null=True, blank=True, related_name="codes")
    made_by = models.ForeignKey(Hand, on_delete=models.CASCADE, null=True, blank=True, related_name="codes_made")
    name = models.CharField(max_length=LONGEST_NAME, blank=True, default="")
    until = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """The newest first."""

        ordering: ClassVar[list[str]] = ["-until"]

    def __str__(self) -> str:
        return f"{self.door} until {self.until:%Y-%m-%d %H:%M}"


class Try(models.Model):
    """One try to get in, so that too many in a while can be refused: at which door (`pin`, `in`, `pair`), who or from where."""

    door = models.CharField(max_length=20)
    who = models.CharField(max_length=120)
    at = models.DateTimeField(default=timezone.now)
    worked = models.BooleanField(default=False)

    class Meta:
        """Looked up by door, who and time."""

        ordering: ClassVar[list[str]] = ["-at"]
        indexes: ClassVar[list[models.Index]] = [models.Index(fields=["door", "who", "at"], name="tries_lately")]

    def __str__(self) -> str:
        return f"{self.door}: {self.who}"
