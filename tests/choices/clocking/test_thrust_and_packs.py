"""The frame by an independent route in every bank, and the clocking of whole cylinders: packs, the builder's angles, what a maker holds."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.clocking.facing import facing
from blockwright.choices.clocking.frame import bottom_deg, major_thrust_deg
from blockwright.choices.clocking.whole import clocking_of
from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.layout import Case, Engine, FirstBank, Layout, Turning
from blockwright.engine.pack import Clocking, Element, Face, OilRing
from blockwright.engine.parts import CylinderParts, Part, PartKind
from blockwright.engine.positions import cylinder

FRONT, UP = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
LEFT = np.cross(UP, FRONT)
"""The left hand of one who stands behind the engine and looks to its front: x to the front, z up."""


def engine(layout=Layout.INLINE, **facts):
    usual = {
        "name": "test", "layout": layout, "cylinders": 4, "rotation": Turning.CLOCKWISE, "case": Case.CAPS, "housing_material": "grey iron",
        "bore_m": 0.086, "stroke_m": 0.086, "rod_length_m": 0.143, "bank_angle_rad": math.radians(90) if layout is Layout.V else None,
    }  # fmt: skip
    return Engine(**(usual | facts))


def axis_of(built, number):
    """Unit vector up a cylinder's axis, away from the crank."""
    if built.layout is Layout.INLINE:
        return UP
    lean = 90.0 if built.layout is Layout.FLAT else 0.5 * math.degrees(built.bank_angle_rad)
    first = number in built.numbering[0]
    side = 1.0 if first is (built.first_bank is FirstBank.LEFT) else -1.0
    return math.cos(math.radians(lean)) * UP + side * math.sin(math.radians(lean)) * LEFT


def thrust_on_the_wall(built, axis):
    """Mean side force on the cylinder wall over the power stroke, by the forces on crank pin, rod and piston.

    The crank turns clockwise for one who stands before the front end and looks at it. For each crank angle the piston is where its
    rod, as long as the engine says, lets it be; gas pushes it with 1 N towards the crank. The rod carries force along itself only, so the balance along
    the cylinder gives that force, and what is left across the cylinder is carried by the wall.
    """
    spin = -FRONT if built.rotation is Turning.CLOCKWISE else FRONT
    radius, rod = built.stroke_m / 2.0, built.rod_length_m
    total = np.zeros(3)
    for turned in np.radians(np.arange(5.0, 180.0, 5.0)):
        crank_pin = radius * (math.cos(turned) * axis + math.sin(turned) * np.cross(spin, axis))
        along = float(crank_pin @ axis)
        across = crank_pin - along * axis
        piston = (along + math.sqrt(rod**2 - float(across @ across))) * axis
        direction = (piston - crank_pin) / rod
        in_rod = 1.0 / float(direction @ axis)
        push_on_piston = in_rod * direction - axis
        total += push_on_piston
    return total


def seen_on_crown_deg(direction, axis):
    """Degrees clockwise from the front, for one who looks down on the crown, against the axis, with the front at the top."""
    clockwise = np.cross(-axis, FRONT)
    return math.degrees(math.atan2(float(direction @ clockwise), float(direction @ FRONT))) % 360.0


@pytest.mark.parametrize("turning", list(Turning))
@pytest.mark.parametrize("first_bank", list(FirstBank))
@pytest.mark.parametrize(
    ("layout", "bank_deg"),
    [(Layout.INLINE, 0.0), (Layout.V, 15.0), (Layout.V, 90.0), (Layout.V, 120.0), (Layout.FLAT, 0.0)],
)
@pytest.mark.parametrize("number", [1, 2])
def test_the_major_thrust_side_by_the_balance_of_forces(layout, bank_deg, turning, first_bank, number):
    built = engine(layout, rotation=turning, first_bank=first_bank, bank_angle_rad=math.radians(bank_deg) or None)
    axis = axis_of(built, number)
    direction = thrust_on_the_wall(built, axis)
    assert abs(float(direction @ axis)) < 1e-9, "the balance along the cylinder"
    assert seen_on_crown_deg(direction, axis) == pytest.approx(major_thrust_deg(built), abs=1e-6)


@pytest.mark.parametrize("first_bank", list(FirstBank))
@pytest.mark.parametrize("turning", list(Turning))
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_which_way_is_down_on_a_crown_that_lies_flat(first_bank, turning, number):
    built = engine(Layout.FLAT, first_bank=first_bank, rotation=turning)
    assert seen_on_crown_deg(-UP, axis_of(built, number)) == pytest.approx(bottom_deg(built, number), abs=1e-6)


def job(built, rings=None, clocking=()):
    part = replace(Part(mark="R1", kind=PartKind.RINGS), **(rings or {}))
    pages = tuple(CylinderParts(number=n, rings="R1") for n in range(1, built.cylinders + 1))
    duty = Duty(power_w=100e3, at_speed_rad_s=600.0, redline_rad_s=700.0)
    sheet = JobSheet(
        format=FORMAT, job="test", engine=built, duty=duty, part=(part,), cylinder=pages, clocking=tuple(clocking)
    )
    return Job(sheet, GaugeSheet(format=GAUGE_FORMAT))


def angles(**degrees):
    return Clocking(**{f"{name}_rad": math.radians(value) for name, value in degrees.items()})


def between(one, other):
    """Angle between two directions by their unit vectors."""
    return math.degrees(abs(np.angle(np.exp(1j * math.radians(one - other)))))


def kept_rules(built, number, pattern, free, with_second):
    """The rules of PHYSICS, section 2, written down once more: whether a pattern keeps all of them that concern pieces in `free`."""
    top, second = Element.TOP, Element.SECOND
    rails = [piece for piece in (Element.UPPER_RAIL, Element.LOWER_RAIL, Element.OIL) if piece in pattern]
    above = second if with_second else top
    apart = [(above, rail, 90.0) for rail in rails]
    apart += [(top, second, 90.0)] if second in pattern else []
    apart += [(Element.EXPANDER, rail, 45.0) for rail in rails if Element.EXPANDER in pattern]
    apart += [(rails[0], rails[1], 90.0)] if len(rails) == 2 else []
    good = all(
        between(pattern[a], pattern[b]) >= least - 1e-6
        for a, b, least in apart
        if a in pattern and b in pattern and (a in free or b in free)
    )
    gaps = [pattern[piece] for piece in (top, second, *rails) if piece in pattern and piece in free]
    clear = all(between(gap, where) > 15.0 for gap in gaps for where in (0.0, 90.0, 180.0, 270.0))
    down = bottom_deg(built, number)
    return good and clear and (down is None or all(between(gap, down) > 45.0 for gap in gaps))


PACKS = {
    "second_ring": st.booleans(),
    "oil_ring": st.sampled_from(OilRing),
    "support_rail": st.booleans(),
}
FIXED = st.dictionaries(
    st.sampled_from(["top", "second", "upper_rail", "expander", "lower_rail", "oil", "support"]),
    st.sampled_from([20.0, 40.0, 75.0, 130.0, 160.0, 200.0, 300.0, 350.0]),
    max_size=2,
)


@given(
    st.sampled_from(Layout), st.sampled_from(Turning), st.sampled_from(FirstBank), st.integers(1, 4),
    st.fixed_dictionaries(PACKS), FIXED, st.sets(st.sampled_from(["top", "second", "support"]), max_size=2),
)  # fmt: skip
def test_every_pattern_keeps_the_rules_or_says_what_it_cannot(layout, turning, first, number, pack, fixed, held):
    built = engine(layout, rotation=turning, first_bank=first)
    chosen = replace(angles(**fixed), by_maker=tuple(sorted(held)))
    clocked = clocking_of(job(built, pack, [chosen]), number)
    pieces = [piece for piece, _ in clocked.facing]
    given_for = {piece for piece in pieces if chosen.angle_rad(piece) is not None}
    absent = {piece for piece in pieces if piece not in given_for and piece in clocked.by_maker}
    assert set(clocked.pattern) | set(clocked.homeless) | absent == set(pieces)
    assert all(between(clocked.pattern[p], math.degrees(chosen.angle_rad(p))) < 1e-6 for p in given_for)
    if not clocked.homeless:
        assert kept_rules(built, number, clocked.pattern, set(pieces) - given_for, Element.SECOND in pieces)
    if not given_for:
        assert not clocked.homeless
        assert clocked.sound
        assert clocked.faults == ()
    assert clocked == clocking_of(job(built, pack, [chosen]), number)


def test_every_layout_has_a_pattern_that_keeps_the_wishes_too():
    for layout in Layout:
        for number in (1, 2):
            pattern = clocking_of(job(engine(layout)), number).pattern
            assert between(pattern[Element.TOP], pattern[Element.SECOND]) >= 120.0
            assert between(pattern[Element.TOP], pattern[Element.UPPER_RAIL]) >= 45.0


def test_a_piece_on_a_dowel_is_never_given_an_angle_by_the_tool():
    clocked = clocking_of(job(engine(), clocking=[Clocking(by_maker=("top",))]), 1)
    assert Element.TOP in clocked.by_maker
    assert Element.TOP not in clocked.pattern
    assert clocked.sound


def test_the_rest_goes_around_a_dowel_that_the_builder_has_found():
    """At a pin end, where no free gap may lie."""
    clocked = clocking_of(job(engine(), clocking=[replace(angles(top=0), by_maker=("top",))]), 1)
    assert clocked.pattern[Element.TOP] == 0.0
    assert clocked.sound
    assert clocked.own == (Element.TOP,)


def test_a_support_rail_goes_where_its_maker_says():
    assert Element.SUPPORT not in clocking_of(job(engine(), {"support_rail": True}), 1).pattern
    clocked = clocking_of(job(engine(), {"support_rail": True}, [angles(support=0)]), 1)
    assert clocked.pattern[Element.SUPPORT] == 0.0
    assert clocked.sound


def test_a_pattern_of_ones_own_is_judged_by_the_same_rules():
    whole = angles(top=10, second=60, upper_rail=120, expander=135, lower_rail=210)
    clocked = clocking_of(job(engine(), clocking=[whole]), 1)
    assert len(clocked.own) == 5
    assert not clocked.sound
    assert {fault.elements for fault in clocked.faults if not fault.wish} == {
        (Element.TOP, Element.SECOND), (Element.SECOND, Element.UPPER_RAIL), (Element.UPPER_RAIL, Element.EXPANDER), (Element.TOP,),
    }  # fmt: skip


def test_pieces_without_a_place_are_named():
    clocked = clocking_of(job(engine(), clocking=[angles(second=0, upper_rail=180)]), 1)
    assert Element.LOWER_RAIL in clocked.homeless
    assert not clocked.sound
    assert clocked.pattern == {Element.SECOND: 0.0, Element.UPPER_RAIL: 180.0}


def test_what_is_said_of_one_cylinder_goes_before_what_is_said_of_all():
    general, own = angles(top=30), replace(angles(top=150), at=str(cylinder(2)))
    made = job(engine(), clocking=[general, own])
    assert [round(clocking_of(made, n).pattern[Element.TOP]) for n in (1, 2, 3)] == [30, 150, 30]


@pytest.mark.parametrize(
    ("element", "face", "words"),
    [
        (Element.TOP, Face.MARKED, "mark towards the crown"),
        (Element.TOP, Face.INNER_BEVEL, "inner bevel towards the crown"),
        (Element.SECOND, Face.INNER_BEVEL, "inner bevel away from the crown"),
        (Element.SECOND, Face.SCRAPER, "scraper edge away from the crown"),
        (Element.TOP, Face.PLAIN, "no mark: either way up"),
        (Element.UPPER_RAIL, Face.MARKED, "either way up"),
        (Element.EXPANDER, Face.MARKED, "ends butted, never overlapping"),
        (Element.OIL, Face.MARKED, "mark towards the crown; without one, either way up"),
    ],
)
def test_which_way_up(element, face, words):
    assert facing(engine(), element, face) == words


def test_in_a_flat_engine_up_is_sideways():
    assert facing(engine(Layout.FLAT), Element.TOP, Face.MARKED) == "mark towards the crown, which lies sideways"
