"""How often a page asks the database: a bounded number of times, and no oftener for a job with more readings."""

import datetime as dt
from functools import lru_cache

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from blockwright.acts.event import event_line
from blockwright.acts.kept import EVENTS_FILE, start
from blockwright.acts.kinds.whole import BROUGHT
from blockwright.acts.store import proposed
from blockwright.bench import state
from blockwright.engine.features import FEATURES
from blockwright.jobfile.beginning import begin
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book
from blockwright.ledger.store import LedgerStore
from blockwright.metrology.readings import Reading

SIZES = {
    "bore": "86 mm", "stroke": "86 mm", "rod_length": "143 mm", "main_journal": "55 mm", "rod_journal": "48 mm", "pin_diameter": "21 mm",
    "layout": "inline", "case": "block with caps",
}  # fmt: skip
TYPICAL = {
    "shell wall": "1.5", "shell crush": "0.05", "pin room": "70.3", "pin length": "70", "top groove width": "1.55",
    "second groove width": "1.55", "top groove depth": "4.1", "second groove depth": "4.1", "top ring height": "1.5",
    "second ring height": "1.5", "top ring wall": "4", "second ring wall": "4", "crank runout": "0.02", "crank end float": "0.1",
    "piston to deck": "0.5", "turning torque": "5", "bore roughness": "2", "main journal roughness": "1", "rod journal roughness": "1",
    "skirt": "85.9", "main journal": "55", "rod journal": "48", "pin": "21", "second land": "85.4", "third land": "85.5",
    "tunnel step": "0", "deck hollow": "0",
}  # fmt: skip
"""What a feature of an engine of this size might read, in the unit of its row; invented."""
PAGES = (
    "", "line/", "measure/", "measure-plan/", "measure-sketches/", "news/?since=0", "rings/", "rings/1/top/", "clocking/", "route/", "route/?drawn",
    "route/mock-up: parts/", "route-own/", "fit/wall%20clearance/cylinder%201/", "gauges/", "parts/", "parts/put/?part=P1&at=cylinder+1",
    "parts/pistons/", "papers/", "work/", "history/", "history/whole/", "more/",
)  # fmt: skip
ASKED = (
    "",
    "/assessment",
    "/fits",
    "/readings?limit=500",
    "/stations",
    "/route",
    "/events?limit=500",
    "/news",
    "/papers",
)
"""What another program asks of an engine."""
MOST = 20
SMALL, LARGE = "1", "6"
FEW, MANY = 60, 240
ZONE = dt.timezone(dt.timedelta(hours=1))


def queries(client: Client, path: str) -> int:
    """Queries of one look, after it has been looked at once."""
    state.forget()
    client.get(path)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(path).status_code == 200
    return len(asked)


@lru_cache
def read_through(cylinders: str) -> dict[str, str]:
    """The files of an engine of which every planned reading was taken, an act each."""
    texts = begin({"name": f"Engine of {cylinders}", "cylinders": cylinders, **SIZES}, "metric", full=False).texts
    kept, events = start("job", texts), []
    words = [{"name": "job", "texts": dict(texts)}, *({"row": row.id, **shown(row)} for row in kept.job.readings)]
    for number, each in enumerate(words):
        at = dt.datetime(2031, 5, 4, 8, tzinfo=ZONE) + dt.timedelta(minutes=number)
        kind = "reading taken" if number else BROUGHT
        event, kept = proposed(kept, kind, each, by="A. Hand", at=at, key=f"read-{number:05}")
        events.append(event)
    return {**kept.texts(), EVENTS_FILE: "".join(f"{event_line(event)}\n" for event in events)}


def shown(row: Reading) -> dict[str, str]:
    """What the gauge shows: nothing beside its setting, an interval of blades, else something usual."""
    depth = {"depth": "40 mm"} if row.feature.endswith(" gap") else {}
    if row.setting:
        return {"value": "0", **depth}
    if row.gauge == "FB1" and row.feature not in TYPICAL:
        return {"value": "0.40 to 0.45", **depth}
    low, high = (float(end.split()[0]) for end in FEATURES[row.feature].span)
    return {"value": TYPICAL.get(row.feature, f"{(low * high) ** 0.5:.3f}"), **depth}


@pytest.fixture
def two_books(transactional_db: None) -> tuple[Book, Book]:
    """An engine with few readings, all taken, and one with four times as many."""
    return tuple(open_book(read_through(each), "A. Hand", name="job") for each in (SMALL, LARGE))


def test_the_readings_are_real_ones_and_the_two_engines_differ_by_them(two_books: tuple[Book, Book]) -> None:
    for book, about in zip(two_books, (FEW, MANY), strict=True):
        kept = LedgerStore(book).kept()
        taken = [row for row in kept.job.readings if row.taken]
        assert len(taken) == len(kept.job.readings) == kept.number - 1
        assert len(taken) == pytest.approx(about, rel=0.25)


@pytest.mark.parametrize("rest", PAGES)
def test_a_page_asks_no_oftener_for_more_readings(client: Client, two_books: tuple[Book, Book], rest: str) -> None:
    few, many = (queries(client, f"/e/{book.slug}/{rest}") for book in two_books)
    assert few == many <= MOST


@pytest.mark.parametrize("rest", ASKED)
def test_what_a_program_asks_asks_no_oftener_for_more_readings(
    client: Client, two_books: tuple[Book, Book], rest: str
) -> None:
    few, many = (queries(client, f"/api/v1/engines/{book.slug}{rest}") for book in two_books)
    assert few == many <= MOST
