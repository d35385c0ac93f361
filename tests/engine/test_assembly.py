"""How an engine goes together: what follows from the rest, and what contradicts itself."""

import math

import pytest

from blockwright.engine.assembly import Assembly, CamPlace, Drive, PistonWay, RearSeal
from blockwright.engine.fasteners import Fastener, Joint
from blockwright.engine.layout import Case, Entering, Layout, PinHold

SPLIT = {"layout": Layout.FLAT, "cylinders": 4, "case": Case.SPLIT}


@pytest.mark.parametrize(
    ("facts", "way"),
    [
        ({}, PistonWay.ABOVE),
        ({"case": Case.BEDPLATE}, PistonWay.ABOVE),
        (SPLIT, PistonWay.ALONE),
        ({"pistons": Entering.BEFORE}, PistonWay.BELOW),
        (SPLIT | {"pistons": Entering.BEFORE}, PistonWay.BELOW),
    ],
)
def test_how_pistons_enter_follows_from_the_case(engine, facts, way) -> None:
    assert Assembly().of(engine(**facts)).pistons_enter is way


@pytest.mark.parametrize(
    ("told", "facts", "cam", "pushrods"),
    [
        ({}, {}, CamPlace.OVERHEAD, False),
        ({"pushrods": True}, {}, CamPlace.BLOCK, True),
        ({"pushrods": True}, SPLIT, CamPlace.CASE, True),
        ({"cam": CamPlace.BLOCK}, {}, CamPlace.BLOCK, True),
        ({"cam": CamPlace.BLOCK, "pushrods": False}, {}, CamPlace.BLOCK, False),
    ],
)
def test_where_the_cam_lies_follows_from_the_pushrods_and_the_other_way_round(
    engine, told, facts, cam, pushrods
) -> None:
    full = Assembly(**told).of(engine(**facts))
    assert (full.cam, full.pushrods) == (cam, pushrods)


def test_what_is_said_is_kept(engine) -> None:
    told = Assembly(cam=CamPlace.OVERHEAD, pistons_enter=PistonWay.BARREL)
    assert told.of(engine(**SPLIT)).pistons_enter is PistonWay.BARREL
    assert told.taken(engine(**SPLIT)) == ()
    assert len(Assembly().taken(engine())) == 2


@pytest.mark.parametrize(
    ("told", "facts", "field"),
    [
        ({"pistons_enter": PistonWay.BELOW}, {}, "pistons_enter"),
        ({"pistons_enter": PistonWay.ABOVE}, {"pistons": Entering.BEFORE}, "pistons_enter"),
        ({"pistons_enter": PistonWay.ABOVE}, SPLIT, "pistons_enter"),
        ({"pistons_enter": PistonWay.ALONE}, SPLIT | {"pin": PinHold.PRESSED}, "pistons_enter"),
        ({"cam": CamPlace.CASE}, {}, "cam"),
        ({"cam": CamPlace.BLOCK}, SPLIT, "cam"),
        ({"cam": CamPlace.OVERHEAD, "pushrods": True}, {}, "pushrods"),
        ({"cam": CamPlace.BLOCK, "cam_drive": Drive.BELT}, {}, "cam_drive"),
        ({"pushrods": True, "cam_drive": Drive.BELT}, {}, "cam_drive"),
        ({"thrust_main": 6}, {}, "thrust_main"),
        ({"thrust_main": 0}, {}, "thrust_main"),
        ({"one_angle": (1, 5)}, {}, "one_angle"),
        ({"one_angle": (2, 2)}, {}, "one_angle"),
        ({"pump_inside": True}, {}, "pump_inside"),
        ({"case_o_rings": True}, {}, "case_o_rings"),
        ({"rear_cover": True, "rear_seal": RearSeal.HALVES}, {}, "rear_seal"),
    ],
)
def test_contradictions(engine, told, facts, field) -> None:
    problems = Assembly(**told).faults(engine(**{"cylinders": 4} | facts))
    assert [problem.place.field for problem in problems] == [f"assembly.{field}"]
    assert problems[0].mend == f"Mend {field} in [assembly]."


@pytest.mark.parametrize("facts", [{}, SPLIT, {"case": Case.BEDPLATE}, {"pistons": Entering.BEFORE}])
def test_nothing_said_is_no_contradiction(engine, facts) -> None:
    assert Assembly().faults(engine(**facts)) == ()
    assert Assembly().of(engine(**facts)).faults(engine(**facts)) == ()


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"count": 0}, "count"),
        ({"count": 65}, "count"),
        ({"pattern": (1, 2, 2)}, "pattern"),
        ({"pattern": (2, 3, 4)}, "pattern"),
        ({"pattern": (1, 2, 3), "count": 4}, "pattern"),
        ({"rows": 0}, "rows"),
    ],
)
def test_contradictions_of_a_fastener(told, field) -> None:
    assert [each.place.field for each in Fastener(joint=Joint.HEADS, **told).faults()] == [f"fastener.{field}"]


def test_a_sound_fastener() -> None:
    told = Fastener(joint=Joint.HEADS, count=3, pattern=(2, 1, 3), angle_rad=math.pi / 2)
    assert told.faults() == ()
