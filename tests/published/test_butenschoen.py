"""H.-J. Butenschön, "Das hydrodynamische, zylindrische Gleitlager endlicher Breite unter instationärer Belastung", dissertation, Karlsruhe 1976.

Its table of the steady 360° bearing, So and attitude, as it is reprinted with ISO 7902-2:1998, "Hydrodynamic plain journal bearings, functions". So = p̄ psi² / (eta w);
e is our eccentricity, beta our attitude in degrees. Typed from a copy.

Tolerance: our solver 1 % of So and .2° of attitude; the closed form of ISO 7902-2 7 % of So. The moving-load map, whose film may stand anywhere, 3 % of So, and 5° of
attitude (1.5° where B/D is 1/2 or less), at its steady limit. Attitude is compared where the table was to be had: B/D 1 and 1/2.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from blockwright.physics.bearing_formulas import sommerfeld_closed
from blockwright.physics.journal_orbit import orbits
from blockwright.physics.mobility import mobility_map
from blockwright.physics.reynolds import squeeze, steady, steady_under

pytestmark = pytest.mark.published

WIDTHS = (1.0, 0.5, 0.25)
SO = {
    0.2: (0.2518, 0.0783, 0.0210),
    0.4: (0.6108, 0.2026, 0.0560),
    0.6: (1.3146, 0.4982, 0.1476),
    0.8: (3.5663, 1.7339, 0.6043),
    0.9: (8.4352, 5.0881, 2.1595),
    0.95: (18.7895, 13.3083, 6.9248),
    0.97: (33.1297, 25.5920, 15.2697),
}
BETA = {0.2: (73.858, 75.142), 0.6: (50.536, 48.049), 0.9: (26.482, 23.566)}
ROWS = [(e, x, so) for e, row in SO.items() for x, so in zip(WIDTHS, row, strict=True)]
ANGLES = [(e, x, beta) for e, row in BETA.items() for x, beta in zip(WIDTHS, row, strict=False)]


@pytest.mark.parametrize(("e", "x", "so"), ROWS)
def test_load(e, x, so):
    assert steady(e, x).sommerfeld == pytest.approx(so, rel=0.01)


@pytest.mark.parametrize(("e", "x", "beta"), ANGLES)
def test_attitude(e, x, beta):
    assert math.degrees(steady(e, x).attitude_rad) == pytest.approx(beta, abs=0.2)


@pytest.mark.parametrize(("e", "x", "so"), ROWS[1::4])
def test_the_load_gives_its_eccentricity_back(e, x, so):
    """1 % of So is at most half as much of the film, in these rows."""
    assert 1.0 - steady_under(so, x).eccentricity == pytest.approx(1.0 - e, rel=0.01)


@pytest.mark.parametrize(("e", "x", "so"), ROWS)
def test_closed_form(e, x, so):
    assert float(sommerfeld_closed(e, x)) == pytest.approx(so, rel=0.07)


@pytest.mark.parametrize(("e", "x", "so"), ROWS)
def test_film_standing_anywhere(e, x, so):
    assert 0.5 * e * squeeze(e, -0.5 * math.pi, x).load_size == pytest.approx(so, rel=0.03)


@pytest.mark.parametrize(("e", "x", "beta"), ANGLES)
def test_attitude_of_a_film_standing_anywhere(e, x, beta):
    load = squeeze(e, -0.5 * math.pi, x).load
    assert math.degrees(math.atan2(-load[1], load[0])) == pytest.approx(beta, abs=1.5 if x <= 0.5 else 5.0)


def test_a_journal_under_a_steady_load_settles_in_the_table():
    """The whole way through map and orbit, B/D 1/2: with k F = So and w = 1 the path must shrink to the table's point."""
    e = np.array([row for row in SO if row in BETA])
    load = np.zeros((3, 720, 2))
    load[..., 0] = np.array([SO[row][1] for row in e])[:, None]
    found = orbits([mobility_map(0.5)] * 3, load, 0.5, np.ones(3), 4.0 * math.pi)
    assert found.closed.all()
    assert found.film[:, 0] == pytest.approx(1.0 - e, rel=0.02)
    assert np.degrees(found.film_angle_rad[:, 0]) == pytest.approx([BETA[row][1] for row in e], abs=1.5)
