"""Largest less smallest, and functions of estimates."""

import math

import pytest

from blockwright.metrology.estimate import Cause, Estimate, Share, Source, reach, through


def read(value, u, owner):
    return Estimate(value, {Source(Cause.REPEATABILITY, owner): Share(u)})


def test_equal_readings_reach_nothing_but_are_not_known_exactly():
    """Three readings alike: their largest and smallest are still two readings, each with its own error."""
    spread = reach([read(5.0, 0.3, "a"), read(5.0, 0.4, "b"), read(5.0, 0.4, "c")])
    assert spread.value == 0.0
    assert spread.u >= math.hypot(0.3, 0.4) - 1e-12


def test_largest_less_smallest():
    spread = reach([read(5.0, 0.3, "a"), read(9.0, 0.4, "b"), read(7.0, 1.0, "c")])
    assert (spread.value, spread.u) == (4.0, pytest.approx(0.5, rel=1e-12))


def test_a_function_passes_its_inputs_shares_on_by_its_slopes():
    """x y / z at 2, 3, 4: slopes y/z, x/z, -x y/z^2 by hand."""
    x, y, z = read(2.0, 0.01, "x"), read(3.0, 0.02, "y"), read(4.0, 0.03, "z")
    found = through(lambda a, b, c: a * b / c, [x, y, z])
    assert found.value == 1.5
    assert found.u == pytest.approx(math.hypot(0.75 * 0.01, 0.5 * 0.02, 0.375 * 0.03), rel=1e-4)


def test_what_two_inputs_share_cancels_in_their_quotient():
    x, y = read(2.0, 0.01, "same"), read(4.0, 0.02, "same")
    assert through(lambda a, b: a / b, [x, y]).u < 1e-4 * 0.0025, "each share alone is 0.0025"
