"""Wall clearance: which spot governs, in which state, and what never serves in its place."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.fits.assessment import Standing

MM = 1e-3
PM = 1e-9
"""A picometre in mm: rounding of floats, against clearances of hundredths."""
HEIGHTS = {"top": 0.010, "middle": 0.050, "bottom": 0.090}
BARE = ("wall clearance", "cylinder 1")
COATED = ("coated wall clearance", "cylinder 1")


@pytest.fixture
def travelled(bench):
    """Heights at 10, 50 and 90 mm; the skirt runs from 30 (its top at TDC) to 20 + 80 = 100 mm: the top spot lies outside."""
    bench.engine |= {"heights": HEIGHTS, "skirt_top_m": 0.030, "skirt_bottom_m": 0.060, "stroke_m": 0.040}
    return bench.read("P1", "skirt", state="bare", mm=85.990)


def test_a_smaller_spot_outside_the_skirts_travel_does_not_govern(travelled):
    travelled.bore(1, top=(0.010, 0.010), middle=(0.050, 0.0), bottom=(0.040, 0.0))
    result = travelled.judge(*BARE)
    assert result.estimate.value == pytest.approx(
        0.050 * MM, rel=1e-9
    )  # bottom 86.040 - 85.990, not top 86.010 - 85.990
    assert result.found.governs == "bottom of the bore, along the thrust axis"
    assert result.found.notes == ("top lies outside the skirt's travel",)


def test_every_height_counts_where_the_travel_is_not_given(travelled):
    del travelled.engine["skirt_top_m"]
    travelled.bore(1, top=(0.010, 0.010), middle=(0.050, 0.0), bottom=(0.040, 0.0))
    result = travelled.judge(*BARE)
    assert result.estimate.value == pytest.approx(0.020 * MM, rel=1e-9)  # 86.010 - 85.990
    assert result.found.notes == ("the skirt's travel is not given, so every height counts",)


def test_every_height_counts_where_none_lies_in_the_travel(travelled):
    travelled.engine |= {"skirt_top_m": 0.051, "skirt_bottom_m": 0.052, "stroke_m": 0.030}
    travelled.bore(1, top=(0.010, 0.010), middle=(0.050, 0.0), bottom=(0.040, 0.0))
    result = travelled.judge(*BARE)
    assert result.estimate.value == pytest.approx(0.020 * MM, rel=1e-9)
    assert result.found.notes == ("no height that was read lies in the skirt's travel, so every height counts",)


def test_a_spot_at_the_very_edge_of_the_travel_counts(travelled):
    travelled.engine["skirt_top_m"] = 0.010
    travelled.bore(1, top=(0.010, 0.010), middle=(0.050, 0.0), bottom=(0.040, 0.0))
    assert travelled.judge(*BARE).found.governs.startswith("top")


def test_two_heights_outside_are_named_together(travelled):
    travelled.engine |= {"skirt_top_m": 0.080, "skirt_bottom_m": 0.085}
    travelled.bore(1)
    assert travelled.judge(*BARE).found.notes == ("top and middle lie outside the skirt's travel",)


def test_the_axial_direction_never_governs(bench):
    bench.bore(1, top=(0.050, -0.1), middle=(0.060, -0.1), bottom=(0.070, -0.1)).read(
        "P1", "skirt", state="bare", mm=85.990
    )
    assert bench.judge(*BARE).estimate.value == pytest.approx(0.060 * MM, rel=1e-9)


def test_bare_and_coated_are_kept_apart(bench):
    """A coated skirt says nothing of the bare clearance, nor a bare one of the coated."""
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.010)
    assert bench.judge(*BARE).missing == ("skirt of P1, bare",)
    assert bench.judge(*COATED).estimate.value == pytest.approx(-0.010 * MM, rel=1e-9)
    bench.read("P1", "skirt", state="bare", mm=85.950)
    assert bench.judge(*BARE).estimate.value == pytest.approx(0.050 * MM, rel=1e-9)
    assert bench.judge(*COATED).estimate.value == pytest.approx(-0.010 * MM, rel=1e-9)


def test_a_skirt_without_a_state_serves_neither(bench):
    bench.bore(1).read("P1", "skirt", mm=85.950)
    assert {bench.judge(*each).standing for each in (BARE, COATED)} == {Standing.OPEN}


def test_a_negative_coated_clearance_may_be_inside_its_makers_limits(bench):
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.010).limit("coated wall clearance", -0.020, 0.010)
    assert bench.judge(*COATED).words == "conforms"


def test_coated_clearance_has_no_common_practice(bench):
    bench.bore(1).read("P1", "skirt", state="coated", mm=86.010)
    assert bench.judge(*COATED).standing is Standing.UNLIMITED


@pytest.mark.parametrize("state", ["plate off", "", "shells in"])
def test_a_bore_without_its_plate_does_not_serve(bench, state):
    bench.bore(1, state=state).read("P1", "skirt", state="bare", mm=85.950)
    result = bench.judge(*BARE)
    assert result.standing is Standing.OPEN
    assert len(result.missing) == 6


@pytest.mark.parametrize(
    ("state", "served"), [("", True), ("plate off", True), ("plate on", False), ("caps torqued", True)]
)
def test_an_engine_without_a_plate_wants_its_bores_without_one(bench, state, served):
    """A bore with a plate bolted on is another quantity, in either direction; unless it is said, there was no plate."""
    bench.engine["torque_plate"] = False
    bench.bore(1, state=state).read("P1", "skirt", state="bare", mm=85.950)
    assert (bench.judge(*BARE).standing is not Standing.OPEN) == served


def test_remedy_speaks_of_the_plate_only_where_there_is_one(bench):
    bench.engine["torque_plate"] = False
    bench.bore(1, state="").read("P1", "skirt", state="bare", mm=85.990).limit("wall clearance", 0.030, 0.050, 0.040)
    assert bench.judge(*BARE).remedy == "hone bore 1 by 0.030 mm on the diameter, or fit a piston 0.030 mm smaller"


def test_a_skirt_warmer_than_the_bore_is_brought_to_20_degrees(bench):
    """A 4032 skirt of 85.990 mm read at 30 °C with a steel gauge at 20 °C is 85.990 x 19.4e-6 x 10 = 0.01668 mm smaller at 20 °C."""
    bench.part("P1", alloy="aluminium 4032").bore(1)
    bench.read("P1", "skirt", state="bare", mm=85.990, part_temp_c=30.0)
    assert bench.judge(*BARE).estimate.value == pytest.approx((0.010 + 0.016682060) * MM, rel=1e-6)


# ---- form -------------------------------------------------------------------------------------------------------------------


def test_bell_mouth_of_a_barrel_is_negative(bench):
    """Both ends narrower than the middle: -0.004 mm at the top, -0.006 at the bottom; the wider end governs."""
    bench.bore(1, top=(-0.004, -0.004), bottom=(-0.006, -0.006))
    result = bench.judge("bell-mouth", "cylinder 1")
    assert result.estimate.value == pytest.approx(-0.004 * MM, rel=1e-9)
    assert result.words == "inside common practice"


def test_form_does_not_ask_for_a_spot_of_another_cylinder(bench):
    bench.bore(2, top=(0.010, 0.0))
    assert bench.judge("bore taper", "cylinder 1").standing is Standing.OPEN
    assert bench.judge("bore taper", "cylinder 2").estimate.value == pytest.approx(0.010 * MM, rel=1e-9)


offsets = st.tuples(*[st.tuples(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2))] * 3)


def clearance_of(new_bench, bore, skirt):
    bench = new_bench().bore(1, *bore).read("P1", "skirt", state="bare", mm=skirt)
    return bench.judge(*BARE).estimate.value / MM


@given(offsets, st.floats(85.5, 86.0), st.integers(0, 2), st.floats(0.0, 0.1))
def test_a_larger_bore_never_lessens_the_clearance(new_bench, bore, skirt, height, more):
    before = clearance_of(new_bench, bore, skirt)
    larger = [*bore]
    larger[height] = (bore[height][0] + more, bore[height][1] - more)
    assert clearance_of(new_bench, larger, skirt) >= before - PM
    assert before == pytest.approx(86.0 + min(thrust for thrust, _ in bore) - skirt, abs=PM)


@given(offsets, st.floats(85.5, 86.0), st.floats(0.0, 0.1))
def test_a_larger_skirt_lessens_it_by_as_much(new_bench, bore, skirt, more):
    lost = clearance_of(new_bench, bore, skirt) - clearance_of(new_bench, bore, skirt + more)
    assert lost == pytest.approx(more, abs=PM)
