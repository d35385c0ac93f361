"""Starting values of common practice, number by number as the trade's table has them (no source, from memory).

Rows here are that table, written out again by hand; per mm means mm of clearance for each mm of bore or journal. The engine of the bench
has an 86 mm bore, 60 mm mains, 50 mm rod journals, an iron block, and works neither hard nor under boost.
"""

import pytest

from blockwright.engine.layout import Layout, PinHold
from blockwright.engine.rules import Authority
from blockwright.fits.practice import NO_SOURCE

MM = 1e-3
BAR = 1e5
CALM = {}
BOOSTED = {"boost_pa": 0.8 * BAR}
TOKEN = {"boost_pa": 0.05 * BAR}
HARD_BOOST = {"boost_pa": 1.3 * BAR}
FOR_HOURS = {"full_load_share": 0.6}
NITROUS = {"nitrous": True}
CAST = "aluminium cast hypereutectic"


def sides(bench, fit, at="cylinder 1"):
    """Low, aim and high of practice, mm."""
    limits = bench.judge(fit, at).limits
    values = limits.low_value, limits.aim, limits.high_value
    return tuple(None if value is None else value / MM for value in values)


def span(low, high, times=1.0):
    return pytest.approx((low * times, 0.5 * (low + high) * times, high * times), rel=1e-9)


@pytest.mark.parametrize(
    ("alloy", "duty", "low", "high"),
    [
        (CAST, CALM, 0.0002, 0.0006), ("aluminium 4032", CALM, 0.0006, 0.0010), ("aluminium 2618", CALM, 0.0010, 0.0013),
        ("", CALM, 0.0010, 0.0013), ("aluminium 2618", TOKEN, 0.0010, 0.0013),
        (CAST, BOOSTED, 0.0004, 0.0010), ("aluminium 4032", BOOSTED, 0.0008, 0.0014), ("aluminium 2618", BOOSTED, 0.0012, 0.0017),
        ("aluminium 2618", FOR_HOURS, 0.0012, 0.0017), ("aluminium 2618", NITROUS, 0.0012, 0.0017),
    ],
)  # fmt: skip
def test_wall_clearance_by_alloy_and_work(bench, alloy, duty, low, high):
    bench.duty |= duty
    assert sides(bench.part("P1", alloy=alloy), "wall clearance") == span(low, high, 86.0)


def test_a_piston_that_is_neither_forged_nor_cast_aluminium_has_no_practice(bench):
    assert sides(bench.part("P1", alloy="steel 4340"), "wall clearance") == (None, None, None)


def test_an_alloy_that_nobody_gave_is_said_to_be_taken(bench):
    assert "unknown alloy, taken as aluminium 2618" in bench.judge("wall clearance", "cylinder 1").limits.low.source
    bench.part("P1", alloy="aluminium 2618")
    assert bench.judge("wall clearance", "cylinder 1").limits.low.source.startswith(
        "aluminium 2618 piston: 0.0010 to 0.0013 per mm"
    )


TOP_GAP = [
    (CALM, 0.0040), (TOKEN, 0.0040), (BOOSTED, 0.0050), (FOR_HOURS, 0.0060), (HARD_BOOST, 0.0063), (BOOSTED | FOR_HOURS, 0.0063),
    (NITROUS, 0.0070), (HARD_BOOST | NITROUS, 0.0070),
]  # fmt: skip


@pytest.mark.parametrize(("duty", "per_mm"), TOP_GAP)
def test_top_gap_is_a_minimum_with_an_aim_a_little_above(bench, duty, per_mm):
    bench.duty |= duty
    low, aim, high = sides(bench, "top end gap")
    assert low == pytest.approx(per_mm * 86.0, rel=1e-9)
    assert 0.025 <= aim - low <= 0.050
    assert 0.200 <= high - low <= 0.250


@pytest.mark.parametrize(("duty", "per_mm"), TOP_GAP)
def test_second_gap_is_no_less_than_the_top_and_up_to_twice(bench, duty, per_mm):
    bench.duty |= duty
    low, aim, high = sides(bench, "second end gap")
    assert (low, high) == pytest.approx((per_mm * 86.0, 2 * per_mm * 86.0), rel=1e-9)
    assert low < sides(bench, "top end gap")[1] < aim < high


@pytest.mark.parametrize("rail", ["upper rail gap", "lower rail gap"])
@pytest.mark.parametrize(("file_fit", "low"), [(True, 0.38), (None, 0.38), (False, 0.15)])
def test_rail_gap(bench, rail, file_fit, low):
    bench.part("R1", file_fit=file_fit)
    assert sides(bench, rail) == (pytest.approx(low), None, None)
    assert ("taken as" in bench.judge(rail, "cylinder 1").limits.low.source) == (file_fit is None)


@pytest.mark.parametrize("ring", ["top", "second"])
@pytest.mark.parametrize(("thin", "low", "high"), [(False, 0.025, 0.075), (True, 0.013, 0.040)])
def test_side_clearance(bench, ring, thin, low, high):
    assert sides(bench.part("R1", thin=thin), f"{ring} side clearance") == span(low, high)


@pytest.mark.parametrize("ring", ["top", "second"])
def test_flush_depth_and_back_clearance(bench, ring):
    assert sides(bench, f"{ring} ring flush depth") == span(0.05, 0.13)
    assert sides(bench, f"{ring} back clearance") == (pytest.approx(0.05), None, None)


@pytest.mark.parametrize(
    ("alloy", "low", "high"),
    [("aluminium 2618", 0.010, 0.020), ("aluminium 4032", 0.010, 0.020), (CAST, 0.005, 0.013), ("", 0.010, 0.020)],
)
def test_pin_in_piston(bench, alloy, low, high):
    assert sides(bench.part("P1", alloy=alloy), "pin in piston") == span(low, high)


def test_pin_in_bush_and_pressed(bench):
    assert sides(bench, "pin in bush") == span(0.013, 0.025)
    bench.engine["pin"] = PinHold.PRESSED
    assert sides(bench, "pin press") == span(0.020, 0.040)


def test_pin_end_play_goes_by_the_clip_and_has_none(bench):
    assert sides(bench, "pin end play") == (None, None, None)


IRON, LIGHT = (0.00075, 0.0010), (0.0003, 0.0007)


@pytest.mark.parametrize(
    ("housing", "band"),
    [("grey iron", IRON), ("ductile iron", IRON), ("aluminium A356", LIGHT), ("magnesium case", LIGHT)],
)
def test_main_film_by_housing(bench, housing, band):
    bench.engine["housing_material"] = housing
    assert sides(bench, "main film", "main 1") == span(*band, 60.0)
    assert ("judge it hot" in bench.judge("main film", "main 1").limits.low.source) == (band is LIGHT)


@pytest.mark.parametrize("housing", ["grey iron", "aluminium A356", "magnesium case"])
def test_rod_film_goes_by_the_rod_and_not_by_the_block(bench, housing):
    bench.engine["housing_material"] = housing
    assert sides(bench, "rod film") == span(*IRON, 50.0)
    assert sides(bench.part("C1", alloy="aluminium 7075"), "rod film") == span(*LIGHT, 50.0)
    assert sides(bench.part("C1", alloy="titanium 6Al-4V"), "rod film") == (None, None, None)


@pytest.mark.parametrize(
    ("fit", "at", "key"), [("main film", "main 1", "main_journal_m"), ("rod film", "cylinder 1", "rod_journal_m")]
)
def test_no_film_without_the_nominal_journal(bench, fit, at, key):
    bench.engine[key] = None
    assert sides(bench, fit, at) == (None, None, None)


def test_crank_end_float(bench):
    assert sides(bench, "crank end float", "engine") == span(0.03, 0.20)


def vee(bench, **more):
    bench.engine |= {"layout": Layout.V, "cylinders": 2, "bank_angle_rad": 1.0} | more
    return bench


def test_rod_side_of_one_rod_or_a_pair(bench):
    assert sides(bench, "rod side", "throw 1") == span(0.10, 0.35)
    assert sides(vee(bench), "rod side", "throw 1") == span(0.25, 0.50)
    assert sides(vee(bench, shared_throws=False), "rod side", "throw 1") == span(0.10, 0.35)


def test_an_odd_v_has_single_rods_on_its_last_throw(bench):
    vee(bench, cylinders=5, banks=((1, 3, 5), (2, 4)))
    assert sides(bench, "rod side", "throw 2") == span(0.25, 0.50)
    assert sides(bench, "rod side", "throw 3") == span(0.10, 0.35)


def test_a_rod_guided_by_its_piston_has_no_practice(bench):
    bench.engine["side_guided_by"] = "piston"
    assert sides(bench, "rod side", "throw 1") == (None, None, None)


FORM = {
    ("bore taper", "cylinder 1"): 0.013, ("out-of-round", "cylinder 1"): 0.013, ("bell-mouth", "cylinder 1"): 0.013,
    ("big-end out-of-round", "cylinder 1"): 0.008, ("main journal taper", "main 1"): 0.008, ("main journal out-of-round", "main 1"): 0.008,
    ("rod journal taper", "throw 1"): 0.008, ("rod journal out-of-round", "throw 1"): 0.008, ("main journal finish", "main 1"): 0.0016,
    ("rod journal finish", "throw 1"): 0.0016, ("crank runout", "main 2"): 0.050, ("tunnel alignment", "main 2"): 0.025,
    ("main housing out-of-round", "main 1"): 0.013, ("deck flatness", "bank 1"): 0.050,
}  # fmt: skip
"""Form and finish, which the trade's table does not hold: the tool's own starting values."""


@pytest.mark.parametrize(("fit", "at"), FORM)
def test_form_is_limited_on_its_high_side_only(bench, fit, at):
    assert sides(bench, fit, at) == (None, None, pytest.approx(FORM[(fit, at)]))


@pytest.mark.parametrize(("mains", "known"), [(7, True), (8, False)])
def test_runout_and_tunnel_have_practice_for_short_cranks_only(bench, mains, known):
    bench.engine["mains"] = mains
    for fit in ("crank runout", "tunnel alignment"):
        assert (sides(bench, fit, "main 2")[2] is not None) == known


def test_runout_is_not_asked_at_the_mains_that_carry_the_crank(bench):
    """Three mains: the crank lies on 1 and 3 while 2 is read; steps of the tunnel are asked at every main."""
    results = bench.read("B", "tunnel step", "main 1", mm=0.0).assess().results
    assert [str(each.position) for each in results if each.fit.name == "crank runout"] == ["main 2"]
    bench.read("K", "crank runout", "main 1", mm=0.9)
    assert "main 1" not in [str(each.position) for each in bench.assess().results if each.fit.name == "crank runout"]


WITHOUT = (
    ("coated wall clearance", "cylinder 1"), ("bore finish", "cylinder 1"), ("small-end size", "cylinder 1"), ("big-end size", "cylinder 1"),
    ("main shell crush", "main 1"), ("rod shell crush", "cylinder 1"), ("main journal size", "main 1"), ("rod journal size", "throw 1"),
    ("piston to deck", "cylinder 1"), ("turning torque", "stage main 1"), ("turning torque rise", "stage main 1"),
)  # fmt: skip


@pytest.mark.parametrize(("fit", "at"), WITHOUT)
def test_some_fits_wait_for_a_maker(bench, fit, at):
    assert sides(bench, fit, at) == (None, None, None)


def test_every_offer_of_practice_says_so(bench):
    found = [offer for result in bench.assess().results for offer in result.limits.offers]
    assert found
    assert {offer.authority for offer in found} == {Authority.PRACTICE}
    assert all(NO_SOURCE in offer.source for offer in found)
