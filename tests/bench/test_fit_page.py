"""A fit's page: all that the terminal says of a fit, where its readings lead to, signing and limits, and who may."""

from __future__ import annotations

import re
from html import unescape
from typing import Any
from urllib.parse import quote

import pytest

from blockwright.acts.kept import start
from blockwright.acts.roles import Role
from blockwright.bench.links import fit_link
from blockwright.bench.state import seen
from blockwright.demos import demo_texts
from blockwright.fits.assessment import Standing
from blockwright.ledger.models import Book
from blockwright.report.story import story_of, weighty

from .conftest import Page
from .shop_hands import hire, open_shop, signed_in

WALL = "fit/wall%20clearance/cylinder%203/"
JOB = start("harbour", demo_texts("harbour")).job


def text_of(page: Page, rest: str = WALL, **words: str) -> str:
    answer = page.get(rest, **words)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def test_every_fit_of_both_engines_has_its_page(page: Page, six: Page) -> None:
    for each in (page, six):
        now = seen(each.book)
        by_name = {result.fit.name: result for result in now.assessment.results}
        for result in by_name.values():
            answer = each.client.get(fit_link(each.book, result))
            assert answer.status_code == 200, result.fit.name
            assert "style=" not in answer.content.decode()


def test_the_page_says_all_that_the_story_says(page: Page) -> None:
    now = seen(page.book)
    shown = [
        next(result for result in now.assessment.results if result.standing is standing)
        for standing in (Standing.NONCONFORMING, Standing.UNDECIDED, Standing.CONFORMS)
    ]
    for result in shown:
        text = text_of(page, f"fit/{quote(result.fit.name)}/{quote(str(result.position))}/").lower()
        story = story_of(now.job, result)
        lines, rest = weighty(story.budget)
        said = [
            story.value,
            story.verdict,
            story.chances,
            story.formula,
            story.governing,
            story.limits,
            story.hurts,
            story.remedy,
            story.settle,
            rest,
            story.dof,
        ]
        said += [text for text, _ in story.sources] + list(story.notes) + [size.value for size in story.sizes]
        said += [line.u for line in lines] + [line.owner for line in lines] + [line.cause for line in lines]
        for each in said:
            assert each.lower() in text, (result.fit.name, each)


def test_readings_lead_to_their_spot(page: Page) -> None:
    text = text_of(page)
    assert f'href="/e/{page.book.slug}/measure/r15/"' in text
    assert page.get("measure/r15/").status_code == 200


def test_what_is_missing_leads_to_where_it_is_read(page: Page) -> None:
    result = next(each for each in seen(page.book).assessment.results if each.standing is Standing.OPEN)
    text = text_of(page, f"fit/{quote(result.fit.name)}/{quote(str(result.position))}/")
    assert str(result.missing[0]) in text
    assert re.search(rf'href="/e/{page.book.slug}/measure/[^"]*"[^>]*>{re.escape(str(result.missing[0]))}', text)


def test_a_fit_that_is_nowhere_is_not_found_and_the_nearest_is_told(page: Page) -> None:
    assert page.get("fit/wall%20clearence/cylinder%203/").status_code == 404
    assert page.get("fit/wall%20clearance/cylinder%209/").status_code == 404


def test_another_unit_on_wish_and_a_strange_one_not(page: Page) -> None:
    assert "thou" in text_of(page, unit="thou").partition("Where the uncertainty")[0].partition('class="gauge"')[2][:60]
    assert "0.0940" in text_of(page, unit="furlong")


def test_one_that_is_out_is_signed_for_once(page: Page) -> None:
    assert 'data-act="concession"' in text_of(page)
    assert page.act("concession", {"fit": "wall clearance", "at": "cylinder 3"}).json()["problems"][0]["field"] == "why"
    assert (
        page.act("concession", {"fit": "wall clearance", "at": "cylinder 3", "why": "for a trial run"}).status_code
        == 201
    )
    text = text_of(page)
    assert 'data-act="concession"' not in text
    assert "for a trial run" in text
    assert "nothing has changed since" in text


def test_one_that_is_in_is_not_signed_for(page: Page) -> None:
    text = text_of(page, "fit/wall%20clearance/cylinder%201/")
    assert "There is nothing to sign for" in text
    refused = page.act("concession", {"fit": "wall clearance", "at": "cylinder 1", "why": "to be sure"})
    assert refused.status_code == 422


def test_a_limit_is_set_told_of_and_struck_out(page: Page) -> None:
    limit = {"fit": "wall clearance", "at": "cylinder 3", "authority": "builder", "low": "0.090 mm"}
    assert page.act("limit set", {"limit": limit}).json()["problems"][0]["field"] == "why"
    assert page.act("limit set", {"limit": limit | {"low": "0.09"}}).json()["problems"][0]["field"] == "low"
    assert page.act("limit set", {"limit": limit | {"why": "short runs"}}).status_code == 201
    text = text_of(page)
    assert "builder: low 0.090 mm" in text
    form = next(each for each in text.split('<form class="strike"')[1:] if ">Builder" in each.partition("</form>")[0])
    named = dict(re.findall(r'name="limit\.(\w+)" value="([^"]*)"', form.partition("</form>")[0]))
    assert page.act("limit set", {"limit": named, "struck": True}).status_code == 201
    assert "builder: low" not in text_of(page)


@pytest.mark.parametrize("role", [Role.VIEWER, Role.MEASURER])
def test_only_a_builder_is_given_the_forms(harbour: Book, settings: Any, role: Role) -> None:
    open_shop(settings)
    client = signed_in(hire("Somebody", book=harbour, role=role))
    text = client.get(f"/e/{harbour.slug}/{WALL}").content.decode()
    assert "data-act" not in text
    assert "A builder may sign for it" in text


def test_it_asks_the_ledger_little(page: Page, django_assert_max_num_queries: Any) -> None:
    page.get(WALL)
    with django_assert_max_num_queries(5):
        page.get(WALL)
