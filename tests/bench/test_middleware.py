"""What is done around every request: limits, the one line in the log, faults of our own."""

import json
import logging
from typing import Any

import pytest
from django.test import Client

from blockwright.bench import middleware
from blockwright.bench.telling import Lines
from blockwright.bench.views import health


def test_more_than_a_page_sends_is_refused_unread(client: Client, db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(middleware, "MOST_SENT", 1000)
    assert client.post("/new/demo/", {"which": "x" * 2000}).status_code == 413


def test_an_act_that_is_too_large_is_told_so_to_a_machine(page: Any, settings: Any) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    answer = page.act("reading taken", {"note": "x" * 2000})
    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")


@pytest.fixture
def broken(monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object) -> None:
        raise ValueError("A. Hand typed this")

    monkeypatch.setattr(health, "MigrationExecutor", fault)


def test_a_fault_of_our_own_has_a_page_and_tells_the_log_no_word_of_what_was_typed(
    broken: None, db: None, caplog: Any
) -> None:
    client = Client(raise_request_exception=False)
    logging.getLogger("blockwright").addHandler(caplog.handler)
    try:
        answer = client.get("/readyz")
    finally:
        logging.getLogger("blockwright").removeHandler(caplog.handler)
    assert answer.status_code == 500
    assert "A fault of our own" in answer.content.decode()
    told = [json.loads(Lines().format(record)) for record in caplog.records if record.name.startswith("blockwright")]
    fault = next(line for line in told if line["what"] == "fault")
    assert fault["fault"] == "ValueError"
    assert fault["where"][-1].endswith(" fault")
    assert "A. Hand" not in json.dumps(told)


def test_a_database_that_does_not_answer_is_not_ready_but_alive(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    from django.db import OperationalError

    def silent(*_: object) -> None:
        raise OperationalError

    monkeypatch.setattr(health, "MigrationExecutor", silent)
    assert client.get("/readyz").status_code == 503
    assert client.get("/healthz").status_code == 200


def test_alive_asks_the_database_nothing(client: Client, db: None, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(0):
        assert client.get("/healthz").status_code == 200


def test_a_form_from_a_page_that_is_too_old_is_told_in_words(db: None) -> None:
    answer = Client(enforce_csrf_checks=True).post("/new/demo/", {"which": "harbour"})
    assert answer.status_code == 403
    assert "Load it again" in answer.content.decode()


def test_the_name_typed_at_this_machine_stands_under_what_is_done(page: Any) -> None:
    from blockwright.ledger.models import EventRow

    assert page.client.post("/name/", {"name": "  R.  Lind ", "next": "//elsewhere.example/"})["Location"] == "/"
    row = next(each for each in _readings(page) if each.text and not each.withdrawn)
    page.act("reading withdrawn", {"row": row.id, "why": "gauge slipped"})
    assert EventRow.objects.get(number=2).by == "R. Lind"


def test_a_name_that_was_tampered_with_is_nobodys(page: Any) -> None:
    page.client.cookies["bw_name"] = "Somebody:else"
    assert "Somebody" not in page.get().content.decode()


def _readings(page: Any) -> Any:
    from blockwright.ledger.store import LedgerStore

    return LedgerStore(page.book).kept().job.readings
