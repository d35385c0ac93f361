"""From readings to a size: senses of gauges, intervals, temperatures, settings, certificates. Expected values are worked out by hand."""

import math

import pytest

from blockwright.metrology.estimate import Cause, Share, Source
from blockwright.metrology.evaluate import Expansion, Shop, Spot, Thermal, evaluate, indicated
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread
from blockwright.metrology.verdict import chances

ROOT3 = math.sqrt(3.0)
ALUMINIUM = Expansion("aluminium", 22e-6, 0.6e-6)
IRON = Expansion("iron", 11e-6, 0.5e-6)
AS_READ = Spot(Thermal.NONE, ALUMINIUM)
WARM = Spot(Thermal.SIZE, ALUMINIUM)

GAUGES = {
    gauge.id: gauge
    for gauge in (
        Gauge(id="MIC", resolution_si=1e-6, certificate_si=3e-6, coverage=2.0),
        Gauge(id="BORE", sense=Sense.DEVIATION, resolution_si=2e-6, certificate_si=2e-6),
        Gauge(id="TURNED", sense=Sense.BACKWARDS, resolution_si=2e-6, certificate_si=2e-6),
        Gauge(id="LEAVES", sense=Sense.BLADES, resolution_si=50e-6),
        Gauge(id="BARE", resolution_si=10e-6),
    )
}
SETTINGS = {
    setting.id: setting
    for setting in (
        Setting(id="S1", gauge="BORE", size_m=0.086, master="MIC"),
        Setting(id="S2", gauge="BORE", size_m=0.086, master="MIC", repeatability_m=4e-6, master_temp_c=21.0),
        Setting(id="T1", gauge="TURNED", size_m=0.086, master="MIC"),
    )
}
SPREADS = {
    "MIC": Spread(1e-6, 12.0, "study"),
    "BORE": Spread(1.5e-6, 6.0, "study"),
    "TURNED": Spread(1.5e-6, 6.0, "study"),
    "LEAVES": Spread(0.0, math.inf, "between blades"),
    "BARE": Spread(10e-6, math.inf, "not known: one step of the scale assumed"),
}
SHOP = Shop(GAUGES, SETTINGS, SPREADS)


def row(value_m, gauge, to_m=None, **more):
    given = {"id": "1", "part": "B", "feature": "bore", "at": "1", "spot": "top thrust", "gauge": gauge} | more
    return Reading(low_si=value_m, high_si=value_m if to_m is None else to_m, **given)


def estimate(*readings, spot=AS_READ, shop=SHOP):
    return evaluate(readings, spot, shop).estimate


def share(found, cause, owner=None):
    """The one share of a cause."""
    (only,) = [part for source, part in found.shares.items() if source.cause is cause and owner in (None, source.owner)]
    return only


def causes(found):
    return {source.cause for source, _ in found.budget}


def test_a_needle_that_turns_backwards_takes_away():
    """On a setting of 86.000, twelve hundredths up: 86.012 on a plain comparator, 85.988 where the needle falls as the bore grows."""
    plain, backwards = row(12e-6, "BORE", setting="S1"), row(12e-6, "TURNED", setting="T1")
    assert indicated(plain, SHOP) == estimate(plain).value == pytest.approx(0.086012, rel=1e-15)
    assert indicated(backwards, SHOP) == estimate(backwards).value == pytest.approx(0.085988, rel=1e-15)
    assert estimate(plain).u == pytest.approx(estimate(backwards).u, rel=1e-12)


def test_a_gauge_that_shows_the_size_takes_no_setting():
    assert indicated(row(0.0859, "MIC", setting="S1"), SHOP) == 0.0859
    assert Cause.SETTING not in causes(estimate(row(0.0859, "MIC", setting="S1")))


def test_a_comparator_without_a_setting_shows_a_difference():
    """End float by a dial: the travel of the needle is the float itself."""
    assert estimate(row(0.12e-3, "BORE", feature="end float")).value == 0.12e-3


def test_between_two_blades_is_an_interval():
    """0.40 goes, 0.45 does not: 0.425, half-width 0.025, flat; nothing is left of it below 0.40 or above 0.45."""
    gap = estimate(row(0.40e-3, "LEAVES", 0.45e-3))
    assert gap.value == pytest.approx(0.425e-3, rel=1e-12)
    assert share(gap, Cause.INTERVAL) == Share(pytest.approx(0.025e-3 / ROOT3, rel=1e-12), math.inf, True)
    assert Cause.REPEATABILITY not in causes(gap)
    assert Cause.RESOLUTION not in causes(gap)
    without_certificate = gap.with_scaled(0.0, Cause.CALIBRATION)
    chance = chances(without_certificate, 0.40e-3, 0.44e-3)
    assert (chance.below, chance.inside, chance.above) == pytest.approx((0.0, 0.8, 0.2), abs=1e-9)


def test_trying_the_same_blades_again_narrows_nothing():
    again = [row(0.40e-3, "LEAVES", 0.45e-3, id=str(number)) for number in range(4)]
    assert share(estimate(*again), Cause.INTERVAL).u == pytest.approx(0.025e-3 / ROOT3, rel=1e-12)


def test_one_blade_alone_is_not_exact():
    """Only "0.40" written down: half a step between leaves, as for any scale."""
    assert share(estimate(row(0.40e-3, "LEAVES")), Cause.RESOLUTION).u == pytest.approx(25e-6 / ROOT3, rel=1e-12)


def test_an_interval_on_another_gauge_keeps_its_width():
    """The width of a squeezed strip between two marks is read on a scale, and is an interval all the same."""
    strip = estimate(row(38e-6, "MIC", 51e-6))
    assert share(strip, Cause.INTERVAL).u == pytest.approx(6.5e-6 / ROOT3, rel=1e-12)
    assert share(strip, Cause.REPEATABILITY).u == 1e-6
    assert Cause.RESOLUTION not in causes(strip)


def test_repeats_shrink_the_repeatability_only():
    one = estimate(row(0.0859, "MIC"))
    four = estimate(*(row(0.0859, "MIC", id=str(number)) for number in range(4)))
    assert share(one, Cause.REPEATABILITY) == Share(1e-6, 12.0, pool="repeats of MIC")
    assert share(four, Cause.REPEATABILITY).u == pytest.approx(0.5e-6, rel=1e-12)
    for cause, u in ((Cause.RESOLUTION, 0.5e-6 / ROOT3), (Cause.CALIBRATION, 1.5e-6)):
        assert share(one, cause).u == share(four, cause).u == pytest.approx(u, rel=1e-12)


def test_repeats_are_averaged():
    readings = [row(value, "MIC", id=str(number)) for number, value in enumerate((0.085998, 0.086001, 0.086004))]
    assert estimate(*readings).value == pytest.approx(0.086001, rel=1e-15)


def test_repeats_that_cannot_both_be_right_widen_by_half_their_distance():
    """2.5 and 20 µm apart by a micrometer that repeats to 1 µm: the first may be (critical distance 4.3 µm), the second may not."""
    near, far = (estimate(row(0.086, "MIC"), row(0.086 + apart, "MIC", id="2")) for apart in (2.5e-6, 20e-6))
    assert Cause.DISAGREEMENT not in causes(near)
    assert share(far, Cause.DISAGREEMENT) == Share(pytest.approx(10e-6, rel=1e-6))


def test_blades_that_exclude_each_other_widen_by_half_their_distance():
    """0.20 to 0.25 and 0.50 to 0.55: middles 0.30 mm apart."""
    gap = estimate(row(0.20e-3, "LEAVES", 0.25e-3), row(0.50e-3, "LEAVES", 0.55e-3, id="2"))
    assert gap.value == pytest.approx(0.375e-3, rel=1e-12)
    assert share(gap, Cause.DISAGREEMENT) == Share(pytest.approx(0.15e-3, rel=1e-9))
    neighbours = estimate(row(0.20e-3, "LEAVES", 0.25e-3), row(0.25e-3, "LEAVES", 0.30e-3, id="2"))
    assert Cause.DISAGREEMENT not in causes(neighbours)


def test_readings_at_two_depths_are_not_held_against_each_other():
    deep = estimate(
        row(0.20e-3, "LEAVES", 0.25e-3, depth_m=0.02), row(0.50e-3, "LEAVES", 0.55e-3, id="2", depth_m=0.09)
    )
    assert Cause.DISAGREEMENT not in causes(deep)


def test_two_gauges_that_differ_by_more_than_they_may_widen_the_size():
    """40 µm apart, 1.9 µm and 11 µm standard uncertainty: no; 100 µm: yes, by the scatter of a weighted mean of two, sqrt(w1 w2) / (w1 + w2) x distance."""
    near, far = (estimate(row(0.086, "MIC"), row(0.086 + apart, "BARE", id="2")) for apart in (20e-6, 100e-6))
    assert Cause.DISAGREEMENT not in causes(near)
    one, other = (1.0 / estimate(row(0.086, gauge)).u ** 2 for gauge in ("MIC", "BARE"))
    assert share(far, Cause.DISAGREEMENT).u == pytest.approx(math.sqrt(one * other) / (one + other) * 100e-6, rel=1e-6)


def test_a_setting_carries_the_act_the_master_and_its_step():
    found = estimate(row(12e-6, "BORE", setting="S1"))
    assert share(found, Cause.SETTING) == Share(1.5e-6, 6.0, pool="repeats of BORE")
    assert share(found, Cause.CALIBRATION, "MIC").u == 1.5e-6
    assert share(found, Cause.CALIBRATION, "BORE").u == 1e-6
    assert share(found, Cause.RESOLUTION, "setting S1").u == pytest.approx(0.5e-6 / ROOT3, rel=1e-12)
    given = estimate(row(12e-6, "BORE", setting="S2"))
    assert share(given, Cause.SETTING) == Share(4e-6)


def test_a_missing_certificate_costs_one_step():
    assert share(estimate(row(0.086, "BARE")), Cause.CALIBRATION).u == 10e-6
    assert share(estimate(row(0.086, "MIC")), Cause.CALIBRATION).u == 1.5e-6


def test_a_missing_temperature_widens_and_does_not_move():
    """86 mm of aluminium, 20 °C give or take 5, and the steel gauge as warm as it, give or take 2.

    What the part's temperature is off, gauge and part share: 86e-3 (22 - 11.5)e-6 x 5 / sqrt 3 = 2.61 µm.
    """
    unknown, known = (
        estimate(row(0.086, "MIC"), spot=WARM),
        estimate(row(0.086, "MIC", part_temp_c=20.0, gauge_temp_c=20.0), spot=WARM),
    )
    assert unknown.value == known.value == 0.086
    assert abs(share(unknown, Cause.PART_TEMPERATURE).u) == pytest.approx(0.086 * 10.5e-6 * 5 / ROOT3, rel=1e-12)
    assert abs(share(unknown, Cause.GAUGE_TEMPERATURE).u) == pytest.approx(0.086 * 11.5e-6 * 2 / ROOT3, rel=1e-12)
    assert abs(share(known, Cause.PART_TEMPERATURE).u) == pytest.approx(0.086 * 22e-6 * 1 / ROOT3, rel=1e-12)
    assert abs(share(known, Cause.GAUGE_TEMPERATURE).u) == pytest.approx(0.086 * 11.5e-6 * 1 / ROOT3, rel=1e-12)
    assert all(part.flat for source, part in unknown.shares.items() if "temperature" in source.cause)
    assert unknown.u > known.u


def test_a_gauge_without_a_temperature_is_as_warm_as_the_part():
    """At 25 °C only the difference of the coefficients counts: 86e-3 (11.5 - 22)e-6 x 5."""
    found = evaluate([row(0.086, "MIC", part_temp_c=25.0)], WARM, SHOP)
    assert found.estimate.value - 0.086 == pytest.approx(-0.086 * 10.5e-6 * 5, rel=1e-9)
    assert [(step.text, step.amount) for step in found.corrections] == [("to 20 °C", found.estimate.value - 0.086)]


def test_the_master_counts_for_a_comparator_not_the_gauge():
    """Part at 25 °C, master at 21 °C: 86e-3 (11.5e-6 x 1 - 22e-6 x 5)."""
    found = estimate(row(0.0, "BORE", setting="S2", part_temp_c=25.0, gauge_temp_c=40.0), spot=WARM)
    assert found.value - 0.086 == pytest.approx(0.086 * (11.5e-6 - 110e-6), rel=1e-9)


def test_uncertain_coefficients_count_where_the_part_is_not_at_20():
    warm = estimate(row(0.086, "MIC", part_temp_c=30.0, gauge_temp_c=20.0), spot=WARM)
    assert abs(share(warm, Cause.EXPANSION, "aluminium").u) == pytest.approx(0.086 * 10 * 0.6e-6, rel=1e-9)
    assert share(warm, Cause.EXPANSION, "gauge MIC").u == 0.0


def test_an_end_gap_answers_to_ring_and_bore():
    """pi 86e-3 (11e-6 x 10 of the ring less 11e-6 x 4 of the bore) is added; like coefficients share their error."""
    gap = Spot(Thermal.GAP, IRON, IRON, 0.086)
    found = estimate(row(0.40e-3, "LEAVES", 0.45e-3, part_temp_c=30.0, bore_temp_c=24.0), spot=gap)
    assert found.value - 0.425e-3 == pytest.approx(math.pi * 0.086 * 11e-6 * 6, rel=1e-9)
    assert abs(share(found, Cause.EXPANSION, "iron").u) == pytest.approx(math.pi * 0.086 * 6 * 0.5e-6, rel=1e-9)
    assert [source.owner for source in found.shares if source.cause is Cause.PART_TEMPERATURE] == ["/bore 1", "/B"]


def test_two_settings_are_weighted_by_what_they_are_worth():
    """Inverse variances; the comparator's and master's certificates stay whole, since the settings share them."""
    first, second = row(10e-6, "BORE", setting="S1", id="1"), row(16e-6, "BORE", setting="S2", id="2")
    both = evaluate([second, first], AS_READ, SHOP)
    weights = [1 / estimate(reading).u ** 2 for reading in (first, second)]
    mine = weights[0] / sum(weights)
    assert 0.5 < mine < 1.0
    assert both.estimate.value == pytest.approx(0.086 + mine * 10e-6 + (1 - mine) * 16e-6, rel=1e-12)
    assert both.readings == (first, second)
    lines = dict(both.estimate.budget)
    certificates = {source.owner: part.u for source, part in lines.items() if source.cause is Cause.CALIBRATION}
    assert certificates == pytest.approx({"MIC": 1.5e-6, "BORE": 1e-6}, rel=1e-9)
    acts = {source.owner: part.u for source, part in lines.items() if source.cause is Cause.SETTING}
    assert acts == pytest.approx({"S1": mine * 1.5e-6, "S2": (1 - mine) * 4e-6}, rel=1e-9)


def test_spots_read_with_one_gauge_rest_on_one_estimate_of_its_spread():
    """Two bores on one gauge whose spread has 6 degrees of freedom: their difference has 6 from it, not 12."""
    one, other = (estimate(row(value, "BORE", setting="S1", at=at)) for at, value in (("1", 12e-6), ("2", 15e-6)))
    repeats_only = (one - other).with_scaled(0.0, *(cause for cause in Cause if cause is not Cause.REPEATABILITY))
    assert repeats_only.u == pytest.approx(1.5e-6 * math.sqrt(2), rel=1e-12)
    assert repeats_only.dof == pytest.approx(6.0, rel=1e-12)


def test_two_gauges_bring_two_estimates_of_spread():
    """Welch-Satterthwaite by hand: (1 + 2.25)^2 / (1/12 + 2.25^2/6)."""
    repeats = [
        estimate(reading).with_scaled(0.0, *(cause for cause in Cause if cause is not Cause.REPEATABILITY))
        for reading in (row(0.0859, "MIC"), row(12e-6, "BORE", setting="S1"))
    ]
    assert (repeats[1] - repeats[0]).dof == pytest.approx(3.25**2 / (1 / 12 + 2.25**2 / 6), rel=1e-12)


def test_readings_in_another_state_are_other_readings():
    """What the plate does to a bore: both readings' own repeatability stays in the difference."""
    off, on = (
        estimate(row(value, "BORE", setting="S1", state=frozenset(state)))
        for value, state in ((12e-6, ()), (5e-6, ("plate",)))
    )
    left = (off - on).budget
    assert sum(source.cause is Cause.REPEATABILITY for source, _ in left) == 2
    assert not any(source.cause in (Cause.SETTING, Cause.CALIBRATION) for source, _ in left)


def test_calibration_is_placed_at_the_size_it_was_used_at():
    found = estimate(row(12e-6, "BORE", setting="S1"))
    places = {source.owner: source.size_m for source in found.shares if source.cause is Cause.CALIBRATION}
    assert places == {"BORE": pytest.approx(0.086012, rel=1e-12), "MIC": 0.086}
    assert Source(Cause.CALIBRATION, "MIC", 0.086) in dict(found.budget)
