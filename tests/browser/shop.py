"""A shop with people for the tests: its bench, a paired tablet, and changing hands at it."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass

from playwright.sync_api import BrowserContext, Page, expect

from .conftest import Bench

PIN = "4086"
BUILDER, MEASURER, VIEWER = "Ada Invented", "Bert Invented", "Vera Invented"
HIRE = """
import sys
from pathlib import Path
from blockwright.ledger.start import start
start(Path(sys.argv[1]))
from blockwright.acts.roles import Role
from blockwright.bench.people import codes, hands, pin
from blockwright.ledger.models import Book, Hand
book = Book.objects.get(slug=sys.argv[2])
for name, role in zip(sys.argv[4:], (Role.BUILDER, Role.MEASURER, Role.VIEWER), strict=True):
    hand = Hand.objects.filter(name=name).first() or hands.take_on(name)
    pin.set_pin(hand, sys.argv[3])
    hands.give_seat(hand, book, role)
print(codes.new_code(codes.PAIR, by=Hand.objects.filter(is_owner=True).first(), name="by the hone"))
"""


@dataclass(frozen=True)
class Tablet:
    """A paired tablet at one engine of a shop."""

    bench: Bench
    slug: str
    context: BrowserContext

    def at(self, rest: str) -> str:
        """The address of a page of the engine."""
        return f"{self.bench.address}/e/{self.slug}/{rest}"

    def forget(self) -> None:
        """Whoever was signed in at it is not any more, as after half an hour without use."""
        self.context.clear_cookies(name="__Host-bw_session")


def paired(bench: Bench, slug: str, context: BrowserContext, name: str) -> Tablet:
    """Three people with a seat each at the engine, a tablet paired, and one of them at it."""
    words = [sys.executable, "-c", HIRE, str(bench.data), slug, PIN, BUILDER, MEASURER, VIEWER]
    code = subprocess.run(words, check=True, capture_output=True, text=True).stdout.split()[-1]
    page = context.new_page()
    page.goto(f"{bench.address}/pair/")
    page.get_by_label("Code").fill(code)
    page.keyboard.press("Enter")
    page.wait_for_url("**/hands/**")
    says(page, name)
    page.wait_for_url(lambda address: "/hands/" not in address)
    page.close()
    return Tablet(bench, slug, context)


def says(page: Page, name: str) -> None:
    """Somebody taps on his name and types his PIN."""
    page.locator("form[data-change] .tap").filter(has_text=name).click()
    expect(page.locator("#hands-pin")).to_be_focused()
    page.keyboard.type(PIN)
    page.keyboard.press("Enter")
