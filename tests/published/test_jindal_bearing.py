"""U. C. Jindal, "Machine Design", 2010, example 17.4.

A bearing d = l = 60 mm, 3 kN, 30 mPa s, radial clearance .06 mm, 1440 rev/min. The book takes Raimondi's and Boyd's rows h0/c .6 and .4 and draws a straight
line between them in S; the same is done here between our own solutions of those rows. Warming is its 8.3 p̄ (MPa) × (r/c) f / (Q/(r c N l)), °C.

Tolerance: 2 %, since the printed row h0/c .6 has an S that is 1.3 to 2 % high; S to its printed digits.
"""

from __future__ import annotations

import math

import pytest

from blockwright.physics.reynolds import steady

pytestmark = pytest.mark.published

WIDTH = DIAMETER = 0.060
CLEARANCE, LOAD, VISCOSITY, TURNS = 0.06e-3, 3000.0, 0.030, 1440.0 / 60.0
MEAN_PRESSURE = LOAD / (WIDTH * DIAMETER)
S = (0.5 * DIAMETER / CLEARANCE) ** 2 * VISCOSITY * TURNS / MEAN_PRESSURE


def between(name: str) -> float:
    thin, thick = steady(0.6, 1.0), steady(0.4, 1.0)
    share = (S - thin.raimondi_boyd) / (thick.raimondi_boyd - thin.raimondi_boyd)
    low, high = getattr(thin, name), getattr(thick, name)
    return low + share * (high - low)


def test_characteristic_number():
    assert pytest.approx(0.216, abs=0.0005) == S


def test_film():
    assert 1e3 * CLEARANCE * (1.0 - between("eccentricity")) == pytest.approx(0.032, rel=0.02)


def test_friction():
    assert between("friction") * CLEARANCE / (0.5 * DIAMETER) == pytest.approx(0.00985, rel=0.02)


def test_flow():
    litres = between("flow") * 0.5 * DIAMETER * CLEARANCE * TURNS * WIDTH * 6e4
    assert litres == pytest.approx(0.638, rel=0.02)


def test_warming():
    assert 8.3 * MEAN_PRESSURE * 1e-6 * between("friction") / between("flow") == pytest.approx(8.3, rel=0.02)
    assert math.isclose(MEAN_PRESSURE, 0.8333e6, rel_tol=1e-4)
