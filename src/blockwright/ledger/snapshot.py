"""One look at the whole ledger while others go on writing: everything read within it belongs to the same moment."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import Any

from django.db import connection, transaction


@contextlib.contextmanager
def snapshot() -> Iterator[None]:
    """Read within this: writers do not wait for it, and what they commit meanwhile is not seen."""
    with _only_reading(connection), transaction.atomic(durable=True):
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        yield


@contextlib.contextmanager
def _only_reading(here: Any) -> Iterator[None]:
    """SQLite: a transaction that takes no writer's lock. It becomes a snapshot with the first that is read."""
    if here.vendor != "sqlite":
        yield
        return
    here.ensure_connection()
    mode, here.transaction_mode = here.transaction_mode, "DEFERRED"
    try:
        yield
    finally:
        here.transaction_mode = mode
