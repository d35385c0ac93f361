"""The route on paper: the list of steps with a box before each, the work of one step with room to write in what is counted and who signs."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from typing import Any
from urllib.request import urlopen

import pytest
from playwright.sync_api import BrowserContext, Page
from pypdf import PdfReader

from blockwright.demos import demo_texts

from .conftest import LAPTOP, Bench
from .test_route import BLOCK, Books, at, signed

Opens = Callable[..., BrowserContext]
A4 = {"format": "A4", "margin": dict.fromkeys(("top", "bottom", "left", "right"), "14mm")}
MOST_LINES_A_PAGE = 40


def printed(page: Page) -> tuple[int, str]:
    """Pages, and the words on them in one line."""
    paper = PdfReader(io.BytesIO(page.pdf(**A4)))
    return len(paper.pages), " ".join(" ".join(each.extract_text() for each in paper.pages).split())


def letters(text: str) -> str:
    """Its letters and digits: a printed line breaks and spaces as it likes."""
    return re.sub(r"\W+", "", text.casefold())


@pytest.fixture
def steps(bench: Bench, new_book: Books) -> tuple[str, list[dict[str, Any]]]:
    """A book, and its steps as the API tells them."""
    slug = new_book(dict(demo_texts("hillclimb")))
    with urlopen(f"{bench.address}/api/v1/engines/{slug}/route") as answer:
        return slug, json.load(answer)["steps"]


def test_the_whole_list_is_on_paper_once_with_its_boxes(
    bench: Bench, steps: tuple[str, list[dict[str, Any]]], context: Opens
) -> None:
    slug, every = steps
    page = context(**LAPTOP).new_page()
    page.goto(at(bench, slug, "mock-up: parts/"))
    page.fill("#icounts-0", "52")
    page.click("#sign-it")
    signed(page)
    page.goto(at(bench, slug))
    pages, words = printed(page)
    names = {each["name"] for each in every}
    assert [name for name in names if name not in words] == []
    assert pages <= 1 + len(every) // (MOST_LINES_A_PAGE // 2)
    assert words.count("Bore 3 with its piston") == 1, "what can be done now is not told a second time"
    assert "done, bench, 20" in words
    assert "Open the step" not in words
    page.emulate_media(media="print")
    signs = page.locator(".stage .lines > li:not(.good) > .sign")
    assert signs.count() == len(every) - 1
    look = signs.first.evaluate(
        "each => { const s = getComputedStyle(each); return [s.borderTopStyle, s.backgroundImage, s.width] }"
    )
    assert look[:2] == ["solid", "none"], "an empty box, whatever the step waits for"
    assert float(look[2].removesuffix("px")) > 12


def test_a_step_on_paper_has_its_work_and_room_to_write(
    bench: Bench, steps: tuple[str, list[dict[str, Any]]], context: Opens
) -> None:
    slug, every = steps
    page = context(**LAPTOP).new_page()
    for key in (BLOCK, "final: piston 1"):
        (step,) = [each for each in every if each["key"] == key]
        page.goto(at(bench, slug, f"{key}/"))
        pages, words = printed(page)
        assert pages <= 2
        for told in (*step["do"], *step["take_care"], *step["tools"]):
            assert letters(told) in letters(words), told
        assert "Signed by" in words
        assert "Sign as" not in words
        page.emulate_media(media="print")
        assert page.locator("#icounts-0").evaluate("each => getComputedStyle(each).borderBottomStyle") == "solid"
        page.emulate_media(media="null")
