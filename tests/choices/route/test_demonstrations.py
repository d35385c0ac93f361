"""The routes of the demonstrations: nothing left to find out about their bolts, and every stage of turning has a limit."""

import pytest

from blockwright.choices.route.evidence import Standings
from blockwright.choices.route.step import Proof
from blockwright.fits.assessment import Standing

from .engines import ENGINES, ROUTES

DEMOS = ("harbour", "hillclimb")


@pytest.mark.parametrize("name", DEMOS)
def test_every_joint_of_the_route_has_its_torque(name) -> None:
    for step in ROUTES[name].steps:
        assert not [line for line in step.torque if "find the maker's" in line], step.key
        assert not [each for each in step.evidence if each.proof is Proof.PAINT and each.number is None], step.key


@pytest.mark.parametrize("name", DEMOS)
def test_nothing_that_was_read_is_held_without_a_limit(name) -> None:
    standings = Standings(ENGINES[name])
    held = [each for step in ROUTES[name].steps for each in step.evidence if each.proof is Proof.FIT]
    stages = [each for each in held if each.what == "turning torque"]
    assert len(stages) == len(ENGINES[name].engine.turning_stages)
    assert not [each for each in held if standings.of(each.what, each.at).standing is Standing.UNLIMITED]


def test_both_say_that_they_are_invented() -> None:
    for name in DEMOS:
        sheet = ENGINES[name].sheet
        assert sheet.invented
        assert sheet.assembly.taken(ENGINES[name].engine) == () or name == "harbour"
        assert all("invented" in told.source for told in sheet.fastener)
        assert {told.one_use for told in sheet.fastener} == {True, False}
        assert any(told.retorque for told in sheet.fastener)


def test_one_has_an_order_of_its_maker_and_one_that_is_generated_and_marked() -> None:
    for name in DEMOS:
        lines = [line for step in ROUTES[name].steps for line in step.torque]
        assert any("the maker's order" in line for line in lines)
        assert any("generated" in line and "prefer his" in line for line in lines)
