"""Clocking: the frame from first principles, the rules of the trade, and patterns that keep them."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.clocking.frame import apart, bottom_deg, major_thrust_deg
from blockwright.choices.clocking.pattern import propose
from blockwright.choices.clocking.rules import elements_of, faults
from blockwright.engine.layout import Case, Engine, FirstBank, Layout, Turning
from blockwright.engine.pack import Element, OilRing


def engine(layout=Layout.INLINE, **facts):
    usual = {
        "name": "test", "layout": layout, "cylinders": 4, "rotation": Turning.CLOCKWISE, "case": Case.CAPS, "housing_material": "grey iron",
        "bore_m": 0.086, "stroke_m": 0.086, "rod_length_m": 0.143, "bank_angle_rad": math.radians(90) if layout is Layout.V else None,
    }  # fmt: skip
    return Engine(**(usual | facts))


@pytest.mark.parametrize("turning", list(Turning))
def test_major_thrust_by_the_balance_of_forces(turning):
    """Axes: forward f, up u, right r = f x u on a crown seen with the front at the top. A quarter turn after top dead centre the pin of the crank
    lies to the side it turns to; the gas pushes the piston down, the rod pushes back along itself, and its sideways part is the thrust.
    """
    forward, up = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
    right = np.cross(forward, up)
    spin = (
        -forward if turning is Turning.CLOCKWISE else forward
    )  # clockwise for one who looks at the front, so from ahead backwards
    crank_pin = np.cross(spin, up)  # where the pin at the top moves to
    rod = up * 3.0 - crank_pin  # from crank pin to piston, rod three throws long
    push_on_piston = rod  # compressed rod pushes the piston away from the crank pin
    side = float(push_on_piston @ right)
    assert major_thrust_deg(engine(rotation=turning)) == (90.0 if side > 0.0 else 270.0)


@pytest.mark.parametrize(("first_bank", "number"), [(first, n) for first in FirstBank for n in (1, 2)])
def test_which_way_is_down_in_a_flat_engine(first_bank, number):
    """Cylinder 1 is in the first bank, 2 in the other. Right on a crown is forward x outward."""
    built = engine(Layout.FLAT, first_bank=first_bank)
    left = (first_bank is FirstBank.LEFT) == (number == 1)
    forward, outward = (
        np.array([1.0, 0.0, 0.0]),
        np.array([0.0, 1.0 if left else -1.0, 0.0]),
    )  # left is +y looking forward
    right = np.cross(forward, outward)
    down_is_right = float(right @ np.array([0.0, 0.0, -1.0])) > 0.0
    assert bottom_deg(built, number) == (90.0 if down_is_right else 270.0)


def test_a_standing_cylinder_has_no_bottom():
    assert bottom_deg(engine(), 1) is None


PACK = elements_of(second=True, oil=OilRing.THREE_PIECE, support=False)


@given(st.sampled_from(Layout), st.sampled_from(Turning), st.booleans(), st.sampled_from(OilRing), st.integers(1, 4))
def test_a_proposed_pattern_keeps_every_rule(layout, turning, second, oil, number):
    built = engine(layout, rotation=turning)
    pieces = elements_of(second=second, oil=oil, support=False)
    pattern = propose(built, number, pieces, {})
    assert pattern is not None
    assert set(pattern) == set(pieces)
    assert faults(built, number, pattern) == ()
    assert propose(built, number, pieces, {}) == pattern
    if second:
        assert 120.0 <= apart(pattern[Element.TOP], pattern[Element.SECOND]) <= 180.0


@pytest.mark.parametrize("layout", [Layout.INLINE, Layout.V, Layout.FLAT])
@pytest.mark.parametrize("number", [1, 4])
def test_no_two_gaps_lie_in_one_line_and_nothing_is_lost_for_it(layout, number):
    """Only neighbours are bound by a rule; top and lower rail too are kept out of one line, with top and second still opposite each other."""
    pattern = propose(engine(layout), number, elements_of(second=True, oil=OilRing.THREE_PIECE, support=False))
    gaps = [angle for piece, angle in pattern.items() if piece is not Element.EXPANDER]
    assert min(apart(one, other) for one, other in itertools.combinations(gaps, 2)) >= 15.0
    assert apart(pattern[Element.TOP], pattern[Element.SECOND]) == 180.0


def test_a_fixed_piece_stays_and_the_rest_go_around_it():
    pieces = elements_of(second=True, oil=OilRing.THREE_PIECE, support=False)
    pattern = propose(engine(), 1, pieces, {Element.TOP: 45.0})
    assert pattern is not None
    assert pattern[Element.TOP] == 45.0
    assert faults(engine(), 1, pattern) == ()


def test_fixed_pieces_stay_whatever_rule_they_break_among_themselves():
    """They are told of; what is free is still placed well."""
    fixed = {Element.TOP: 30.0, Element.SECOND: 60.0}
    pattern = propose(engine(), 1, PACK, fixed)
    assert pattern is not None
    assert {piece: pattern[piece] for piece in fixed} == fixed
    assert [fault.elements for fault in faults(engine(), 1, pattern)] == [(Element.TOP, Element.SECOND)]


def test_where_no_place_is_left_there_is_no_pattern():
    """Second 0°, upper rail 180°: the lower rail would have to be 90° from both, at a thrust point."""
    fixed = {Element.SECOND: 0.0, Element.UPPER_RAIL: 180.0}
    assert propose(engine(), 1, PACK, fixed) is None


def test_wishes_are_kept_where_they_can_be_and_rules_always():
    """The top ring held 100° from the second: the wish for 120° cannot be kept, every rule can."""
    pattern = propose(engine(), 1, PACK, {Element.TOP: 30.0, Element.SECOND: 130.0})
    assert pattern is not None
    told = faults(engine(), 1, pattern)
    assert [(fault.wish, fault.elements) for fault in told] == [(True, (Element.TOP, Element.SECOND))]


@pytest.mark.parametrize(
    ("angles", "words"),
    [
        ({Element.TOP: 30.0, Element.SECOND: 110.0}, "top ring and second ring are 80° apart; at least 90° are wanted"),
        (
            {Element.TOP: 30.0, Element.SECOND: 130.0},
            "top ring and second ring are 100° apart; 120° to 180° would be better",
        ),
        ({Element.TOP: 10.0}, "the top ring's gap at 10° lies within 15° of the front pin end"),
        ({Element.TOP: 345.0}, "the top ring's gap at 345° lies within 15° of the front pin end"),
        ({Element.OIL: 190.0}, "the oil ring's gap at 190° lies within 15° of the rear pin end"),
        ({Element.TOP: 100.0}, "the top ring's gap at 100° lies within 15° of the major thrust point"),
        ({Element.SECOND: 270.0}, "the second ring's gap at 270° lies within 15° of the minor thrust point"),
        (
            {Element.TOP: 40.0, Element.SECOND: 220.0, Element.UPPER_RAIL: 50.0},
            "top ring and upper rail are 10° apart; 45° to 180° would be better",
        ),
        ({Element.TOP: 30.0, Element.OIL: 60.0}, "top ring and oil ring are 30° apart; at least 90° are wanted"),
        (
            {Element.TOP: 30.0, Element.LOWER_RAIL: 60.0},
            "top ring and lower rail are 30° apart; at least 90° are wanted",
        ),
        (
            {Element.SECOND: 30.0, Element.LOWER_RAIL: 100.0},
            "second ring and lower rail are 70° apart; at least 90° are wanted",
        ),
        (
            {Element.UPPER_RAIL: 30.0, Element.EXPANDER: 60.0},
            "upper rail and expander are 30° apart; at least 45° are wanted",
        ),
    ],
)
def test_what_a_pattern_of_ones_own_is_told(angles, words):
    assert words in [fault.text for fault in faults(engine(), 1, angles)]


def test_in_a_flat_engine_no_gap_lies_at_the_bottom():
    built = engine(Layout.FLAT)
    bottom = bottom_deg(built, 1)
    told = [fault.text for fault in faults(built, 1, {Element.TOP: (bottom + 30.0) % 360.0})]
    angle = (bottom + 30.0) % 360.0
    assert told == [f"the top ring's gap at {angle:.0f}° lies within 45° of the bottom of the bore, where oil stands"]


def test_a_piece_that_its_maker_holds_is_judged_only_against_the_others():
    assert faults(engine(), 1, {Element.TOP: 0.0}, held=(Element.TOP,)) == ()
    told = faults(engine(), 1, {Element.TOP: 0.0, Element.SECOND: 60.0}, held=(Element.TOP,))
    assert [fault.elements for fault in told] == [(Element.TOP, Element.SECOND)]


def test_a_pack_without_a_second_ring_sets_top_against_the_rails():
    pieces = elements_of(second=False, oil=OilRing.THREE_PIECE, support=False)
    pattern = propose(engine(), 1, pieces, {})
    assert pattern is not None
    assert apart(pattern[Element.TOP], pattern[Element.UPPER_RAIL]) >= 90.0


def test_rotation_does_not_move_the_forbidden_places():
    for turning in Turning:
        assert faults(replace(engine(), rotation=turning), 1, {Element.TOP: 90.0})
