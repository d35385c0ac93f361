"""What the tests of the measuring page share: a page at a spot, and a gauge that types."""

from __future__ import annotations

import time

from playwright.sync_api import BrowserContext, Page, expect

from .conftest import Bench


def open_at(context: BrowserContext, bench: Bench, slug: str, spot: str = "") -> Page:
    """The measuring page, ready to be typed into."""
    page = context.new_page()
    page.goto(f"{bench.address}/e/{slug}/measure/{spot + '/' if spot else ''}")
    ready(page)
    return page


def ready(page: Page) -> None:
    page.wait_for_selector("html[data-ready]")


def gauge(page: Page, *values: str) -> None:
    """What a gauge with a keyboard plug does: the figures, then Enter, wherever the focus is."""
    for value in values:
        page.keyboard.type(value)
        page.keyboard.press("Enter")


def all_sent(page: Page) -> None:
    """Nothing waits on the tablet."""
    expect(page.locator("#held")).to_be_hidden(timeout=15_000)


def until(page: Page, script: str, within_s: float = 10.0) -> None:
    """Ask the page again and again; its security policy lets nothing be made of text, so that it cannot wait by itself."""
    end = time.monotonic() + within_s
    while not page.evaluate(script):
        assert time.monotonic() < end, f"never true: {script}"
        page.wait_for_timeout(50)


def said(page: Page) -> str:
    return page.inner_text("#slip-said")


def stays(page: Page) -> dict[str, dict[str, object]]:
    """What the tablet itself keeps, by key."""
    script = """() => new Promise((resolve, reject) => {
      const asked = indexedDB.open("blockwright-bench", 1);
      asked.onerror = () => reject(asked.error);
      asked.onsuccess = () => {
        const all = asked.result.transaction("entries").objectStore("entries").getAll();
        all.onsuccess = () => { asked.result.close(); resolve(all.result); };
      };
    })"""
    return {entry["key"]: entry for entry in page.evaluate(script)}
