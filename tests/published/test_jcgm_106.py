"""Probability that a measured thing conforms.

Source: JCGM 106:2012, "Evaluation of measurement data - The role of measurement uncertainty in conformity assessment", clause 7: the
example of a motor oil's kinematic viscosity between two limits (clause 7.4), and of a breakdown voltage below one limit (clause 7.3).
Inputs, printed results (0.66, 0.92) and clauses are from memory; .6626 and .9192 were worked out independently from the inputs.

Symbols: y is Estimate.value, u is Estimate.u, T_L and T_U are low and high, p_c is Chances.inside.
Tolerance: half a unit of the last digit given.

Also here, because the clauses define them: the best that a reading in the middle can reach, 2 Phi(T/2u) - 1, and a reading 2u inside one
limit under a normal and a t distribution, .977, .942 and .908 (table of Student's t, from memory, and integrated below).
Skipped: risks of consumer and producer (clauses 9.3 to 9.5), which need a distribution of the production.
"""

import math

import numpy as np
import pytest

from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.verdict import Rule, Verdict, best_possible, chances, decide

pytestmark = pytest.mark.published


def measured(value, u, dof=math.inf):
    return Estimate(value, {Source(Cause.MODEL, "all"): Share(u, dof)})


def test_motor_oil_between_two_limits():
    chance = chances(measured(13.6, 1.8), 12.5, 16.3)
    assert chance.inside == pytest.approx(0.66, abs=0.005)
    assert chance.inside == pytest.approx(0.6626, abs=5e-5)
    assert chance.below == pytest.approx(0.2706, abs=5e-5)  # Phi(-0.6111), table of the normal distribution
    assert chance.above == pytest.approx(0.0668, abs=5e-5)  # Phi(-1.5)
    assert decide(measured(13.6, 1.8), 12.5, 16.3, Rule()) is Verdict.UNDECIDED


def test_breakdown_voltage_below_one_limit():
    chance = chances(measured(-5.47, 0.05), None, -5.40)
    assert chance.inside == pytest.approx(0.92, abs=0.005)
    assert chance.inside == pytest.approx(0.9192, abs=5e-5)
    assert chance.below == 0.0
    assert decide(measured(-5.47, 0.05), None, -5.40, Rule(0.95)) is Verdict.UNDECIDED
    assert decide(measured(-5.47, 0.05), None, -5.40, Rule(0.90)) is Verdict.CONFORMS


@pytest.mark.parametrize("widths_of_u", [0.5, 1.0, 2.0, 3.92, 4.0, 6.0])
def test_the_best_possible_is_the_middle(widths_of_u):
    """2 Phi(T/2u) - 1 is erf(T / (2 sqrt(2) u)); no other value does better."""
    u = 2e-6
    low, high = 50e-6, 50e-6 + widths_of_u * u
    best = best_possible(measured(0.0, u), low, high)
    assert best == pytest.approx(math.erf(widths_of_u / (2 * math.sqrt(2))), rel=1e-12)
    assert all(
        chances(measured(value, u), low, high).inside <= best + 1e-15
        for value in np.linspace(low - 4 * u, high + 4 * u, 101)
    )


@pytest.mark.parametrize(("capability", "provable"), [(0.97, False), (0.979, False), (0.981, True), (0.99, True)])
def test_nothing_conforms_at_95_per_cent_below_a_capability_of_0_98(capability, provable):
    """Cm = T/4u; 2 Phi(2 Cm) - 1 = 0.95 at Cm = 1.95996 / 2."""
    low, high, u = 0.0, 40e-6, 10e-6 / capability
    assert decide(measured(20e-6, u), low, high, Rule(0.95)) is (Verdict.CONFORMS if provable else Verdict.UNDECIDED)


@pytest.mark.parametrize(("dof", "printed"), [(math.inf, 0.977), (4, 0.942), (2, 0.908)])
def test_two_u_inside_one_limit(dof, printed):
    estimate = measured(62e-6, 3e-6, dof)
    assert chances(estimate, 62e-6 - 2 * 3e-6, None).inside == pytest.approx(printed, abs=5e-4)
    assert chances(estimate, None, 62e-6 + 2 * 3e-6).inside == pytest.approx(printed, abs=5e-4)
    assert chances(estimate, None, 62e-6 + 2 * 3e-6).inside == pytest.approx(integrated(dof), rel=1e-6)


def integrated(dof):
    """P(T < 2) by a trapezoidal sum over the density from 0 to 2, a route of its own."""
    t = np.linspace(0.0, 2.0, 20_001)
    if math.isinf(dof):
        density = np.exp(-0.5 * t * t) / math.sqrt(2 * math.pi)
    else:
        density = (
            math.gamma((dof + 1) / 2)
            / math.gamma(dof / 2)
            / math.sqrt(dof * math.pi)
            * (1 + t * t / dof) ** (-(dof + 1) / 2)
        )
    return 0.5 + float(np.trapezoid(density, t))
