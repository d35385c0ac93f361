"""A hand that has nothing but a keyboard: Tab, arrows, letters, Enter. It reads the page, and never points at it."""

from __future__ import annotations

import re
import time

from playwright.sync_api import Page

from .measuring import ready

MOST_TABS = 400
"""More stops than any page has."""
WATCH = """
addEventListener("pointerdown", (event) => event.isTrusted && (sessionStorage.pointed = "yes"), true);
addEventListener("mousedown", (event) => event.isTrusted && (sessionStorage.pointed = "yes"), true);
"""
SEEN = """() => {
  const here = document.activeElement, box = here.getBoundingClientRect();
  const inside = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
  const ring = (each) => each && getComputedStyle(each).outlineStyle !== "none" && parseFloat(getComputedStyle(each).outlineWidth) >= 2;
  const told = ring(here) || ring(here.parentElement) || ring(here.nextElementSibling);
  return inside && told ? "" : `${here.outerHTML.slice(0, 120)} ${inside ? "does not show" : "lies outside of the screen with"} the focus`;
}"""


class Hand:
    """Works a page by keys alone; every element that it acts on was reached by Tab and shows that it has the focus."""

    def __init__(self, page: Page) -> None:
        page.add_init_script(WATCH)
        self.page = page

    def press(self, *keys: str) -> None:
        """Keys, one after another."""
        for key in keys:
            self.page.keyboard.press(key)

    def type(self, text: str) -> None:
        """Text into whatever has the focus."""
        self.page.keyboard.type(text)

    def to(self, wanted: str) -> None:
        """Tab until an element that matches has the focus; nothing where it has it."""
        for _ in range(MOST_TABS):
            if self.page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
                self._must_be_seen()
                return
            self.press("Tab")
        raise AssertionError(f"{wanted} is not reached by Tab at {self.page.url}")

    def follow(self, wanted: str, arrives: str | re.Pattern[str], *, work: bool = False) -> None:
        """Tab to a link or a button and press Enter: another page comes; `work`: one that gets itself ready by a script."""
        self.to(wanted)
        self.press("Enter")
        self.page.wait_for_url(arrives)
        self.page.wait_for_load_state()
        if work:
            ready(self.page)

    def fill(self, wanted: str, text: str) -> None:
        """Tab to a field and type into it, over what stands there."""
        self.to(wanted)
        self.press("Control+A")
        self.type(text)
        assert self.page.evaluate("document.activeElement.value") == text, wanted

    def choose(self, wanted: str, text: str) -> None:
        """Tab to a list and type the first letters of what is wanted from it."""
        self.to(wanted)
        self.type(text)
        assert self.page.evaluate("document.activeElement.selectedOptions[0].textContent").startswith(text), wanted

    @property
    def pointed(self) -> bool:
        """Whether anything was ever pointed at in this tab."""
        return bool(self.page.evaluate("sessionStorage.pointed === 'yes'"))

    def _must_be_seen(self) -> None:
        end = time.monotonic() + 2.0  # a page that scrolls to it needs a moment
        while (fault := self.page.evaluate(SEEN)) and time.monotonic() < end:
            self.page.wait_for_timeout(50)
        assert not fault, f"{fault} at {self.page.url}"
