"""The filter at a node, against a dense joint distribution and against integrals done by quadrature."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from blockwright.choices.filing.model import Between, Reading
from blockwright.choices.filing.nodes import Nodes, cut_normal

RATE, SCATTER = 11e-6, 0.13
UM = 1e-6


def node(rate=RATE, scatter=SCATTER):
    return Nodes.blank(np.array([rate]), np.array([scatter]))


def density(x):
    return math.exp(-0.5 * x * x) / math.sqrt(2 * math.pi)


# Looks at one ring: units since the look before, readings (µm) with own and shared uncertainty and the gauge.
LOOKS = [
    (0.0, [(300.0, 4.0, 3.0, "a")]),
    (5.0, [(351.0, 4.0, 3.0, "a"), (357.0, 2.0, 5.0, "b")]),
    (3.0, []),
    (2.0, [(409.0, 2.0, 5.0, "b")]),
    (1.0, [(424.0, 4.0, 3.5, "a"), (420.0, 6.0, 0.0, "c"), (421.0, 4.0, 3.5, "a")]),
]


def filtered(looks):
    nodes = node()
    for number, (units, readings) in enumerate(looks):
        nodes = nodes.filed(units)
        for place, (value, own, shared, gauge) in enumerate(readings):
            reading = Reading(value * UM, own * UM, shared * UM, gauge)
            nodes = nodes.seen(reading) if number or place else nodes.anew(reading)
    return nodes


def dense(looks):
    """Mean and variance (µm) of the last gap and the log density of all readings but for a constant, from one big normal distribution.

    Unknowns: start of the gap (flat), deviation of each pass, error of each gauge. Worked with the inverse of the covariance, in which
    a flat prior is a nought; the density is that of a start so widely normal that it is flat.
    """
    gauges, passes = ["a", "b", "c"], len(looks) - 1
    spread = [SCATTER * RATE / UM * units for units, _ in looks[1:]]
    gap, grown, rows, values, own = np.zeros(1 + passes + 3), 0.0, [], [], []
    gap[0] = 1.0
    for number, (units, readings) in enumerate(looks):
        gap, grown = gap.copy(), grown + units * RATE / UM
        if number:
            gap[number] = 1.0
        for value, u_own, u_shared, gauge in readings:
            row = gap.copy()
            row[1 + passes + gauges.index(gauge)] = u_shared
            rows.append(row)
            values.append(value - 300.0 - grown)
            own.append(u_own**2)
    rows, values, own = np.array(rows), np.array(values), np.array(own)
    known = np.array([0.0, *(1 / s**2 for s in spread), 1.0, 1.0, 1.0])
    precision = np.diag(known) + rows.T / own @ rows
    unknowns = np.linalg.solve(precision, rows.T @ (values / own))
    start_sd = 1e4
    shown = rows @ np.diag([start_sd**2, *(s**2 for s in spread), 1.0, 1.0, 1.0]) @ rows.T + np.diag(own)
    _, log_det = np.linalg.slogdet(shown)
    evidence = -0.5 * (values @ np.linalg.solve(shown, values) + log_det + len(values) * math.log(2 * math.pi))
    flat = -math.log(start_sd) - 0.5 * math.log(2 * math.pi)
    return 300.0 + grown + gap @ unknowns, gap @ np.linalg.solve(precision, gap), evidence - flat


def test_the_filter_is_the_dense_normal_distribution():
    """With repeats, an unread pass, gauges that share an error over passes, and one whose share differs from reading to reading."""
    nodes = filtered(LOOKS)
    mean, variance, evidence = dense(LOOKS)
    assert nodes.mean[0, 0] / UM == pytest.approx(mean, rel=1e-10)
    assert nodes.cov[0, 0, 0] / UM**2 == pytest.approx(variance, rel=1e-9)
    assert nodes.log_evidence[0] + 6 * math.log(UM) == pytest.approx(evidence, abs=1e-5)


def test_the_first_reading_tells_nothing_of_rate_scatter_or_gauge():
    nodes = node().anew(Reading(300 * UM, 4 * UM, 3 * UM, "a"))
    assert nodes.log_evidence[0] == 0.0
    assert nodes.cov[0, 0, 0] == pytest.approx(25 * UM**2, rel=1e-12)
    assert nodes.cov[1, 1, 0] == 1.0
    assert nodes.cov[0, 1, 0] == pytest.approx(-3 * UM, rel=1e-12)


def test_repeats_lessen_only_their_own_part():
    nodes = node().anew(Reading(300 * UM, 4 * UM, 3 * UM, "a"))
    for _ in range(15):
        nodes = nodes.seen(Reading(300 * UM, 4 * UM, 3 * UM, "a"))
    assert nodes.cov[0, 0, 0] == pytest.approx((16 / 16 + 9) * UM**2, rel=1e-9)


def test_a_gauge_error_cancels_in_the_growth():
    """The evidence of a growth between two readings does not depend on what the two have in common."""
    found = []
    for shared in (0.0, 20 * UM):
        nodes = node().anew(Reading(300 * UM, 4 * UM, shared, "a")).filed(5.0)
        found.append(nodes.seen(Reading(362 * UM, 4 * UM, shared, "a")).log_evidence[0])
    assert found[0] == pytest.approx(found[1], rel=1e-9)


@pytest.mark.parametrize(
    ("low", "high"),
    [(-1.0, 0.5), (0.2, 0.9), (-math.inf, -0.3), (1.5, math.inf), (3.0, 4.0), (-6.5, -6.0), (-9.0, 9.0), (2.0, 2.1)],
)
def test_a_cut_normal_by_quadrature(low, high):
    points, weights = np.polynomial.legendre.leggauss(200)
    start, width = max(low, -12.0), min(high, 12.0) - max(low, -12.0)
    x = start + 0.5 * width * (points + 1)
    mass, mean, square = ((0.5 * width * weights * x**k * np.exp(-0.5 * x**2)).sum() for k in range(3))
    mass, mean, square = (value / math.sqrt(2 * math.pi) for value in (mass, mean, square))
    log_z, at, variance = cut_normal(np.array([low]), np.array([high]))
    assert log_z[0] == pytest.approx(math.log(mass), abs=1e-8)
    assert at[0] == pytest.approx(mean / mass, rel=1e-7, abs=1e-12)
    assert variance[0] == pytest.approx(square / mass - (mean / mass) ** 2, rel=1e-6)


@given(low=st.floats(-60, 60), width=st.floats(1e-7, 80))
def test_a_cut_normal_stays_between_its_bounds(low, width):
    log_z, mean, variance = cut_normal(np.array([low]), np.array([low + width]))
    assert np.isfinite(log_z[0])
    assert log_z[0] <= 1e-12
    assert low <= mean[0] <= low + width
    assert 0.0 <= variance[0] <= min(1.0, (0.5 * width) ** 2) * (1 + 1e-6)


def test_a_narrow_cut_joins_the_wider_ones():
    """Where the closed formula gives way to a flat piece, both say the same."""
    for low in (-3.0, 0.0, 2.0):
        (a, m, v), (b, n, w) = (cut_normal(np.array([low]), np.array([low + width])) for width in (0.9e-3, 1.1e-3))
        assert b[0] - a[0] == pytest.approx(math.log(1.1 / 0.9), abs=1e-3)
        assert n[0] - m[0] == pytest.approx(0.1e-3, rel=1e-2)
        assert w[0] / v[0] == pytest.approx((1.1 / 0.9) ** 2, rel=1e-3)


def test_blades_have_exact_evidence_and_the_right_moments():
    """Blades of .35 and .40 mm after a pass, by quadrature over the gap; the blades have some error of their own."""
    before = node().anew(Reading(300 * UM, 6 * UM)).filed(6.0)
    mean, sd = before.mean[0, 0] / UM, math.sqrt(before.cov[0, 0, 0]) / UM
    own = 3.0

    def goes(gap, power):
        inside = 0.5 * (math.erf((400 - gap) / own / math.sqrt(2)) - math.erf((350 - gap) / own / math.sqrt(2)))
        return gap**power * density((gap - mean) / sd) / sd * inside

    mass, first, second = (
        integrate.quad(goes, 320, 430, args=(k,), points=[350, 400], epsrel=1e-11)[0] for k in range(3)
    )
    after = before.seen(Between(350 * UM, 400 * UM, own * UM))
    assert after.log_evidence[0] == pytest.approx(math.log(mass), abs=1e-8)
    assert after.mean[0, 0] / UM == pytest.approx(first / mass, rel=1e-7)
    assert after.cov[0, 0, 0] / UM**2 == pytest.approx(second / mass - (first / mass) ** 2, rel=1e-5)


def test_a_first_look_with_blades_is_flat_between_them():
    nodes = node().anew(Between(300 * UM, 360 * UM))
    assert nodes.mean[0, 0] == pytest.approx(330 * UM, rel=1e-12)
    assert nodes.cov[0, 0, 0] == pytest.approx((60 * UM) ** 2 / 12, rel=1e-12)
