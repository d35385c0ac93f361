"""Hot closure of ring gaps and wall clearances.

Source: no published number was found; two independent routes. The functions work with differences of growth; here the hot bore is a
circle and the hot ring an arc laid into it, in decimal arithmetic of 40 digits. The rows "worked by hand" were worked out from the
formula before the program was written.

Symbols: D bore diameter, s cold gap in mm; a expansion in 1e-6/K, T in °C, b bore, r ring, p piston.

Tolerance: relative 1e-9 between the routes; the hand-worked rows as written, half a unit of the last digit or as the word "about" says.

Skipped: temperatures that vary along a ring, bores that are not round.
"""

from decimal import Decimal, getcontext

import pytest

from blockwright.physics.expansion import closure_m, cold_gap_for, hot_clearance_m, hot_gap_m, hot_length_m

getcontext().prec = 40
PI = Decimal("3.1415926535897932384626433832795028841972")

# D, s, a_b, a_r, T_b, T_r
CASES = [
    ("86", "0.4", "11", "11", "120", "220"),
    ("86", "0.4", "21.4", "10.7", "125", "200"),
    ("101.6", "0.66", "11.2", "11.6", "130", "240"),
    ("65", "0.2", "21.4", "11.6", "105", "150"),
    ("86", "0.4", "11", "11", "20", "30"),
]


def grown(length, expansion, temperature):
    return Decimal(length) * (1 + Decimal(expansion) * Decimal("1e-6") * (Decimal(temperature) - 20))


def in_si(case):
    bore, gap, bore_expansion, ring_expansion, bore_c, ring_c = (float(each) for each in case)
    return gap / 1e3, bore / 1e3, bore_expansion * 1e-6, ring_expansion * 1e-6, bore_c, ring_c


@pytest.mark.parametrize("case", CASES)
def test_the_arc_laid_into_the_hot_bore(case):
    """The ring at 20 °C spans the angle 2 pi - 2 s/D; hot, its length over the hot radius is the angle that it spans."""
    bore, gap, bore_expansion, ring_expansion, bore_c, ring_c = case
    angle = 2 * PI - 2 * Decimal(gap) / Decimal(bore)
    hot_radius = grown(bore, bore_expansion, bore_c) / 2
    hot_angle = grown(angle * Decimal(bore) / 2, ring_expansion, ring_c) / hot_radius
    left_open_m = float((2 * PI - hot_angle) * hot_radius) / 1e3
    assert hot_gap_m(*in_si(case)) == pytest.approx(left_open_m, rel=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_the_ends_meet_at_the_gap_found_by_halving(case):
    """The cold gap at which ring and bore are equally long when hot, by bisection on the lengths alone."""
    bore, _, bore_expansion, ring_expansion, bore_c, ring_c = case
    girth = PI * Decimal(bore)
    low, high = Decimal(-5), Decimal(5)
    for _ in range(100):
        middle = (low + high) / 2
        too_long = grown(girth - middle, ring_expansion, ring_c) > grown(girth, bore_expansion, bore_c)
        low, high = (middle, high) if too_long else (low, middle)
    assert cold_gap_for(0.0, *in_si(case)[1:]) == pytest.approx(float(low) / 1e3, rel=1e-9)


def test_closing_worked_by_hand():
    """D 86, both 11e-6, ring 220, bore 120, s 0.4: closes by .297 - .4 a 200 = .296 mm; the ends meet at .297 / 1.0022 = .296."""
    assert 1e3 * closure_m(*in_si(CASES[0])) == pytest.approx(0.296, abs=5e-4)
    assert 1e3 * closure_m(0.0, *in_si(CASES[0])[1:]) == pytest.approx(0.297, abs=5e-4)


def test_a_ring_warm_from_the_grinder_reads_tight():
    """D 86, steel ring 11.5e-6 and 10 K warmer than the block: about 30 µm."""
    gap = 0.0004
    assert 1e6 * (gap - hot_gap_m(gap, 0.086, 11.5e-6, 11.5e-6, 20.0, 30.0)) == pytest.approx(30.0, abs=2.0)


def test_length_worked_by_hand():
    """100 mm of steel, 11.5e-6, at 25 °C is 5.75 µm long."""
    assert 1e6 * (hot_length_m(0.1, 11.5e-6, 25.0) - 0.1) == pytest.approx(5.75, rel=1e-6)


@pytest.mark.parametrize(
    ("bore", "piston", "bore_expansion", "piston_expansion", "bore_c", "piston_c"),
    [("86", "85.9", "11.2", "22.3", "125", "130"), ("92", "91.94", "21.4", "19.4", "110", "140")],
)
def test_two_hot_circles(bore, piston, bore_expansion, piston_expansion, bore_c, piston_c):
    play_m = float(grown(bore, bore_expansion, bore_c) - grown(piston, piston_expansion, piston_c)) / 1e3
    found = hot_clearance_m(
        float(bore) / 1e3,
        float(piston) / 1e3,
        float(bore_expansion) * 1e-6,
        float(piston_expansion) * 1e-6,
        float(bore_c),
        float(piston_c),
    )
    assert found == pytest.approx(play_m, rel=1e-9)
