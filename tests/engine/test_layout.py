"""Layouts of one to sixteen cylinders: numbering, throws, mains, positions, stages, and facts that contradict themselves."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.layout import HEIGHTS, Case, Entering, Layout
from blockwright.engine.positions import Place, Position, cylinder, main, position, throw

MM = 1e-3


@st.composite
def sound(draw):
    """Facts of an engine without fault: any layout, any numbering, equal or unequal banks, shared throws or not."""
    layout = draw(st.sampled_from(Layout))
    cylinders = draw(st.integers(1 if layout is Layout.INLINE else 2, 16))
    facts = {
        "layout": layout,
        "cylinders": cylinders,
        "case": draw(st.sampled_from(Case)),
        "pistons": draw(st.sampled_from(Entering)),
    }
    if draw(st.booleans()):
        numbers = draw(st.permutations(range(1, cylinders + 1)))
        cut = draw(st.integers(1, cylinders - 1)) if layout is not Layout.INLINE else cylinders
        facts["banks"] = tuple(bank for bank in (tuple(numbers[:cut]), tuple(numbers[cut:])) if bank)
    if layout is not Layout.INLINE:
        facts["shared_throws"] = draw(st.sampled_from((None, True, False)))
    return facts


@given(sound())
def test_a_sound_engine_has_no_faults(engine, facts):
    assert engine(**facts).faults() == ()


@given(sound())
def test_every_cylinder_is_on_one_throw(engine, facts):
    built = engine(**facts)
    on_throws = [number for on in built.throws for number in on]
    assert sorted(on_throws) == list(range(1, built.cylinders + 1))
    for number in on_throws:
        assert number in built.throws[built.throw_of(number).number - 1]


@given(sound())
def test_a_throw_carries_at_most_one_rod_of_each_bank(engine, facts):
    built = engine(**facts)
    for on in built.throws:
        banks = [index for number in on for index, bank in enumerate(built.numbering) if number in bank]
        assert len(set(banks)) == len(banks)


@given(sound())
def test_throws_follow_each_bank_from_the_front(engine, facts):
    built = engine(**facts)
    for bank in built.numbering:
        throws = [built.throw_of(number).number for number in bank]
        assert throws == sorted(set(throws))


@given(sound())
def test_positions_are_complete_and_each_reads_back(engine, facts):
    built = engine(**facts)
    assert built.positions(Place.CYLINDER) == tuple(cylinder(n) for n in range(1, built.cylinders + 1))
    assert built.positions(Place.THROW) == tuple(throw(n) for n in range(1, len(built.throws) + 1))
    assert built.positions(Place.MAIN) == tuple(main(n) for n in range(1, len(built.throws) + 2))
    assert len(built.positions(Place.BANK)) == (1 if built.layout is Layout.INLINE else 2)
    assert built.positions(Place.ENGINE) == (Position(Place.ENGINE),)
    for place in Place:
        for where in built.positions(place):
            assert position(str(where)) == where


@given(sound())
def test_turning_stages_name_each_thing_once_and_in_order(engine, facts):
    built = engine(**facts)
    stages = built.turning_stages
    assert len(set(stages)) == len(stages)
    kinds = [stage.split()[0] for stage in stages]
    assert kinds[0] == ("crank" if built.case is Case.SPLIT else "seals")
    assert [kind for kind, before in zip(kinds[1:], kinds, strict=False) if kind != before] == [
        *(["main", "thrust"] if built.case is Case.CAPS else ["case"]),
        *(["piston"] if built.pistons is Entering.AFTER else [] if built.case is Case.SPLIT else ["rod"]),
    ]
    everyone = [str(n) for n in range(1, built.cylinders + 1)]
    for kind, numbers in (
        ("main", [str(n) for n in range(1, built.main_count + 1)]),
        ("rod", everyone),
        ("piston", everyone),
    ):
        if kind in kinds:
            assert [stage.split()[1] for stage in stages if stage.startswith(kind)] == numbers


# ---- engines that everybody knows the shape of ------------------------------------------------------------------------------

SHAPES = [
    ("single", {"cylinders": 1}, ((1,),), 2),
    ("inline four", {"cylinders": 4}, ((1,), (2,), (3,), (4,)), 5),
    ("inline six", {"cylinders": 6}, tuple((n,) for n in range(1, 7)), 7),
    ("inline four with three mains", {"cylinders": 4, "mains": 3}, ((1,), (2,), (3,), (4,)), 3),
    ("V twin", {"layout": Layout.V, "cylinders": 2}, ((1, 2),), 2),
    ("V8, odd and even", {"layout": Layout.V, "cylinders": 8}, ((1, 2), (3, 4), (5, 6), (7, 8)), 5),
    ("V8, bank by bank", {"layout": Layout.V, "cylinders": 8, "banks": ((1, 2, 3, 4), (5, 6, 7, 8))}, ((1, 5), (2, 6), (3, 7), (4, 8)), 5),
    ("V6 with a throw each", {"layout": Layout.V, "cylinders": 6, "shared_throws": False}, tuple((n,) for n in range(1, 7)), 7),
    ("V5", {"layout": Layout.V, "cylinders": 5, "banks": ((1, 3, 5), (2, 4))}, ((1, 2), (3, 4), (5,)), 4),
    ("V16", {"layout": Layout.V, "cylinders": 16}, tuple((n, n + 1) for n in range(1, 17, 2)), 9),
    ("flat twin", {"layout": Layout.FLAT, "cylinders": 2}, ((1,), (2,)), 3),
    ("flat four", {"layout": Layout.FLAT, "cylinders": 4, "mains": 3}, ((1,), (2,), (3,), (4,)), 3),
    ("flat six, bank by bank", {"layout": Layout.FLAT, "cylinders": 6, "banks": ((1, 2, 3), (4, 5, 6))}, ((1,), (4,), (2,), (5,), (3,), (6,)), 7),
    ("flat twelve, rods in pairs", {"layout": Layout.FLAT, "cylinders": 12, "shared_throws": True}, tuple((n, n + 1) for n in range(1, 13, 2)), 7),
]  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "throws", "mains"), [shape[1:] for shape in SHAPES], ids=[shape[0] for shape in SHAPES]
)
def test_known_shapes(engine, facts, throws, mains):
    """A V shares its throws, each rod of a flat engine has its own; one main more than throws unless the maker says otherwise."""
    built = engine(**facts)
    assert built.faults() == ()
    assert (built.throws, built.main_count) == (throws, mains)


@pytest.mark.parametrize(
    ("case", "pistons", "stages"),
    [
        (Case.CAPS, Entering.AFTER, "seals, main 1, main 2, main 3, thrust, piston 1, piston 2"),
        (Case.CAPS, Entering.BEFORE, "seals, main 1, main 2, main 3, thrust, rod 1, rod 2"),
        (Case.BEDPLATE, Entering.AFTER, "seals, case closed, piston 1, piston 2"),
        (Case.SPLIT, Entering.AFTER, "crank with rods, case closed, piston 1, piston 2"),
        (Case.SPLIT, Entering.BEFORE, "crank with rods, case closed"),
    ],
)
def test_stages_by_case_and_by_when_the_pistons_go_in(engine, case, pistons, stages):
    assert ", ".join(engine(cylinders=2, case=case, pistons=pistons).turning_stages) == stages


@pytest.mark.parametrize(
    ("case", "word"), [(Case.CAPS, "caps torqued"), (Case.BEDPLATE, "caps torqued"), (Case.SPLIT, "case torqued")]
)
def test_what_closes_the_crank_in(engine, case, word):
    assert engine(case=case).mains_closed == word


@pytest.mark.parametrize(("plate", "state"), [(True, {"plate on"}), (False, {"plate off"})])
def test_the_state_in_which_bores_are_read(engine, plate, state):
    assert engine(torque_plate=plate).bore_state == state


@pytest.mark.parametrize(("liner", "surface"), [("", "grey iron"), ("aluminium A356", "aluminium A356")])
def test_what_the_rings_run_in(engine, liner, surface):
    assert engine(liner_material=liner).running_surface == surface


# ---- facts that contradict themselves ---------------------------------------------------------------------------------------

DEPTHS = dict(zip(HEIGHTS, (10 * MM, 50 * MM, 90 * MM), strict=True))
FAULTY = [
    ("cylinders", "0 cylinders", {"cylinders": 0}),
    ("cylinders", "17 cylinders", {"cylinders": 17}),
    ("banks", "banks name the cylinders [1, 2, 3]", {"banks": ((1, 2, 3),)}),
    ("banks", "banks name the cylinders [1, 2, 2, 4]", {"banks": ((1, 2, 2, 4),)}),
    ("banks", "an inline engine has one bank", {"banks": ((1, 2), (3, 4))}),
    ("banks", "a V engine has two banks", {"layout": Layout.V, "banks": ((1, 2, 3, 4),)}),
    ("banks", "a flat engine has two banks", {"layout": Layout.FLAT, "banks": ((1, 2), (3,), (4,))}),
    ("banks", "a V engine has two banks, with a cylinder or more in each", {"layout": Layout.V, "cylinders": 1}),
    ("banks", "with a cylinder or more in each", {"layout": Layout.FLAT, "banks": ((1, 2, 3, 4), ())}),
    ("firing_order", "does not name each cylinder once", {"firing_order": (1, 3, 4)}),
    ("firing_order", "does not name each cylinder once", {"firing_order": (1, 3, 4, 3)}),
    ("bank_angle", "a V engine needs its bank angle", {"layout": Layout.V, "bank_angle_rad": None}),
    ("shared_throws", "an inline engine has one rod on each throw", {"shared_throws": True}),
    ("mains", "0 main bearings", {"mains": 0}),
    ("rod_length", "no longer than the crank's throw", {"rod_length_m": 40 * MM}),
    ("side_guided_by", "'pin' keeps no rod in line", {"side_guided_by": "pin"}),
    ("heights", "give the depth of each", {"heights": {"top": 10 * MM, "bottom": 90 * MM}}),
    ("heights", "give the depth of each", {"heights": DEPTHS | {"upper": 20 * MM}}),
    ("heights", "do not follow each other downwards", {"heights": DEPTHS | {"middle": 95 * MM}}),
    ("heights", "do not follow each other downwards", {"heights": DEPTHS | {"middle": 10 * MM}}),
    ("top_ring", "do not follow each other downwards", {"top_ring_m": 12 * MM, "second_ring_m": 8 * MM}),
    ("top_ring", "do not follow each other downwards", {"top_ring_m": 12 * MM, "oil_ring_m": 12 * MM}),
    ("skirt_top", "upper edge is not above its lower edge", {"skirt_top_m": 60 * MM, "skirt_bottom_m": 30 * MM}),
]  # fmt: skip


@pytest.mark.parametrize(("field", "what", "facts"), FAULTY)
def test_a_fault_is_told_with_its_field(engine, field, what, facts):
    faults = [fault for fault in engine(**facts).faults() if fault.place.field == f"engine.{field}"]
    assert [fault.code for fault in faults] == [f"engine-{field}"]
    assert what in faults[0].what
    assert faults[0].mend == f"Mend {field} in [engine]."


def test_every_fault_is_told_at_once(engine):
    faults = engine(cylinders=0, firing_order=(1, 2), mains=0, side_guided_by="").faults()
    assert [fault.code for fault in faults] == [
        "engine-cylinders",
        "engine-firing_order",
        "engine-mains",
        "engine-side_guided_by",
    ]


@pytest.mark.parametrize(
    ("field", "facts"),
    [
        ("cylinders", {"cylinders": 10**12}), ("cylinders", {"layout": Layout.V, "cylinders": 10**12}), ("mains", {"mains": 10**12}),
        ("banks", {"banks": (tuple(range(1, 18)),)}),
    ],
)  # fmt: skip
def test_a_count_beyond_all_engines_is_told_at_once(engine, field, facts):
    """10¹² of anything cannot be listed: without the early end this test would not end either. What else is wrong is told too."""
    faults = engine(side_guided_by="", **facts).faults()
    assert [fault.code for fault in faults] == [f"engine-{field}", "engine-side_guided_by"]
    assert faults[0].mend == f"Mend {field} in [engine]."


def test_as_many_as_an_engine_may_have(engine):
    assert engine(layout=Layout.V, cylinders=16, mains=32).faults() == ()
    assert [fault.code for fault in engine(mains=33).faults()] == ["engine-mains"]


@pytest.mark.parametrize(
    "facts",
    [
        {"heights": DEPTHS}, {"heights": {}}, {"top_ring_m": 6 * MM, "oil_ring_m": 16 * MM}, {"second_ring_m": 6 * MM},
        {"skirt_top_m": 20 * MM}, {"side_guided_by": "piston"}, {"firing_order": (1, 3, 4, 2)}, {"shared_throws": False},
    ],
)  # fmt: skip
def test_what_is_left_blank_contradicts_nothing(engine, facts):
    assert engine(**facts).faults() == ()
