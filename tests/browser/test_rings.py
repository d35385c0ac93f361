"""A ring filed in a real browser: to done by keyboard alone, on a phone with the bench gone between, refused values on their field, nobody shut out."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, Route, expect

from ..bench.ring_jobs import RING, to_file
from .conftest import LAPTOP, PHONE, TABLET, Act, Bench, watched
from .measuring import ready, stays, until

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]


def open_ring(context: BrowserContext, bench: Bench, slug: str, rest: str = RING) -> Page:
    page = context.new_page()
    page.goto(f"{bench.address}/e/{slug}/{rest}")
    if rest.count("/") > 1:
        ready(page)
    return page


def typed(page: Page, *words: str) -> None:
    """Each text into whatever has the focus, then Enter."""
    for text in words:
        page.keyboard.type(text)
        page.keyboard.press("Enter")


def press(page: Page, keys: str) -> None:
    for key in keys:
        page.tap(f'[data-key="{ {".": "mark", ">": "enter"}.get(key, key) }"]')


def said(page: Page) -> str:
    return page.inner_text("#said h1")


def entries(bench: Bench, slug: str) -> list[tuple[str, str, str]]:
    """(kind, taken, gap) of every act at the grinder."""
    return [(act.kind, act.body["cells"]["taken"], act.body["cells"]["gap"]) for act in at_grinder(bench, slug)]


def at_grinder(bench: Bench, slug: str) -> list[Act]:
    return [act for act in bench.acts(slug) if act.kind in ("pass filed", "gap read")]


def tab_to(page: Page, selector: str) -> None:
    for _ in range(60):
        if page.evaluate("selector => document.activeElement.matches(selector)", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{selector} is not reached by Tab")


def test_a_ring_is_filed_to_done_by_keyboard_alone(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**LAPTOP), bench, slug, "rings/")
    faults = watched(page)
    tab_to(page, ".say a.main")
    page.keyboard.press("Enter")
    ready(page)
    assert said(page) == "Take 6 turns."
    expect(page.locator("#taken")).to_be_focused()
    typed(page, "6")
    expect(page.locator("#ritual-head")).to_have_text("Written down. Before you read the gap")
    expect(page.locator("#steps li")).to_have_count(7)
    expect(page.locator("#ring_temp")).to_be_focused()
    page.keyboard.type("21")
    page.keyboard.press("Tab")
    page.keyboard.type("21")
    page.keyboard.press("Enter")
    expect(page.locator("#goes")).to_be_focused()
    typed(page, "24 thou", "25 thou")
    expect(page.locator("#take")).to_be_visible()
    assert re.fullmatch(r"Take [2-9] turns\.", said(page)), said(page)
    expect(page.locator("#taken")).to_be_focused()
    typed(page, "2")
    expect(page.locator("#ready")).to_be_focused()
    expect(page.locator("#still-said")).to_have_text("Still so: ring 21 °C, bore 21 °C, 30 mm deep; FB1.")
    page.keyboard.press("Enter")
    typed(page, "25 thou", "26 thou")
    expect(page.locator("#next")).to_be_focused()
    assert said(page) == "This ring is done. Next: R4 second, cylinder 4."
    page.keyboard.press("Enter")
    page.wait_for_url("**/rings/4/second/")
    assert entries(bench, slug) == [
        ("pass filed", "6", ""),
        ("gap read", "6", "24 thou to 25 thou"),
        ("pass filed", "2", ""),
        ("gap read", "2", "25 thou to 26 thou"),
    ]
    assert {act.body["cells"]["ring_temp"] for act in at_grinder(bench, slug) if act.kind == "gap read"} == {"21 °C"}
    assert faults.said == []


def test_a_ring_is_filed_to_done_with_a_thumb_and_what_was_taken_offline_is_sent_once(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(to_file())
    phone = context(**PHONE)
    page = open_ring(phone, bench, slug)
    faults = watched(page)
    phone.set_offline(True)
    page.tap("#took")
    expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
    expect(page.locator("#ritual")).to_be_visible()
    expect(page.locator("#before")).to_contain_text("from before")
    page.wait_for_timeout(300)
    assert [entry["words"]["taken"] for entry in stays(page).values()] == ["6"]  # type: ignore[index]
    assert entries(bench, slug) == []
    page.tap("#ready")
    assert page.get_attribute("#goes", "inputmode") == "none"
    press(page, "0.610>0.635>")
    expect(page.locator("#hold-said")).to_contain_text("take nothing more until then")
    expect(page.locator("#held")).to_have_text("2 kept here, not sent yet")
    phone.set_offline(False)
    expect(page.locator("#held")).to_be_hidden()
    expect(page.locator("#take")).to_be_visible()
    expect(page.locator("#before")).to_be_hidden()
    assert entries(bench, slug) == [("pass filed", "6", ""), ("gap read", "6", "0.610 to 0.635")]
    page.fill("#taken", "")
    page.tap("#more")
    page.tap("#more")
    expect(page.locator("#took")).to_have_text("I have taken 2 turns")
    page.tap("#took")
    page.tap("#ready")
    press(page, "0.635")
    page.tap('[data-key="to"]')
    press(page, "0.660>")
    expect(page.locator("#next")).to_be_visible()
    assert "This ring is done." in said(page)
    assert len({act.key for act in at_grinder(bench, slug)}) == 4 == len(entries(bench, slug))
    assert faults.said == []


def test_a_taken_whose_answer_was_lost_is_kept_once(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**PHONE), bench, slug)
    lost: list[int] = []

    def lose(route: Route) -> None:
        lost.append(route.fetch().status)
        route.abort()

    page.route("**/acts/", lose)
    page.tap("#took")
    expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
    page.wait_for_timeout(1500)
    page.unroute("**/acts/")
    expect(page.locator("#held")).to_be_hidden(timeout=15_000)
    assert set(lost) == {201}
    assert entries(bench, slug) == [("pass filed", "6", "")]


def test_what_was_taken_is_still_known_after_a_reload_before_it_was_sent(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**PHONE), bench, slug)
    page.route("**/acts/", lambda route: route.abort())
    page.tap("#took")
    page.wait_for_timeout(300)
    page.reload()
    ready(page)
    expect(page.locator("#ritual")).to_be_visible()
    expect(page.locator("#steps li")).to_have_count(7)
    page.unroute("**/acts/")
    expect(page.locator("#held")).to_be_hidden(timeout=25_000)
    assert entries(bench, slug) == [("pass filed", "6", "")]


def test_a_ring_goes_on_through_a_reload_while_the_bench_is_away(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**LAPTOP), bench, slug)
    until(page, "navigator.serviceWorker.controller !== null")
    until(page, "caches.open('bench-pages-1').then(kept => kept.match(location.pathname)).then(Boolean)")
    bench.kill()
    try:
        page.click("#took")
        expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
        page.reload()
        ready(page)
        expect(page.locator("#ritual")).to_be_visible()
    finally:
        bench.start()
    expect(page.locator("#held")).to_be_hidden(timeout=30_000)
    assert entries(bench, slug) == [("pass filed", "6", "")]


def test_faults_are_told_on_their_field(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**LAPTOP), bench, slug)
    typed(page, "-2")
    expect(page.locator("#taken-fault")).to_contain_text("Nothing can be put back")
    page.fill("#taken", "2.5")
    page.keyboard.press("Enter")
    expect(page.locator("#taken-fault")).to_contain_text("whole turns only")
    page.fill("#taken", "9")
    page.keyboard.press("Enter")
    expect(page.locator("#taken-fault")).to_contain_text("more than the 6 turns advised")
    assert entries(bench, slug) == []
    page.click("[data-read]:visible")
    page.fill("#ring_temp", "warm")
    page.keyboard.press("Enter")
    typed(page, "21 thou", "22 thou")
    expect(page.locator("#ring_temp-fault")).to_be_visible()
    expect(page.locator("#ring_temp")).to_have_attribute("aria-invalid", "true")
    page.fill("#ring_temp", "21")
    page.keyboard.press("Enter")
    expect(page.locator("#goes")).to_have_value("21 thou")
    page.focus("#not")
    page.keyboard.press("Enter")
    expect(page.locator("#take")).to_be_visible()
    assert entries(bench, slug) == [("gap read", "0", "21 thou to 22 thou")]
    expect(page.locator("#tray")).to_be_hidden()
    page.click("#slip summary")
    page.click("#withdraw button")
    expect(page.locator("#why-fault")).to_contain_text("never withdrawn without a reason")
    page.fill("#wheel", "W1")
    page.keyboard.press("Enter")
    expect(page.locator("#wheel-fault")).to_contain_text("on already")


def test_a_slip_is_withdrawn_and_another_wheel_put_on(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    page = open_ring(context(**LAPTOP), bench, slug)
    page.click("#took")
    page.click("#slip summary")
    expect(page.locator("#which option").first).to_contain_text("6 turns off")
    page.fill("#why", "miscounted")
    page.keyboard.press("Enter")
    expect(page.locator("#facts")).to_contain_text("withdrawn: miscounted")
    page.click("#slip summary")
    page.fill("#wheel", "W2")
    page.keyboard.press("Enter")
    expect(page.locator("#facts")).to_contain_text("Wheel W2 is on")
    assert [act.kind for act in bench.acts(slug)] == ["pass filed", "pass withdrawn", "wheel put on"]
    expect(page.locator("#ritual")).to_be_visible()


def test_two_tablets_see_each_other_and_the_entry_stays(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    one, two = (open_ring(context(**size), bench, slug) for size in (LAPTOP, TABLET))
    two.click("[data-read]:visible")
    two.click("#ready")
    two.keyboard.type("24")
    one.click("#took")
    expect(two.locator("#said h1")).to_have_text("6 turns off: read the gap now.", timeout=8_000)
    expect(two.locator("#goes")).to_have_value("24")
    expect(two.locator("#goes")).to_be_focused()
    every = open_ring(context(**LAPTOP), bench, slug, "rings/")
    expect(every.locator("h1")).to_have_text("Next: R4 top, cylinder 4.")
    assert "6 turns taken, gap not read since" in every.inner_text(".say")


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=["360", "820", "1440"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nobody_is_shut_out(size: dict[str, Any], scheme: str, bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    tablet = context(**size, color_scheme=scheme)
    page = open_ring(tablet, bench, slug)
    faults = watched(page)
    page.click("#why-not-more summary")
    page.click("#slip summary")
    sound(page)
    page.click("#took")
    sound(page)
    page.click("#ready")
    sound(page)
    page.fill("#goes", "24")
    page.focus("#goes")
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    expect(page.locator("#gap-fault")).to_be_visible()
    sound(page)
    for rest in ("rings/4/upper-rail/", "rings/", "clocking/"):
        page.goto(f"{bench.address}/e/{slug}/{rest}")
        page.evaluate("document.querySelectorAll('main details').forEach(each => (each.open = true))")
        sound(page)
    assert faults.said == []


def sound(page: Page) -> None:
    """Nothing that shuts anybody out, nothing wider than the screen, no target too small for a glove."""
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    small = page.evaluate(
        """() => [...document.querySelectorAll("main button, main a, main select, main input, main summary")].filter(e => e.checkVisibility())
        .map(e => [e.id || e.textContent, e.getBoundingClientRect()]).filter(([n, r]) => r.height && (r.width < 44 || r.height < 44)).map(([n, r]) => [n, r.width, r.height])"""
    )
    assert small == []
