"""The pages of formulas: the list, a form for each that works without a script, and the way there from a fit."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from django.test import Client

from blockwright.bench.fit.told import result_at
from blockwright.bench.links import link
from blockwright.bench.state import seen
from blockwright.report.formulas.table import FORMULAS
from blockwright.running.wall_heat import hot_wall

from .conftest import Page
from .shop_hands import browser, open_shop

GAP = {"gap-cold": "0.4 mm", "bore": "86 mm", "bore-expansion": "11 um/m/K", "ring-expansion": "11 um/m/K", "bore-temperature": "120",
       "ring-temperature": "220 °C"}  # fmt: skip
AT = "/reckon/hot-ring-gap/"


def text_of(answer: Any, status: int = 200) -> str:
    assert answer.status_code == status
    return unescape(answer.content.decode())


def test_every_formula_is_on_the_list(client: Client, db: None) -> None:
    text = text_of(client.get("/reckon/"))
    assert all(f'href="{link("reckon-one", formula=each.slug)}"' in text for each in FORMULAS)
    assert "style=" not in text


@pytest.mark.parametrize("slug", [each.slug for each in FORMULAS])
def test_each_has_its_form(client: Client, db: None, slug: str) -> None:
    text = text_of(client.get(f"/reckon/{slug}/"))
    assert '<form method="get"' in text
    assert "What it gives" not in text
    labels, inputs = (
        set(re.findall(r'<label for="([^"]+)"', text)),
        set(re.findall(r'<(?:input|select) id="([^"]+)"', text)),
    )
    assert labels == inputs
    assert "style=" not in text


def test_what_is_given_is_worked_out(client: Client, db: None) -> None:
    """The same as on the terminal: 0.1037 mm."""
    text = text_of(client.get(AT, GAP))
    value = re.search(r"Hot ring gap: ([\d.]+) mm", text)
    assert value is not None
    assert float(value[1]) == pytest.approx(0.1037, abs=1e-4)
    for part in ("What it gives", "220 °C", "s_hot = pi D", "Not validated"):
        assert part in text
    assert 'value="86 mm"' in text
    assert re.search(r"Hot ring gap: [\d.]+ thou", text_of(client.get(AT, {**GAP, "unit": "thou"})))


def test_part_of_it_only_fills_the_form(client: Client, db: None) -> None:
    text = text_of(client.get(AT, {"bore": "86 mm"}))
    assert 'value="86 mm"' in text
    assert "What it gives" not in text
    assert 'class="fault"' not in text


@pytest.mark.parametrize(("said", "part", "field"), [
    ({"bore": "86"}, "Says 86 and no unit. Write 86 mm", "bore"),
    ({"bore": "86 Nm"}, "'Nm' is a unit of torque; a length is wanted.", "bore"),
    ({"bore": "86 m"}, "the range this formula is kept to", ""),
    ({"bore": "", "go": "1"}, "It is missing. Write it with its unit.", "bore"),
    ({"unit": "Nm"}, "'Nm' is a unit of torque; a length is wanted.", "unit"),
])  # fmt: skip
def test_what_is_wrong_is_said_at_its_field(
    client: Client, db: None, said: dict[str, str], part: str, field: str
) -> None:
    text = text_of(client.get(AT, GAP | said), 422)
    assert part in text
    assert (f'id="x-{field}"' in text) is bool(field)
    assert "What it gives" not in text


def test_a_formula_that_is_not_there(client: Client, db: None) -> None:
    assert client.get("/reckon/hot-rng-gap/").status_code == 404
    assert client.post(AT, GAP).status_code == 405


def test_strange_words_do_no_harm(client: Client, db: None) -> None:
    odd = '"><b>x' * 300
    answer = client.get(AT, GAP | {"bore": odd, "nobody": odd, "unit": odd})
    assert answer.status_code == 422
    assert "<b>x" not in answer.content.decode()


def test_nobody_looks_in_from_outside(settings: Any, db: None) -> None:
    open_shop(settings)
    assert browser().get("/reckon/").status_code == 302


def test_a_fit_leads_to_its_formulas_with_its_own_numbers(page: Page) -> None:
    text = unescape(page.get("fit/wall%20clearance/cylinder%204/").content.decode())
    to = re.search(r'href="(/reckon/hot-wall-clearance/\?[^"]+)"', text)
    assert to is not None
    answer = text_of(page.client.get(to[1]))
    assert "What it gives" in answer
    value = re.search(r"Hot wall clearance: (-?[\d.]+) (mm|um)", answer)
    assert value is not None
    now = seen(page.book)
    found = result_at(now, "wall clearance", "cylinder 4")
    assert found.found is not None
    told_m = float(value[1]) * (1e-6 if value[2] == "um" else 1e-3)
    hundredth_um = 1e-8  # bore and skirt are written to eight digits, the result to six
    assert told_m == pytest.approx(hot_wall(now.job, found.position, found.found).clearance.value, abs=hundredth_um)


def test_every_fit_with_formulas_links_to_pages_that_are_there(page: Page) -> None:
    for fit in ("top%20end%20gap/cylinder%203", "main%20film/main%203", "piston%20to%20deck/cylinder%201"):
        text = unescape(page.get(f"fit/{fit}/").content.decode())
        links = re.findall(r'href="(/reckon/[^"]+)"', text)
        assert links
        assert [page.client.get(each).status_code for each in links] == [200] * len(links)
