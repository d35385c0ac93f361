"""What is measured: each feature is usable as it is declared, and plausible sizes lie about the engine's nominal ones."""

import pytest

from blockwright.engine.features import FEATURES, GaugeKind
from blockwright.engine.layout import HEIGHTS
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.metrology.evaluate import Thermal
from blockwright.quantities import Kind, parse

EVERY = pytest.mark.parametrize("feature", FEATURES.values(), ids=list(FEATURES))


@EVERY
def test_a_feature_as_declared(feature):
    assert FEATURES[feature.name] is feature
    assert feature.how
    assert len(set(feature.spots)) == len(feature.spots) > 0
    assert ("" in feature.spots) == (len(feature.spots) == 1 and feature.spots[0] == "")
    low, high = (parse(text, feature.kind, signed=True).si for text in feature.span)
    assert low < high
    assert (low < 0.0) == feature.signed


@EVERY
def test_the_gauge_measures_what_the_feature_is(feature):
    special = {GaugeKind.ROUGHNESS: Kind.ROUGHNESS, GaugeKind.TORQUE: Kind.TORQUE}
    assert feature.kind is special.get(feature.gauge, Kind.LENGTH)


@EVERY
def test_only_sizes_of_parts_answer_to_temperature_as_sizes(feature):
    """What is read over the assembled engine, as a step, a runout or a finish has no size to grow; a gap answers in its own way."""
    if (
        feature.part is PartKind.ENGINE
        or feature.kind is not Kind.LENGTH
        or feature.gauge in (GaugeKind.EDGE, GaugeKind.DIAL)
    ):
        assert feature.thermal is Thermal.NONE
    elif feature.name.endswith(" gap"):
        assert (feature.thermal, feature.depth, feature.part) == (Thermal.GAP, True, PartKind.RINGS)
    else:
        assert (feature.thermal, feature.depth) == (Thermal.SIZE, False)


def test_a_bore_is_read_at_three_heights_in_two_directions():
    assert set(FEATURES["bore"].spots) == {f"{height} {way}" for height in HEIGHTS for way in ("thrust", "axial")}


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("bore", "bore_m"), ("skirt", "bore_m"), ("main journal", "main_journal_m"), ("rod journal", "rod_journal_m"), ("pin", "pin_m"),
        ("main housing", "main_housing_m"), ("big end", "big_end_m"), ("small end", "small_end_m"), ("small end", "pin_m"),
    ],
)  # fmt: skip
def test_plausible_sizes_lie_within_four_per_cent_of_the_nominal(engine, name, key):
    assert FEATURES[name].expected(engine(**{key: 0.050})) == pytest.approx((0.048, 0.052), rel=1e-12)


def test_without_a_nominal_size_nothing_is_expected(engine):
    assert FEATURES["main journal"].expected(engine()) is None
    assert FEATURES["top gap"].expected(engine()) is None


def test_an_eye_with_a_bush_goes_by_its_own_bore(engine):
    assert FEATURES["small end"].expected(engine(pin_m=0.020, small_end_m=0.050)) == pytest.approx((0.048, 0.052))


@EVERY
def test_places_belong_to_parts_that_have_them(feature):
    """A piston, a pin, a rod or a shell has no positions on it; block, crank and engine have theirs."""
    alone = (PartKind.PISTON, PartKind.PIN, PartKind.ROD, PartKind.SHELL)
    if feature.part in alone:
        assert feature.place is None
    elif feature.part is PartKind.BLOCK:
        assert feature.place in (Place.CYLINDER, Place.MAIN, Place.BANK)
    elif feature.part is PartKind.CRANK:
        assert feature.place in (Place.MAIN, Place.THROW)
