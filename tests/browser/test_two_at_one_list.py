"""Two people at one list: what the second sends does not strike out what the first has written meanwhile; and two parts change places."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import BrowserContext, Page, expect

from blockwright.demos import demo_texts

from .conftest import LAPTOP, Bench

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]


def order(page: Page, at: str) -> None:
    page.locator("summary", has_text="Order work").click()
    page.select_option("#order-part", "B1")
    page.select_option("#order-feature", "bore")
    page.select_option("#order-at", at)
    page.fill("#order-work", "hone")
    page.fill("#order-low", "97.40")
    page.click("text=Write the order down")


def test_an_order_of_another_is_not_struck_out(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(dict(demo_texts("harbour")))
    one, other = context(**LAPTOP).new_page(), context(**LAPTOP).new_page()
    for page in (one, other):
        page.goto(f"{bench.address}/e/{slug}/parts/")
    with one.expect_navigation():
        order(one, "cylinder 1")
    order(other, "cylinder 2")
    expect(other.locator(".problems, .fault").first).to_contain_text("changed by somebody after you looked at it")
    assert other.input_value("#order-work") == "hone", "what was typed is still there"
    with other.expect_navigation():
        other.reload()
    with other.expect_navigation():
        order(other, "cylinder 2")
    assert [act.body["values"][-1]["at"] for act in bench.acts(slug)] == ["cylinder 1", "cylinder 2"]
    assert len(bench.acts(slug)[-1].body["values"]) == len(bench.acts(slug)[0].body["values"]) + 1


def test_a_step_of_another_is_not_struck_out(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(dict(demo_texts("harbour")))
    one, other = context(**LAPTOP).new_page(), context(**LAPTOP).new_page()
    for page in (one, other):
        page.goto(f"{bench.address}/e/{slug}/route-own/")
        page.fill("#add-name", f"Look at the {'dowels' if page is one else 'studs'}")
        page.fill("#add-before", "mock-up: parts")
    with one.expect_navigation():
        one.click("text=Add the step")
    other.click("text=Add the step")
    expect(other.locator("form[data-own=add]")).to_contain_text("changed by somebody after you looked at it")
    assert [act.body["values"][0]["name"] for act in bench.acts(slug)] == ["Look at the dowels"]


def test_two_pistons_change_places(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(dict(demo_texts("harbour")))
    page = context(**LAPTOP).new_page()
    page.goto(f"{bench.address}/e/{slug}/parts/put/?part=P2&at=cylinder+3")
    page.click("text=Change places instead")
    with page.expect_navigation():
        page.click("button:has-text('Change places')")
    (act,) = bench.acts(slug)
    assert act.body == {
        "at": "cylinder 3",
        "as": "piston",
        "parts": ["P2"],
        "in_return": {"at": "cylinder 2", "parts": ["P3"]},
    }
