"""Every fit has its hold point or its reason; every step says what a machinist needs; what was not said is taken, and told."""

import re
from dataclasses import replace

import pytest

from blockwright.choices.route.content import FREE_ON_PURPOSE, steps_for
from blockwright.choices.route.content.facts import facts_of
from blockwright.choices.route.step import Proof
from blockwright.engine.fasteners import Fastener, Joint
from blockwright.engine.layout import PinHold
from blockwright.engine.pack import OilRing
from blockwright.engine.parts import CylinderParts, Part, PartKind
from blockwright.engine.rules import Authority, LimitRule
from blockwright.fits.registry import REGISTRY

from .engines import ENGINES, ROUTES, job


def held(steps):
    """Every fit that is demanded, with its position."""
    return {(each.what, each.at) for step in steps for each in step.evidence if each.proof is Proof.FIT}


def limited(told, *names):
    rules = tuple(LimitRule(fit=name, authority=Authority.MAKER, low_si=0.0) for name in names)
    return replace(told, sheet=replace(told.sheet, limit=rules))


@pytest.mark.parametrize("name", ENGINES)
def test_every_fit_of_the_registry_is_held_wherever_the_engine_has_it_or_is_free_on_purpose(name) -> None:
    engine, found = ENGINES[name].engine, held(ROUTES[name].steps)
    wanted = {
        (fit.name, at) for fit in REGISTRY.values() if fit.name not in FREE_ON_PURPOSE for at in fit.positions(engine)
    }
    assert wanted - found == set()
    assert {what for what, _ in found} <= set(REGISTRY)
    assert {(what, at) for what, at in found if at not in REGISTRY[what].positions(engine)} == set()


@pytest.mark.parametrize(
    "name", ["caps, piston on its rod from above", "split, pistons alone", "bedplate, piston from below", "belt"]
)
@pytest.mark.parametrize("fit", FREE_ON_PURPOSE)
def test_a_free_fit_is_held_where_the_job_limits_it(name, fit) -> None:
    told = ENGINES[name]
    without, with_it = held(steps_for(told)), held(steps_for(limited(told, fit)))
    positions = set(REGISTRY[fit].positions(told.engine))
    if fit == "turning torque rise":
        positions = {at for at in positions if at.label != told.engine.turning_stages[0]}
    assert not [what for what, _ in without if what == fit]
    assert with_it - without == {(fit, at) for at in positions}


def test_free_fits_exist_and_have_a_reason_and_only_those_on_request_are_free() -> None:
    assert [name for name in FREE_ON_PURPOSE if name not in REGISTRY] == []
    assert all(REGISTRY[name].on_request for name in FREE_ON_PURPOSE)
    assert all(len(reason) > 10 for reason in FREE_ON_PURPOSE.values())


def test_a_fit_that_was_begun_is_held_if_anyone_gives_a_limit(harbour) -> None:
    """The first demonstration has read lands and ring springs of cylinder 2 only, and nobody limits the stress of its lands."""
    names = ("second land stress", "top ring pressure")
    assert {(what, at.label) for what, at in held(steps_for(harbour)) if what in names} == {("top ring pressure", "2")}
    unread = replace(harbour, readings=tuple(each for each in harbour.readings if "free opening" not in each.feature))
    assert not [what for what, _ in held(steps_for(unread)) if what in names]


def test_a_ring_that_is_not_in_the_set_is_not_asked_for() -> None:
    told = limited(job(), "upper rail gap", "second ring flush depth", "second land stress", "third land stress")
    rings = Part(mark="R1", kind=PartKind.RINGS, second_ring=False, oil_ring=OilRing.ONE_PIECE)
    sheet = replace(told.sheet, part=(rings,), cylinder=(CylinderParts(number=1, rings="R1"),))
    found = {what for what, at in held(steps_for(replace(told, sheet=sheet))) if at.label == "1"}
    assert (
        not {
            "second end gap",
            "second side clearance",
            "upper rail gap",
            "second ring flush depth",
            "third land stress",
        }
        & found
    )
    assert {"top end gap", "second land stress"} <= found


@pytest.mark.parametrize("name", ROUTES)
class TestWords:
    def test_every_step_says_what_to_do(self, name) -> None:
        for step in ROUTES[name].steps:
            assert step.do, step.key
            assert step.name[:1].isupper(), step.key
            assert step.group, step.key
            assert re.fullmatch(r"(mock-up|strip|final): [a-z0-9 -]+", step.key), step.key
            for line in (*step.do, *step.cautions):
                assert line.strip() == line, step.key
                assert "  " not in line, line
                assert not re.search(r"\b(None|True|False)\b|[{}]", line), line
                assert line.endswith((".", "?", "!")) or line[:1].islower(), line

    def test_what_is_asked_for_has_a_name_and_is_asked_for_once(self, name) -> None:
        for step in ROUTES[name].steps:
            assert all(each.what for each in step.evidence), step.key
            assert len(set(step.evidence)) == len(step.evidence), step.key

    def test_nothing_is_closed_that_the_engine_does_not_have(self, name) -> None:
        engine = ENGINES[name].engine
        for step in ROUTES[name].steps:
            for closed in step.closes:
                fit, _, at = closed.partition(", ")
                assert at in {str(each) for each in REGISTRY[fit].positions(engine)}, closed

    def test_what_can_no_longer_be_measured_was_held_before(self, name) -> None:
        """A step that closes a fit, or one that it needs, asks for that fit."""
        route = ROUTES[name]
        for step in route.steps:
            for closed in step.closes:
                fit, _, at = closed.partition(", ")
                holders = [
                    each.key for each in route.steps if any(e.what == fit and str(e.at) == at for e in each.evidence)
                ]
                assert holders, closed
                assert all(key == step.key or route.path(key, step.key) or fit == "rod side" for key in holders), closed


def everything(steps):
    return " ".join(
        line for step in steps for line in (*step.do, *step.facing, step.lubricant, *step.cautions, *step.torque)
    )


@pytest.mark.parametrize(
    "words",
    [
        "arrow or mark to the front", "thrust grooves to the crank", "big-end chamfer to the fillet", "numbers of rod and cap together",
        "oil holes over shell holes", "tangs of both shells", "Gap at the top or the bottom", "lip towards the oil", "scraper",
        "hot water, detergent", "Solvent alone", "oil the bores at once", "white cloth", "fore and aft", "Springs are under load", "Exhaust gas kills",
        "oil is seen at every rocker",
    ],
)  # fmt: skip
def test_what_a_machinist_looks_for_is_said(words) -> None:
    rings = Part(mark="R1", kind=PartKind.RINGS, second_face="scraper edge")
    told = job()
    sheet = replace(told.sheet, part=(rings,), cylinder=(CylinderParts(number=1, rings="R1"),))
    assert words in everything(steps_for(replace(told, sheet=sheet)))


def test_every_lubricant_says_by_whose_word() -> None:
    for name, route in ROUTES.items():
        for step in route.steps:
            if step.lubricant.startswith(("by the", "threads", "shells")):
                assert "maker's word" in step.lubricant, (name, step.key)


def test_a_bolt_makers_lubricant_goes_before_the_usual_one() -> None:
    told = steps_for(job(fasteners=[Fastener(joint=Joint.RODS, lubricant="molybdenum paste")]))
    piston = next(step for step in told if step.key == "final: piston 1")
    assert "molybdenum paste (the bolt maker's word)" in piston.lubricant


def test_where_people_get_hurt_there_is_a_caution() -> None:
    steps = {step.key: step for name in ("harbour", "hillclimb") for step in ROUTES[name].steps}
    for key, word in {
        "mock-up: crank": "Lift", "mock-up: rings 1": "cut", "strip: block": "burns", "final: piston 1 on its rod": "goggles", "final: head 1": "heavy",
        "final: cams": "Springs", "final: leak-down test": "lock", "final: mounts": "hanging", "final: first start": "Exhaust", "final: manifolds": "Fuel",
    }.items():  # fmt: skip
        assert any(word in caution for caution in steps[key].cautions), key


def test_what_nobody_said_is_taken_and_told() -> None:
    first = steps_for(job())[0]
    assert any("the camshaft is overhead" in line for line in first.do)
    assert any("pistons go in from above on the rod" in line for line in first.do)
    said = steps_for(job(assembly={"cam": "overhead", "pistons_enter": "from above on the rod"}))[0]
    assert not any("Nobody said it" in line for line in said.do)


def test_paint_marks_are_counted_where_their_number_is_known() -> None:
    told = steps_for(
        job(fasteners=[Fastener(joint=Joint.RODS, count=2), Fastener(joint=Joint.HEADS, pattern=tuple(range(1, 11)))])
    )
    marks = {step.key: [each.number for each in step.evidence if each.proof is Proof.PAINT] for step in told}
    assert marks["final: piston 1"] == [2]
    assert marks["final: rod side"] == [8]
    assert marks["final: head 1"] == [10]
    assert marks["final: main 1"] == [None]


def test_nothing_is_tightened_again_unless_its_maker_asks() -> None:
    none = next(step for step in steps_for(job()) if step.key == "final: running in")
    assert none.torque == ("no maker of this job asks for anything to be tightened again",)
    asked = job(
        fasteners=[Fastener(joint=Joint.HEADS, stages=("80 Nm",), retorque="cold, after the first heat, one by one")]
    )
    run_in = next(step for step in steps_for(asked) if step.key == "final: running in")
    assert run_in.torque == ("heads: cold, after the first heat, one by one",)


def test_a_pressed_pin_has_no_clips() -> None:
    steps = steps_for(job(pin=PinHold.PRESSED))
    words = " ".join((*everything(steps).split(), *(each.what for step in steps for each in step.evidence)))
    assert "Heat the small end" in words
    assert "clip" not in words.lower()


def test_marks_of_parts_stand_at_their_steps(harbour) -> None:
    steps = {step.key: step for step in steps_for(harbour)}
    held_in = harbour.in_cylinder(3)
    assert steps["final: piston 3"].parts == (held_in.piston, held_in.rings, held_in.rod, *held_in.shells)
    assert set(steps["final: rings on piston 3"].parts) == {held_in.rings, held_in.piston}
    assert not [mark for step in steps.values() for mark in step.parts if mark not in harbour.parts]


def test_the_key_of_a_step_does_not_hang_on_parts_or_readings(harbour) -> None:
    bare = replace(
        harbour, readings=(), passes=(), sheet=replace(harbour.sheet, part=(), cylinder=(), main=(), limit=())
    )
    assert [step.key for step in steps_for(bare)] == [step.key for step in steps_for(harbour)]


def test_facts_are_whole() -> None:
    for told in ENGINES.values():
        how = facts_of(told).how
        assert None not in (how.cam, how.pushrods, how.pistons_enter)
