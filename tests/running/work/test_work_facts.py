"""What a calculation rests on: given numbers stand, what is silent is assumed and said to be, and nothing given is lost."""

import math

import pytest

from blockwright.engine.at_work import MainGroove
from blockwright.engine.duty import Cooling
from blockwright.physics.oil import viscosity_index
from blockwright.running.work.facts import BY_PEAK, GIVEN, WEIGHED, facts_of
from blockwright.running.work.oil_supply import oil_of

GIVEN_NOW = {
    "compression": ("at_work", "compression_ratio", 9.3),
    "intake_closes": ("at_work", "intake_closes_rad", 0.7),
    "exhaust_opens": ("at_work", "exhaust_opens_rad", 0.8),
    "half_burnt": ("at_work", "half_burnt_rad", 0.2),
    "burn_span": ("at_work", "burn_span_rad", 0.9),
    "charge": ("at_work", "charge_c", 61.0),
    "piston_mass": ("at_work", "piston_mass_kg", 0.444),
    "rod_mass": ("at_work", "rod_mass_kg", 0.555),
    "counterweight": ("at_work", "counterweight", 0.5),
    "rod_width": ("at_work", "rod_bearing_width_m", 0.0217),
    "main_width": ("at_work", "main_bearing_width_m", 0.0231),
    "groove_width": ("at_work", "main_groove_width_m", 0.0037),
    "rod_hole": ("at_work", "oil_hole_m", 0.0055),
    "main_hole": ("at_work", "oil_hole_m", 0.0055),
    "oil_pressure": ("at_work", "oil_pressure_pa", 3.3e5),
    "spacing": ("engine", "bore_spacing_m", 0.101),
    "sink": ("duty", "coolant_c", 77.0),
    "oil": ("duty", "oil_c", 98.0),
    "boost": ("duty", "boost_pa", 0.4e5),
    "power": ("duty", "power_w", 70e3),
    "speed": ("duty", "at_speed_rad_s", 500.0),
}


@pytest.mark.parametrize("name", GIVEN_NOW)
def test_a_given_number_stands(engines, name):
    where, field, value = GIVEN_NOW[name]
    fact = facts_of(engines.reference(**{where: {field: value}}))[name]
    assert (fact.value, fact.origin, fact.assumed) == (value, GIVEN, False)


@pytest.mark.parametrize("name", [n for n, (_, field, _) in GIVEN_NOW.items() if n not in ("power", "speed", "boost")])
def test_where_nothing_is_given_it_is_assumed_and_says_on_what_ground(engines, name):
    where, field, _ = GIVEN_NOW[name]
    fact = facts_of(engines.reference(**{where: {field: None}}, part=()))[name]
    assert fact.assumed
    assert len(fact.origin) > len("assumed: ")


def test_widths_that_are_given_do_not_need_a_nominal_journal(engines):
    job = engines.reference(
        engine={"rod_journal_m": None, "main_journal_m": None},
        at_work={"rod_bearing_width_m": 0.021, "main_bearing_width_m": 0.024, "main_groove": MainGroove.ROUND},
    )
    facts = facts_of(job)
    assert (facts.value("rod_width"), facts.value("main_width")) == (0.021, 0.024)
    assert 0.0 < facts.value("groove_width") < 0.5 * 0.024
    assert facts.get("rod_hole") is None


def test_shares_of_bore_and_journal_by_hand(engines):
    """86 mm: piston 680 B³, rod 570 B² l with l 143 mm; spacing 1.15 B; rod shell .38 of 48 mm, main .36 of 56 mm."""
    facts = facts_of(engines.reference(part=()))
    assert facts.value("piston_mass") == pytest.approx(680.0 * 0.086**3)
    assert facts.value("rod_mass") == pytest.approx(570.0 * 0.086**2 * 0.143)
    assert facts.value("spacing") == pytest.approx(1.15 * 0.086)
    assert (facts.value("rod_width"), facts.value("main_width")) == pytest.approx((0.38 * 0.048, 0.36 * 0.056))
    assert 0.35 < facts.value("piston_mass") < 0.55, "some 0.43 kg at 86 mm"


def test_shares_of_the_rod_are_of_the_rod_that_is_given(engines):
    work = {"rod_mass_kg": 0.6, "rod_big_mass_kg": 0.42, "rod_cap_mass_kg": 0.15}
    facts = facts_of(engines.reference(at_work=work))
    assert (facts.value("big_share"), facts.value("cap_share")) == pytest.approx((0.7, 0.25))


def test_pistons_that_are_weighed(harbour, engines):
    """The boat's pistons are on the weigh sheet, its pins and rings are not."""
    fact = facts_of(harbour)["piston_mass"]
    masses = [part.mass_kg for part in harbour.sheet.part if part.kind == "piston"]
    assert fact.value == pytest.approx(1.4 * sum(masses) / len(masses))
    assert fact.assumed
    known = facts_of(engines.changed(harbour, at_work={"piston_mass_kg": 0.9}))["piston_mass"]
    assert (known.value, known.origin) == (0.9, GIVEN)
    assert WEIGHED != GIVEN


def test_where_the_peak_is_given_it_decides_when_it_burns(engines):
    silent = facts_of(engines.reference())["half_burnt"]
    decided = facts_of(engines.reference(duty={"peak_pressure_pa": 70e5}))["half_burnt"]
    assert silent.u > 0.0
    assert (decided.value, decided.u, decided.origin) == (silent.value, 0.0, BY_PEAK)
    assert not decided.assumed


@pytest.mark.parametrize(
    ("duty", "compression", "sink"),
    [
        ({}, 10.0, 90.0),
        ({"boost_pa": 0.8e5}, 8.8, 90.0),
        ({"fuel": "diesel"}, 17.0, 90.0),
        ({"fuel": "Diesel, boosted", "boost_pa": 1e5}, 17.0, 90.0),
        ({"cooling": Cooling.AIR}, 10.0, 45.0),
        ({"cooling": Cooling.AIR, "coolant_c": 210.0}, 10.0, 45.0),
        ({"cooling": Cooling.OIL}, 10.0, 90.0),
    ],
)
def test_what_is_assumed_goes_by_the_duty(engines, duty, compression, sink):
    facts = facts_of(engines.reference(duty=duty, at_work={"compression_ratio": None}))
    assert (facts.value("compression"), facts.value("sink")) == (compression, sink)


def test_oil_from_its_sheet_from_its_grade_or_the_usual_one(engines):
    sheet = {"oil_40_m2_s": 88e-6, "oil_100_m2_s": 13e-6, "oil_hths_pa_s": 3.9e-3}
    known = oil_of(engines.reference(at_work=sheet))
    assert [1e6 * known.line.kinematic_m2_s(t) for t in (40.0, 100.0)] == pytest.approx([88.0, 13.0], rel=1e-9)
    assert known.hths_pa_s == 3.9e-3
    graded = oil_of(engines.reference(duty={"oil_grade": "15W-40"}))
    assert 12.5 <= 1e6 * graded.line.kinematic_m2_s(100.0) < 16.3, "SAE J300: a 40"
    assert graded.hths_pa_s >= 3.7e-3, "SAE J300: a 15W-40 under shear"
    assert not oil_of(engines.reference(duty={"oil_grade": ""})).known


def test_a_viscosity_at_40_alone_is_used(engines):
    thin, thick = (oil_of(engines.reference(at_work={"oil_40_m2_s": v})) for v in (75e-6, 130e-6))
    assert 1e6 * thin.line.kinematic_m2_s(40.0) == pytest.approx(75.0, rel=1e-9)
    assert thin.line.kinematic_m2_s(100.0) == pytest.approx(thick.line.kinematic_m2_s(100.0), rel=1e-9)


def test_a_grades_line_has_the_viscosity_index_that_is_assumed(engines):
    for written, wanted in (("10W-40", 155.0), ("SAE 40", 97.0)):
        line = oil_of(engines.reference(duty={"oil_grade": written})).line
        found = viscosity_index(line.kinematic_m2_s(40.0), line.kinematic_m2_s(100.0))
        assert found == pytest.approx(wanted, abs=0.1)


def test_every_fact_can_be_drawn(engines, harbour, hillclimb):
    for job in (engines.reference(), harbour, hillclimb):
        for fact in facts_of(job).by_name.values():
            assert math.isfinite(fact.value)
            assert fact.u >= 0.0
            assert fact.words
