"""What is noticed about readings and gauges: each check fires when it should and not otherwise, in words, with the rows it speaks of."""

import datetime as dt
from dataclasses import replace

import pytest

from blockwright.engine.layout import Case
from blockwright.metrology.gauges import Sense
from blockwright.quantities import Kind

HEIGHTS = {"top": 0.010, "middle": 0.050, "bottom": 0.090}


def flags(bench, code):
    return [flag for flag in bench.assess().flags if flag.code == code]


def only(bench, code):
    [flag] = flags(bench, code)
    return flag.text, flag.mend, flag.readings


def test_a_tidy_job_has_no_flags(bench):
    bench.engine["heights"] = HEIGHTS
    bench.bore(1).read("P1", "skirt", state="bare", mm=85.950)
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, depth_m=0.03)
    assert bench.assess().flags == ()


def test_a_withdrawn_reading_raises_no_flag(bench):
    bench.read("P1", "skirt", mm=85.950, part_temp_c=None).withdraw("P1", "skirt")
    assert bench.assess().flags == ()


# ---- wrong state ------------------------------------------------------------------------------------------------------------


def test_a_bore_in_another_state_is_said_and_not_used(bench):
    text, mend, rows = only(bench.bore(1, state="plate off"), "wrong-state")
    assert (
        text == "bore of B at cylinder 1 was read with 'plate off'; it is wanted with 'plate on', so it was not used."
    )
    assert mend == "Read it again with 'plate on'; withdraw rows r1, r2, r3, r4, r5, r6 if they were a slip."
    assert rows == ("r1", "r2", "r3", "r4", "r5", "r6")


def test_a_reading_without_a_state_where_one_is_wanted(bench):
    text, mend, rows = only(bench.read("P1", "skirt", mm=85.950), "wrong-state")
    assert (
        text
        == "skirt of P1 was read and no state was written down; it is wanted with 'bare' or 'coated', so it was not used."
    )
    assert mend == "Read it again with 'bare' or 'coated'; withdraw row r1 if it was a slip."
    assert rows == ("r1",)


def test_each_place_and_state_is_a_flag_of_its_own(bench):
    bench.bore(1, state="plate off").bore(2, state="").read("C1", "big end", state="caps torqued", square=54.0)
    assert [flag.text.partition(" was read")[0] for flag in flags(bench, "wrong-state")] == [
        "bore of B at cylinder 1", "bore of B at cylinder 2", "big end of C1",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("case", "state", "wrong"),
    [
        (Case.CAPS, "caps torqued; shells in", False), (Case.CAPS, "case torqued; shells in", True),
        (Case.BEDPLATE, "caps torqued; shells in", False),
        (Case.SPLIT, "case torqued; shells in", False), (Case.SPLIT, "caps torqued; shells in", True), (Case.CAPS, "caps torqued; shells out", True),
    ],
)  # fmt: skip
def test_what_closes_the_crank_in_is_a_fact_of_the_case(bench, case, state, wrong):
    bench.engine["case"] = case
    bench.read("B", "main shelled bore", "main 1", state, square=60.050)
    assert bool(flags(bench, "wrong-state")) == wrong


@pytest.mark.parametrize(("state", "wrong"), [("", False), ("plate off", False), ("plate on", True)])
def test_an_engine_without_a_plate(bench, state, wrong):
    bench.engine["torque_plate"] = False
    assert bool(flags(bench.bore(1, state=state), "wrong-state")) == wrong


def test_a_feature_that_no_fit_needs_has_no_wrong_state(bench):
    assert not flags(bench.read("P1", "oil groove width", mm=3.0), "wrong-state")


def test_more_words_than_are_wanted_do_no_harm(bench):
    assert not flags(bench.bore(1, state="plate on; caps torqued"), "wrong-state")


# ---- repeats ----------------------------------------------------------------------------------------------------------------


@pytest.fixture
def gauged(bench):
    """A micrometer with a known spread: 1 µm with 20 degrees of freedom, steps of 1 µm."""
    return bench.gauge(id="M", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6, repeatability_dof=20)


def skirts(bench, *values, **more):
    for value in values:
        bench.read("P1", "skirt", state="bare", mm=value, gauge="M", **more)
    return bench


def test_one_of_three_that_cannot_be(gauged):
    text, mend, rows = only(skirts(gauged, 85.950, 85.951, 85.990), "improbable-repeat")
    assert text == (
        "row r3 (skirt of P1) reads 85.99 where its siblings read 85.95, 85.951: less than 1 % likely by chance (Grubbs' test)."
    )
    assert mend == "Read that spot again; withdraw the one that was a slip, with the reason."
    assert rows == ("r1", "r2", "r3")


def test_two_that_disagree(gauged):
    text, _, rows = only(skirts(gauged, 85.950, 85.980), "improbable-repeat")
    assert "where its sibling reads 85.9" in text
    assert "the critical difference of ISO 5725-6" in text
    assert rows == ("r1", "r2")


def test_the_spot_and_position_are_named(gauged):
    for value in (0.0, 0.030):
        gauged.bore(1, top=(value, 0.0), gauge="M")
    [flag] = flags(gauged, "improbable-repeat")
    assert "(bore of B at cylinder 1, top thrust) reads" in flag.text
    assert flag.readings == ("r1", "r7")


@pytest.mark.parametrize("values", [(85.950, 85.951), (85.950, 85.952, 85.951), (85.950,)])
def test_repeats_that_can_well_be(gauged, values):
    assert not flags(skirts(gauged, *values), "improbable-repeat")


@pytest.mark.parametrize(
    "other",
    [{"part_temp_c": 26.0}, {"gauge_temp_c": 26.0}, {"gauge": "M2"}, {"depth_m": 0.02}],
    ids=["warmer part", "warmer gauge", "another gauge", "another depth"],
)
def test_readings_under_other_conditions_are_no_repeats(gauged, other):
    """A skirt 6 °C warmer is 0.011 mm larger and no slip."""
    gauged.gauge(id="M2", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6, repeatability_dof=20)
    skirts(gauged, 85.950)
    gauged.read("P1", "skirt", state="bare", mm=85.961, **({"gauge": "M"} | other))
    assert not flags(gauged, "improbable-repeat")


def test_the_same_spot_on_another_day_is_still_the_same_spot(gauged):
    skirts(gauged, 85.950)
    assert flags(skirts(gauged, 85.980, sitting="two"), "improbable-repeat")


def test_once_it_is_withdrawn_it_is_quiet(gauged):
    skirts(gauged, 85.950, 85.951, 85.990)
    gauged.readings[2] = replace(gauged.readings[2], withdrawn="misread")
    assert not flags(gauged, "improbable-repeat")


# ---- temperatures -----------------------------------------------------------------------------------------------------------


def test_no_temperature_is_said_once_a_part_and_sitting(bench):
    bench.bore(1, part_temp_c=None).bore(2, part_temp_c=None, sitting="two").read(
        "P1", "skirt", state="bare", mm=85.95, part_temp_c=None
    )
    found = flags(bench, "no-temperature")
    assert [flag.text for flag in found] == [
        "no temperature was written down for B in sitting one: 20 °C give or take 5 °C is assumed.",
        "no temperature was written down for B in sitting two: 20 °C give or take 5 °C is assumed.",
        "no temperature was written down for P1 in sitting one: 20 °C give or take 5 °C is assumed.",
    ]
    assert found[0].readings == ("r1", "r2", "r3", "r4", "r5", "r6")
    assert found[0].mend == "Write part_temp in one row of the sitting; the others take it from there."


@pytest.mark.parametrize(
    ("part", "feature", "at", "wanted"),
    [("engine", "crank end float", "", False), ("K", "crank runout", "main 1", False), ("B", "tunnel step", "main 1", False),
     ("R1", "top gap", "cylinder 1", True), ("W1", "pin length", "", True)],
)  # fmt: skip
def test_a_temperature_is_asked_for_only_where_it_matters(bench, part, feature, at, wanted):
    bench.read(part, feature, at, "plate on" if feature == "top gap" else "", mm=0.1, part_temp_c=None)
    assert bool(flags(bench, "no-temperature")) == wanted


@pytest.mark.parametrize(("ring_c", "warm"), [(25.1, True), (14.9, True), (25.0, False), (20.0, False)])
def test_a_ring_that_has_not_cooled(bench, ring_c, warm):
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, part_temp_c=ring_c, bore_temp_c=20.0)
    found = flags(bench, "ring-not-cool")
    assert bool(found) == warm
    if warm:
        assert found[0].text == "1 gap was read with ring and bore more than 5 °C apart."
        assert found[0].mend == "Let the ring cool in the bore: fresh from the grinder it reads tight."
        assert found[0].readings == ("r1",)


def test_rings_that_have_not_cooled_are_counted(bench):
    for number in (1, 2):
        bench.read(f"R{number}", "top gap", f"cylinder {number}", "plate on", mm=0.4, part_temp_c=30.0)
    assert only(bench, "ring-not-cool")[0].startswith("2 gaps were read")


@pytest.mark.parametrize("unknown", ["part_temp_c", "bore_temp_c"])
def test_an_unknown_temperature_is_not_called_warm(bench, unknown):
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, **({"part_temp_c": 40.0} | {unknown: None}))
    assert not flags(bench, "ring-not-cool")


# ---- gauges -----------------------------------------------------------------------------------------------------------------

DUE = dt.date(2026, 3, 31)


@pytest.mark.parametrize(
    ("when", "late"), [(dt.date(2026, 4, 1), True), (DUE, False), (dt.date(2025, 1, 1), False), (None, False)]
)
def test_a_gauge_past_its_date(bench, when, late):
    bench.gauge(id="M", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6, due=DUE)
    bench.read("P1", "skirt", state="bare", mm=85.95, gauge="M", when=when)
    found = flags(bench, "gauge-overdue")
    assert bool(found) == late
    if late:
        assert found[0].text == "gauge M was past its due date of 2026-03-31 when 1 reading was taken with it."
        assert found[0].mend == "Have it checked; if it is found good, renew its date, else read again."
        assert found[0].readings == ("r1",)


def test_late_readings_are_counted_without_the_early_ones(bench):
    bench.gauge(id="M", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6, due=DUE)
    for month in (2, 4, 5):
        bench.read("P1", "skirt", state="bare", mm=85.95, gauge="M", when=dt.date(2026, month, 1))
    text, _, rows = only(bench, "gauge-overdue")
    assert "when 2 readings were taken with it" in text
    assert rows == ("r2", "r3")


@pytest.mark.parametrize(("size", "outside"), [(74.999, True), (75.0, False), (100.0, False), (100.001, True)])
def test_a_size_outside_the_gauges_range(bench, size, outside):
    bench.gauge(id="M", resolution_si=1e-6, certificate_si=2e-6, repeatability_si=1e-6, low_si=0.075, high_si=0.100)
    bench.read("P1", "skirt", state="bare", mm=size, gauge="M")
    found = flags(bench, "gauge-range")
    assert bool(found) == outside
    if outside:
        assert found[0].text == "row r1 (skirt of P1) lies outside the range of gauge M."
        assert found[0].mend == "Was it another gauge? Withdraw the row and write it again."
        assert found[0].readings == ("r1",)


@pytest.mark.parametrize(("set_to", "outside"), [(0.086, False), (0.0495, True)])
def test_a_comparators_range_is_held_against_the_size_and_not_the_deviation(bench, set_to, outside):
    bench.gauge(
        id="D",
        sense=Sense.DEVIATION,
        resolution_si=1e-6,
        certificate_si=2e-6,
        repeatability_si=1e-6,
        low_si=0.050,
        high_si=0.160,
    )
    bench.setting(id="S", gauge="D", size_m=set_to, master="G").bore(1, size=0.0, gauge="D", setting="S")
    assert len(flags(bench, "gauge-range")) == (6 if outside else 0)


def test_a_gauge_without_certificate_or_repeatability(bench):
    bench.gauge(id="M", resolution_si=1e-6).read("P1", "skirt", state="bare", mm=85.95, gauge="M")
    assert only(bench, "no-certificate")[:2] == (
        "gauge M has no certificate in gauges.toml: one step of its scale is assumed for its error.",
        "Write certificate and coverage from its certificate.",
    )
    assert (
        only(bench, "no-repeatability")[0] == "how well gauge M repeats is not known: one step of its scale is assumed."
    )


def test_repeats_in_the_job_itself_show_how_a_gauge_repeats(bench):
    bench.gauge(id="M", resolution_si=1e-6, certificate_si=1e-6)
    for value in (85.950, 85.951):
        bench.read("P1", "skirt", state="bare", mm=value, gauge="M")
    assert not flags(bench, "no-repeatability")


def test_gaps_at_two_depths_are_no_repeats_of_a_gauge(bench):
    bench.gauge(id="M", resolution_si=1e-6, certificate_si=1e-6)
    for depth_m in (0.02, 0.05):
        bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, gauge="M", depth_m=depth_m)
    assert flags(bench, "no-repeatability")


@pytest.mark.parametrize(
    ("known", "assumed"),
    [
        ({}, "its blades are taken as exact"),
        ({"resolution_si": 1e-5}, "one step of its scale is assumed for its error"),
    ],
)
def test_blades_want_a_certificate_but_no_repeats(bench, known, assumed):
    bench.gauge(id="F", sense=Sense.BLADES, **known)
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, gauge="F")
    assert only(bench, "no-certificate")[0] == f"gauge F has no certificate in gauges.toml: {assumed}."
    assert not flags(bench, "no-repeatability")


def test_blades_with_a_certificate_are_not_spoken_of(bench):
    bench.gauge(id="F", sense=Sense.BLADES, certificate_si=2e-6)
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.4, gauge="F")
    assert not flags(bench, "no-certificate")


# ---- a gap that is judged where it was read --------------------------------------------------------------------------------


def top_and_second(bench, **more):
    for ring in ("top", "second"):
        bench.read("R1", f"{ring} gap", "cylinder 1", "plate on", mm=0.4, **more)
    return bench


def test_a_gap_whose_bore_is_not_read_is_told(bench):
    bench.engine["heights"] = HEIGHTS
    text, mend, rows = only(top_and_second(bench, depth_m=0.03), "gap-not-carried")
    assert text == (
        "top end gap and second end gap, cylinder 1: judged where read, the bore is not read, or not at all its spots: "
        "not carried over the travel."
    )
    assert mend == "Where its bore is smaller the gap is smaller: add what is missing before the ring is trusted."
    assert rows == ("r1", "r2")


def test_a_gap_whose_bore_is_read_is_not(bench):
    bench.engine["heights"] = HEIGHTS
    assert not flags(top_and_second(bench.bore(1), depth_m=0.03), "gap-not-carried")


def test_gaps_without_a_depth_or_heights_are_told_with_the_reason(bench):
    assert "no depth written down" in only(top_and_second(bench.bore(1)), "gap-not-carried")[0]
    assert (
        "the depths at which bores are read are not given"
        in only(top_and_second(type(bench)().bore(1), depth_m=0.03), "gap-not-carried")[0]
    )


def test_a_gauge_that_was_not_used_is_not_spoken_of(bench):
    bench.gauge(id="M", resolution_si=1e-6, due=DUE).gauge(id="N", measures=Kind.TORQUE)
    assert bench.bore(1).assess().flags == ()


# ---- a spot far from its neighbours -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("above_mm", "asked"), [
    (0.000, False), (0.020, False), (0.086, True), (-0.086, True),
])  # fmt: skip
def test_a_spot_far_from_its_neighbours_is_asked_about(bench, above_mm, asked):
    """More than 25 um, and more than three times the 4 um by which its neighbours differ."""
    bench.bore(1, top=(above_mm, 0.0), middle=(0.002, 0.004))
    found = flags(bench, "spot-apart")
    assert [flag.readings for flag in found] == ([("r1",)] if asked else [])
    if asked:
        assert found[0].text.startswith("bore of B at cylinder 1, top thrust stands 0.0")
        assert "0.004 mm of each other" in found[0].text


def test_a_bore_that_is_wide_at_one_end_is_no_slip(bench):
    bench.bore(1, top=(0.050, 0.050))
    assert not flags(bench, "spot-apart")


def test_a_spot_among_neighbours_that_differ_as_much_is_no_slip(bench):
    bench.bore(1, top=(0.040, 0.0), middle=(0.014, 0.0))
    assert not flags(bench, "spot-apart")
