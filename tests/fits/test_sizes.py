"""Sizes on the table: at 20 °C by the right material, and how each gauge repeats."""

import math

import pytest

from blockwright.engine.positions import position
from blockwright.fits.sizes import Lacking, Sizes, both, gathered, spreads
from blockwright.metrology.gauges import Sense

MM, UM = 1e-3, 1e-6


def size(bench, part, feature, at="", state=(), spot=None):
    return (
        Sizes(bench.job())
        .read(part, feature, position(at) if at else None, frozenset(state))[spot or ""]
        .estimate.value
    )


# ---- at 20 °C by the right material -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("liner", "per_k"),
    [("", 21.4e-6), ("grey iron", 11.2e-6)],  # A356 block; an iron liner in it, as in the list of materials
)
def test_a_warm_bore_shrinks_as_what_the_rings_run_in(bench, liner, per_k):
    """86 mm at 30 °C, read with a steel gauge at 20 °C: 86 x a x 10 smaller at 20 °C."""
    bench.engine |= {"housing_material": "aluminium A356", "liner_material": liner}
    bench.bore(1, part_temp_c=30.0)
    found = size(bench, "B", "bore", "cylinder 1", ("plate on",), "top thrust")
    assert found == pytest.approx(86.0 * MM * (1.0 - per_k * 10.0), rel=1e-12)


def test_the_crank_tunnel_shrinks_as_the_housing_whatever_the_liner(bench):
    bench.engine |= {"housing_material": "magnesium case", "liner_material": "grey iron"}
    bench.read("B", "main housing", "main 1", "caps torqued; shells out", square=64.0, part_temp_c=30.0)
    found = size(bench, "B", "main housing", "main 1", ("caps torqued", "shells out"), "square")
    assert found == pytest.approx(64.0 * MM * (1.0 - 26.0e-6 * 10.0), rel=1e-12)


@pytest.mark.parametrize(
    ("part", "feature", "alloy", "per_k"),
    [
        ("P1", "second land", "", 22.3e-6), ("P1", "second land", "aluminium 4032", 19.4e-6), ("K", "main journal", "", 12.3e-6),
        ("C1", "small end", "", 12.3e-6), ("C1", "small end", "aluminium 7075", 23.5e-6), ("W1", "pin length", "", 12.3e-6),
        ("R1", "top ring height", "", 10.7e-6),
    ],
)  # fmt: skip
def test_a_part_shrinks_as_its_alloy_or_the_usual_one_of_its_kind(bench, part, feature, alloy, per_k):
    spots = {"main journal": "front across", "small end": "along"}
    spot, at = spots.get(feature, ""), "main 1" if feature == "main journal" else ""
    bench.part(part, alloy=alloy).read(part, feature, at, **{spot.replace(" ", "_") or "mm": 50.0}, part_temp_c=30.0)
    assert size(bench, part, feature, at, spot=spot) == pytest.approx(50.0 * MM * (1.0 - per_k * 10.0), rel=1e-12)


def test_gauge_and_part_of_one_material_and_temperature_need_no_correction(bench):
    bench.gauge(id="M", certificate_si=0.0, expansion_per_k=12.3e-6)
    bench.read("W1", "pin length", mm=60.0, gauge="M", part_temp_c=30.0, gauge_temp_c=30.0)
    assert size(bench, "W1", "pin length") == pytest.approx(60.0 * MM, rel=1e-12)


@pytest.mark.parametrize(("liner", "per_k"), [("", 21.4e-6), ("grey iron", 11.2e-6)])
def test_a_gap_answers_to_the_temperatures_of_ring_and_bore(bench, liner, per_k):
    """s20 = s - pi D (a_bore (Tb - 20) - a_ring (Tr - 20)); a ring 10 K warmer than its bore reads about 0.03 mm tight."""
    bench.engine |= {"housing_material": "aluminium A356", "liner_material": liner}
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.400, part_temp_c=30.0, bore_temp_c=20.0)
    warm_ring = size(bench, "R1", "top gap", "cylinder 1", ("plate on",))
    assert warm_ring == pytest.approx(0.400 * MM + math.pi * 86.0 * MM * 10.7e-6 * 10.0, rel=1e-9)
    bench.readings = []
    bench.read("R1", "top gap", "cylinder 1", "plate on", mm=0.400, part_temp_c=20.0, bore_temp_c=30.0)
    warm_bore = size(bench, "R1", "top gap", "cylinder 1", ("plate on",))
    assert warm_bore == pytest.approx(0.400 * MM - math.pi * 86.0 * MM * per_k * 10.0, rel=1e-9)


def test_what_has_no_size_is_left_as_it_was_read(bench):
    bench.read("engine", "crank end float", mm=0.12, part_temp_c=35.0)
    assert size(bench, "engine", "crank end float") == pytest.approx(0.12 * MM, rel=1e-12)


# ---- how each gauge repeats -------------------------------------------------------------------------------------------------


def spread(bench, *values, **gauge):
    bench.gauge(id="M", **gauge)
    for value in values:
        bench.read("P1", "skirt", state="bare", mm=85.0 + value, gauge="M")
    return spreads(bench.job())["M"]


def test_by_its_study(bench):
    found = spread(bench, resolution_si=1 * UM, repeatability_si=0.7 * UM, repeatability_dof=18)
    assert (found.s, found.dof) == (pytest.approx(0.7 * UM), 18)


def test_by_the_jobs_own_repeats(bench):
    """Deviations -2, 0 and 2 µm: s = 2 µm with 2 degrees of freedom."""
    found = spread(bench, -0.002, 0.0, 0.002, resolution_si=1 * UM)
    assert (found.s, found.dof, found.origin) == (pytest.approx(2 * UM, rel=1e-6), 2, "repeats of this job")


def test_by_both_together(bench):
    """Pooled: sqrt((18 x 0.7² + 2 x 2²) / 20) = 0.9171 µm with 20."""
    found = spread(bench, -0.002, 0.0, 0.002, resolution_si=1 * UM, repeatability_si=0.7 * UM, repeatability_dof=18)
    assert (found.s, found.dof, found.origin) == (pytest.approx(0.917061 * UM, rel=1e-5), 20, "study and repeats")


def test_repeats_that_fall_on_one_step_show_no_less_than_the_steps_own_spread(bench):
    """Three times the same figure: the scale's step of 1 µm alone has s = 1 / sqrt(12) µm."""
    assert spread(bench, 0.0, 0.0, 0.0, resolution_si=1 * UM).s == pytest.approx(1 * UM / math.sqrt(12.0), rel=1e-12)


def test_not_known_is_one_step_of_the_scale(bench):
    found = spread(bench, 0.0, resolution_si=1 * UM)
    assert (found.s, found.dof, found.origin) == (1 * UM, math.inf, "not known: one step of the scale assumed")


def test_blades_do_not_repeat_they_enclose(bench):
    assert spread(bench, -0.1, 0.1, sense=Sense.BLADES).s == 0.0


@pytest.mark.parametrize(
    "other",
    [
        {"part": "P2"}, {"feature": "second land"}, {"state": "coated"}, {"sitting": "two"}, {"depth_m": 0.01},
    ],
    ids=lambda other: next(iter(other)),
)  # fmt: skip
def test_only_repeats_of_one_spot_in_one_sitting_are_repeats(bench, other):
    bench.gauge(id="M", resolution_si=1 * UM).read("P1", "skirt", state="bare", mm=85.0, gauge="M")
    more = {"part": "P1", "feature": "skirt", "state": "bare"} | other
    bench.read(more.pop("part"), more.pop("feature"), state=more.pop("state"), mm=85.5, gauge="M", **more)
    assert spreads(bench.job())["M"].origin.startswith("not known")


def test_a_withdrawn_repeat_does_not_count(bench):
    bench.gauge(id="M", resolution_si=1 * UM)
    for value in (85.0, 85.5):
        bench.read("P1", "skirt", state="bare", mm=value, gauge="M")
    bench.withdraw("P1", "skirt")
    assert spreads(bench.job())["M"].origin.startswith("not known")


# ---- what is lacking --------------------------------------------------------------------------------------------------------


def lack(*words):
    def ask():
        raise Lacking(*words)

    return ask


def test_everything_that_is_lacking_is_said_once():
    with pytest.raises(Lacking) as lacking:
        gathered(lambda: 1, lack("a", "b"), lack("b", "c"))
    assert lacking.value.missing == ("a", "b", "c")
    assert str(lacking.value) == "a; b; c"


def test_nothing_lacking_gives_everything():
    assert gathered(lambda: 1, lambda: 2) == [1, 2]
    assert both(lambda: 1, lambda: "two") == (1, "two")


def test_readings_with_an_unknown_gauge_do_not_count(bench):
    bench.read("P1", "skirt", state="bare", mm=85.0, gauge="NONE")
    assert Sizes(bench.job()).taken == []
