"""The ring bench's pages: all rings and the next, one ring's advice and reasons, refusals on their field, roles, how little is asked of the database."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.test import Client

from blockwright.acts.roles import Role
from blockwright.bench.rings import held
from blockwright.bench.rings.card import Stage, stage_of
from blockwright.bench.rings.listing import NOT_FILED, state_named
from blockwright.bench.rings.path import Path, Point, path_of, path_svg
from blockwright.choices.ring_bench import ring_bench
from blockwright.jobfile.folder import read_texts
from blockwright.ledger.books import open_book
from blockwright.ledger.models import Book
from blockwright.report.ring_words import advice_words, odds

from .conftest import Page
from .ring_jobs import GAP, NOW, RING, WHICH, to_file
from .shop_hands import hire, open_shop, signed_in


@pytest.fixture
def filing(client: Client, transactional_db: None) -> Page:
    """The four with a ring to file."""
    return Page(client, open_book(to_file(), "A. Hand", name="filing"))


def text_of(answer: Any) -> str:
    return str(answer.content.decode())


def card_of(page: Page) -> dict[str, Any]:
    told: dict[str, Any] = page.get(NOW).json()["card"]
    return told


def test_the_list_says_the_next_ring_first_with_one_main_button(filing: Page) -> None:
    job = read_texts("filing", to_file()).job
    following = ring_bench(job).next
    assert following is not None
    html = text_of(filing.get("rings/"))
    assert re.search(r"<h1>(.*?)</h1>", html)[1] == f"Next: {following.ring}."  # type: ignore[index]
    assert html.count('class="button main') == 1
    assert filing.at(RING) in html
    assert advice_words(job, following) in html


def test_every_ring_is_there_once_with_its_mark_and_the_blocked_say_why(page: Page) -> None:
    html = text_of(page.get("rings/"))
    bench = ring_bench(read_texts("harbour", to_file()).job)
    assert html.count('<td class="words">') == len(bench.rings) == 16
    assert html.count('<svg class="mark"') == 16
    assert "Bore taper of cylinder 2 is out: put the bore right first" in html
    assert "Wall clearance of cylinder 3 is out" in html
    assert re.search(r"<h1>8 of 16 rings are done; the others wait for their bores or limits\.</h1>", html)


def test_rings_that_are_not_filed_are_named_and_have_no_page(client: Client, transactional_db: None) -> None:
    texts = to_file()
    texts["job.toml"] = texts["job.toml"].replace('mark = "R1"', 'mark = "R1"\nfile_fit = false', 1)
    page = Page(client, open_book(texts, "A. Hand", name="sized"))
    html = text_of(page.get("rings/"))
    assert html.count(NOT_FILED.capitalize()) == 4
    assert page.get("rings/1/top/").status_code == 404
    assert page.get("rings-now/1/top/").status_code == 404
    assert page.get("rings/4/nothing/").status_code == 404


def test_a_moved_set_is_to_be_read_anew(client: Client, transactional_db: None) -> None:
    texts = to_file()
    toml = texts["job.toml"]
    four = next(line for line in re.findall(r"^.*rings = \"R4\".*$", toml, re.MULTILINE))
    one = next(line for line in re.findall(r"^.*rings = \"R1\".*$", toml, re.MULTILINE))
    texts["job.toml"] = (
        toml.replace(four, four.replace("R4", "R0")).replace(one, one.replace("R1", "R4")).replace("R0", "R1")
    )
    page = Page(client, open_book(texts, "A. Hand", name="moved"))
    assert "Read in cylinder 4 before: read it anew in this bore." in text_of(page.get("rings/"))
    html = text_of(page.get("rings/1/top/"))
    assert "It was read in cylinder 4 before. A gap belongs to its bore" in html
    assert page.get("rings-now/1/top/").json()["card"]["stage"] == "read"


def test_the_advice_its_risk_and_why_not_more(filing: Page) -> None:
    job = read_texts("filing", to_file()).job
    bench = ring_bench(job)
    state = state_named(bench, 4, "top")
    assert state is not None
    assert state.advice is not None
    assert state.window is not None
    html = text_of(filing.get(RING))
    assert f"<h1>Take {state.advice.units:g} turns.</h1>" in html
    most = re.search(r"At most 1 in (\d+) to pass 0\.838 mm", html)
    assert most is not None
    assert state.advice.p_over <= 1.0 / float(most[1]) < 1.2 * state.advice.p_over, "a bound, and no idle one"
    more = bench.one_more(state)
    assert more is not None
    assert more.units == state.advice.units + 1
    assert more.p_over > state.advice.share or more.expected_gap_m > state.window.aim_m, (
        "else more would have been advised"
    )
    assert f"With {more.units:g} turns it would" in html
    assert "eye protection on" in html
    assert "Heat closes it by about" in html


def test_the_page_follows_taken_and_read(filing: Page) -> None:
    before = card_of(filing)
    assert (before["stage"], before["waiting"], before["next_name"]) == ("take", 0, "R4 second, cylinder 4")
    assert filing.act("pass filed", {**WHICH, "taken": "6", "gauge": "FB1"}).status_code == 201
    taken = card_of(filing)
    assert (taken["stage"], taken["waiting"]) == ("read", 6)
    assert "6 turns off: read the gap now." in filing.get(NOW).json()["said"]
    assert "6 turns off: read the gap" in text_of(filing.get("rings/")), "the terminal's sentence on the list"
    assert filing.act("gap read", {**GAP, "gap": "24 to 25 thou"}).status_code == 201
    read = filing.get(NOW).json()
    assert read["card"]["waiting"] == 0
    assert read["card"]["number"] == before["number"] + 2
    assert "24 to 25 thou" in read["facts"]
    assert "6 turns off" in read["facts"]
    assert filing.act("pass filed", {**WHICH, "taken": "2", "gauge": "FB1"}).status_code == 201
    assert filing.act("gap read", {**GAP, "gap": "25 to 26 thou"}).status_code == 201
    done = filing.get(NOW).json()
    assert done["card"]["stage"] == "done"
    assert "This ring is done. Next: R4 second, cylinder 4." in done["said"]
    assert done["card"]["next_to"] == filing.at("rings/4/second/")


def test_a_withdrawn_slip_stays_with_its_reason_and_the_ring_is_read_again(filing: Page) -> None:
    filing.act("pass filed", {**WHICH, "taken": "6", "gauge": "FB1"})
    entries = dict(card_of(filing)["entries"])
    slip = next(name for name, told in entries.items() if told.startswith("6 turns off"))
    assert filing.act("pass withdrawn", {"pass": slip, "why": "mis<counted>"}).status_code == 201
    told = filing.get(NOW).json()
    assert slip not in dict(told["card"]["entries"])
    assert "withdrawn: mis&lt;counted&gt;" in told["facts"]
    assert told["card"]["stage"] == "read", "what it took off is off all the same"


def test_readings_that_disagree_are_laid_before_the_hand(filing: Page) -> None:
    filing.act("pass filed", {**WHICH, "taken": "6", "gauge": "FB1"})
    filing.act("gap read", {**GAP, "gap": "24 to 25 thou"})
    filing.act("gap read", {**GAP, "gap": "40 to 41 thou"})
    told = filing.get(NOW).json()
    assert told["card"]["disagree"] is True
    assert told["card"]["stage"] == "read"
    assert "What was read of it disagrees." in told["said"]
    assert "Withdraw the one that was a slip" in told["said"]
    slip = next(name for name, words in told["card"]["entries"] if "40 to 41" in words)
    filing.act("pass withdrawn", {"pass": slip, "why": "ring stood askew"})
    assert card_of(filing)["disagree"] is False
    assert card_of(filing)["stage"] == "take"


def test_another_wheel_is_on_from_then_on(filing: Page) -> None:
    assert filing.act("wheel put on", {"wheel": "W2"}).status_code == 201
    assert "Wheel W2 is on" in text_of(filing.get("rings/"))
    assert card_of(filing)["wheel"] == "W2"


@pytest.mark.parametrize(
    ("kind", "words", "field"),
    [
        ("pass filed", {**WHICH, "taken": "-2"}, "taken"),
        ("pass filed", {**WHICH, "taken": "some"}, "taken"),
        ("gap read", {**GAP, "gap": "25 to"}, "gap"),
        ("gap read", {**GAP, "gap": "24 to 25 thou", "ring_temp": "warm"}, "ring_temp"),
        ("gap read", {**GAP, "gap": "24 to 25 thou", "bore_temp": "hot"}, "bore_temp"),
        ("gap read", {**GAP, "gap": "24 to 25 thou", "depth": "deep"}, "depth"),
        ("gap read", {**GAP, "gap": "24 to 25 thou", "gauge": "NONE"}, "gauge"),
        ("pass withdrawn", {"pass": "p1"}, "why"),
        ("pass withdrawn", {"pass": "p99", "why": "mistyped"}, "pass"),
        ("wheel put on", {"wheel": "W1"}, "wheel"),
    ],
)
def test_a_refusal_names_a_field_that_the_page_has(filing: Page, kind: str, words: dict[str, str], field: str) -> None:
    answer = filing.act(kind, words)
    assert answer.status_code == 422
    assert field in {problem["field"] for problem in answer.json()["problems"]}
    html = text_of(filing.get(RING))
    shown = {"pass": "which"}.get(field, field)
    assert f'id="{shown}-fault"' in html
    assert re.search(rf'id="{shown}"', html)
    assert card_of(filing)["waiting"] == 0, "nothing of it was kept"


def test_nothing_of_the_pages_is_inline(filing: Page) -> None:
    for rest in ("rings/", RING, "clocking/"):
        html = text_of(filing.get(rest))
        assert not re.search(r'\sstyle="|\son[a-z]+="|<style', html)
        assert all(
            "src=" in words or 'type="application/json"' in words for words in re.findall(r"<script([^>]*)>", html)
        )


@pytest.mark.parametrize("rest", ["rings/", RING, NOW, "clocking/"])
def test_a_page_asks_the_database_little(filing: Page, rest: str, django_assert_max_num_queries: Any) -> None:
    filing.get(rest)
    with django_assert_max_num_queries(2):
        filing.get(rest)


def test_a_plan_is_worked_out_once_for_a_number(filing: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    filing.get("rings/")
    monkeypatch.setattr(held, "ring_bench", lambda job: pytest.fail("planned twice"))
    assert filing.get("rings/").status_code == filing.get(RING).status_code == 200


def test_the_path_of_the_gap_is_drawn_in_the_inks_of_the_page(page: Page) -> None:
    html = text_of(page.get(RING))
    path = re.search(r'<div class="path">(<svg.*?</svg>)', html, re.DOTALL)
    assert path is not None
    assert not re.search(r'="#[0-9a-f]{6}"', path[1])
    assert "The gap of R4 top, cylinder 4 after every pass" in path[1]
    for label in ("first", "+6", "+2"):
        assert f">{label}</text>" in path[1]


def test_points_of_the_path_lie_where_their_gaps_are() -> None:
    job = read_texts("filing", to_file()).job
    state = next(each for each in ring_bench(job).rings if stage_of(each) is Stage.TAKE)
    path = path_of(job, state)
    assert [point.label for point in path.points] == ["first"]
    point, expected = path.points[0], path.expected
    assert expected is not None
    half_thou = 0.5 * 25.4e-6
    assert abs(point.gap_m - 21.5 * 25.4e-6) < 20e-6, "as read, but for warmth and for where the bore governs"
    assert point.half_m > 0.9 * half_thou, "blades leave the gap open over a thou"
    svg = path_svg(job, path, "it")
    first, coming = (float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg))
    low = float(re.findall(r'<path d="M12\.0 ([\d.]+)H', svg)[1])
    assert first > low, "a tight ring lies under its slot"
    scale = (first - low) / (path.low_m - point.gap_m)  # type: ignore[operator]
    assert coming == pytest.approx(first - scale * (expected.gap_m - point.gap_m), abs=0.2)


def test_a_slip_far_off_does_not_flatten_the_others() -> None:
    job = read_texts("filing", to_file()).job
    points = (
        Point("first", 0.30e-3, 0.01e-3),
        Point("+9", 9e-3, 0.01e-3, struck=True),
        Point("again", 0.36e-3, 0.01e-3),
    )
    svg = path_svg(job, Path(points, None, 0.40e-3, 0.42e-3, 0.44e-3), "it")
    first, again = (float(y) for y in re.findall(r'<circle cx="[\d.]+" cy="([\d.]+)"', svg))
    assert first - again > 40.0
    cross = re.search(r'<path d="M[\d.]+ (-?[\d.]+)l10 10m0 -10', svg)
    assert cross is not None
    assert 0.0 < float(cross[1]) < again


def test_nothing_read_is_nothing_drawn() -> None:
    texts = to_file()
    texts["passes.csv"] = texts["passes.csv"].splitlines(keepends=True)[0]
    job = read_texts("bare", texts).job
    state = state_named(ring_bench(job), 4, "top")
    assert state is not None
    assert path_svg(job, path_of(job, state), "it") == ""
    assert stage_of(state) is Stage.READ


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.01, "1 in 100"), (0.0033, "1 in 300"), (0.25, "1 in 4"), (1e-5, "less than 1 in 10000"), (0.5, "1 in 2")],
)
def test_odds(chance: float, said: str) -> None:
    assert odds(chance) == said


@pytest.mark.parametrize("chance", [0.009, 0.0033, 0.00017, 0.07, 0.31])
def test_a_bound_is_never_under_the_chance(chance: float) -> None:
    assert 1.0 / float(odds(chance, up=True).rpartition(" ")[2]) >= chance


def test_who_may_only_look_is_told_so_and_cannot_file(filing: Page, settings: Any) -> None:
    book: Book = filing.book
    open_shop(settings)
    looker = signed_in(hire("The viewer", book=book, role=Role.VIEWER))
    measurer = signed_in(hire("The measurer", book=book, role=Role.MEASURER))
    assert looker.get(filing.at(NOW)).json()["card"]["may"] is False
    assert measurer.get(filing.at(NOW)).json()["card"]["may"] is True
    said = {"kind": "pass filed", "words": {**WHICH, "taken": "6"}, "key": "ring-roles-1"}
    answers = [
        each.post(filing.at("acts/"), json.dumps(said), content_type="application/json").status_code
        for each in (looker, measurer)
    ]
    assert answers == [403, 201]


def test_the_list_and_a_ring_of_a_book_without_rings(client: Client, transactional_db: None) -> None:
    texts = to_file()
    texts["job.toml"] = re.sub(r'(mark = "R\d")', r"\1\nfile_fit = false", texts["job.toml"])
    page = Page(client, open_book(texts, "A. Hand", name="none"))
    assert "There are no rings to file." in text_of(page.get("rings/"))
    assert "Lay the gaps as drawn." in text_of(page.get("clocking/")), "they still have gaps"
