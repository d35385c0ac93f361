"""The job: parts by mark, what is assigned where, and the axes of its duty."""

import pytest

from blockwright.engine.duty import Duty
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, Job, JobSheet
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind
from blockwright.engine.positions import cylinder, main

PISTONS = ("P10", "P2", "P1")


def duty(**facts):
    return Duty(power_w=1e5, at_speed_rad_s=600.0, redline_rad_s=700.0, **facts)


@pytest.fixture
def job(engine):
    parts = [Part(mark=mark, kind=PartKind.PISTON) for mark in PISTONS]
    parts += [
        Part(mark="B", kind=PartKind.BLOCK),
        *(Part(mark=mark, kind=PartKind.SHELL) for mark in ("U1", "L1", "U2")),
    ]
    sheet = JobSheet(
        format=FORMAT, job="7", engine=engine(), duty=duty(), part=tuple(parts), main=(MainParts(number=2, shells=("U1", "L1")),),
        cylinder=(CylinderParts(number=1, piston="P2"), CylinderParts(number=3, piston="P10", shells=("U2", ""))),
    )  # fmt: skip
    return Job(sheet, GaugeSheet(format=GAUGE_FORMAT))


def test_parts_by_mark_with_the_assembled_engine_among_them(job):
    assert set(job.parts) == {"engine", "P10", "P2", "P1", "B", "U1", "L1", "U2"}
    assert job.parts["engine"].kind is PartKind.ENGINE


def test_the_one_part_of_a_kind(job):
    assert (job.only(PartKind.BLOCK), job.only(PartKind.CRANK)) == ("B", "")


def test_what_is_assigned(job):
    assert job.in_cylinder(1).piston == "P2"
    assert job.in_main(2).shells == ("U1", "L1")


def test_where_nothing_is_assigned_the_marks_are_empty(job):
    assert job.in_cylinder(2) == CylinderParts(number=2)
    assert job.in_main(1) == MainParts(number=1)


@pytest.mark.parametrize(
    ("mark", "home"), [("P2", cylinder(1)), ("U2", cylinder(3)), ("L1", main(2)), ("P1", None), ("B", None), ("", None)]
)
def test_where_a_part_is_at_home(job, mark, home):
    assert job.home(mark) == home


def test_parts_of_a_kind_come_in_the_order_of_their_positions_and_spares_last(job):
    assert job.carriers(PartKind.PISTON) == (("P2", cylinder(1)), ("P10", cylinder(3)), ("P1", None))


@pytest.mark.parametrize(("boost_bar", "boosted"), [(0.0, False), (0.1, False), (0.11, True), (1.5, True)])
def test_more_than_a_token_of_boost(boost_bar, boosted):
    assert duty(boost_pa=boost_bar * 1e5).boosted == boosted


@pytest.mark.parametrize(
    ("facts", "hard"),
    [
        ({}, False), ({"full_load_share": 0.49}, False), ({"full_load_share": 0.5}, True), ({"boost_pa": 1.19e5}, False), ({"boost_pa": 1.2e5}, True),
        ({"nitrous": True}, True),
    ],
)  # fmt: skip
def test_hard_work(facts, hard):
    assert duty(**facts).hard_worked == hard
