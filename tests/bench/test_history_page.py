"""The record: every kind of act in plain words, what was withdrawn struck, filters, pages, and a chain that was tampered with."""

from __future__ import annotations

import datetime as dt
import re
from html import unescape
from typing import Any

from django.db import connection

from blockwright.acts.event import sealed
from blockwright.acts.kinds import KINDS
from blockwright.bench.history.listing import A_PAGE
from blockwright.report.event_words import DONE, UNDONE, WORDS, said, told

from .conftest import Page

READ = {
    "part": "B1", "feature": "bore", "at": "cylinder 1", "spot": "middle thrust", "value": "+20", "unit": "um", "gauge": "BG1", "setting": "S1",
    "part_temp": "20", "state": "plate on",
}  # fmt: skip
AT = dt.datetime(2031, 5, 4, 9, 30, tzinfo=dt.UTC)


def text_of(of: Page, rest: str = "history/", **words: str) -> str:
    answer = of.get(rest, **words)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def test_every_kind_of_act_has_its_words() -> None:
    assert set(WORDS) == set(KINDS)
    assert set(DONE) | set(UNDONE) <= set(KINDS)


def test_a_kind_that_is_not_known_here_is_told_by_its_name() -> None:
    assert said(sealed(1, "tea made", {}, at=AT, by="A", key="k-1234567", before="")).what == "tea made"


def test_only_the_last_reading_of_a_row_is_struck() -> None:
    def event(number: int, kind: str, row: str) -> Any:
        body = {"row": row, "cells": {"feature": "bore", "part": "B1", "value": "1"}, "why": "slip"}
        return sealed(number, kind, body, at=AT, by="A", key=f"k-{number}", before="")

    events = [
        event(1, "reading taken", "r1"),
        event(2, "reading taken", "r2"),
        event(3, "reading withdrawn", "r1"),
        event(4, "reading taken", "r1"),
    ]
    assert [each.struck_by for each in told(events)] == [3, 0, 0, 0]


def test_acts_are_told_who_when_and_what(page: Page) -> None:
    assert page.act("reading taken", READ).status_code == 201
    text = text_of(page)
    row = re.search(r"Read bore of B1 at cylinder 1, middle thrust: \+20 um by BG1 on S1", text)
    assert row is not None, re.findall(r'class="what">(.*?)</div>', text)
    assert "The record is whole: 2 events." in text
    assert ">bench<" in text


def test_what_was_withdrawn_is_struck_and_says_by_what(page: Page) -> None:
    row = page.act("reading taken", READ).json()["row"]
    page.act("reading withdrawn", {"row": row, "why": "dirt on the face"})
    text = text_of(page)
    assert re.search(r"<del>Read bore of B1.*?</del> <a class=\"by-what\" href=\"#event-3\">withdrawn by 3", text)
    assert "Why: dirt on the face" in text


def test_events_are_chosen_by_part_person_and_kind(page: Page) -> None:
    page.act("part registered", {"part": {"mark": "P9", "kind": "piston"}})
    page.act("part assigned", {"at": "cylinder 3", "as": "piston", "parts": ["P9"]})
    page.act("wheel put on", {"wheel": "W2"})
    assert "2 of 4 events" in text_of(page, part="P9")
    assert "1 of 4 events" in text_of(page, part="P9", kind="part assigned")
    assert "1 of 4 events" in text_of(page, by="A. Hand")
    assert "Nothing on record is like that." in text_of(page, by="Nobody")


def test_a_long_record_is_turned_over(page: Page) -> None:
    for number in range(A_PAGE + 5):
        assert page.act("wheel put on", {"wheel": f"W{number}"}).status_code == 201
    first, second = text_of(page), text_of(page, page="2", kind="wheel put on")
    assert first.count('id="event-') == A_PAGE
    assert f"The record is whole: {A_PAGE + 6} events." in first
    assert second.count('id="event-') == 5
    assert "kind=wheel+put+on&page=1" in second
    assert text_of(page, page="99").count('id="event-') == 6


def test_a_record_that_was_altered_says_so_and_still_shows_the_rest(page: Page) -> None:
    page.act("wheel put on", {"wheel": "W5"})
    page.act("wheel put on", {"wheel": "W6"})
    with connection.cursor() as cursor:
        cursor.execute("select name from sqlite_master where type = 'trigger'")
        for (name,) in cursor.fetchall():
            cursor.execute(f'drop trigger "{name}"')
        cursor.execute("update ledger_eventrow set body = replace(body, 'W5', 'W7') where number = 2")
    text = text_of(page)
    assert "The record is not whole." in text
    assert "event 2 (wheel put on): it was altered" in text.replace("Event", "event")
    assert "Put wheel W6 on the ring grinder" in text
    assert "The record is not whole." in text_of(page, "history/whole/")


def test_all_of_it_is_looked_through_on_wish(page: Page) -> None:
    assert "All of it is whole: 1 event, 0 photos." in text_of(page, "history/whole/")


def test_it_asks_the_ledger_little(page: Page, django_assert_max_num_queries: Any) -> None:
    with django_assert_max_num_queries(5):
        page.get("history/")


def test_the_list_of_the_rest_leads_to_each(page: Page) -> None:
    text = text_of(page, "more/")
    for rest in ("gauges/", "parts/", "parts/pistons/", "history/"):
        assert page.at(rest) in text
