"""The tray of what is not with the bench: a refused entry is mended where it was entered, an unsent one withdrawn, the way back when nothing answers."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import BrowserContext, Page, expect

from ..bench.ring_jobs import RING, to_file
from .conftest import LAPTOP, PHONE, Bench, emptied, watched
from .measuring import all_sent, gauge, open_at, ready, until

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]
OTHER = "rings/4/second/"


def ring(context: BrowserContext, bench: Bench, slug: str, rest: str = RING) -> Page:
    page = context.new_page()
    page.goto(f"{bench.address}/e/{slug}/{rest}")
    ready(page)
    return page


def read_gap(page: Page, goes: str, not_: str) -> None:
    """Read the gap of the ring in hand with blades."""
    page.locator("[data-read]:visible").first.click()
    page.click("#ready")
    for blade in (goes, not_):
        page.keyboard.type(blade)
        page.keyboard.press("Enter")


def at_grinder(bench: Bench, slug: str) -> list[tuple[str, str, str]]:
    """(kind, gap or units or wheel, why) of every act at the grinder."""
    said = []
    for act in bench.acts(slug):
        cells = act.body.get("cells", act.body)
        said.append((act.kind, str(cells.get("gap") or cells.get("taken") or ""), str(act.body.get("why", ""))))
    return said


def test_a_refused_gap_is_mended_from_another_ring_and_from_the_measuring_page(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(to_file())
    tablet = context(**LAPTOP)
    page = ring(tablet, bench, slug)
    faults = watched(page)
    tablet.set_offline(True)
    read_gap(page, "21 mm", "22 mm")
    expect(page.locator("#held")).to_have_text("1 kept here, not sent yet")
    tablet.set_offline(False)
    expect(page.locator("#gap-fault")).to_be_visible()
    expect(page.locator("#goes")).to_have_value("21 mm")
    for rest in (OTHER, "measure/"):
        page.goto(f"{bench.address}/e/{slug}/{rest}")
        ready(page)
        expect(page.locator("#tray")).to_contain_text("Not taken: R4 top, cylinder 4, gap, 21 mm to 22 mm")
        page.get_by_role("link", name="Mend it").click()
        page.wait_for_url(f"**/{RING}")
        ready(page)
        expect(page.locator("#goes")).to_have_value("21 mm")
        expect(page.locator("#not")).to_have_value("22 mm")
        expect(page.locator("#gap-fault")).to_be_visible()
        expect(page.locator("#goes")).to_be_focused()
        expect(page.locator("#tray")).to_be_hidden()
    for box, text in (("#goes", "21 thou"), ("#not", "22 thou")):
        page.fill(box, text)
    page.keyboard.press("Enter")
    expect(page.locator("#take")).to_be_visible()
    assert at_grinder(bench, slug) == [("gap read", "21 thou to 22 thou", "")]
    page.goto(f"{bench.address}/e/{slug}/measure/")
    ready(page)
    expect(page.locator("#tray")).to_be_hidden()
    assert faults.said == []


def test_a_refused_reading_is_mended_from_a_ring_page(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    tablet = context(**LAPTOP)
    page = open_at(tablet, bench, slug, "r25")
    tablet.set_offline(True)
    gauge(page, "971.29", "97.131")
    tablet.set_offline(False)
    expect(page.locator("#tray")).to_contain_text("Not taken: Skirt, P1, 971.29 mm")
    page = ring(tablet, bench, slug)
    page.get_by_role("link", name="Mend it").click()
    ready(page)
    assert "Skirt, P1" in page.inner_text("#where")
    expect(page.locator("#value")).to_have_value("971.29")
    expect(page.locator("#value")).to_have_attribute("aria-invalid", "true")
    assert "mend" not in page.url
    gauge(page, "97.129")
    all_sent(page)
    assert [value for _, value in bench.values(slug)] == ["97.131", "97.129"]


def test_an_unsent_gap_is_withdrawn_with_a_reason_and_both_are_on_record(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(to_file())
    tablet = context(**PHONE)
    page = ring(tablet, bench, slug)
    faults = watched(page)
    tablet.set_offline(True)
    page.tap("#took")
    page.tap("#ready")
    for blade in ("0.310", "0.335"):
        page.keyboard.type(blade)
        page.keyboard.press("Enter")
    expect(page.locator("#hold")).to_be_visible()
    page.tap("#slip summary")
    page.select_option("#which", label="not sent yet: gap 0.310 to 0.335")
    page.fill("#why", "read from the wrong leaf")
    page.keyboard.press("Enter")
    expect(page.locator("#ritual")).to_be_visible()
    assert "not sent yet: gap" not in page.inner_text("#which")
    page.tap("#ready")
    for blade in ("0.610", "0.635"):
        page.keyboard.type(blade)
        page.keyboard.press("Enter")
    expect(page.locator("#held")).to_have_text("4 kept here, not sent yet")
    assert bench.acts(slug) == []
    tablet.set_offline(False)
    expect(page.locator("#held")).to_be_hidden(timeout=25_000)
    assert at_grinder(bench, slug) == [
        ("pass filed", "6", ""),
        ("gap read", "0.310 to 0.335", ""),
        ("pass withdrawn", "", "read from the wrong leaf"),
        ("gap read", "0.610 to 0.635", ""),
    ]
    expect(page.locator("#facts")).to_contain_text("withdrawn: read from the wrong leaf")
    assert faults.said == []


def test_what_an_unsent_pass_took_off_is_off_and_the_gap_is_asked_for(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(to_file())
    tablet = context(**LAPTOP)
    page = ring(tablet, bench, slug)
    tablet.set_offline(True)
    page.click("#took")
    page.click("#slip summary")
    page.select_option("#which", label="not sent yet: 6 turns taken")
    page.fill("#why", "miscounted")
    page.keyboard.press("Enter")
    expect(page.locator("#ritual")).to_be_visible()
    tablet.set_offline(False)
    expect(page.locator("#held")).to_be_hidden(timeout=25_000)
    passed, withdrawn = bench.acts(slug)
    assert (passed.kind, withdrawn.kind) == ("pass filed", "pass withdrawn")
    assert withdrawn.body["pass"] == passed.body["cells"]["id"]


def test_with_nothing_answering_the_kept_rings_are_offered_too(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(to_file())
    tablet = context(**LAPTOP)
    page = ring(tablet, bench, slug)
    until(page, "navigator.serviceWorker.controller !== null")
    for rest in (OTHER, "measure/", RING):
        page.goto(f"{bench.address}/e/{slug}/{rest}")
        ready(page)
        until(page, f"caches.open('bench-pages-1').then(kept => kept.match('/e/{slug}/{rest}')).then(Boolean)")
    tablet.set_offline(True)
    page.goto(f"{bench.address}/e/{slug}/")
    expect(page.get_by_role("heading", level=1)).to_have_text("The bench is out of reach")
    names = [each.inner_text() for each in page.get_by_role("link").all()]
    assert [name.partition(",")[0] for name in names] == [
        "Go on measuring",
        "Go on filing: R4 second",
        "Go on filing: R4 top",
    ]
    page.get_by_role("link", name="R4 top").click()
    ready(page)
    expect(page.locator("#take")).to_be_visible()
