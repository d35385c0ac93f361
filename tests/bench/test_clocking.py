"""The clocking page: every crown, what breaks a rule, the map of rings and bores, and what putting rings on asks."""

from __future__ import annotations

import re
from typing import Any

from django.test import Client

from blockwright.choices.clocking.whole import clocking_of
from blockwright.choices.mounting import mountings
from blockwright.demos import demo_texts
from blockwright.jobfile.folder import read_texts
from blockwright.ledger.books import open_book
from blockwright.report.mounting_words import mounting_words

from .conftest import Page


def text_of(answer: Any) -> str:
    return str(answer.content.decode())


def test_every_cylinder_has_its_crown_in_the_inks_of_the_page(six: Page) -> None:
    html = text_of(six.get("clocking/"))
    for number in range(1, 7):
        assert html.count(f"<title>Ring gaps of cylinder {number}</title>") == 1
    crowns = re.findall(r'<div class="crown">(<svg.*?</svg>)', html, re.DOTALL)
    assert len(crowns) == 6
    assert not any(re.search(r'="#[0-9a-f]{6}"', crown) for crown in crowns)


def test_angles_are_those_of_the_pattern(page: Page) -> None:
    job = read_texts("harbour", demo_texts("harbour")).job
    html = text_of(page.get("clocking/"))
    for piece, angle in clocking_of(job, 1).pattern.items():
        row = re.search(rf'<th scope="row">{str(piece).capitalize()}</th><td class="num">(.*?)</td>', html)
        assert row is not None
        assert row[1] == f"{angle:.0f}°"


def test_a_broken_rule_is_said_first(client: Client, transactional_db: None) -> None:
    texts = dict(demo_texts("harbour"))
    texts["job.toml"] += '\n[[clocking]]\nat = "cylinder 2"\ntop = "30 deg"\nsecond = "50 deg"\n'
    page = Page(client, open_book(texts, "A. Hand", name="askew"))
    html = text_of(page.get("clocking/"))
    assert "A rule is broken in cylinder 2: turn the gaps before the pistons go in." in html
    assert "Top ring and second ring are 20° apart; at least 90° are wanted." in html
    assert html.count("your angle") >= 2
    assert 'class="say out"' in html


def test_the_map_joins_bore_piston_and_rings(page: Page) -> None:
    html = text_of(page.get("clocking/"))
    for number in range(1, 5):
        assert f'id="map-{number}">Bore {number} <span>piston P{number}, rings R{number}</span>' in html
    assert page.at("rings/4/upper-rail/") in html
    assert "8 turns in 2 passes; conforms" in html


def test_mounting_is_said_as_in_the_terminal(page: Page) -> None:
    job = read_texts("harbour", demo_texts("harbour")).job
    html = text_of(page.get("clocking/"))
    found = list(mountings(job))
    assert any(each.opened for each in found)
    for each in found:
        for said in mounting_words(job, each):
            assert said[1:] in html
    assert "eye protection on, fingers clear of its ends" in html


def test_it_is_reached_from_more_and_from_the_rings(page: Page) -> None:
    assert page.at("clocking/") in text_of(page.get("more/"))
    assert page.at("clocking/") in text_of(page.get("rings/"))
