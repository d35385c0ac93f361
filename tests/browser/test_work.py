"""The engine at work in a browser: what is kept is drawn, and a calculation is begun, watched and told of, with scripts and without."""

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, expect

from blockwright.demos import demo_texts
from blockwright.jobfile.beginning import begin

from ..report.work_sample import sample_work
from .conftest import LAPTOP, Bench, watched
from .test_every_page import NEW

WITHIN_MS = 60_000


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without"])
def test_it_is_begun_watched_and_told_of(
    bench: Bench, new_book: Callable[..., str], context: Callable[..., BrowserContext], scripts: bool
) -> None:
    """A four without a firing order cannot be worked out: that is found in a process of its own, and comes to the page by itself."""
    texts = dict(begin({**NEW, "cylinders": "4"}, "metric", full=False).texts)
    page = context(**LAPTOP, java_script_enabled=scripts).new_page()
    faults = watched(page)
    page.goto(f"{bench.address}/e/{new_book(texts)}/work/")
    expect(page.get_by_role("heading", level=1)).to_contain_text("has not been worked out")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("could not be worked out", timeout=WITHIN_MS)
    expect(page.get_by_text("Write firing_order in [engine]")).to_be_visible()
    expect(page.get_by_role("button", name="Work it out")).to_be_visible()
    assert faults.said == []


def test_what_is_kept_is_drawn(
    bench: Bench, new_book: Callable[..., str], context: Callable[..., BrowserContext]
) -> None:
    work = sample_work()
    slug = new_book(demo_texts("harbour"))
    bench.keep(demo_texts("harbour"), work)
    page = context().new_page()
    faults = watched(page)
    page.goto(f"{bench.address}/e/{slug}/work/")
    expect(page.get_by_role("heading", level=1)).to_have_text(work.headline)
    assert page.locator("svg.drawn").count() > 10
    page.get_by_text("What it rests on").click()
    expect(page.get_by_role("rowheader", name="Power of the duty")).to_be_visible()
    assert faults.said == []
