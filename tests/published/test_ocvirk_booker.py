"""J. F. Booker, "Dynamically loaded journal bearings: mobility method of solution", Journal of Basic Engineering 87, 1965; and
F. W. Ocvirk, "Short-bearing approximation for full journal bearings", NACA TN 2808, 1952; with ISO 7902-2:1998, "Hydrodynamic plain journal bearings, functions".

Closed forms, no table: Ocvirk's eccentricity and attitude under a steady load, Booker's mobility of a short bearing. They are compared with each other and with
our finite solver in the limit of little width.

Tolerance: a steady load settles within .003 of Ocvirk's eccentricity and .7° of its attitude, since Booker's mobility is a fit to the short bearing (the fit's own root,
found without our stepping, is met to 1e-4: the rest is the fit's); finite and short
agree within 1.5 % at B/D .05 up to e .5, and differ by about 5 % at e .8 and 98 % at .99 for B/D 1/8 (± 1 and ± 5 %), which is why the program uses finite maps.
The squeeze formula of the standard is met within 5 % nearing the wall.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import fsolve

from blockwright.physics.bearing_formulas import (
    attitude_short_rad,
    sommerfeld_short,
    squeeze_closed,
    squeeze_short,
)
from blockwright.physics.journal_orbit import orbits
from blockwright.physics.mobility import short_map
from blockwright.physics.reynolds import squeeze, steady

pytestmark = pytest.mark.published


def test_mobility_at_the_centre_is_exact():
    """1 / (pi (B/D)²): from the half circle of pressure 6 (B/D)² (1 - Z²) cos t, integrated by hand."""
    for x in (0.125, 0.25, 0.5):
        assert math.exp(short_map(x).tables[0, 0, 0]) == pytest.approx(1.0 / (math.pi * x**2))
        assert float(squeeze_short(0.0, x)) == pytest.approx(math.pi * x**2)


@pytest.mark.parametrize("e", [0.1, 0.3, 0.5, 0.7, 0.9])
def test_a_steady_load_settles_where_ocvirk_says(e):
    load = np.zeros((1, 720, 2))
    load[..., 0] = float(sommerfeld_short(e, 0.25))
    found = orbits([short_map(0.25)], load, 0.5, np.ones(1), 4.0 * math.pi)
    assert found.closed.all()
    assert 1.0 - found.film[0, 0] == pytest.approx(e, abs=0.003)
    assert math.degrees(found.film_angle_rad[0, 0] - float(attitude_short_rad(e))) == pytest.approx(0.0, abs=0.7)
    assert found.offset[0, 0] == pytest.approx(rest_of_the_fit(load[0, 0, 0], 0.25), abs=1e-4)


def rest_of_the_fit(load, x):
    """Where Booker's mobility moves a journal as fast as the rotation carries it back: along the load and 90° further, w = 1."""

    def speed(at):
        along, across = at
        out = load * (1.0 - along) ** 2.5 / (math.pi * x**2) - 0.5 * across
        round_it = -4.0 * load * across * (1.0 - along) ** 1.5 / (math.pi**2 * x**2) + 0.5 * along
        return out, round_it

    return fsolve(speed, (0.3, 0.3), xtol=1e-12)


@pytest.mark.parametrize("e", [0.1, 0.3, 0.5])
def test_the_finite_solver_meets_the_short_bearing(e):
    narrow = steady(e, 0.05)
    assert narrow.sommerfeld == pytest.approx(float(sommerfeld_short(e, 0.05)), rel=0.015)
    assert narrow.attitude_rad == pytest.approx(float(attitude_short_rad(e)), abs=math.radians(0.5))
    assert squeeze(e, 0.0, 0.05).load_size == pytest.approx(float(squeeze_short(e, 0.05)), rel=0.015)
    assert squeeze(e, math.pi, 0.05).load_size == pytest.approx(float(squeeze_short(-e, 0.05)), rel=0.015)


@pytest.mark.parametrize(("e", "over", "within"), [(0.8, 0.05, 0.01), (0.99, 0.98, 0.05)])
def test_how_wrong_short_theory_is(e, over, within):
    assert float(sommerfeld_short(e, 0.125)) / steady(e, 0.125).sommerfeld - 1.0 == pytest.approx(over, abs=within)


@pytest.mark.parametrize("e", [0.0, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95])
@pytest.mark.parametrize("x", [0.25, 0.5, 1.0])
def test_squeeze_formula_of_the_standard(e, x):
    assert squeeze(e, 0.0, x).load_size == pytest.approx(float(squeeze_closed(e, x)), rel=0.05)
