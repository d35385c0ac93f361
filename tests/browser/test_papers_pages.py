"""Fits, gauges, parts, papers and history in a real browser: nothing that keeps anybody out, refusals at their field, papers that come."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Route, expect

from blockwright.demos import demo_texts

from .conftest import LAPTOP, PHONE, TABLET, Bench, watched

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]
WALL = "fit/wall%20clearance/cylinder%203/"
PAGES = (
    WALL,
    "gauges/",
    "parts/",
    "parts/put/?part=P1&at=cylinder+3",
    "parts/pistons/",
    "papers/",
    "history/",
    "more/",
)
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
SMALL = """() => [...document.querySelectorAll('main a, main button, main input:not([type=hidden]), main select, main summary')]
  .filter((each) => { const box = each.getBoundingClientRect(); return box.width && box.height < 43.5; }).map((each) => each.outerHTML.slice(0, 120))"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=["phone", "tablet", "laptop"])
def test_nobody_is_kept_out(bench: Bench, new_book: Books, context: Opens, size: dict[str, Any], scheme: str) -> None:
    slug = new_book(demo_texts("harbour"))
    page = context(**size, color_scheme=scheme).new_page()
    faults = watched(page)
    for rest in PAGES:
        page.goto(f"{bench.address}/e/{slug}/{rest}")
        page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        found = Axe().run(page, options=RULES).response
        assert len(found["passes"]) > 10, "axe has looked"
        assert [(each["id"], each["nodes"][0]["html"]) for each in found["violations"]] == [], rest
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), rest
        assert page.evaluate(SMALL) == [], rest
    assert faults.said == []


def test_a_concession_without_a_reason_is_refused_at_its_field_and_then_kept(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(demo_texts("harbour"))
    page = context(**LAPTOP).new_page()
    page.goto(f"{bench.address}/e/{slug}/{WALL}")
    page.get_by_role("button", name="Sign a concession").click()
    reason = page.get_by_label("Reason")
    expect(reason).to_be_focused()
    expect(reason).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".field[data-field=why] .fault")).to_be_visible()
    reason.fill("a trial run, ten minutes")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Signed for")
    assert [each.kind for each in bench.acts(slug)] == ["concession"]


def test_a_bare_number_is_taken_in_the_unit_beside_it(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(demo_texts("harbour"))
    page = context(**LAPTOP).new_page()
    page.goto(f"{bench.address}/e/{slug}/{WALL}")
    page.get_by_text("Set a limit").click()
    page.locator("[name='limit.low']").fill("0.09")
    page.locator("[name='limit.why']").fill("short runs")
    page.get_by_role("button", name="Write the limit down").click()
    expect(page.locator(".decides").first).to_contain_text("builder: low 0.090 mm")
    (act,) = bench.acts(slug)
    assert act.body["limit"]["low"] == "0.09 mm"


def test_work_is_ordered_beside_what_was_ordered(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(demo_texts("harbour"))
    page = context(**LAPTOP).new_page()
    page.goto(f"{bench.address}/e/{slug}/parts/")
    page.get_by_text("Order work").click()
    page.locator("[name='item.work']").fill("skim the deck")
    page.get_by_role("button", name="Write the order down").click()
    expect(page.locator("#orders .field[data-field=low] .fault")).to_contain_text("The order says no size.")
    page.locator("[name='item.low']").fill("97.25")
    page.get_by_role("button", name="Write the order down").click()
    expect(page.locator(".orders")).to_contain_text("skim the deck")
    (act,) = bench.acts(slug)
    assert len(act.body["values"]) == 2


def test_a_paper_comes_and_says_that_it_is_being_made_where_it_takes_long(
    bench: Bench, new_book: Books, context: Opens, tmp_path: Path
) -> None:
    slug = new_book(demo_texts("harbour"))
    page = context(**LAPTOP).new_page()
    asked: list[str] = []

    def slow_at_first(route: Route) -> None:
        asked.append(route.request.url)
        if len(asked) < 4:
            route.fulfill(status=202, json={"being": "Labels"})
        else:
            route.continue_()

    page.route("**/papers/labels/**", slow_at_first)
    page.goto(f"{bench.address}/e/{slug}/papers/")
    with page.expect_download(timeout=60_000) as coming:
        page.locator("#get-labels-letter").click()
        expect(page.get_by_text("Being made.")).to_be_visible()
    coming.value.save_as(tmp_path / "labels.pdf")
    assert coming.value.suggested_filename.endswith("-labels-letter.pdf")
    assert (tmp_path / "labels.pdf").read_bytes().startswith(b"%PDF-")
    expect(page.get_by_text("Being made.")).to_have_count(0)
