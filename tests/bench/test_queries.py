"""How often a page asks the database: a bounded number of times, and no oftener for a job with more readings."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from blockwright.bench import state
from blockwright.jobfile.beginning import begin
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book

SIZES = {
    "bore": "86 mm", "stroke": "86 mm", "rod_length": "143 mm", "main_journal": "55 mm", "rod_journal": "48 mm", "pin_diameter": "21 mm",
    "layout": "inline", "case": "block with caps",
}  # fmt: skip
PAGES = (
    "", "line/", "measure/", "measure-plan/", "measure-sketches/", "news/?since=0", "rings/", "clocking/", "route/", "route/?drawn", "route-own/",
    "fit/wall%20clearance/cylinder%201/", "gauges/", "parts/", "parts/put/?part=P1&at=cylinder+1", "parts/pistons/", "papers/", "history/", "history/whole/", "more/",
)  # fmt: skip
MOST = 20
SMALL, LARGE = "1", "6"


def queries(client: Client, path: str) -> int:
    """Queries of one look, after the page has been looked at once."""
    state.forget()
    client.get(path)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(path).status_code == 200
    return len(asked)


@pytest.fixture
def two_books(transactional_db: None) -> tuple[Book, Book]:
    """An engine with few readings and one with at least three times as many."""
    texts = [
        begin({"name": f"Engine of {count}", "cylinders": count, **SIZES}, "metric", full=False).texts
        for count in (SMALL, LARGE)
    ]
    few, many = (len(each["readings.csv"].splitlines()) for each in texts)
    assert many >= 3 * few
    return tuple(open_book(each, "A. Hand", name="job") for each in texts)


@pytest.mark.parametrize("rest", PAGES)
def test_a_page_asks_no_oftener_for_more_readings(client: Client, two_books: tuple[Book, Book], rest: str) -> None:
    few, many = (queries(client, f"/e/{book.slug}/{rest}") for book in two_books)
    assert few == many <= MOST
