"""The register of gauges: due days, settings, who used them, and the two forms."""

from __future__ import annotations

import datetime as dt
import re
from html import unescape
from typing import Any

import pytest

from blockwright.acts.kept import start
from blockwright.acts.roles import Role
from blockwright.bench.gauges.forms import forms, free_mark
from blockwright.bench.gauges.listing import due_words, listing
from blockwright.bench.tones import Tone
from blockwright.demos import demo_texts
from blockwright.ledger.models import Book

from .conftest import Page
from .shop_hands import hire, open_shop, signed_in

JOB = start("harbour", demo_texts("harbour")).job


@pytest.mark.parametrize(
    ("due", "tone"),
    [
        (None, Tone.PLAIN),
        ("2027-03-30", Tone.OUT),
        ("2027-03-31", Tone.DOUBT),
        ("2027-04-30", Tone.DOUBT),
        ("2027-05-01", Tone.GOOD),
    ],
)
def test_a_certificate_holds_through_its_last_day(due: str | None, tone: Tone) -> None:
    assert due_words(dt.date.fromisoformat(due) if due else None, dt.date(2027, 3, 31))[0] is tone


def test_overdue_gauges_come_first_and_are_barred(harbour: Book) -> None:
    told = listing(harbour, JOB, dt.date(2027, 6, 1))
    assert told["say"].tone is Tone.OUT
    assert [each.tone for each in told["gauges"]] == sorted(
        (each.tone for each in told["gauges"]), key=list(Tone).index
    )
    assert told["gauges"][0].due == "overdue since 2027-03-31"
    assert listing(harbour, JOB, dt.date(2026, 6, 1))["say"].tone is Tone.GOOD


def test_every_gauge_is_there_with_its_settings(page: Page) -> None:
    text = unescape(page.get("gauges/").content.decode())
    for gauge in JOB.gauge_sheet.gauge:
        assert gauge.id in text
        assert gauge.name in text
    for setting in JOB.gauge_sheet.setting:
        assert f"<b>{setting.id}</b>" in text
    assert "the needle falls as the size grows" in text


def test_who_read_it_is_counted(harbour: Book) -> None:
    told = listing(harbour, JOB, dt.date(2026, 6, 1))["gauges"]
    for each in told:
        counted = sum(int(count) for count in re.findall(r"(\d+)(?:,|$)", each.readers))
        taken = [reading for reading in (*JOB.readings, *(each.reading for each in JOB.passes)) if reading.taken]
        assert counted == sum(reading.gauge == each.line.mark for reading in taken), each.line.mark


def test_a_gauge_is_registered_and_its_certificate_renewed(page: Page) -> None:
    assert (
        page.act("gauge registered", {"gauge": {"id": "M1", "name": "another"}}).json()["problems"][0]["field"] == "id"
    )
    gauge = {"id": "M9", "name": "outside micrometer", "resolution": "0.001 mm", "due": "2020-01-31"}
    assert page.act("gauge registered", {"gauge": gauge}).status_code == 201
    text = page.get("gauges/").content.decode()
    assert "M9 is overdue." in text
    assert "Overdue since 2020-01-31" in text
    again = page.get("gauges/", again="M9").content.decode()
    assert re.search(r'name="gauge.id" value="M9"', again)
    assert 'name="again" value="yes"' in again
    assert page.act("gauge registered", {"gauge": gauge | {"due": "2099-01-31"}, "again": True}).status_code == 201
    assert "Overdue since" not in page.get("gauges/").content.decode()


def test_a_setting_is_made_on_a_master(page: Page) -> None:
    mark = free_mark(JOB)
    assert mark not in JOB.settings
    words = {"id": mark, "gauge": "BG1", "size": "97.250 mm", "master": "M1", "master_temp": "20.5"}
    assert page.act("setting made", {"setting": words | {"gauge": "M1"}}).json()["problems"][0]["field"] == "gauge"
    assert page.act("setting made", {"setting": words}).status_code == 201
    assert "M1 at 20.5 °C" in page.get("gauges/").content.decode()


def test_only_comparators_are_set(page: Page) -> None:
    fields = {field.key: field for field in forms(JOB, "")["setting_fields"]}
    assert {mark for mark, _ in fields["gauge"].options} == {
        each.id for each in JOB.gauge_sheet.gauge if each.sense.compares
    }
    assert "BG1" not in {mark for mark, _ in fields["master"].options}


@pytest.mark.parametrize(
    ("role", "acts"),
    [(Role.VIEWER, set()), (Role.MEASURER, {"setting made"}), (Role.BUILDER, {"setting made", "gauge registered"})],
)
def test_forms_by_role(harbour: Book, settings: Any, role: Role, acts: set[str]) -> None:
    open_shop(settings)
    client = signed_in(hire("Somebody", book=harbour, role=role))
    text = client.get(f"/e/{harbour.slug}/gauges/").content.decode()
    assert set(re.findall(r'data-act="([^"]+)"', text)) == acts


def test_it_asks_the_ledger_little(page: Page, django_assert_max_num_queries: Any) -> None:
    page.get("gauges/")
    with django_assert_max_num_queries(5):
        page.get("gauges/")
