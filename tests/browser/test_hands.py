"""Hands at a shop's tablet in a real browser: who only looks, who is asked for name and PIN when the bench does not know him any more, and that nothing is sent twice or under another's name."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from ..bench.ring_jobs import RING, to_file
from .conftest import TABLET, emptied, watched
from .measuring import all_sent, gauge, ready
from .shop import BUILDER, MEASURER, VIEWER, Tablet, paired, says
from .test_every_page import ShopBench

Opens = Callable[..., BrowserContext]
Pairs = Callable[..., Tablet]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ShopBench]:
    """A shop's bench."""
    opened = ShopBench(tmp_path_factory.mktemp("shop") / "data")
    opened.start()
    yield opened
    opened.kill()


@pytest.fixture
def tablet(shop: ShopBench, context: Opens, tmp_path: Path) -> Pairs:
    """Opens a paired tablet: `tablet(texts, name)`."""

    def open_one(texts: dict[str, str], name: str) -> Tablet:
        slug = shop.bring_in(texts, tmp_path / "job")
        return paired(shop, slug, context(**TABLET, ignore_https_errors=True), name)

    return open_one


def opened(tablet: Tablet, rest: str) -> Page:
    page = tablet.context.new_page()
    page.goto(tablet.at(rest))
    ready(page)
    return page


def taken(tablet: Tablet) -> list[tuple[str, str]]:
    """(by, value) of every reading that the bench has."""
    return [
        (act.by, act.body["cells"]["value"]) for act in tablet.bench.acts(tablet.slug) if act.kind == "reading taken"
    ]


def asked(page: Page) -> None:
    expect(page.get_by_role("dialog", name="Whose hands?")).to_be_visible()


def test_whoever_only_looks_finds_the_entry_switched_off_and_why(tablet: Pairs) -> None:
    mine = tablet(emptied("harbour"), VIEWER)
    page = opened(mine, "measure/")
    faults = watched(page)
    expect(page.locator("#look-only")).to_have_text(
        "You may look here. Measuring is for those who measure at this engine."
    )
    expect(page.locator("#value")).to_be_disabled()
    for part in ("#keypad", "#skip", "#withdraw", "#repeat", "#sitting-open"):
        expect(page.locator(part)).to_be_hidden()
    before = page.inner_text("#where")
    page.locator("#lens button").nth(1).click()
    assert page.inner_text("#where") != before, "all spots can be looked at"
    page.keyboard.type("-8")
    page.keyboard.press("Enter")
    page.wait_for_timeout(300)
    assert mine.bench.acts(mine.slug) == []
    page.locator("a[data-hands]").click()
    asked(page)
    says(page, MEASURER)
    expect(page.locator("#value")).to_be_enabled()
    expect(page.locator("#look-only")).to_be_hidden()
    page.locator("#value").focus()
    gauge(page, "-8")
    all_sent(page)
    assert taken(mine) == [(MEASURER, "-8")]
    page.locator("a[data-hands]").click()
    asked(page)
    says(page, VIEWER)
    expect(page.locator("#value")).to_be_disabled()
    assert [each for each in faults.said if "SSL certificate" not in each] == [], (
        "the browser of the tests was not given the shop's certificate"
    )


def test_an_entry_that_nobody_is_signed_in_for_is_sent_once_he_says_who_he_is(tablet: Pairs) -> None:
    mine = tablet(emptied("harbour"), MEASURER)
    page = opened(mine, "measure/")
    gauge(page, "-8")
    all_sent(page)
    mine.forget()
    gauge(page, "-10")
    asked(page)
    expect(page.locator("dialog.hands-over")).to_contain_text(
        "What was entered waits on this tablet until you say who you are."
    )
    assert taken(mine) == [(MEASURER, "-8")]
    says(page, MEASURER)
    expect(page.locator("dialog.hands-over")).to_have_count(0)
    all_sent(page)
    expect(page.locator("#value")).to_be_focused()
    gauge(page, "-6")
    all_sent(page)
    assert taken(mine) == [(MEASURER, "-8"), (MEASURER, "-10"), (MEASURER, "-6")]
    assert len({act.key for act in mine.bench.acts(mine.slug)}) == 3


def test_the_question_gives_way_to_the_gauge_and_is_not_asked_twice(tablet: Pairs) -> None:
    mine = tablet(emptied("harbour"), MEASURER)
    page = opened(mine, "measure/")
    mine.forget()
    gauge(page, "-8")
    asked(page)
    gauge(page, "-10")
    expect(page.locator("dialog.hands-over")).to_have_count(0)
    expect(page.locator("#held")).to_have_text("2 kept here, not sent yet")
    gauge(page, "-6")
    page.wait_for_timeout(2000)
    expect(page.locator("dialog.hands-over")).to_have_count(0)
    page.get_by_role("link", name="Say who you are").click()
    asked(page)
    says(page, MEASURER)
    all_sent(page)
    assert taken(mine) == [(MEASURER, "-8"), (MEASURER, "-10"), (MEASURER, "-6")]


def test_another_hand_who_says_who_he_is_does_not_send_what_he_did_not_take(tablet: Pairs) -> None:
    mine = tablet(emptied("harbour"), MEASURER)
    page = opened(mine, "measure/")
    mine.forget()
    gauge(page, "-8")
    asked(page)
    says(page, BUILDER)
    expect(page.locator("#tray")).to_contain_text(f"1 taken by {MEASURER} wait here")
    gauge(page, "-10")
    page.wait_for_timeout(1200)
    assert taken(mine) == [(BUILDER, "-10")]
    page.locator("a[data-hands]").click()
    asked(page)
    says(page, MEASURER)
    all_sent(page)
    assert taken(mine) == [(BUILDER, "-10"), (MEASURER, "-8")]


def test_a_ring_and_a_signature_are_asked_for_and_kept_once(tablet: Pairs) -> None:
    mine = tablet(to_file(), BUILDER)
    page = opened(mine, RING)
    mine.forget()
    page.tap("#took")
    asked(page)
    says(page, BUILDER)
    expect(page.locator("#held")).to_be_hidden()
    expect(page.locator("#ritual")).to_be_visible()
    page.goto(mine.at("route/mock-up: parts/"))
    page.locator("#icounts-0").fill("37")
    mine.forget()
    page.tap("#sign-it")
    asked(page)
    says(page, BUILDER)
    expect(page.locator(".say")).to_contain_text(re.compile(f"signed by {BUILDER}"))
    assert [(act.kind, act.by) for act in mine.bench.acts(mine.slug)] == [
        ("pass filed", BUILDER),
        ("step signed", BUILDER),
    ]
