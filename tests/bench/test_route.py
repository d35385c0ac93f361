"""The route on pages: how much stands on them, who may sign, what is refused beside its item, what undoing says, and the builder's own steps."""

from __future__ import annotations

import json
import secrets
from typing import Any

import pytest
from django.db import connection
from django.template import Context, Template
from django.test import Client
from django.test.utils import CaptureQueriesContext

from blockwright.acts.roles import Role
from blockwright.bench.people import pin
from blockwright.ledger.models import Book

from .conftest import Page
from .shop_hands import PIN, hire, open_shop, signed_in

FIRST, SECOND = "mock-up: parts", "mock-up: block"
PARTS = {"step": FIRST, "counts": ["37"]}


def sign(client: Client, book: Book, words: dict[str, Any], **more: Any) -> Any:
    said = {"kind": "step signed", "words": words, "key": f"t-{secrets.token_hex(8)}", **more}
    return client.post(
        f"/e/{book.slug}/acts/",
        json.dumps(said),
        content_type="application/json",
        headers={"Accept": "application/json"},
    )


def test_every_step_has_a_page_and_the_list_leads_to_each(page: Page) -> None:
    shown = page.get("route/")
    assert shown.status_code == 200
    lines = [line for stage in shown.context["stages"] for group in stage.groups for line in group.lines]
    assert len(lines) == 97
    for line in lines:
        assert f'href="{line.to}"' in shown.content.decode()
        assert page.client.get(line.to).status_code == 200, line.to


def test_the_drawn_route_leads_to_every_step(page: Page) -> None:
    shown = page.get("route/?drawn").content.decode()
    assert shown.count('class="to-step"') == 97


def test_a_step_that_is_none_is_not_found(page: Page) -> None:
    assert page.get("route/final: no such step/").status_code == 404


@pytest.mark.parametrize("rest", ["route/", "route/?drawn", "route/final: piston 3/", "route-own/"])
def test_a_page_asks_the_ledger_little(page: Page, rest: str) -> None:
    page.get(rest)
    with CaptureQueriesContext(connection) as asked:
        assert page.get(rest).status_code == 200
    assert len(asked) <= 4


def test_a_signature_lacks_exactly_what_was_asked(page: Page) -> None:
    refused = sign(page.client, page.book, {"step": FIRST})
    assert refused.status_code == 422
    item = page.get(f"route/{FIRST}/").context["items"][0]
    problem = refused.json()["problems"][0]
    assert problem["what"].lower().startswith(item.begins.lower())
    assert problem["field"] == item.field
    assert sign(page.client, page.book, PARTS).status_code == 201
    assert page.get(f"route/{FIRST}/").context["state"].done


def test_every_refusal_of_every_step_has_its_item(page: Page) -> None:
    from blockwright.bench.route.now import progress_now
    from blockwright.choices.route.evidence import lacking
    from blockwright.engine.steps import Given

    _, progress = progress_now(page.book)
    for key, state in progress.states.items():
        shown = page.get(f"route/{key}/").context
        begins = [each.begins.lower() for each in (*shown["items"], *shown["fits"])]
        for problem in lacking(state.step, Given(), "bench", progress.standings):
            assert any(problem.what.lower().startswith(each) for each in begins), problem.what


def test_undoing_says_first_what_it_opens(page: Page) -> None:
    sign(page.client, page.book, PARTS)
    assert sign(page.client, page.book, {"step": SECOND, "counts": ["9"], "eyes": "B. Other"}).status_code == 201
    told = page.get(f"route/{FIRST}/").context["opens"]
    assert [line.state.step.key for line in told] == [SECOND]
    refused = page.act("step undone", {"step": FIRST})
    assert (refused.status_code, refused.json()["problems"][0]["field"]) == (422, "why")
    assert page.act("step undone", {"step": FIRST, "why": "a part was missing"}).status_code == 201
    again = page.get("route/").context["again"]
    assert {line.state.step.key for line in again} == {FIRST, SECOND}
    assert "a part was missing" in page.get("route/").content.decode()


def test_a_sealant_clock_counts_by_the_seconds_left(page: Page) -> None:
    import datetime as dt

    from blockwright.bench.route.now import progress_now
    from blockwright.bench.route.overview import overview
    from blockwright.choices.route.progress import Clock

    _, progress = progress_now(page.book)
    step = progress.route.by_key["final: sealant on the sump"]
    began = dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)
    waiting = tuple(key for key, state in progress.states.items() if state.step.within == step.key)
    clock = Clock(step, began, began + dt.timedelta(seconds=900), waiting)

    class Running(type(progress)):  # type: ignore[misc]
        clocks = (clock,)

    running = Running(progress.route, progress.states, progress.standings, progress.signings)
    told = overview(page.book, running, began + dt.timedelta(seconds=300))
    assert (told["clocks"][0].left_s, told["say"].tone) == (600, "doubt")
    assert overview(page.book, running, began + dt.timedelta(seconds=1000))["say"].tone == "out"


def test_own_steps_are_added_and_struck_or_say_why_not(page: Page) -> None:
    own = {"key": "own: dowels", "name": "Dowels looked at", "after": [FIRST], "before": [SECOND]}
    listed = page.get("route-own/").context["listed"]
    assert page.act("sheet changed", {"table": "step", "values": [*listed, own]}).status_code == 201
    assert page.get("route/own: dowels/").status_code == 200
    listed = page.get("route-own/").context["listed"]
    assert listed[-1]["key"] == "own: dowels"
    loop = {"key": FIRST, "after": [SECOND]}
    refused = page.act("sheet changed", {"table": "step", "values": [*listed, loop]})
    assert refused.status_code == 422
    assert "cannot come before" in refused.json()["problems"][0]["what"]
    hold = {"key": FIRST, "struck": True, "by": "A. Hand", "why": "no time"}
    refused = page.act("sheet changed", {"table": "step", "values": [*listed, hold]})
    assert "is a hold point and cannot be struck" in refused.json()["problems"][0]["what"]
    assert page.act("sheet changed", {"table": "step", "values": listed[:-1]}).status_code == 201
    assert page.get("route/own: dowels/").status_code == 404


def test_only_a_builder_signs(settings: Any, harbour: Book) -> None:
    open_shop(settings)
    measurer = signed_in(hire("M. Gauge", book=harbour, role=Role.MEASURER))
    shown = measurer.get(f"/e/{harbour.slug}/route/{FIRST}/")
    assert shown.status_code == 200
    assert b'id="sign-form"' not in shown.content
    assert sign(measurer, harbour, PARTS).status_code == 403
    stranger = signed_in(hire("S. Strange"))
    assert stranger.get(f"/e/{harbour.slug}/route/").status_code == 404


def test_in_a_shop_the_second_pair_of_eyes_proves_itself(settings: Any, harbour: Book) -> None:
    open_shop(settings)
    builder = signed_in(hire("B. Builder", book=harbour, role=Role.BUILDER))
    other = hire("O. Other", book=harbour, role=Role.MEASURER)
    assert sign(builder, harbour, PARTS).status_code == 201
    words = {"step": SECOND, "counts": ["9"], "eyes": other.name}
    assert builder.get(f"/e/{harbour.slug}/route/{SECOND}/").context["lookers"] == ["O. Other"]
    wrong = sign(builder, harbour, words, pin="7391")
    assert (wrong.status_code, wrong.json()["problems"][0]["code"]) == (422, "pin-wrong")
    unknown = sign(builder, harbour, words | {"eyes": "N. Nobody"}, pin=PIN)
    assert (unknown.status_code, unknown.json()["problems"][0]["field"]) == (422, "eyes")
    assert sign(builder, harbour, words, pin=PIN).status_code == 201
    pin.clear_pin(other)
    assert builder.get(f"/e/{harbour.slug}/route/{SECOND}/").context["lookers"] == []


def test_what_is_listed_is_made_fit_for_a_page_once(six: Page) -> None:
    """A tool of a builder's own could be called anything; an apostrophe stays one."""
    told = six.get("route/mock-up: block/").content.decode()
    assert "Brushes of each oilway&#x27;s size" in told
    assert "&amp;#" not in told
    shown = Template("{% load bench %}{{ each|join:', '|capital }} {{ bare|capital }}")
    assert shown.render(Context({"each": ["<b>", "x's"], "bare": "<i>"})) == "&lt;b&gt;, x&#x27;s &lt;i&gt;"
