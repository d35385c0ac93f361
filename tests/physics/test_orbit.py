"""Paths of journals under moving loads: convergence, an independent integrator, symmetry; and bearings at work."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from blockwright.physics.journal_orbit import orbits
from blockwright.physics.mobility import mobility_map, short_map
from blockwright.physics.oil import walther
from blockwright.physics.plain_bearing import (
    Motion,
    OilSupply,
    PlainBearing,
    Running,
    Window,
    at_temperature,
    clearance_window,
    over_clearances,
    running,
)
from blockwright.physics.reynolds import squeeze, steady

PERIOD, SPEED, SOFT = 0.02, 200.0 * math.pi, 1.0  # s, rad/s, 1/(N s)


def load(t):
    """A bump once a period on a turning load, as an engine's; N, made up."""
    a = 4.0 * math.pi * np.asarray(t) / PERIOD
    bump = np.exp(4.0 * (np.cos(0.5 * (a - 6.6)) - 1.0))
    return np.stack([9000.0 * bump - 1500.0 * np.cos(a), 1200.0 * np.sin(a) + 600.0 * np.cos(2.0 * a)], axis=-1)


def path(n, kept, turned=0.0, soft=SOFT, times=1.0, start=None):
    f = times * load(np.arange(n) * PERIOD / n)
    c, s = math.cos(turned), math.sin(turned)
    f = f @ np.array([[c, s], [-s, c]])
    return orbits([kept], f[None], 0.5 * SPEED, np.array([soft]), PERIOD, start)


SHORT = short_map(0.4)


def errors(kept, sizes, finest):
    best = path(finest, kept)
    return [float(np.abs(path(n, kept).offset[0] - best.offset[0, :: finest // n]).max()) for n in sizes]


def test_steps_converge_with_their_fourth_power_where_the_map_is_smooth():
    coarse, fine = errors(SHORT, (360, 1440), 11520)
    assert math.log(coarse / fine) / math.log(4.0) > 3.8
    assert fine < 1e-6


def test_steps_converge_on_the_finite_map():
    """Its straight pieces leave kinks, which take a step of fourth order down towards the second."""
    coarse, middle, fine = errors(mobility_map(0.5), (180, 720, 2880), 11520)
    assert math.log(coarse / fine) / math.log(16.0) > 1.9
    assert coarse > middle > fine
    assert middle < 1e-4


def test_smallest_film_at_one_degree():
    one, best = path(720, mobility_map(0.5)), path(11520, mobility_map(0.5))
    assert one.film.min() == pytest.approx(best.film.min(), rel=1e-3)
    assert one.peak.max() == pytest.approx(best.peak.max(), rel=5e-3)


def test_an_independent_integrator_finds_the_same_path():
    """Booker's closed form written out again, by an implicit method of another family, over two periods from the centre."""

    def speed(t, e):
        f = load(t % PERIOD)
        size = math.hypot(*f)
        u = f / size
        x, y = e @ u, u[0] * e[1] - u[1] * e[0]
        along = (1.0 - x) ** 2.5 / (math.pi * 0.4**2)
        across = -4.0 * y * (1.0 - x) ** 1.5 / (math.pi * 0.4) ** 2
        v = SOFT * size * (along * u + across * np.array([-u[1], u[0]]))
        return v + 0.5 * SPEED * np.array([-e[1], e[0]])

    n = 1440
    at = 3.0 * PERIOD + np.arange(n) * PERIOD / n
    other = solve_ivp(speed, (0.0, 4.0 * PERIOD), [0.0, 0.0], method="Radau", t_eval=at, rtol=1e-8, atol=1e-10)
    assert path(n, SHORT).offset[0] == pytest.approx(other.y.T, abs=5e-5)


def test_the_path_closes_wherever_it_began():
    first, other = (path(720, mobility_map(0.5), start=np.array([at])) for at in ([0.0, 0.0], [-0.6, 0.7]))
    assert first.closed.all()
    assert other.closed.all()
    assert other.offset == pytest.approx(first.offset, abs=1e-4)


def test_the_path_turns_with_the_load():
    straight, turned = path(720, mobility_map(0.5)), path(720, mobility_map(0.5), turned=2.0)
    assert turned.film == pytest.approx(straight.film, rel=1e-6)
    assert np.cos(turned.film_angle_rad - straight.film_angle_rad - 2.0) == pytest.approx(1.0)


def test_only_load_times_softness_counts():
    assert path(720, SHORT, soft=SOFT / 2, times=2.0).offset == pytest.approx(path(720, SHORT).offset, rel=1e-9)


def test_many_bearings_are_each_as_if_alone():
    f = np.stack([k * load(np.arange(720) * PERIOD / 720) for k in (0.5, 1.0, 2.0)])
    many = orbits([SHORT] * 3, f, 0.5 * SPEED, np.full(3, SOFT), PERIOD)
    for i, times in enumerate((0.5, 1.0, 2.0)):
        assert many.offset[i] == pytest.approx(path(720, SHORT, times=times).offset[0], rel=1e-12)
    assert np.all(np.diff(many.film.min(axis=1)) < 0.0)


def test_what_an_orbit_refuses():
    with pytest.raises(ValueError, match="softness"):
        path(720, SHORT, soft=0.0)
    with pytest.raises(ValueError, match="as many"):
        orbits([SHORT] * 2, np.zeros((1, 720, 2)), 1.0, np.ones(1), PERIOD)


OIL = OilSupply(walther(40.0, 90e-6, 100.0, 14e-6), 860.0, 100.0, 4e5, 0.8, 3.5e-3)
ROD = PlainBearing(0.048, 0.024, 0.025e-3, hole_m=0.004)
MAIN = PlainBearing(0.048, 0.052, 0.025e-3, groove_m=0.004)  # lands 24 mm wide, as ROD
STILL = Motion(np.stack([load(np.arange(720) * PERIOD / 720)]), 0.5 * SPEED, SPEED, PERIOD)


@pytest.fixture(scope="module")
def rod():
    return running([ROD], STILL, OIL)


def test_a_grooved_bearing_is_two_lands_with_half_the_load_each(rod):
    at = np.array([120.0])
    one = at_temperature([ROD], STILL, OIL, at)
    two = at_temperature([MAIN], replace(STILL, load_n=2.0 * STILL.load_n), OIL, at)
    assert two.film_m == pytest.approx(one.film_m)
    assert two.peak_pa == pytest.approx(one.peak_pa)
    assert two.loss_w == pytest.approx(2.0 * one.loss_w)
    assert two.side_flow_m3_s == pytest.approx(one.side_flow_m3_s)


def test_the_temperature_is_the_mean_of_in_and_out(rod):
    assert rod.settled.all()
    assert rod.temperature_c == pytest.approx(0.5 * (OIL.feed_c + rod.out_c), abs=0.03)
    heat = OIL.heat_share * rod.loss_w
    flow = rod.side_flow_m3_s + rod.feed_flow_m3_s
    assert heat == pytest.approx(flow * 790.0 * 2000.0 * (rod.out_c - OIL.feed_c), rel=0.05)


def test_a_steady_load_loses_what_its_friction_takes():
    """The loss by the film's own balance of power is friction × load × speed, with the friction of ISO 7902-2."""
    f = np.zeros((1, 720, 2))
    f[..., 0] = 4000.0
    found = at_temperature([ROD], replace(STILL, load_n=f), OIL, np.array([110.0]))
    e, eta = np.hypot(*found.offset[0, 0]), found.viscosity_pa_s[0]
    beta = math.atan2(found.offset[0, 0, 1], found.offset[0, 0, 0])
    psi = 2.0 * ROD.clearance_m / ROD.diameter_m
    so = 4000.0 / (ROD.diameter_m * ROD.width_m) * psi**2 / (eta * SPEED)
    f_over_psi = math.pi / (so * math.sqrt(1.0 - e**2)) + 0.5 * e * math.sin(beta)
    assert found.loss_w[0] == pytest.approx(f_over_psi * psi * 4000.0 * SPEED * 0.5 * ROD.diameter_m, rel=1e-3)
    assert found.peak_pa[0] == pytest.approx(4000.0 / (ROD.diameter_m * ROD.width_m) / table_of(e).peak_ratio, rel=0.02)


def table_of(e):
    return steady(float(e), ROD.width_m / ROD.diameter_m)


def test_side_flow_of_a_steady_load_is_the_solvers():
    """A film that may stand anywhere starts a little before the widest gap, and presses out 2.4 % more than the table's, which starts there."""
    f = np.zeros((1, 720, 2))
    f[..., 0] = 4000.0
    found = at_temperature([ROD], replace(STILL, load_n=f), OIL, np.array([110.0]))
    e, radius = float(np.hypot(*found.offset[0, 0])), 0.5 * ROD.diameter_m
    pressed = squeeze(e, -0.5 * math.pi, ROD.width_m / ROD.diameter_m).edge_flow * 0.5 * e * SPEED
    wanted = ROD.clearance_m * radius**3 / (3.0 * ROD.width_m) * pressed
    assert found.side_flow_m3_s[0] == pytest.approx(wanted, rel=0.002)
    entering = table_of(e).flow * radius * ROD.clearance_m * SPEED / (2.0 * math.pi) * ROD.width_m
    assert found.side_flow_m3_s[0] == pytest.approx(table_of(e).side_share * entering, rel=0.03)


def test_thicker_oil_and_a_cooler_feed_thicken_the_film(rod):
    thick = running([ROD], STILL, replace(OIL, line=walther(40.0, 160e-6, 100.0, 19e-6), hths_pa_s=4.5e-3))
    cool = running([ROD], STILL, replace(OIL, feed_c=80.0))
    assert thick.film_m > rod.film_m
    assert cool.film_m > rod.film_m
    assert thick.temperature_c > rod.temperature_c


def test_film_over_clearance_has_a_best():
    c = np.linspace(0.008e-3, 0.06e-3, 14)
    found = over_clearances(ROD, c, STILL, OIL)
    assert found.settled.all()
    assert 0 < int(np.argmax(found.film_m)) < len(c) - 1
    assert np.all(np.diff(found.temperature_c) < 0.0)
    again = running([replace(ROD, clearance_m=float(c[5]))], STILL, OIL)
    assert found.film_m[5] == pytest.approx(again.film_m[0], rel=2e-3)


def made_up(film_m, temperature_c):
    n = np.zeros(len(film_m))
    ok = np.ones(len(film_m), dtype=bool)
    film, temperature = np.asarray(film_m), np.asarray(temperature_c)
    return Running(film, n, n.astype(int), n, n, n, n, temperature, n, n, n, ok)


def test_the_window_ends_where_a_bound_is_just_kept():
    c = np.array([1.0, 2.0, 3.0, 4.0]) * 1e-5
    found = made_up([0.5e-6, 1.5e-6, 1.5e-6, 0.5e-6], [130.0, 120.0, 110.0, 105.0])
    window = clearance_window(c, found, 1e-6, 60.0, 150.0)
    assert (window.least_m, window.most_m) == pytest.approx((1.5e-5, 3.5e-5))
    assert clearance_window(c, found, 2e-6, 60.0, 150.0) is None
    assert clearance_window(c, found, 0.1e-6, 60.0, 150.0) == Window(None, None)
    by_heat = clearance_window(c, found, 0.1e-6, 60.0, 125.0)
    assert (by_heat.least_m, by_heat.most_m) == (pytest.approx(1.5e-5), None)


def test_a_window_needs_three_clearances_that_grow():
    with pytest.raises(ValueError, match="three clearances"):
        clearance_window(np.array([1e-5, 2e-5]), made_up([1e-6] * 2, [100.0] * 2), 1e-6, 60.0, 150.0)


def test_what_a_bearing_refuses():
    with pytest.raises(ValueError, match="clearance"):
        PlainBearing(0.048, 0.02, 0.001)
    with pytest.raises(ValueError, match="groove"):
        PlainBearing(0.048, 0.02, 0.025e-3, groove_m=0.019)


def test_a_load_beyond_the_map_is_not_called_settled():
    crushed = at_temperature([ROD], replace(STILL, load_n=1e4 * STILL.load_n), OIL, np.array([120.0]))
    assert not crushed.settled.any()
