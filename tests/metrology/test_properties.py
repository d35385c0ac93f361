"""What must hold for all estimates: shared errors cancel and nothing else does, order is nothing; two other calculators agree."""

import math

import pytest
from GTC import dof as gtc_dof
from GTC import uncertainty as gtc_uncertainty
from GTC import ureal
from hypothesis import assume, given
from hypothesis import strategies as st
from uncertainties import ufloat

from blockwright.metrology.estimate import SAME_SIZE_M, Cause, Estimate, Share, Source, combine, mean
from blockwright.metrology.evaluate import Expansion, Shop, Spot, Thermal, evaluate
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.metrology.repeats import Spread

UM = 1e-6
IRON = Expansion("iron", 11e-6, 0.5e-6)
AS_READ, WARM = Spot(Thermal.NONE, IRON), Spot(Thermal.SIZE, IRON)
SHOP = Shop(
    {
        "MIC": Gauge(id="MIC", resolution_si=1 * UM, certificate_si=3 * UM),
        "MIC2": Gauge(id="MIC2", resolution_si=1 * UM, certificate_si=3 * UM),
        "BORE": Gauge(id="BORE", sense=Sense.DEVIATION, resolution_si=1 * UM, certificate_si=2 * UM),
    },
    {name: Setting(id=name, gauge="BORE", size_m=0.086, master="MIC", master_temp_c=21.0) for name in ("S1", "S2")},
    {name: Spread(1.2 * UM, 8.0, "study") for name in ("MIC", "MIC2", "BORE")},
)


def row(value_m, gauge, **more):
    given_cells = {
        "id": "1",
        "part": "BLOCK",
        "feature": "bore",
        "at": "1",
        "spot": "top thrust",
        "sitting": "a",
        "part_temp_c": 22.0,
    } | more
    return Reading(low_si=value_m, high_si=value_m, gauge=gauge, **given_cells)


def read(value_m, gauge, kind=AS_READ, **more):
    return evaluate([row(value_m, gauge, **more)], kind, SHOP).estimate


def skirt(value_m, gauge="MIC"):
    return read(value_m, gauge, part="P1", feature="skirt", at="", spot="")


def left_in(difference):
    """Cause and owner of every line of a budget; the owner of a reading's own error cut to its position."""
    return sorted(
        (source.cause, source.owner.split("/")[2] if "/" in source.owner else source.owner)
        for source, _ in difference.budget
    )


OWN_OF_TWO_BORES = [
    (Cause.REPEATABILITY, "1"),
    (Cause.REPEATABILITY, "2"),
    (Cause.RESOLUTION, "1"),
    (Cause.RESOLUTION, "2"),
]
deviations = st.floats(-300 * UM, 300 * UM)


# ---- what readings share, cancels; nothing else does ------------------------------------------------------------------------


@given(deviations, deviations)
def test_two_bores_on_one_setting_share_all_but_their_own_readings(first, second):
    difference = read(first, "BORE", setting="S1") - read(second, "BORE", setting="S1", at="2")
    assert left_in(difference) == OWN_OF_TWO_BORES


@given(deviations, deviations)
def test_setting_again_on_the_same_master_shares_only_the_certificates(first, second):
    difference = read(first, "BORE", setting="S1") - read(second, "BORE", setting="S2", at="2")
    acts = [(Cause.SETTING, name) for name in ("S1", "S2")] + [
        (Cause.RESOLUTION, f"setting {name}") for name in ("S1", "S2")
    ]
    assert left_in(difference) == sorted(OWN_OF_TWO_BORES + acts)


BORE_LESS_SKIRT = [
    (Cause.CALIBRATION, "BORE"), (Cause.REPEATABILITY, ""), (Cause.REPEATABILITY, "1"),
    (Cause.RESOLUTION, ""), (Cause.RESOLUTION, "1"), (Cause.RESOLUTION, "setting S1"), (Cause.SETTING, "S1"),
]  # fmt: skip


@given(deviations, st.floats(-0.9e-3, 0.9e-3))
def test_a_skirt_on_the_master_micrometer_loses_its_calibration_only(up, smaller):
    clearance = read(up, "BORE", setting="S1") - skirt(0.086 - smaller)
    assert left_in(clearance) == sorted(BORE_LESS_SKIRT)


@given(deviations, st.floats(-0.9e-3, 0.9e-3))
def test_a_skirt_on_another_micrometer_keeps_both_calibrations(up, smaller):
    clearance = read(up, "BORE", setting="S1") - skirt(0.086 - smaller, "MIC2")
    assert left_in(clearance) == sorted([*BORE_LESS_SKIRT, (Cause.CALIBRATION, "MIC"), (Cause.CALIBRATION, "MIC2")])


@given(deviations, st.floats(1.001e-3, 30e-3) | st.floats(-30e-3, -1.001e-3))
def test_calibrations_more_than_a_millimetre_apart_do_not_cancel(up, smaller):
    clearance = read(up, "BORE", setting="S1") - skirt(0.086 - smaller)
    calibrations = [
        share.u for source, share in clearance.budget if source == (Cause.CALIBRATION, "MIC", source.size_m)
    ]
    assert sorted(calibrations) == [-1.5 * UM, 1.5 * UM]


@given(deviations, deviations)
def test_what_cancels_in_a_difference_adds_up_in_a_sum(first, second):
    total = read(first, "BORE", setting="S1") + read(second, "BORE", setting="S1", at="2")
    lines = {source: share.u for source, share in total.budget}
    assert lines[Source(Cause.SETTING, "S1")] == pytest.approx(2.4 * UM, rel=1e-12)
    assert lines[Source(Cause.CALIBRATION, "MIC", 0.086)] == pytest.approx(3 * UM, rel=1e-12)


@given(deviations, deviations)
def test_temperatures_of_one_master_and_block_all_but_cancel_between_its_bores(first, second):
    """They multiply lengths that differ by half a millimetre at most, so 1 % of them may stay."""
    one, other = read(first, "BORE", WARM, setting="S1"), read(second, "BORE", WARM, setting="S1", at="2")
    thermal = (Cause.PART_TEMPERATURE, Cause.GAUGE_TEMPERATURE, Cause.EXPANSION)
    alone = {source: abs(share.u) for source, share in one.shares.items() if source.cause in thermal}
    left = {source: abs(share.u) for source, share in (one - other).shares.items() if source.cause in thermal}
    assert left.keys() == alone.keys()
    assert all(left[source] <= 0.01 * alone[source] for source in alone)


@given(st.floats(0.51e-3, 0.99e-3), st.floats(0.51e-3, 0.99e-3), st.floats(-1e-3, 1e-3))
def test_sizes_in_between_do_not_join_what_lies_apart(first_gap, second_gap, factor):
    """Three sizes, the outer two more than 1 mm apart: a little of the middle one must not make the outer ones one error."""
    assert first_gap + second_gap > SAME_SIZE_M
    outer, middle, far = (
        Estimate(0.0, {Source(Cause.CALIBRATION, "MIC", size): Share(UM)})
        for size in (0.08, 0.08 + first_gap, 0.08 + first_gap + second_gap)
    )
    difference = combine([(1.0, far), (-1.0, outer), (factor, middle)])
    assert difference.u == pytest.approx(math.sqrt(2) * UM, rel=2e-3)


# ---- other calculators ------------------------------------------------------------------------------------------------------


@st.composite
def networks(draw):
    """Independent errors, estimates made of them, and factors: (u, dof) by error, rows of sensitivities, factors."""
    sources, estimates = draw(st.integers(1, 5)), draw(st.integers(1, 4))
    uncertainty = st.floats(0.1, 10.0)
    errors = draw(
        st.lists(
            st.tuples(uncertainty, st.sampled_from([1.0, 2.0, 4.0, 9.0, 50.0, math.inf])),
            min_size=sources,
            max_size=sources,
        )
    )
    sensitivity = st.floats(-3.0, 3.0)
    rows = draw(
        st.lists(st.lists(sensitivity, min_size=sources, max_size=sources), min_size=estimates, max_size=estimates)
    )
    return errors, rows, draw(st.lists(sensitivity, min_size=estimates, max_size=estimates))


@given(networks())
def test_sums_agree_with_two_other_calculators(network):
    """Combined uncertainty with GTC and with uncertainties, effective degrees of freedom with GTC. Errors are of the order of 1 here."""
    errors, rows, factors = network
    ours = [
        Estimate(
            1.0,
            {
                Source(Cause.MODEL, str(k)): Share(c * u, dof)
                for k, (c, (u, dof)) in enumerate(zip(cells, errors, strict=True))
            },
        )
        for cells in rows
    ]
    total = combine(zip(factors, ours, strict=True))
    inputs = [ureal(0.0, u, dof) for u, dof in errors]
    theirs = sum(
        factor * sum(c * x for c, x in zip(cells, inputs, strict=True))
        for factor, cells in zip(factors, rows, strict=True)
    )
    third = [ufloat(0.0, u) for u, _ in errors]
    others = sum(
        factor * sum(c * x for c, x in zip(cells, third, strict=True))
        for factor, cells in zip(factors, rows, strict=True)
    )
    assert total.u == pytest.approx(others.std_dev, rel=1e-9, abs=1e-12)
    assert total.u == pytest.approx(gtc_uncertainty(theirs), rel=1e-9, abs=1e-12)
    assume(total.u > 1e-6)
    assert total.dof == pytest.approx(gtc_dof(theirs), rel=1e-6)


@given(st.lists(st.floats(0.1, 3.0), min_size=1, max_size=8), st.integers(1, 30))
def test_errors_that_rest_on_one_estimate_have_its_degrees_of_freedom(sizes, dof):
    parts = [
        Estimate(0.0, {Source(Cause.REPEATABILITY, str(k)): Share(u, dof, pool="one study")})
        for k, u in enumerate(sizes)
    ]
    assert mean(parts).dof == pytest.approx(dof, rel=1e-12)
    apart = [Estimate(0.0, {Source(Cause.REPEATABILITY, str(k)): Share(u, dof)}) for k, u in enumerate(sizes)]
    assert mean(apart).dof >= dof * (1 - 1e-12)


# ---- order ------------------------------------------------------------------------------------------------------------------


@given(st.permutations(range(7)))
def test_the_order_of_rows_changes_nothing(order):
    rows = [
        row(7 * UM, "BORE", id="1", setting="S1"),
        row(9 * UM, "BORE", id="2", setting="S1", sitting="b", part_temp_c=24.0),
        row(3 * UM, "BORE", id="3", setting="S2"),
        row(0.0860071, "MIC", id="4", gauge_temp_c=21.0),
        row(0.0860083, "MIC", id="5", part_temp_c=None),
        row(0.0860033, "MIC2", id="6"),
        row(8 * UM, "BORE", id="7", setting="S1", sitting="b"),
    ]
    assert evaluate([rows[place] for place in order], WARM, SHOP) == evaluate(rows, WARM, SHOP)
