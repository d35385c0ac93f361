"""The one door: acts kept and refused, the verdict that a reading gets back, and the look whether something is new."""

from typing import Any

import pytest
from django.db import OperationalError

from blockwright.bench import addresses
from blockwright.ledger.models import EventRow
from blockwright.ledger.store import LedgerStore


def a_reading(page: Any) -> dict[str, str]:
    """One more reading just like one that is on record."""
    job = LedgerStore(page.book).kept().job
    row = next(r for r in job.readings if r.feature == "bore" and r.at == "cylinder 3" and r.text)
    return {
        "part": row.part, "feature": row.feature, "at": row.at, "spot": row.spot, "value": row.text, "unit": row.unit, "gauge": row.gauge,
        "setting": row.setting, "state": "plate on", "sitting": row.sitting or "",
    }  # fmt: skip


def test_a_reading_is_kept_and_answered_with_its_verdict(page: Any) -> None:
    answer = page.act("reading taken", a_reading(page), key="tablet-1:0001")
    assert answer.status_code == 201, answer.content
    told = answer.json()
    assert (told["kind"], told["number"], told["key"]) == ("reading taken", 2, "tablet-1:0001")
    assert told["row"] in {each.id for each in LedgerStore(page.book).kept().job.readings}
    assert told["digest"] == EventRow.objects.get(number=2).digest
    assert "Out: wall clearance, cylinder 3" in told["html"]
    assert 'class="mark"' in told["html"]


def test_the_same_key_again_keeps_nothing_and_gives_the_same_answer(page: Any) -> None:
    words = a_reading(page)
    first = page.act("reading taken", words, key="tablet-1:0001").json()
    again = page.act("reading taken", words, key="tablet-1:0001").json()
    assert first == again
    assert EventRow.objects.count() == 2


def test_the_senders_time_is_kept_unless_his_clock_runs_ahead(page: Any) -> None:
    page.act("reading taken", a_reading(page), at="2026-05-04T09:30:00+02:00")
    page.act("reading taken", a_reading(page), at="2999-01-01T00:00:00+00:00")
    first, second = EventRow.objects.filter(number__gt=1).order_by("number")
    assert first.at == "2026-05-04T09:30:00+02:00"
    assert not second.at.startswith("2999")


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"kind": "reading takn"}, "kind"),
        ({"kind": 7}, "kind"),
        ({"words": ["B1"]}, "words"),
        ({"key": "x"}, "key"),
        ({"key": "a key with gaps"}, "key"),
        ({"at": "yesterday"}, "at"),
        ({"at": "2026-05-04T09:30:00"}, "at"),
        ({"at": 5}, "at"),
    ],
)
def test_an_act_of_the_wrong_form_is_refused_at_its_field(page: Any, said: dict[str, Any], field: str) -> None:
    form = {"kind": "reading taken", "words": a_reading(page), "key": "t-00000001"} | said
    answer = page.client.post(page.at("acts/"), form, content_type="application/json")
    assert (answer.status_code, answer["Content-Type"]) == (422, "application/problem+json")
    assert [each["field"] for each in answer.json()["problems"]] == [field]
    assert EventRow.objects.count() == 1


@pytest.mark.parametrize("body", ["", "{", "[]", "3", '"x"', "[" * 100_000])
def test_what_is_no_act_at_all_is_refused(page: Any, body: str) -> None:
    answer = page.client.post(page.at("acts/"), body, content_type="application/json")
    assert (answer.status_code, answer.json()["problems"][0]["code"]) == (422, "act-form")


def test_words_that_the_job_cannot_bear_are_refused_with_the_mend(page: Any) -> None:
    answer = page.act("reading taken", a_reading(page) | {"value": "three"})
    problem = answer.json()["problems"][0]
    assert (answer.status_code, problem["field"]) == (422, "value")
    assert problem["mend"]


def test_the_door_only_takes(page: Any) -> None:
    assert page.get("acts/").status_code == 405


def test_news_tells_how_many_are_new(page: Any) -> None:
    assert page.get("news/", since=1).json() == {"number": 1, "new": 0}
    page.act("reading taken", a_reading(page))
    assert page.get("news/", since=1).json() == {"number": 2, "new": 1}
    assert page.get("news/", since="x").json() == {"number": 2, "new": 0}


def test_the_look_for_news_asks_the_database_once(page: Any, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(1):
        page.get("news/", since=1)


def test_a_ledger_that_is_away_is_told_so_that_the_tablet_sends_again(
    page: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: object, **__: object) -> None:
        raise OperationalError("server closed the connection unexpectedly")

    words = a_reading(page)
    monkeypatch.setattr(LedgerStore, "_head", away)
    answer = page.act("reading taken", words)
    assert (answer.status_code, answer["Content-Type"]) == (503, "application/problem+json")
    assert answer["Retry-After"].isdecimal()
    [told] = answer.json()["problems"]
    assert told["code"] == "ledger-database"
    assert "cannot be reached" in told["what"]
    assert "try again" in told["mend"]


def test_a_page_that_finds_no_ledger_says_so_in_words(page: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def away(*_: object, **__: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr(addresses, "_book", away)
    answer = page.get("")
    assert answer.status_code == 503
    assert "another program holds the ledger" in answer.content.decode()


def test_a_reading_that_was_kept_is_acknowledged_though_the_ledger_went_away_then(
    page: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: object) -> None:
        raise OperationalError("server closed the connection unexpectedly")

    words = a_reading(page)
    monkeypatch.setattr(LedgerStore, "kept", away)
    answer = page.act("reading taken", words)
    assert answer.status_code == 201
    assert answer.json()["html"] == ""
    monkeypatch.undo()
    assert LedgerStore(page.book).kept().number == answer.json()["number"]
