"""A network of ways of heat: against resistances in series and in parallel, its balance, and what no numbering may change."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.physics.heat_network import Way, settled

CONDUCTANCE = st.floats(0.01, 1e3)
HEAT = st.floats(-500.0, 500.0)
DEGREES = st.floats(-50.0, 400.0)
PLACES = ("crown", "belt", "skirt", "top", "bottom")


@given(CONDUCTANCE, CONDUCTANCE, CONDUCTANCE, DEGREES, DEGREES)
def test_in_series_resistances_add(a, b, c, hot, cold):
    """Three ways in a row carry (T1 - T2)/(1/a + 1/b + 1/c)."""
    ways = [Way("gas", "crown", a), Way("crown", "belt", b), Way("belt", "water", c)]
    found = settled(ways, {}, {"gas": hot, "water": cold})
    carried = (hot - cold) / (1.0 / a + 1.0 / b + 1.0 / c)
    assert found.heat_w == pytest.approx([carried] * 3, rel=1e-9, abs=1e-9)
    assert found.temperatures["belt"] == pytest.approx(cold + carried / c, rel=1e-9, abs=1e-9)


@given(CONDUCTANCE, CONDUCTANCE, HEAT, DEGREES)
def test_in_parallel_conductances_add(a, b, watts, cold):
    ways = [Way("crown", "water", a), Way("crown", "water", b)]
    found = settled(ways, {"crown": watts}, {"water": cold})
    assert found.temperatures["crown"] == pytest.approx(cold + watts / (a + b), rel=1e-12)
    assert found.heat_w[0] == pytest.approx(watts * a / (a + b), rel=1e-9, abs=1e-9)


@st.composite
def networks(draw):
    """A chain from the water through every place, and some ways more."""
    chain = ["water", *PLACES]
    ways = [Way(one, other, draw(CONDUCTANCE)) for one, other in itertools.pairwise(chain)]
    pairs = st.tuples(st.sampled_from([*chain, "oil"]), st.sampled_from([*chain, "oil"])).filter(lambda p: p[0] != p[1])
    ways += [Way(one, other, draw(CONDUCTANCE)) for one, other in draw(st.lists(pairs, max_size=6))]
    return ways, {place: draw(HEAT) for place in PLACES}, {"water": draw(DEGREES), "oil": draw(DEGREES)}


@given(networks())
def test_what_is_set_free_goes_into_what_is_held_and_every_place_balances(whole):
    ways, sources, held = whole
    found = settled(ways, sources, held)
    left = dict.fromkeys([*PLACES, *held], 0.0)
    for way, watts in zip(ways, found.heat_w, strict=True):
        left[way.one] += float(watts)
        left[way.other] -= float(watts)
    scale = max(1.0, *(abs(float(watts)) for watts in found.heat_w))
    assert [left[place] for place in PLACES] == pytest.approx([sources[place] for place in PLACES], abs=1e-7 * scale)
    assert -sum(left[place] for place in held) == pytest.approx(sum(sources.values()), abs=1e-7 * scale)


@given(networks(), st.randoms(use_true_random=False))
def test_neither_names_nor_their_order_matter(whole, dice):
    ways, sources, held = whole
    names = {place: f"place {place[::-1]}" for place in (*PLACES, *held)}
    other = [Way(names[way.other], names[way.one], way.conductance_w_k) for way in ways]
    dice.shuffle(other)
    turned = settled(
        other, {names[p]: q for p, q in reversed(sources.items())}, {names[p]: t for p, t in reversed(held.items())}
    )
    found = settled(ways, sources, held)
    scale = max(1.0, *(abs(float(value)) for value in found.temperatures.values()))
    for place, value in found.temperatures.items():
        assert float(turned.temperatures[names[place]]) == pytest.approx(float(value), abs=1e-8 * scale)


@given(networks())
def test_without_sources_no_place_is_hotter_or_colder_than_what_is_held(whole):
    ways, _, held = whole
    found = settled(ways, {}, held)
    low, high = min(held.values()), max(held.values())
    for value in found.temperatures.values():
        assert low - 1e-6 <= float(value) <= high + 1e-6


def test_kelvin_and_celsius_are_the_same_network():
    ways = [Way("crown", "belt", 3.0), Way("belt", "water", 4.0), Way("crown", "oil", 1.0)]
    cold = settled(ways, {"crown": 70.0}, {"water": 90.0, "oil": 110.0}).temperatures
    kelvin = settled(ways, {"crown": 70.0}, {"water": 363.15, "oil": 383.15}).temperatures
    assert [float(kelvin[p]) - 273.15 for p in cold] == pytest.approx([float(cold[p]) for p in cold], rel=1e-12)


def test_many_engines_at_once_are_each_as_if_alone():
    a, q, water = np.array([1.0, 2.0, 5.0]), np.array([10.0, -4.0, 0.0]), np.array([20.0, 90.0, 45.0])
    many = settled([Way("crown", "belt", a), Way("belt", "water", 2.0)], {"crown": q}, {"water": water})
    for i in range(3):
        alone = settled([Way("crown", "belt", a[i]), Way("belt", "water", 2.0)], {"crown": q[i]}, {"water": water[i]})
        for place in ("crown", "belt", "water"):
            assert many.temperatures[place][i] == pytest.approx(float(alone.temperatures[place]), rel=1e-14)


def test_all_places_held_carry_heat_between_them():
    found = settled([Way("head", "water", 3.0)], {"head": 999.0}, {"head": 200.0, "water": 90.0})
    assert found.heat_w[0] == pytest.approx(330.0)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_a_conductance_is_above_nil_and_finite(wrong):
    with pytest.raises(ValueError, match="conductance"):
        Way("crown", "belt", wrong)


def test_a_way_leads_somewhere_else_and_every_place_to_one_that_is_held():
    with pytest.raises(ValueError, match="'crown' leads to itself"):
        Way("crown", "crown", 1.0)
    with pytest.raises(ValueError, match="'belt' hangs on no place"):
        settled([Way("belt", "skirt", 1.0), Way("crown", "water", 1.0)], {}, {"water": 20.0})
