"""Measuring in a real browser: sixty readings from a gauge, a phone's keypad, two hands at once, a slip withdrawn, a value refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from .conftest import LAPTOP, PHONE, TABLET, Bench, emptied, in_order, readings_of, watched
from .measuring import all_sent, gauge, open_at, said

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]
HARBOUR = readings_of("harbour")


def test_sixty_readings_from_a_gauge_without_touching_the_page(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**LAPTOP), bench, slug)
    faults = watched(page)
    sixty = in_order("harbour")[:60]
    for row in sixty:
        expect(page.locator("#value")).to_be_focused()
        gauge(page, row["value"])
    all_sent(page)
    assert bench.values(slug) == [(row["id"], row["value"]) for row in sixty]
    assert faults.said == []


def test_the_verdict_of_the_last_reading_says_whose_it_is(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour", lambda index, row: row["id"] not in ("r15", "r16")))
    page = open_at(context(**LAPTOP), bench, slug, "r15")
    gauge(page, "+27")
    expect(page.locator("#verdict-whose")).to_have_text(
        re.compile(r"cylinder 3: middle, along the thrust axis: \+27 µm")
    )
    expect(page.locator("#verdict [data-tone]")).to_be_visible()
    assert page.locator("#verdict svg.mark").count() >= 1
    assert "axial" in page.inner_text("#lens [aria-current]")
    assert page.inner_text("#slip-said").strip()


def test_a_phone_is_measured_at_with_one_thumb(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**PHONE), bench, slug)
    assert page.get_attribute("#value", "inputmode") == "none"
    press(page, "sign", "8", "enter")
    press(page, "sign", "1", "1", "delete", "0", "enter")
    press(page, "again", "enter")
    press(page, "sign", "sign", "2", "mark", "5", "enter")
    all_sent(page)
    assert bench.values(slug) == [("r1", "-8"), ("r2", "-10"), ("r3", "-10"), ("r4", "+2.5")]
    expect(page.locator("#value")).to_be_focused()


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.tap(f'[data-key="{key}"]')


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=["360", "820", "1440"])
def test_every_target_is_large_enough_and_the_keys_lie_still(
    size: dict[str, Any], bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**size), bench, slug)
    small = page.evaluate(
        """() => [...document.querySelectorAll("main button, main a, main select, .work-rule button, .work-rule select, #long")]
        .filter(e => e.offsetParent).map(e => [e.id || e.textContent, e.getBoundingClientRect()]).filter(([n, r]) => r.width < 44 || r.height < 44)"""
    )
    assert small == []
    digits = page.evaluate(
        "[...document.querySelectorAll('.pad-key.digit')].map(e => e.getBoundingClientRect()).map(r => [r.width, r.height])"
    )
    assert len(digits) == 10
    assert all(width >= 63.9 and height >= 63.9 for width, height in digits)
    before = page.evaluate("document.querySelector('[data-key=\"5\"]').getBoundingClientRect().toJSON()")
    for value in ("-8", "-10", "999999", "-6"):
        gauge(page, value)
        page.wait_for_timeout(250)
        assert page.evaluate("document.querySelector('[data-key=\"5\"]').getBoundingClientRect().toJSON()") == before
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_refused_value_stays_in_the_entry_with_the_words_of_the_bench(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug, "r25")
    gauge(page, "971.29")
    expect(page.locator("#value")).to_have_value("971.29")
    expect(page.locator("#value")).to_have_attribute("aria-invalid", "true")
    assert page.evaluate("getSelection().toString()") == "971.29"
    assert "971.29 mm" in said(page)
    assert "Skirt, P1" in page.inner_text("#where")
    assert bench.values(slug) == []
    gauge(page, "97.129")
    all_sent(page)
    assert bench.values(slug) == [("r25", "97.129")]
    assert page.locator("#tray").is_hidden()


def test_a_refused_value_never_pushes_away_what_is_being_typed(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug, "r25")
    gauge(page, "971.29")
    page.keyboard.type("97.1")
    expect(page.locator("#tray")).to_contain_text("971.29")
    expect(page.locator("#value")).to_have_value("97.1")
    page.keyboard.type("31")
    page.keyboard.press("Enter")
    all_sent(page)
    assert bench.values(slug) == [("r25", "97.131")], "both rows are of this spot"
    page.get_by_role("button", name="Mend it").click()
    expect(page.locator("#value")).to_have_value("971.29")
    gauge(page, "97.129")
    all_sent(page)
    assert bench.values(slug)[1:] == [("r26", "97.129")]
    expect(page.locator("#tray")).to_be_hidden()


def test_units_commas_and_blades_as_they_are_typed(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**LAPTOP, locale="de-DE"), bench, slug, "r25")
    gauge(page, "97,129")
    gauge(page, "3.82405 in")
    gap = next(row for row in HARBOUR if row["feature"] == "top gap")
    page.goto(f"{bench.address}/e/{slug}/measure/{gap['id']}/")
    page.wait_for_selector("html[data-ready]")
    low, high = re.findall(r"[\d.]+", gap["value"])[:2]
    gauge(page, f"{low} {high}")
    all_sent(page)
    assert bench.values(slug) == [("r25", "97.129"), ("r26", "3.82405 in"), (gap["id"], f"{low} to {high}")]


def test_a_comma_that_could_mean_two_things_is_asked_about(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**LAPTOP, locale="en-GB"), bench, slug, "r25")
    gauge(page, "97,129")
    expect(page.locator("#value")).to_have_attribute("aria-invalid", "true")
    assert "97.129 or as 97129" in said(page)
    gauge(page, "97,1291")
    all_sent(page)
    assert len(bench.values(slug)) == 1


def test_withdraw_needs_a_reason_and_the_spot_is_taken_again(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    gauge(page, "-8", "-55")
    page.click("[data-key=undo]")
    assert "top, along the crank" in page.inner_text("#where")
    page.click("#reason button.main")
    expect(page.locator("#reason .fault")).to_be_visible()
    page.get_by_role("button", name="mistyped").click()
    expect(page.locator("#history s")).to_have_text("-55 µm")
    expect(page.locator("#history .why")).to_have_text("withdrawn: mistyped")
    gauge(page, "-10")
    all_sent(page)
    kinds = [act.kind for act in bench.acts(slug)]
    assert kinds == ["reading taken", "reading taken", "reading withdrawn", "reading taken"]
    assert bench.acts(slug)[2].body == {"row": "r2", "why": "mistyped"}
    taken_again = bench.acts(slug)[3].body["cells"]
    assert (taken_again["at"], taken_again["spot"], taken_again["value"]) == ("cylinder 1", "top axial", "-10")
    assert "middle, along the thrust" in page.inner_text("#where")


def test_repeat_and_skip(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour", lambda index, row: index >= 4))
    page = open_at(context(), bench, slug, "r1")
    page.get_by_role("button", name="Skip for now").click()
    gauge(page, "-10", "-6", "-8")
    assert "top, along the thrust" in page.inner_text("#where"), "what was skipped comes again at the end"
    gauge(page, "-8")
    page.locator("#lens button").nth(1).click()
    page.get_by_role("button", name="Repeat this spot").click()
    gauge(page, "-11")
    all_sent(page)
    rows = [row for row, _ in bench.values(slug)]
    assert rows[:4] == ["r2", "r3", "r4", "r1"]
    assert bench.acts(slug)[4].body["cells"]["spot"] == "top axial"
    page.locator("#lens button").nth(1).click()
    expect(page.locator("#history li")).to_have_count(2)


def test_state_and_temperatures_are_said_once_for_a_station(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour", lambda index, row: row["feature"] == "bore", cold=True))
    page = open_at(context(), bench, slug, "r25")
    assert "How warm is the part" in said(page)
    gauge(page, "21,0 c")
    assert "21.0 °C" in said(page)
    page.wait_for_timeout(300)
    page.keyboard.press("Escape")
    assert "How warm is the gauge" in said(page)
    page.get_by_role("button", name="Gauge as the part: 21.0 °C").click()
    gauge(page, "97.129")
    all_sent(page)
    acts = bench.acts(slug)
    assert [act.kind for act in acts] == ["state set", "state set", "reading taken"]
    assert acts[0].body["cells"] == {"part_temp": "21.0 °C"}
    skirts = [row["id"] for row in HARBOUR if row["feature"] == "skirt"]
    assert sorted(acts[0].body["rows"]) == sorted(skirts)
    assert acts[2].body["cells"]["gauge_temp"] == "21.0 °C"
    page.click("#sitting-open")
    page.fill("#sitting-sitting", "pistons again")
    page.fill("#sitting-part_temp", "22.5")
    page.locator("#sitting button.main").click()
    expect(page.locator("#value")).to_be_focused()
    all_sent(page)
    assert bench.acts(slug)[3].body["cells"] == {"part_temp": "22.5 °C", "sitting": "pistons again"}


def test_the_depth_of_a_ring_gap_is_said_once_and_goes_with_each_reading(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    gap = next(row for row in in_order("harbour") if row["feature"] == "top gap")
    page = open_at(context(**LAPTOP), bench, slug, gap["id"])
    assert gap["depth"] == "30 mm", "the plan says a depth that is changed here"
    page.click("#sitting-open")
    expect(page.get_by_label("Depth of the ring in its bore")).to_have_value("30 mm")
    page.fill("#sitting-depth", "31")
    page.keyboard.press("Enter")
    expect(page.locator("#value")).to_be_focused()
    assert "31 mm" in page.inner_text("#facts")
    page.reload()
    page.wait_for_selector("html[data-ready]")
    assert "31 mm" in page.inner_text("#facts"), "said for the day"
    gauge(page, gap["value"])
    all_sent(page)
    (taken,) = [act for act in bench.acts(slug) if act.kind == "reading taken"]
    assert taken.body["cells"]["depth"] == "31 mm"
    page.click("#sitting-open")
    page.fill("#sitting-depth", "deep")
    page.keyboard.press("Enter")
    expect(page.locator("#sitting-fault")).to_have_text("Type the depth with its unit: 25 mm.")
    expect(page.locator("#sitting-depth")).to_be_focused()


def test_the_gauge_and_its_sense_are_said(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    assert "deviation from 97.250 mm (setting S1)" in page.inner_text("#value-label")
    assert "runs backwards" in page.inner_text("#facts")
    assert page.locator("#sketch svg").count() == 1


def test_two_tablets_see_each_other_and_the_entry_stays(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    one, two = (open_at(context(**size), bench, slug) for size in (LAPTOP, TABLET))
    two.keyboard.type("-1")
    gauge(one, "-8")
    all_sent(one)
    first = two.locator("#lens button").first
    expect(first).to_have_class(re.compile("inked"), timeout=5_000)
    expect(two.locator("#value")).to_have_value("-1")
    expect(two.locator("#value")).to_be_focused()
    assert "top, along the thrust" in two.inner_text("#where"), "the page stays where the hand is"
    expect(two.locator("#history")).to_contain_text("taken by")


def test_a_reading_entered_twice_at_once_is_kept_twice_and_flagged(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    slug = new_book(emptied("harbour"))
    one, two = (open_at(context(), bench, slug) for _ in range(2))
    two.route("**/news/**", lambda route: route.abort())
    gauge(one, "-8")
    all_sent(one)
    gauge(two, "-9")
    all_sent(two)
    two.unroute("**/news/**")
    assert [value for _, value in bench.values(slug)] == ["-8", "-9"]
    assert bench.values(slug)[0][0] != bench.values(slug)[1][0]
    for page in (one, two):
        page.locator("#lens button").first.click()
        expect(page.locator("#history")).to_contain_text("Entered twice at once", timeout=6_000)
        expect(page.locator("#lens button").first).to_have_class(re.compile("twice"))


def test_the_rule_goes_anywhere_by_tap_and_by_arrows(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    box = page.locator("#long-scale").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] - 4, box["y"] + box["height"] / 2)
    assert "Turning torque" in page.inner_text("#where")
    expect(page.locator("#value")).to_be_focused()
    page.focus("#long")
    page.keyboard.press("Home")
    assert page.get_attribute("#long", "aria-valuetext") == "1 of 34: bore, 0 of 24 spots read"
    page.keyboard.press("ArrowRight")
    assert "Skirt" in page.inner_text("#where")
    page.focus("#value")
    page.keyboard.press("ArrowRight")
    assert "P2" in page.inner_text("#where")
    page.locator("#lens [aria-current]").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#lens [aria-current]")).to_be_focused()
    gauge(page, "97.129")
    all_sent(page)
    assert bench.values(slug) == [("r25", "97.129")], "what a gauge types goes into the entry wherever the focus was"


def test_the_pointer_stays_in_sight_on_a_phone(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(**PHONE), bench, slug)
    for row in HARBOUR[:20]:
        gauge(page, row["value"])
        seen = page.evaluate(
            """() => { const here = document.querySelector("#lens [aria-current]").getBoundingClientRect();
            return here.left >= 0 && here.right <= innerWidth && here.top >= 0; }"""
        )
        assert seen


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=["360", "820", "1440"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nobody_is_shut_out(size: dict[str, Any], scheme: str, bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour", lambda index, row: index > 20))
    page = open_at(context(**size, color_scheme=scheme), bench, slug)
    faults = watched(page)
    gauge(page, "+4")
    expect(page.locator("#verdict [data-tone]")).to_be_attached()
    gauge(page, "9999")
    expect(page.locator("#value")).to_have_attribute("aria-invalid", "true")
    page.click("#sitting-open")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert faults.said == []


def test_the_screen_is_kept_on_or_the_switch_says_that_it_is_not(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(emptied("harbour"))
    page = open_at(context(), bench, slug)
    faults = watched(page)
    expect(page.locator("#lit")).to_contain_text("Screen")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.click("#lit")
    expect(page.locator("#lit")).to_have_attribute("aria-pressed", "false")
    expect(page.locator("#lit")).to_have_text("Screen may go dark")
    unable = context()
    unable.add_init_script("delete Navigator.prototype.wakeLock")
    other = open_at(unable, bench, slug)
    expect(other.locator("#lit")).to_be_disabled()
    assert faults.said == []
