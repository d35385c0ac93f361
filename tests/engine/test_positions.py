"""Positions as they are written, and the order in which they are listed."""

import random

import pytest

from blockwright.engine.positions import ENGINE, Place, Position, cylinder, main, position, throw


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("cylinder 3", cylinder(3)), ("  Main   2 ", main(2)), ("throw 04", throw(4)), ("bank 1", Position(Place.BANK, "1")),
        ("stage case  closed", Position(Place.STAGE, "case closed")), ("stage main 2", Position(Place.STAGE, "main 2")), ("engine", ENGINE),
    ],
)  # fmt: skip
def test_what_is_written(text, meant):
    assert position(text) == meant


@pytest.mark.parametrize(
    "text",
    [
        "",
        "cylinder",
        "cylinder two",
        "cylinder -1",
        "cylinder 1.0",
        "cylinder ²",
        "cylinder ③",
        "cylinder ½",
        "cylinder Ⅷ",
        "throw 1²",
        "main " + "9" * 5000,
        "cylinder 1 2",
        "stage",
        "engine 1",
        "rod 1",
    ],
)
def test_what_is_no_position(text):
    assert position(text) is None


def test_a_stage_may_bear_any_number_and_still_be_listed():
    for label in ("²", "9" * 5000, "case closed"):
        where = position(f"stage {label}")
        assert where == Position(Place.STAGE, label)
        assert where.sort_key[0] == main(1).sort_key[0] + 3


def test_an_arabic_indic_digit_is_read_as_the_number_it_is():
    assert position("cylinder ٣") == cylinder(3)


def test_order_is_by_kind_and_then_by_number():
    ordered = [cylinder(2), cylinder(10), main(1), throw(3), Position(Place.STAGE, "seals"), ENGINE]
    mixed = list(ordered)
    random.Random(1).shuffle(mixed)
    assert mixed != ordered
    assert sorted(mixed, key=lambda where: where.sort_key) == ordered


def test_a_position_as_text():
    assert [str(each) for each in (cylinder(3), ENGINE, Position(Place.STAGE, "case closed"))] == [
        "cylinder 3",
        "engine",
        "stage case closed",
    ]
