"""What the tests of the pages share: the two invented engines as books, and a client that types as a page does."""

import json
import secrets
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client

from blockwright.bench import state
from blockwright.bench.work import held, running
from blockwright.demos import demo_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book

AT_ONCE = """
import json, sys
sys.stdin.readline()
print(json.dumps({"done": True}), flush=True)
"""
"""Stands in for the process that works an engine out: it is done at once, and keeps nothing."""


@pytest.fixture(autouse=True)
def _no_engine_is_worked_out(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The pages' tests start no calculation of minutes."""
    monkeypatch.setattr(running.runner, "_command", (sys.executable, "-c", AT_ONCE))
    yield
    held.forget()
    running.runner.forget()


@pytest.fixture
def harbour(transactional_db: None) -> Book:
    """The invented four with one problem of each kind."""
    state.forget()
    return open_book(demo_texts("harbour"), "A. Hand", name="harbour")


@pytest.fixture
def flat_six(transactional_db: None) -> Book:
    """The invented six, all well but one."""
    state.forget()
    return open_book(demo_texts("hillclimb"), "A. Hand", name="hillclimb")


class Page:
    """A page of a book in somebody's browser."""

    def __init__(self, client: Client, book: Book) -> None:
        self.client, self.book = client, book

    def at(self, rest: str = "") -> str:
        return f"/e/{self.book.slug}/{rest}"

    def get(self, rest: str = "", **words: Any) -> Any:
        return self.client.get(self.at(rest), words)

    def act(self, kind: str, words: dict[str, Any], key: str = "", **more: Any) -> Any:
        """Send an act through the one door."""
        said = {"kind": kind, "words": words, "key": key or f"t-{secrets.token_hex(8)}", **more}
        return self.client.post(self.at("acts/"), json.dumps(said), content_type="application/json")


@pytest.fixture
def page(client: Client, harbour: Book) -> Page:
    """The harbour four."""
    return Page(client, harbour)


@pytest.fixture
def six(client: Client, flat_six: Book) -> Page:
    """The flat six."""
    return Page(client, flat_six)
