"""A run that begins near another one's end comes to the same bearings."""

import math
from dataclasses import replace

import numpy as np
import pytest

from blockwright.physics.oil import walther
from blockwright.physics.plain_bearing import SETTLED_K, Motion, OilSupply, PlainBearing, running

OIL = OilSupply(walther(40.0, 90e-6, 100.0, 14e-6), 860.0, 100.0, 4e5, 0.8, 3.5e-3)
PAIR = [PlainBearing(0.048, 0.024, 0.025e-3, hole_m=0.004), PlainBearing(0.048, 0.024, 0.031e-3, hole_m=0.004)]
SPEED, PERIOD, STEPS = 200.0 * math.pi, 0.02, 180
FIELDS = ("film_m", "peak_pa", "loss_w", "side_flow_m3_s", "feed_flow_m3_s", "out_c")


def motion(times=1.0):
    """A bump once a period on a turning load; N, made up. The second bearing carries a third more."""
    a = np.arange(STEPS) * (4.0 * math.pi / STEPS)
    bump = np.exp(4.0 * (np.cos(0.5 * (a - 6.6)) - 1.0))
    f = np.stack([9000.0 * bump - 1500.0 * np.cos(a), 1200.0 * np.sin(a) + 600.0 * np.cos(2.0 * a)], axis=-1)
    return Motion(times * np.stack([f, 4.0 / 3.0 * f]), 0.5 * SPEED, SPEED, PERIOD)


@pytest.fixture(scope="module")
def best():
    return running(PAIR, motion(), OIL)


CASES = {
    "the same": (PAIR, motion(), OIL),
    "half as much load again": (PAIR, motion(1.5), OIL),
    "a hotter feed": (PAIR, motion(), replace(OIL, feed_c=125.0)),
    "much colder, so that it begins below its feed": (PAIR, motion(), replace(OIL, feed_c=130.0)),
    "tighter": ([replace(each, clearance_m=0.6 * each.clearance_m) for each in PAIR], motion(), OIL),
    "looser, less pressure": ([replace(each, clearance_m=1.5 * each.clearance_m) for each in PAIR], motion(), replace(OIL, feed_pa=2e5)),
    "thicker": (PAIR, motion(), replace(OIL, line=walther(40.0, 160e-6, 100.0, 19e-6), hths_pa_s=5e-3)),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_near_or_not_the_bearings_are_the_same(case, best):
    """The temperature is settled to SETTLED_K by either way, so a film may differ by what such a step does to the viscosity: 0.1 %."""
    alone, near = running(*case), running(*case, best)
    assert alone.settled.all()
    assert near.settled.all()
    assert near.temperature_c == pytest.approx(alone.temperature_c, abs=2.5 * SETTLED_K)
    for name in FIELDS:
        assert getattr(near, name) == pytest.approx(getattr(alone, name), rel=3e-3), name


def test_what_it_settles_on_is_the_mean_of_in_and_out(best):
    found = running(PAIR, motion(1.2), OIL, best)
    assert found.temperature_c == pytest.approx(0.5 * (OIL.feed_c + found.out_c), abs=1.5 * SETTLED_K)


def test_one_that_was_far_too_hot_is_no_worse_a_start(best):
    hot = replace(best, temperature_c=np.full(2, 200.0))
    assert running(PAIR, motion(), OIL, hot).temperature_c == pytest.approx(best.temperature_c, abs=2.5 * SETTLED_K)


def test_near_does_not_make_a_hopeless_bearing_settle(best):
    """Hardly any oil and four times the load: without a start it is left at 200 °C and not settled; with one likewise."""
    starved = replace(OIL, feed_c=148.0, heat_share=1.0, feed_pa=0.0)
    tight = [replace(each, clearance_m=0.003e-3) for each in PAIR]
    alone, near = running(tight, motion(4.0), starved), running(tight, motion(4.0), starved, best)
    assert not alone.settled.any()
    assert near.settled.tolist() == alone.settled.tolist()
