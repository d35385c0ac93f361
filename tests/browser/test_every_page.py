"""Every page there is, in light and in dark, on a phone, a tablet and a laptop: nobody is kept out, nothing hangs over, nothing complains."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from blockwright.bench.people.views import EVERY
from blockwright.bench.urls import every_address
from blockwright.demos import demo_texts

from ..report.work_sample import sample_work
from .conftest import LAPTOP, PHONE, TABLET, WITHIN_S, Bench

SIZES = {"360": PHONE, "820": TABLET, "1440": LAPTOP}
PAGES = {
    "home": ("",),
    "new": ("new/",),
    "new_own": ("new/own/", "new/own/?like=flat-six"),
    "new_files": ("new/files/",),
    "name": ("name/?next=/",),
    "engine": ("e/{book}/", "e/{fresh}/"),
    "measure": ("e/{book}/measure/", "e/{fresh}/measure/"),
    "measure-spot": ("e/{book}/measure/r15/",),
    "rings": ("e/{book}/rings/", "e/{fresh}/rings/"),
    "ring": ("e/{book}/rings/3/top/", "e/{fresh}/rings/1/top/"),
    "clocking": ("e/{book}/clocking/", "e/{fresh}/clocking/"),
    "route": ("e/{book}/route/", "e/{book}/route/?drawn", "e/{fresh}/route/"),
    "route-step": ("e/{book}/route/mock-up: parts/", "e/{book}/route/final: piston 3/"),
    "route-own": ("e/{book}/route-own/",),
    "fit": ("e/{book}/fit/wall clearance/cylinder 3/", "e/{fresh}/fit/wall clearance/cylinder 1/"),
    "gauges": ("e/{book}/gauges/", "e/{fresh}/gauges/"),
    "parts": ("e/{book}/parts/", "e/{fresh}/parts/"),
    "parts-put": ("e/{book}/parts/put/?part=P1&at=cylinder 3",),
    "parts-pistons": ("e/{book}/parts/pistons/", "e/{fresh}/parts/pistons/"),
    "papers": ("e/{book}/papers/",),
    "work": ("e/{book}/work/", "e/{worked}/work/", "e/{fresh}/work/"),
    "history": ("e/{book}/history/", "e/{fresh}/history/"),
    "history-whole": ("e/{book}/history/whole/",),
    "reckon": ("reckon/",),
    "reckon-one": (
        "reckon/cylinder-forces/",
        "reckon/hot-ring-gap/?gap-cold=0.4 mm&bore=86 mm&bore-expansion=11 um/m/K&ring-expansion=11 um/m/K&bore-temperature=120&ring-temperature=220",
    ),
    "more": ("e/{book}/more/",),
}
"""Each page by the name of its address, with what stands in its place: an engine that is nearly done, and one of which nothing is read."""
SHOP_PAGES = {
    "in": ("in/?password=1", "in/"),
    "join": ("join/",),
    "own": ("hands/own/",),
    "hands": ("hands/",),
    "people": ("people/",),
    "person": ("people/1/",),
    "seats": ("e/{book}/seats/",),
    "tablets": ("people/tablets/",),
    "tokens": ("people/tokens/",),
    "pair": ("pair/",),
}
"""Pages that only a shop has."""
NO_PAGES = {
    "healthz": "healthz",
    "readyz": "readyz",
    "worker": "sw.js",
    "news": "e/{book}/news/?since=0",
    "line": "e/{book}/line/",
    "measure-plan": "e/{book}/measure-plan/",
    "measure-sketches": "e/{book}/measure-sketches/",
    "ring-now": "e/{book}/rings-now/3/top/",
    "paper": "e/{book}/papers/workbook/",
    "work-now": "e/{book}/work/now/",
    "photo": "e/{book}/photos/0000000000000000.png/",
    "certificate": "shop-certificate/",
}
"""Addresses at which nobody looks: what scripts, programs and printers take."""
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
TARGET_PX = 44
SMALL = """least => [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [role=slider], [role=button]")]
  .filter(each => each.checkVisibility({ visibilityProperty: true }) && !each.matches(".skip"))
  .filter(each => !(each.matches("a") && getComputedStyle(each).display === "inline" && [...each.parentElement.childNodes].some(beside => beside !== each && beside.textContent.trim())))
  .map(each => [each, (each.matches("input[type=checkbox], input[type=radio]") && each.closest("label") || each).getBoundingClientRect()])
  .filter(([each, box]) => box.width < least || box.height < least)
  .map(([each, box]) => `${each.outerHTML.slice(0, 110)} is ${Math.round(box.width)} x ${Math.round(box.height)}`)"""
"""Targets that are smaller than a thumb; a link inside running text may be (WCAG 2.5.8, the exception "inline")."""
OVER = """() => [document.documentElement.scrollWidth - document.documentElement.clientWidth, ...[...document.querySelectorAll("body *")]
  .filter(each => each.getBoundingClientRect().right > document.documentElement.clientWidth + 1).slice(0, 3).map(each => each.outerHTML.slice(0, 110))]"""
NEW = {
    "name": "One lung", "layout": "inline", "cylinders": "1", "case": "block with caps", "bore": "86 mm", "stroke": "86 mm",
    "rod_length": "143 mm", "main_journal": "55 mm", "rod_journal": "48 mm", "pin_diameter": "21 mm",
}  # fmt: skip
PASSWORD = "turn it twice by hand"


@dataclass
class Looked:
    """One browser window of one size and one ground, used for every page, and what its console said."""

    page: Page
    said: list[str] = field(default_factory=list)

    def at(self, address: str) -> None:
        """Open a page, and everything that is folded in it."""
        self.said.clear()
        self.page.goto(address, wait_until="load")
        self.page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")


@dataclass(frozen=True)
class Served:
    """A bench that answers, and its engines."""

    address: str
    slugs: dict[str, str]

    def of(self, path: str) -> str:
        """The whole address of a page."""
        return f"{self.address}/{quote(path.format(**self.slugs), safe='/?=&')}"


class ShopBench(Bench):
    """A bench for a shop: encrypted, with people."""

    @property
    def address(self) -> str:
        return f"https://localhost:{self.port}"

    def start(self) -> None:
        """Start it; `joining` is where the first owner sets his password."""
        code = "import sys; from blockwright.cli.main import main; sys.argv[0] = 'blockwright'; main()"
        command = [
            sys.executable,
            "-u",
            "-c",
            code,
            "bench",
            "--shop",
            "--data",
            str(self.data),
            "--port",
            str(self.port),
            "--no-open",
        ]
        environment = {
            key: value for key, value in os.environ.items() if not key.startswith(("BLOCKWRIGHT_", "DJANGO_"))
        }
        said = self.data.parent / "said.txt"
        with said.open("wb") as log:
            self.process = subprocess.Popen(command, env=environment, stdout=log, stderr=subprocess.STDOUT)
        ends = time.monotonic() + WITHIN_S
        while not (found := re.search(r"join/#(\S+)", said.read_text(encoding="utf-8"))):
            assert time.monotonic() < ends, "the shop's bench did not say where to join"
            time.sleep(0.05)
        self.joining = f"{self.address}/join/#{found[1].rstrip('.')}"


def own_texts() -> dict[str, str]:
    """An engine of which nothing is read."""
    from blockwright.jobfile.beginning import begin

    return dict(begin(NEW, "metric", full=False).texts)


@pytest.fixture(scope="module")
def served(bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Served:
    """The local bench with an engine that is nearly done, one that is not begun, and one that is worked out."""
    folder = tmp_path_factory.mktemp("every")
    book, fresh, worked = (
        bench.bring_in(demo_texts("harbour"), folder / "a" / "job"),
        bench.bring_in(own_texts(), folder / "b" / "job"),
        bench.bring_in(demo_texts("hillclimb"), folder / "c" / "job"),
    )
    bench.keep(demo_texts("hillclimb"), sample_work(cylinders=6))
    return Served(bench.address, {"book": book, "fresh": fresh, "worked": worked})


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[ShopBench, Served]]:
    """A shop with one engine."""
    folder = tmp_path_factory.mktemp("shop")
    opened = ShopBench(folder / "data")
    opened.start()
    book = opened.bring_in(demo_texts("harbour"), folder / "job" / "job")
    yield opened, Served(opened.address, {"book": book})
    opened.kill()


@pytest.fixture(
    scope="module",
    params=[(ground, width) for width in SIZES for ground in ("light", "dark")],
    ids=lambda each: "-".join(each),
)
def looked(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Looked]:
    """A window for all pages."""
    yield from window(browser, *request.param)


def window(browser: Browser, ground: str, width: str) -> Iterator[Looked]:
    """A window of a size in light or dark, watched."""
    words: dict[str, Any] = {**SIZES[width], "color_scheme": ground, "reduced_motion": "reduce"}
    context = browser.new_context(**words, ignore_https_errors=True)
    context.set_default_timeout(15_000)
    made = Looked(context.new_page())
    made.page.on("pageerror", lambda error: made.said.append(str(error)))
    made.page.on(
        "console", lambda message: made.said.append(message.text) if message.type in ("error", "warning") else None
    )
    yield made
    context.close()


def cases(pages: dict[str, tuple[str, ...]]) -> list[Any]:
    return [
        pytest.param(path, id=f"{name}-{place}") for name, paths in pages.items() for place, path in enumerate(paths)
    ]


def test_no_address_is_left_out() -> None:
    gets = {each.name for each in (*every_address(), *EVERY) if each.get is not None}
    assert gets == PAGES.keys() | SHOP_PAGES.keys() | NO_PAGES.keys()


@pytest.mark.parametrize("path", cases(PAGES))
def test_a_page_keeps_nobody_out(path: str, served: Served, looked: Looked) -> None:
    looked.at(served.of(path))
    check(looked)


def test_a_page_that_is_not_there(served: Served, looked: Looked) -> None:
    looked.at(served.of("e/nosuchengine/"))
    assert "404" in looked.said.pop(0)
    check(looked)


def test_a_form_that_was_refused(served: Served, looked: Looked) -> None:
    looked.at(served.of("new/own/"))
    looked.page.get_by_role("button", name="Lay out the readings").click()
    looked.page.wait_for_selector(".fault")
    assert "422" in looked.said.pop(0)
    check(looked)


def test_a_formula_that_was_refused(served: Served, looked: Looked) -> None:
    looked.at(served.of("reckon/hot-ring-gap/?bore=86&unit=Nm&go=1"))
    assert "422" in looked.said.pop(0)
    assert looked.page.locator(".fault").count() >= 1
    check(looked)


@pytest.mark.parametrize("name", sorted(NO_PAGES.keys() - {"certificate"}))
def test_an_address_for_machines_is_no_page(name: str, served: Served, context: Any) -> None:
    answer = context().request.get(served.of(NO_PAGES[name]))
    assert answer.status == {"photo": 404, "work-now": 204}.get(name, 200)
    if name != "photo":
        assert not answer.body().lower().lstrip().startswith(b"<!doctype html")


@pytest.fixture(
    scope="module",
    params=[(ground, width) for width in SIZES for ground in ("light", "dark")],
    ids=lambda each: "-".join(each),
)
def shop_looked(request: pytest.FixtureRequest, browser: Browser, shop: tuple[ShopBench, Served]) -> Iterator[Looked]:
    """A window of the shop's owner, signed in by password."""
    opened, at = shop
    for made in window(browser, *request.param):
        if opened.joining:
            join(made.page, opened)
        else:
            sign_in(made.page, at)
        yield made


def join(page: Page, opened: ShopBench) -> None:
    """The first owner sets a name and a password."""
    page.goto(opened.joining)
    opened.joining = ""
    page.get_by_label("Name").fill("Ada Invented")
    for each in page.locator("input[type=password]").all():
        each.fill(PASSWORD)
    page.get_by_role("button").last.click()
    page.wait_for_url(lambda address: "/join" not in address)


def sign_in(page: Page, at: Served) -> None:
    page.goto(at.of("in/?password=1"))
    page.get_by_label("Name").fill("Ada Invented")
    page.locator("input[type=password]").fill(PASSWORD)
    page.locator("main form button").first.click()
    page.wait_for_url(lambda address: "/in/" not in address)


@pytest.mark.parametrize("path", cases(SHOP_PAGES))
def test_a_page_of_the_shop_keeps_nobody_out(path: str, shop: tuple[ShopBench, Served], shop_looked: Looked) -> None:
    shop_looked.at(shop[1].of(path))
    check(shop_looked)


def check(looked: Looked) -> None:
    """Whatever a page must be: read by a screen reader, seen whole, hit by a thumb, quiet."""
    page = looked.page
    found = Axe().run(page, options=RULES).response
    assert len(found["passes"]) > 8, "axe has looked"
    assert [(each["id"], [node["html"][:160] for node in each["nodes"][:3]]) for each in found["violations"]] == []
    over, *what = page.evaluate(OVER)
    assert over <= 0, what
    assert page.evaluate(SMALL, TARGET_PX - 0.1) == []
    assert page.title().strip()
    assert page.locator("h1").count() == 1
    assert looked.said == []
