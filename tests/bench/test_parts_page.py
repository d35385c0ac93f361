"""Parts: what goes where, what a swap would change before it is done, work ordered, two pistons side by side."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from blockwright.acts.kept import start
from blockwright.acts.roles import Role
from blockwright.bench.parts.putting import put, role_of
from blockwright.bench.state import seen
from blockwright.demos import demo_texts
from blockwright.ledger.models import Book
from blockwright.problems import BlockwrightError
from blockwright.report.piston_rows import piston_rows

from .conftest import Page
from .shop_hands import hire, open_shop, signed_in

JOB = start("harbour", demo_texts("harbour")).job


def text_of(page: Page, rest: str = "parts/", status: int = 200, **words: Any) -> str:
    answer = page.get(rest, **words)
    assert answer.status_code == status
    return unescape(answer.content.decode())


def test_every_part_is_there_with_its_place(page: Page) -> None:
    text = text_of(page)
    for part in JOB.sheet.part:
        home = JOB.home(part.mark)
        assert f'<li id="part-{part.mark.lower()}"><b>{part.mark}</b><span>{home or ""}' in text, part.mark


def test_what_a_swap_changes_is_told_before_and_comes_true(page: Page) -> None:
    before = seen(page.book)
    change = put(before, "cylinder 3", "piston", ["P2"])
    assert (change.taken_out, change.left) == (("P3",), ("cylinder 2",))
    names = {each.name for each in change.fits}
    assert {"wall clearance, cylinder 2", "wall clearance, cylinder 3"} <= names
    assert not any("cylinder 4" in name for name in names)
    text = text_of(page, "parts/put/", part="P2", at="cylinder 3")
    assert "Put P2 into cylinder 3?" in text
    assert "P3 is free again. Cylinder 2 is left without." in text
    assert seen(page.book).number == before.number, "looking changes nothing"
    assert page.act("part assigned", {"at": "cylinder 3", "as": "piston", "parts": ["P2"]}).status_code == 201
    page.book.refresh_from_db()
    after = seen(page.book)
    for each in change.fits:
        name, _, at = each.name.partition(", ")
        now = next((result for (fit, place), result in after.results.items() if (fit, str(place)) == (name, at)), None)
        assert each.after == "not judged" if now is None else now.words in each.after, each.name
    assert "P3</b><span><i>spare" in text_of(page)


def test_two_parts_change_places_by_one_tap_and_it_is_told_before(page: Page) -> None:
    one_way = text_of(page, "parts/put/", part="P2", at="cylinder 3")
    assert 'href="?part=P2&at=cylinder+3&swap=yes"' in one_way
    text = text_of(page, "parts/put/", part="P2", at="cylinder 3", swap="yes")
    assert "Put P2 into cylinder 3 and P3 into cylinder 2?" in text
    assert '<input type="hidden" name="swap" value="yes" data-shape="yes">' in text
    assert "is free again" not in text
    assert "is left without" not in text
    change = put(seen(page.book), "cylinder 3", "piston", ["P2"], swap=True)
    sent = {"at": "cylinder 3", "as": "piston", "parts": ["P2"], "swap": True}
    assert page.act("part assigned", sent).status_code == 201
    page.book.refresh_from_db()
    after = seen(page.book)
    assert [after.job.in_cylinder(number).piston for number in (2, 3)] == ["P3", "P2"]
    for each in change.fits:
        name, _, at = each.name.partition(", ")
        now = next((result for (fit, place), result in after.results.items() if (fit, str(place)) == (name, at)), None)
        assert each.after == "not judged" if now is None else now.words in each.after, each.name


def test_nothing_changes_places_with_a_spare_or_with_nothing(page: Page) -> None:
    page.act("part assigned", {"at": "cylinder 3", "as": "piston", "parts": []})
    assert "swap=yes" not in text_of(page, "parts/put/", part="P3", at="cylinder 2")
    assert "swap=yes" not in text_of(page, "parts/put/", part="P2", at="cylinder 3")
    assert "leaves no other cylinder" in text_of(page, "parts/put/", 422, part="P3", at="cylinder 2", swap="yes")


def test_a_signed_step_opens_again_where_a_part_it_names_is_swapped(
    page: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    from blockwright.bench.parts import putting
    from blockwright.choices.route.whole import route_progress

    first = next(
        state for state in route_progress(JOB).states.values() if state.step.at and str(state.step.at) == "cylinder 3"
    )
    done = type(first)(first.step, putting.State.DONE)
    open_again = type(first)(first.step, putting.State.WAITS, reopened=("P1 stands where P3 stood",))

    class Told:
        def __init__(self, state: Any) -> None:
            self.states = {first.step.key: state}

    monkeypatch.setattr(putting, "route_progress", lambda job: Told(done if job is seen(page.book).job else open_again))
    text = text_of(page, "parts/put/", part="P1", at="cylinder 3")
    assert "1 signed step would open again" in text
    assert "P1 stands where P3 stood" in text


def test_what_cannot_go_there_is_refused_and_said_at_the_form(page: Page) -> None:
    assert "is no place in a main" in text_of(page, "parts/put/", 422, part="P1", at="main 2")
    text = text_of(page, "parts/put/", 422, part="P1", at="cylinder 9")
    assert "this engine has no 'cylinder 9'" in text.lower()
    assert '<option value="P1" selected' in text
    assert "no part bears the mark 'Q1'" in text_of(page, "parts/put/", 422, part="Q1", at="cylinder 1").replace(
        "No part", "no part"
    )
    with pytest.raises(BlockwrightError):
        role_of(JOB, ["B1"])


def test_shells_go_in_by_two_and_parts_come_out(page: Page) -> None:
    upper, lower = JOB.in_main(2).shells
    assert f"Put {upper} and {lower} into main 1?" in text_of(page, "parts/put/", part=[upper, lower], at="main 1")
    text = text_of(page, "parts/put/", **{"at": "cylinder 1", "as": "piston"})
    assert "Take the piston out of cylinder 1?" in text
    assert page.act("part assigned", {"at": "cylinder 1", "as": "piston", "parts": []}).status_code == 201
    assert "Something is still to assign at cylinder 1." in text_of(page)


def test_a_part_is_registered_and_known_better_later(page: Page) -> None:
    assert (
        page.act("part registered", {"part": {"mark": "P1", "kind": "piston"}}).json()["problems"][0]["field"] == "mark"
    )
    assert (
        page.act("part registered", {"part": {"mark": "P9", "kind": "piston", "mass": "heavy"}}).json()["problems"][0][
            "field"
        ]
        == "mass"
    )
    assert page.act("part registered", {"part": {"mark": "P9", "kind": "piston", "mass": "512 g"}}).status_code == 201
    text = text_of(page, again="P9")
    assert 'name="part.mass" value="512 g"' in text
    assert 'name="again" value="yes"' in text


def test_work_is_ordered_beside_what_was_ordered(page: Page) -> None:
    text = text_of(page)
    assert "Invented Machining" in text
    now = re.search(r'<script id="orders-now" type="application/json">(.*?)</script>', text)
    assert now is not None
    assert '"part": "B1"' in now[1]


def test_two_pistons_stand_side_by_side(page: Page) -> None:
    text = text_of(page, "parts/pistons/", first="P1", second="P3", at="2")
    for row in piston_rows(JOB, "P1", "P3", 2):
        for cell in row.cells:
            assert f"<td>{cell}</td>" in text, row.name
    assert "is compared with itself" in text_of(page, "parts/pistons/", 422, first="P1", second="P1", at="2")
    assert (
        "this engine has no cylinder 0" in text_of(page, "parts/pistons/", 422, first="P1", second="P2", at="x").lower()
    )


def test_a_viewer_looks_and_changes_nothing(harbour: Book, settings: Any) -> None:
    open_shop(settings)
    client = signed_in(hire("The viewer", book=harbour, role=Role.VIEWER))
    for rest in ("parts/", "parts/put/?part=P1&at=cylinder 3"):
        text = client.get(f"/e/{harbour.slug}/{rest}").content.decode()
        assert "data-act" not in text
        assert "take out" not in text


def test_it_asks_the_ledger_little(page: Page, django_assert_max_num_queries: Any) -> None:
    page.get("parts/")
    with django_assert_max_num_queries(5):
        page.get("parts/")
