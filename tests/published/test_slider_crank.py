"""R. S. Khurmi and J. K. Gupta, "Theory of Machines", 2005, chapter 15, examples 15.4 and 15.5; H. N. Gupta, "Fundamentals of Internal Combustion
Engines", 2006, example 16.1 (years of the printings from memory).

The book of machines uses the two-term series v = w r (sin t + sin 2t / 2n), a = w² r (cos t + cos 2t / n), n = l / r, so its figures are compared with
that series exactly as printed, and the exact motion with the same figures to the size of the terms left out (under 1 %). Angles from the inner
dead centre, as here; distances in m. The engine book's example: 3.0 litres, six square cylinders, ratio 9, rod 172 mm, 3000 rev/min.

Tolerance: half a unit of the last printed digit, where the book rounds on the way as said beside the row; derivatives 1e-6.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from blockwright.physics.slider_crank import (
    mean_piston_speed_m_s,
    pin_acceleration_m_s2,
    pin_speed_m_s,
    travel_from_top_m,
)

pytestmark = pytest.mark.published

KHURMI = [  # throw, rod, rev/min, degrees; printed speed, printed acceleration
    (0.3, 1.5, 180, 40, 4.19, 85.36),
    (0.15, 0.6, 450, 60, 6.9, 124.91),
]


@pytest.mark.parametrize(("throw", "rod", "rpm", "degrees", "speed", "acceleration"), KHURMI)
def test_khurmi_gupta_15_4_and_15_5(throw, rod, rpm, degrees, speed, acceleration):
    w, t, ratio = rpm * math.pi / 30, math.radians(degrees), rod / throw
    series_v = w * throw * (math.sin(t) + math.sin(2 * t) / (2 * ratio))
    series_a = w**2 * throw * (math.cos(t) + math.cos(2 * t) / ratio)
    assert series_v == pytest.approx(speed, abs=0.05 if speed == 6.9 else 0.005)
    assert series_a == pytest.approx(acceleration, rel=2e-3)  # the book rounds w to four digits
    assert -pin_speed_m_s(t, w, throw, rod) == pytest.approx(series_v, rel=3e-3)
    assert -pin_acceleration_m_s2(t, w, throw, rod) == pytest.approx(series_a, rel=5e-3)


def test_khurmi_gupta_15_4_angle_of_no_acceleration():
    throw, rod, w = 0.3, 1.5, 180 * math.pi / 30
    exact = brentq(lambda t: pin_acceleration_m_s2(t, w, throw, rod), 1.0, 1.57)
    assert math.degrees(exact) == pytest.approx(
        79.27, abs=0.2
    )  # printed by the series; the terms left out move it by .17°


def test_gupta_16_1():
    bore = (3.0e-3 / 6 * 4 / math.pi) ** (1 / 3)
    assert round(1e3 * bore, 1) == 86.0
    throw, rod, w = bore / 2, 0.172, 3000 * math.pi / 30
    assert mean_piston_speed_m_s(w, bore) == pytest.approx(8.60, abs=5e-3)
    t = math.radians(20)
    assert -pin_speed_m_s(t, w, throw, rod) == pytest.approx(5.71, abs=0.05)
    travel = float(travel_from_top_m(t, throw, rod))
    assert 1e3 * travel == pytest.approx(3.2, abs=0.05)
    clearance = 3.0e-3 / 6 / 8
    assert 1e6 * clearance == pytest.approx(62.5, abs=0.05)
    assert 1e6 * (clearance + math.pi / 4 * bore**2 * travel) == pytest.approx(
        81.24, rel=2e-3
    )  # it rounds the travel to 3.2


@pytest.mark.parametrize("offset", [-0.0012, 0.0, 0.0008])
def test_speed_and_acceleration_are_the_derivatives_of_the_height(offset):
    t, step = np.linspace(0, 2 * math.pi, 97), 1e-5
    x = [travel_from_top_m(t + k * step, 0.043, 0.137, offset) for k in (-1, 0, 1)]
    assert pin_speed_m_s(t, 1.0, 0.043, 0.137, offset) == pytest.approx(-(x[2] - x[0]) / (2 * step), rel=1e-6, abs=1e-9)
    assert pin_acceleration_m_s2(t, 1.0, 0.043, 0.137, offset) == pytest.approx(
        -(x[2] - 2 * x[1] + x[0]) / step**2, rel=1e-4, abs=3e-6
    )
