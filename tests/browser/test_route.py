"""The route in a real browser: three steps signed from the keyboard, one refused first, undone again; a photo; no fault for a screen reader."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from blockwright.demos import demo_texts

from .conftest import LAPTOP, PHONE, TABLET, Bench, watched

Opens = Callable[..., BrowserContext]
Books = Callable[[dict[str, str]], str]
PARTS, BLOCK, CRANK = "mock-up: parts", "mock-up: block", "mock-up: crank"


def whole(name: str = "harbour") -> dict[str, str]:
    return dict(demo_texts(name))


def at(bench: Bench, slug: str, rest: str = "") -> str:
    return f"{bench.address}/e/{slug}/route/{rest}"


def tab_to(page: Page, wanted: str, most: int = 120) -> None:
    """Tab until an element that matches has the focus."""
    expect(page.locator(wanted)).to_be_enabled()
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
            return
    raise AssertionError(f"{wanted} is not reached by Tab")


def signed(page: Page) -> None:
    expect(page.locator(".say")).to_contain_text("Done: signed by")


def test_three_steps_signed_by_keyboard_alone_one_refused_first(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(whole())
    page = context(**LAPTOP).new_page()
    faults = watched(page)
    page.goto(at(bench, slug))
    tab_to(page, ".say a.button.main")
    page.keyboard.press("Enter")
    expect(page.locator("#sign-form")).to_be_visible()
    tab_to(page, "#sign-it")
    page.keyboard.press("Enter")
    expect(page.locator(".item .fault")).to_contain_text("not counted")
    assert page.evaluate("document.activeElement.id") == "icounts-0", "the focus goes to what is missing"
    page.keyboard.type("37")
    page.keyboard.press("Enter")
    signed(page)
    for key, typed in ((BLOCK, {"icounts-0": "9"}), (CRANK, {})):
        page.goto(at(bench, slug, f"{key}/"))
        for field, words in typed.items():
            tab_to(page, f"#{field}")
            page.keyboard.type(words)
        tab_to(page, "#sign-it")
        page.keyboard.press("Enter")
        signed(page)
    assert [act.kind for act in bench.acts(slug)] == ["step signed"] * 3
    assert faults.said == []


def test_a_signed_step_is_undone_and_says_what_opens(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(whole())
    page = context(**TABLET).new_page()
    page.goto(at(bench, slug, f"{PARTS}/"))
    page.fill("#icounts-0", "36")
    page.tap('[data-by="1"]')
    page.tap("#sign-it")
    signed(page)
    page.goto(at(bench, slug, f"{BLOCK}/"))
    page.fill("#icounts-0", "9")
    page.tap("#sign-it")
    signed(page)
    page.goto(at(bench, slug, f"{PARTS}/"))
    page.tap("#undo > summary")
    expect(page.locator("#undo")).to_contain_text("1 signed step stands on it and will open again")
    page.tap("#undo-form button")
    expect(page.locator("#undo-form .fault")).to_be_visible()
    page.fill("#undo-why", "counted wrong")
    page.tap("#undo-form button")
    expect(page.locator(".say")).to_contain_text("counted wrong")
    page.goto(at(bench, slug))
    expect(page.get_by_role("heading", name="Signed, and open again")).to_be_visible()


def png() -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 4, 4, 8, 2, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress((b"\0" + b"\x40\x80\xc0" * 4) * 4))
        + chunk(b"IEND", b"")
    )


def with_photo_step() -> dict[str, str]:
    texts = whole()
    step = '\n[[step]]\nkey = "own: tray"\nname = "Tray of small parts"\nbefore = ["mock-up: parts"]\n[[step.evidence]]\nproof = "photo"\nwhat = "the tray"\n'
    return {**texts, "job.toml": texts["job.toml"] + step}


def test_a_photo_is_sent_shown_and_signed(bench: Bench, new_book: Books, context: Opens, tmp_path: Path) -> None:
    slug = new_book(with_photo_step())
    page = context(**TABLET).new_page()
    faults = watched(page)
    page.goto(at(bench, slug, "own: tray/"))
    assert page.get_attribute("#iphotos-0", "capture") == "environment"
    text = tmp_path / "tray.png"
    text.write_bytes(b"no picture")
    page.set_input_files("#iphotos-0", text)
    expect(page.locator("[data-photo-said]")).to_contain_text("no PNG or JPEG")
    page.tap("#sign-it")
    expect(page.locator(".item .fault")).to_contain_text("photo of the tray", ignore_case=True)
    text.write_bytes(png())
    page.set_input_files("#iphotos-0", text)
    expect(page.locator("[data-photo-said]")).to_contain_text("Kept")
    expect(page.locator("img.preview")).to_be_visible()
    page.tap("#sign-it")
    signed(page)
    expect(page.locator(".photos img")).to_have_js_property("naturalWidth", 4)
    assert "tray.png" in str(bench.acts(slug)[-1].body)
    assert faults.said == []


def test_what_is_counted_behind_a_blank_keeps_its_place_and_is_not_called_uncounted(
    bench: Bench, new_book: Books, context: Opens
) -> None:
    texts = whole()
    counted = "".join(
        f'[[step.evidence]]\nproof = "count"\nwhat = "{what}"\nnumber = {n}\n'
        for what, n in (("dowels", 4), ("clips", 8))
    )
    step = f'\n[[step]]\nkey = "own: tray"\nname = "Tray"\nbefore = ["mock-up: parts"]\n{counted}'
    slug = new_book({**texts, "job.toml": texts["job.toml"] + step})
    page = context(**LAPTOP).new_page()
    page.goto(at(bench, slug, "own: tray/"))
    page.fill("#icounts-1", "8")
    page.click("#sign-it")
    expect(page.locator(".item .fault")).to_have_count(1)
    expect(page.locator("#icounts-0")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#icounts-1")).to_have_value("8")
    page.fill("#icounts-0", "4")
    page.click("#sign-it")
    signed(page)
    assert "8" in str(bench.acts(slug)[-1].body)


def test_a_step_of_ones_own_is_added_and_a_circle_refused(bench: Bench, new_book: Books, context: Opens) -> None:
    slug = new_book(whole())
    page = context(**LAPTOP).new_page()
    page.goto(f"{bench.address}/e/{slug}/route-own/")
    page.select_option("#move-key", PARTS)
    page.fill("#move-after", BLOCK)
    page.click("[data-own=move] button")
    expect(page.locator("[data-own=move] [data-field=after] .fault")).to_contain_text("cannot come before")
    page.fill("#add-name", "Dowels looked at")
    page.fill("#add-after", PARTS)
    page.click("[data-own=add] button.main")
    expect(page.locator("main")).to_contain_text("Added: Dowels looked at")
    page.click("[data-take-back]")
    expect(page.locator("main")).to_contain_text("Nothing: the route is as this engine asks for it.")


@pytest.mark.parametrize("ground", ["light", "dark"])
@pytest.mark.parametrize("rest", ["route/", "route/?drawn", "route/final: piston 3/", f"route/{PARTS}/", "route-own/"])
def test_no_fault_for_a_screen_reader(ground: str, rest: str, bench: Bench, books: str, context: Opens) -> None:
    page = context(**LAPTOP, color_scheme=ground).new_page()
    faults = watched(page)
    page.goto(f"{bench.address}/e/{books}/{rest}")
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
    assert found.response["violations"] == [], found.generate_report()
    assert faults.said == []


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=["360", "820", "1440"])
@pytest.mark.parametrize("rest", ["route/", "route/?drawn", "route/final: piston 3/", f"route/{PARTS}/", "route-own/"])
def test_nothing_hangs_over_and_every_target_is_large(
    size: dict[str, Any], rest: str, bench: Bench, books: str, context: Opens
) -> None:
    page = context(**size).new_page()
    page.goto(f"{bench.address}/e/{books}/{rest}")
    assert page.evaluate("document.documentElement.scrollWidth") <= size["viewport"]["width"]
    small = page.evaluate(
        """() => [...document.querySelectorAll("main button, main a:not(.to-step), main input:not([type=file]), main select, main summary")]
        .filter(e => e.offsetParent).map(e => [e.outerHTML.slice(0, 90), e.getBoundingClientRect()]).filter(([n, r]) => r.height < 43.9 || r.width < 43.9)"""
    )
    assert small == []


@pytest.fixture(scope="module")
def books(bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> str:
    return bench.bring_in(whole(), tmp_path_factory.mktemp("route") / "job")
