"""The tightening order: every bolt numbered by its turn, and a pattern that no maker gave is marked."""

import itertools
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.report.colours import INK, PAPER
from blockwright.report.pictures.drawing import text_width
from blockwright.report.pictures.torque_order import RADIUS, BoltField, circle, grid, torque_order

SVG = "{http://www.w3.org/2000/svg}"


@st.composite
def fields(draw: st.DrawFn) -> tuple[BoltField, tuple[int, ...]]:
    name = draw(st.sampled_from(("Head", "W" * 200, "<&>", "main caps " * 20)))
    field = grid(name, draw(st.integers(1, 10)), draw(st.integers(1, 6)))
    if draw(st.booleans()):
        field = circle(name, draw(st.integers(1, 16)))
    return field, tuple(draw(st.permutations(range(1, len(field.bolts) + 1))))


def bolts(picture: ET.Element) -> dict[int, ET.Element]:
    return {int(g.get("data-bolt", "")): g for g in picture.iter(f"{SVG}g") if g.get("data-bolt")}


def place(bolt: ET.Element) -> tuple[float, float]:
    text = bolt.find(f"{SVG}text")
    assert text is not None
    return float(text.get("x", "")), float(text.get("y", ""))


@given(fields(), st.booleans())
def test_every_bolt_has_its_turn_and_its_room(made: tuple[BoltField, tuple[int, ...]], generated: bool) -> None:
    field, pattern = made
    picture = ET.fromstring(
        torque_order(field, pattern, generated=generated, source="s" * 150, stages=("W" * 150, "to 30 Nm"))
    )
    found = bolts(picture)
    for turn, bolt in enumerate(pattern, 1):
        texts = [text.text for text in found[bolt].iter(f"{SVG}text")]
        assert texts == [str(turn), str(bolt)]
    places = [place(bolt) for bolt in found.values()]
    assert all(max(abs(a[0] - b[0]), abs(a[1] - b[1])) > 2 * RADIUS for a, b in itertools.combinations(places, 2))
    width, height = float(picture.get("width", "")), float(picture.get("height", ""))
    assert all(RADIUS < x < width - RADIUS and RADIUS < y < height - RADIUS for x, y in places)
    for text in picture.iter(f"{SVG}text"):
        if text.get("text-anchor") == "start":
            wide = text_width(text.text or "", float(text.get("font-size", "")), bold=text.get("font-weight") == "700")
            assert float(text.get("x", "")) + wide <= width
            assert float(text.get("y", "")) <= height


def test_a_generated_pattern_is_marked_in_words_and_shape() -> None:
    field = grid("Head", 2, 5)
    pattern = (3, 8, 7, 4, 2, 9, 6, 5, 1, 10)
    made, makers = (torque_order(field, pattern, generated=each, source="sheet 4") for each in (True, False))
    assert "Generated: no maker's pattern is given" in made
    assert "Generated" not in makers
    assert "Maker's pattern: sheet 4" in makers
    assert made.count("stroke-dasharray") >= 10
    assert makers.count("stroke-dasharray") == 0


def test_bolts_are_counted_from_the_front() -> None:
    picture = ET.fromstring(torque_order(grid("Head", 2, 3), (1, 2, 3, 4, 5, 6), generated=False))
    places = {number: place(bolt) for number, bolt in bolts(picture).items()}
    assert places[1][0] < places[2][0] < places[3][0]
    assert places[1][1] == places[3][1] < places[4][1]


def test_bolts_on_a_circle_are_counted_clockwise_from_the_top() -> None:
    picture = ET.fromstring(torque_order(circle("Flywheel", 4), (1, 3, 2, 4), generated=False))
    top, right, foot, left = (place(bolts(picture)[number]) for number in (1, 2, 3, 4))
    assert top[1] < right[1] < foot[1]
    assert right[1] == pytest.approx(left[1])
    assert left[0] < top[0] < right[0]
    assert top[0] == pytest.approx(foot[0])
    assert "clockwise from the top" in (picture[1].text or "")


@pytest.mark.parametrize("pattern", [(), (1, 2, 3), (1, 2, 3, 3), (0, 1, 2, 3), (1, 2, 3, 4, 5)])
def test_a_pattern_that_misses_a_bolt_is_refused(pattern: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="each of 4 bolts once"):
        torque_order(grid("Head", 2, 2), pattern, generated=False)


def test_a_field_without_bolts_is_refused() -> None:
    with pytest.raises(ValueError, match="no field of bolts"):
        grid("Head", 0, 2)


def test_the_first_bolt_is_filled_and_no_other() -> None:
    picture = ET.fromstring(torque_order(grid("Head", 2, 2), (3, 1, 4, 2), generated=True))
    filled = {}
    for number, bolt in bolts(picture).items():
        [hexagon] = bolt.iter(f"{SVG}path")
        filled[number] = hexagon.get("fill")
    assert filled[3] == INK
    assert {filled[number] for number in (1, 2, 4)} == {PAPER}
