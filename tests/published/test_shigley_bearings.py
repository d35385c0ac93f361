"""J. E. Shigley, C. R. Mischke, R. G. Budynas, "Mechanical Engineering Design", 2004, examples 12-1 to 12-4.

One bearing in four steps: 4 µreyn, 30 turns a second, 500 lbf, r .75 in, c .0015 in, l 1.5 in. Inputs as printed; answers from memory, read off Raimondi's and Boyd's
charts by the authors.

Tolerance: 3 %, a chart's reading.
"""

from __future__ import annotations

import math

import pytest

from blockwright.physics.reynolds import steady_under

pytestmark = pytest.mark.published

VISCOSITY, TURNS, LOAD, RADIUS, CLEARANCE, WIDTH = 4e-6, 30.0, 500.0, 0.75, 0.0015, 1.5  # reyn, 1/s, lbf, in
MEAN_PRESSURE = LOAD / (2.0 * RADIUS * WIDTH)
S = (RADIUS / CLEARANCE) ** 2 * VISCOSITY * TURNS / MEAN_PRESSURE
READING = 0.03


@pytest.fixture(scope="module")
def found():
    return steady_under(1.0 / (2.0 * math.pi * S), WIDTH / (2.0 * RADIUS))


def test_characteristic_number(found):
    assert pytest.approx(0.135, abs=0.0005) == S
    assert found.raimondi_boyd == pytest.approx(S, rel=1e-5)


def test_12_1_film_and_attitude(found):
    assert CLEARANCE * (1.0 - found.eccentricity) == pytest.approx(0.00063, rel=READING)
    assert math.degrees(found.attitude_rad) == pytest.approx(53.0, rel=READING)


def test_12_2_friction(found):
    f = found.friction * CLEARANCE / RADIUS
    assert f == pytest.approx(0.0070, rel=READING)
    assert f * LOAD * RADIUS == pytest.approx(2.62, rel=READING)


def test_12_3_flow(found):
    q = found.flow * RADIUS * CLEARANCE * TURNS * WIDTH
    assert q == pytest.approx(0.217, rel=READING)
    assert q * found.side_share == pytest.approx(0.142, rel=READING)


def test_12_4_peak(found):
    assert MEAN_PRESSURE / found.peak_ratio == pytest.approx(529.0, rel=READING)
