"""The page of an engine: what it says first, every fit with its mark, and how little it asks of the database."""

import re
from typing import Any

import pytest

from blockwright.bench import state
from blockwright.bench.standing import say, tally
from blockwright.bench.tones import Tone
from blockwright.choices.next_steps import next_steps
from blockwright.demos import demo_texts
from blockwright.jobfile.folder import read_texts
from blockwright.running.assess import assess


def text_of(answer: Any) -> str:
    return answer.content.decode()


def test_the_page_says_first_what_the_terminal_says_first(page: Any) -> None:
    first = next_steps(assess(read_texts("harbour", demo_texts("harbour")).job))[0]
    html = text_of(page.get())
    assert re.search(r"<h1>(.*?)</h1>", html)[1].replace("&#x27;", "'") == first.what
    assert html.index(first.what.split("'")[0]) < html.index("After that")


def test_every_fit_is_there_once_with_its_verdict_and_its_mark(page: Any) -> None:
    seen = state.seen(page.book)
    html = text_of(page.get())
    rows = [row for block in seen.blocks for row in block.rows]
    assert html.count('<td class="words">') == len(rows)
    assert html.count('<svg class="mark"') == sum(row.mark is not None for row in rows)


def test_counts_are_those_of_the_assessment(page: Any) -> None:
    seen = state.seen(page.book)
    counted = {each.tone: each.count for each in tally(seen.assessment.results)}
    assert sum(counted.values()) == len(seen.assessment.results)
    assert counted[Tone.OUT] == len(seen.assessment.out)


def test_the_plan_wears_the_colours_of_the_page(page: Any) -> None:
    html = text_of(page.get())
    plan = re.search(r'<div class="picture">(<svg.*?</svg>)', html, re.DOTALL)[1]
    assert "var(--good, #1d4f91)" in plan
    assert not re.search(r'="#[0-9a-f]{6}"', plan), "an ink that the page cannot change"
    assert 'role="img"' in plan


def test_nothing_on_the_page_breaks_the_rule_against_inline_style_and_script(page: Any) -> None:
    html = text_of(page.get())
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script(?![^>]*\ssrc=)", html)


@pytest.mark.parametrize("path", ["", "more/"])
def test_a_page_that_is_judged_asks_the_database_twice(page: Any, path: str, django_assert_num_queries: Any) -> None:
    page.get(path)
    with django_assert_num_queries(2 if not path else 1):
        page.get(path)


def test_a_page_after_a_reading_asks_no_more_than_one_that_was_judged(
    page: Any, django_assert_num_queries: Any
) -> None:
    page.get()
    row = next(each for each in state.seen(page.book).job.readings if each.text and not each.withdrawn)
    page.act("reading withdrawn", {"row": row.id, "why": "gauge slipped"})
    with django_assert_num_queries(2):
        html = text_of(page.get())
    assert 'data-news="2"' in html


def test_what_was_typed_cannot_become_markup(client: Any, transactional_db: None) -> None:
    from blockwright.ledger.books import open_book

    texts = demo_texts("hillclimb")
    mean = "<img src=x onerror=alert(1)>"
    texts["job.toml"] = (
        texts["job.toml"]
        .replace('job = "HC-6 demonstration"', f"job = '{mean}'")
        .replace('name = "Hill climb', f'name = "{mean}')
    )
    book = open_book(texts, "A. Hand", name="mean")
    for path in (f"/e/{book.slug}/", "/", f"/e/{book.slug}/line/", f"/e/{book.slug}/more/"):
        html = client.get(path).content.decode()
        assert "<img" not in html, path


def test_an_engine_with_nothing_left_to_do_says_so(page: Any) -> None:
    seen = state.seen(page.book)
    done = state.Seen(seen.kept)
    done.__dict__["steps"] = ()
    said = say(page.book, done)
    assert (said.tone, said.how) == (Tone.GOOD, "It can go together.")
