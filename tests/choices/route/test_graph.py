"""The order holds whatever is changed, a change that cannot be says why, and no change loosens what the route demands."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.route.graph import Route, change_faults, route_from, why_not
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.engine.positions import cylinder, throw
from blockwright.engine.steps import StepChange
from blockwright.problems import BlockwrightError

HOLD = (Evidence(Proof.COUNT, "caps", number=1),)


def step(key: str, *after: str, **more: object) -> Step:
    return Step(key=key, stage=Pass.FINAL, name=f"Do {key}", group="Group", after=after, **more)


LINE = (step("a"), step("b", "a"), step("c", "b", evidence=HOLD), step("d", "c"), step("e"))


def keys(route: Route) -> list[str]:
    return [each.key for each in route.steps]


def holds(route: Route) -> bool:
    place = {key: index for index, key in enumerate(keys(route))}
    return all(place[needed] < place[key] for key, needs in route.needs.items() for needed in needs)


def only_fault(*changes: StepChange, steps: tuple[Step, ...] = LINE) -> tuple[int, str, str, str]:
    [fault] = change_faults(steps, changes)
    assert fault.problem.mend
    return fault.index, fault.field, fault.problem.code, str(fault.problem)


def test_an_order_that_holds_is_kept() -> None:
    assert keys(route_from(LINE)) == ["a", "b", "c", "d", "e"]


def test_an_order_that_does_not_hold_is_mended_as_little_as_can_be() -> None:
    assert keys(route_from((step("a", "c"), step("b"), step("c"), step("d")))) == ["c", "a", "b", "d"]


def test_a_step_that_closes_another_comes_after_it() -> None:
    route = route_from((step("lid", closes=("look", "main film, main 3")), step("look")))
    assert keys(route) == ["look", "lid"]
    assert route.needs["lid"] == ("look",)


def test_a_step_that_keeps_a_clock_comes_after_its_start() -> None:
    assert keys(route_from((step("sump", within="bead"), step("bead", open_time_s=60.0)))) == ["bead", "sump"]


@pytest.mark.parametrize(
    ("steps", "code"),
    [
        ((step("a"), step("a")), "route-twice"),
        ((step("a", "x"),), "route-unknown"),
        ((step("a", "b"), step("b", "a")), "route-loop"),
        ((step("a", "a"),), "route-loop"),
        ((step("a", within="x"),), "route-unknown"),
        ((step("a", evidence=(Evidence(Proof.FIT, "wall gap", cylinder(1)),)),), "route-fit"),
        ((step("a", evidence=(Evidence(Proof.FIT, "wall clearance", throw(1)),)),), "route-fit"),
    ],
)
def test_steps_that_make_no_route(steps: tuple[Step, ...], code: str) -> None:
    with pytest.raises(BlockwrightError) as raised:
        route_from(steps)
    assert [problem.code for problem in raised.value.problems] == [code]


def test_a_step_of_ones_own_stands_where_it_is_put() -> None:
    route = route_from(LINE, [StepChange(key="mine", name="Weigh it", do=("Weigh.",), after=("b",), before=("d",))])
    assert keys(route) == ["a", "b", "mine", "c", "d", "e"]
    assert (route.by_key["mine"].group, route.by_key["mine"].do) == ("Group", ("Weigh.",))
    assert route.needs["mine"] == ("b",)
    assert "mine" in route.needs["d"]


def test_before_alone_puts_it_right_before() -> None:
    assert keys(route_from(LINE, [StepChange(key="mine", name="x", before=("c",))])) == [
        "a",
        "b",
        "mine",
        "c",
        "d",
        "e",
    ]


def test_a_moved_step_goes_and_nothing_is_loosened() -> None:
    route = route_from(LINE, [StepChange(key="e", before=("b",))])
    assert keys(route) == ["a", "e", "b", "c", "d"]
    assert set(route.needs["b"]) == {"a", "e"}


def test_own_steps_may_name_each_other_in_any_order() -> None:
    changes = [StepChange(key="m2", name="x", after=("m1",)), StepChange(key="m1", name="y", after=("a",))]
    assert keys(route_from(LINE, changes)) == ["a", "m1", "m2", "b", "c", "d", "e"]


def test_what_waited_for_a_struck_step_waits_for_what_it_needed() -> None:
    route = route_from(LINE, [StepChange(key="b", struck=True, by="R. Quill", why="done by the shop")])
    assert keys(route) == ["a", "c", "d", "e"]
    assert route.needs["c"] == ("a",)


def test_a_circle_is_told_with_the_way_round() -> None:
    index, field, code, text = only_fault(StepChange(key="e", after=("a",)), StepChange(key="a", after=("d",)))
    assert (index, field, code) == (1, "after", "step-loop")
    assert "'d' cannot come before 'a', which must be done first: 'a', then 'b', then 'c', then 'd'." in text


def test_two_changes_that_only_together_make_a_circle() -> None:
    steps = (step("a"), step("b"))
    index, _, code, _ = only_fault(StepChange(key="a", after=("b",)), StepChange(key="b", after=("a",)), steps=steps)
    assert (index, code) == (1, "step-loop")


def test_before_itself() -> None:
    assert only_fault(StepChange(key="b", before=("b",)))[2] == "step-loop"


def test_a_hold_point_is_not_struck() -> None:
    _, field, code, text = only_fault(StepChange(key="c", struck=True, by="R. Quill", why="in a hurry"))
    assert (field, code) == ("struck", "step-hold")
    assert "asks for: count: caps (1)" in text


def test_a_step_whose_clock_is_kept_is_not_struck() -> None:
    steps = (step("bead", open_time_s=60.0), step("sump", within="bead"))
    assert only_fault(StepChange(key="bead", struck=True, by="R", why="w"), steps=steps)[2] == "step-clock"
    both = [StepChange(key=key, struck=True, by="R", why="w") for key in ("sump", "bead")]
    assert keys(route_from(steps, both)) == []


@pytest.mark.parametrize(
    ("change", "field", "code"),
    [
        (StepChange(key="zz", after=("a",)), "key", "step-unknown"),
        (StepChange(key="b", after=("zz",)), "after", "step-unknown"),
        (StepChange(key="b", name="B"), "key", "step-taken"),
        (StepChange(key="b"), "key", "step-nowhere"),
        (StepChange(key="mine", name="x"), "key", "step-nowhere"),
        (StepChange(key="b", struck=True), "struck", "step-unsigned"),
        (StepChange(key="b", struck=True, by="R"), "struck", "step-unsigned"),
        (StepChange(key="b", struck=True, after=("a",), by="R", why="w"), "struck", "step-struck"),
    ],
)
def test_changes_that_cannot_be(change: StepChange, field: str, code: str) -> None:
    assert only_fault(change)[1:3] == (field, code)


def test_all_faults_are_told_at_once_and_the_rest_is_still_checked() -> None:
    changes = [
        StepChange(key="zz", after=("a",)),
        StepChange(key="b", after=("d",)),
        StepChange(key="b", after=("a",)),
        StepChange(key="c", struck=True, by="R", why="w"),
    ]
    assert [(fault.index, fault.problem.code) for fault in change_faults(LINE, changes)] == [
        (0, "step-unknown"),
        (1, "step-loop"),
        (2, "step-twice"),
        (3, "step-hold"),
    ]
    with pytest.raises(BlockwrightError) as raised:
        route_from(LINE, changes)
    assert len(raised.value.problems) == 4


def test_an_unknown_key_offers_the_nearest() -> None:
    steps = (step("final: piston 1"), step("final: piston 2"), step("final: sump"))
    assert only_fault(StepChange(key="final: piton 2", after=("final: sump",)), steps=steps)[3].endswith(
        "Did you mean 'final: piston 2'?"
    )


def test_why_a_step_cannot_go_there() -> None:
    route = route_from(LINE)
    problem = why_not(route, "a", after="d")
    assert problem is not None
    assert "'a', then 'b', then 'c', then 'd'" in problem.what
    assert why_not(route, "d", before="a") is not None
    assert why_not(route, "e", before="a") is None
    assert why_not(route, "e", after="d", before="") is None


def test_a_long_way_round_is_cut() -> None:
    steps = tuple(step(f"s{n}", *([f"s{n - 1}"] if n else [])) for n in range(20))
    assert (
        "'s0', then 's1', then 's2', then …, then 's19'"
        in only_fault(StepChange(key="s0", after=("s19",)), steps=steps)[3]
    )


NAMES = [f"s{n}" for n in range(9)]


@st.composite
def routes(draw: st.DrawFn) -> tuple[Step, ...]:
    """Steps whose needs point to any that come before in some hidden order, listed in another."""
    made = []
    for index, name in enumerate(NAMES):
        after = draw(st.lists(st.sampled_from(NAMES[:index]), max_size=3, unique=True)) if index else []
        made.append(step(name, *after, evidence=HOLD if draw(st.booleans()) else ()))
    return tuple(draw(st.permutations(made)))


@st.composite
def changes(draw: st.DrawFn) -> list[StepChange]:
    listed = st.lists(st.sampled_from(NAMES), max_size=2, unique=True).map(tuple)
    made = []
    for key in draw(st.lists(st.sampled_from([*NAMES, "m1", "m2"]), unique=True, max_size=5)):
        struck = key not in ("m1", "m2") and draw(st.booleans())
        name = "Mine" if key in ("m1", "m2") else ""
        after, before = ((), ()) if struck else (draw(listed), draw(listed))
        made.append(StepChange(key=key, name=name, after=after, before=before, struck=struck, by="R", why="w"))
    return made


def demands(route: Route) -> set[tuple[str, str]]:
    """Which step must come before which, through any number of others."""
    return {(key, beyond) for key in route.by_key for beyond in route.beyond(key)}


@given(routes(), changes())
def test_whatever_is_changed_the_order_holds_and_no_demand_is_lost(
    steps: tuple[Step, ...], made: list[StepChange]
) -> None:
    plain = route_from(steps)
    assert holds(plain)
    faulty = {fault.index for fault in change_faults(steps, made)}
    sound = [change for index, change in enumerate(made) if index not in faulty]
    if change_faults(steps, sound):
        return
    route = route_from(steps, sound)
    assert holds(route)
    struck = {change.key for change in sound if change.struck}
    assert {key for key in plain.by_key if plain.by_key[key].evidence} <= set(route.by_key)
    assert set(plain.by_key) - struck <= set(route.by_key)
    kept = {pair for pair in demands(plain) if not struck.intersection(pair)}
    assert kept <= demands(route)
    for change in sound:
        if not change.struck:
            assert {(key, change.key) for key in change.after if key not in struck} <= demands(route)
            assert {(change.key, key) for key in change.before if key not in struck} <= demands(route)


@given(routes())
def test_the_way_round_is_a_way(steps: tuple[Step, ...]) -> None:
    route = route_from(steps)
    for first in NAMES:
        for last in route.beyond(first):
            way = route.path(first, last)
            assert (way[0], way[-1]) == (first, last)
            assert all(one in route.needs[other] for one, other in pairwise(way))
        assert route.path(first, first) == (first,)


KEYS = ["mock-up: piston 1", "final: piston 1", "final: piston 10", "final: crank", "final: rod bolts 3"]


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("final: piston 1", "final: piston 1"),
        (" FINAL:  Piston 1 ", "final: piston 1"),
        ("crank", "final: crank"),
        ("final: c", "final: crank"),
        ("piston 10", "final: piston 10"),
        ("mock", "mock-up: piston 1"),
        ("bolts 3", "final: rod bolts 3"),
    ],
)
def test_keys_may_be_shortened(typed: str, key: str) -> None:
    assert step_meant(typed, KEYS) == key


@pytest.mark.parametrize(
    ("typed", "code", "words"),
    [
        ("piston 1", "step-which", "mock-up: piston 1, final: piston 1"),
        ("final", "step-which", "may be any of 4"),
        ("final: pistn 10", "step-unknown", "Did you mean 'final: piston 10'?"),
        ("", "step-unknown", "route show"),
        ("x" * 500, "step-unknown", "route show"),
    ],
)
def test_keys_that_are_not_clear(typed: str, code: str, words: str) -> None:
    with pytest.raises(BlockwrightError) as raised:
        step_meant(typed, KEYS)
    [problem] = raised.value.problems
    assert problem.code == code
    assert words in str(problem)
