"""The law of the ring pack written anew, gas and rings together, for scipy's integrators; landings and leavings of rings are found as events.

Nothing here is taken from the program. The benchmark of the ring pack times the same integrators on it.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

SPEED, THROW, ROD = 5500 * math.pi / 30, 0.043, 0.137
G, RT, MU, CD, BELOW = 1.33, 287.0, 2.5e-5, 0.86, 101325.0
T = (480.0, 470.0, 450.0, 430.0, 400.0)
AROUND, SIDE, CLEAR, SEAT, PLAY = math.pi * 0.083, 3e-3, 2.5e-4, 1e-6, 5e-5
BEHIND, LAND = 2.5e-7, 6e-7
WIDE = (3.5e-4, 4.5e-4)
MASS = (0.011, 0.012)
RUB, DAMP = 15.0, 300.0
END = 4 * math.pi
FASTEST = 25.96712
"""Highest speed of the piston, m/s, from 10^6 angles."""
DOWN, FLYING, UP = 0, 1, 2
ATOL = [1.0, 1.0, 1.0, 1e-10, 1e-10, 1e-6, 1e-6, 1e-4]


def psi(pr):
    pr = max(pr, (2 / (G + 1)) ** (G / (G - 1)))
    return math.sqrt(2 * G / (G - 1) * (pr ** (2 / G) - pr ** ((G + 1) / G)))


def slot(opening, a, b, ta, tb):
    """Laminar, no more than it could choke at."""
    sign = 1.0
    if a < b:
        a, b, ta, sign = b, a, tb, -1.0
    laminar = AROUND * opening**3 * (a * a - b * b) / (24 * SIDE * MU * RT * ta)
    return sign * min(laminar, AROUND * opening * a / math.sqrt(RT * ta) * psi(0.0))


def gap(wide, a, b, ta, tb):
    """An orifice; within a thousandth of balance in proportion to the difference."""
    sign = 1.0
    if a < b:
        a, b, ta, sign = b, a, tb, -1.0
    pr = b / a
    number = psi(pr) if pr < 0.999 else psi(0.999) * (1 - pr) / 1e-3
    return sign * CD * wide * CLEAR * a / math.sqrt(RT * ta) * number


def chamber(angle):
    return 6.5e6 * math.exp(7.0 * (math.cos((angle - math.radians(13)) / 2) - 1.0)) + 1.0e5


def thrown(angle, mass):
    """What a ring's inertia and its friction on the bore do to it in its groove, m/s²."""
    s, c = THROW * math.sin(angle), THROW * math.cos(angle)
    y = math.sqrt(ROD * ROD - s * s)
    speed = SPEED * (-s - s * c / y)
    acceleration = SPEED**2 * (-c - (c * c - s * s) / y - (s * c) ** 2 / y**3)
    return -acceleration - RUB / mass * speed / math.sqrt(speed * speed + (0.02 * FASTEST) ** 2)


def pull(angle, y, i):
    """What pulls at ring i but for damping, m/s²."""
    above = chamber(angle) if i == 0 else y[1]
    below = y[1] if i == 0 else BELOW
    return thrown(angle, MASS[i]) - AROUND * (SIDE / 2 + CLEAR) * (above - below) / MASS[i]


def rates(angle, y, first, second):
    """Slopes by the angle: three pressures, two lifts, two speeds, and 10^9 times the mass blown by."""
    above = chamber(angle)
    over1 = slot(SEAT + PLAY - y[3], above, y[0], T[0], T[1])
    under1 = slot(SEAT + y[3], y[0], y[1], T[1], T[2])
    over2 = slot(SEAT + PLAY - y[4], y[1], y[2], T[2], T[3])
    under2 = slot(SEAT + y[4], y[2], BELOW, T[3], T[4])
    gap1, gap2 = gap(WIDE[0], above, y[1], T[0], T[2]), gap(WIDE[1], y[1], BELOW, T[2], T[4])
    out = np.zeros(8)
    out[0] = (over1 - under1) * RT * T[1] / BEHIND
    out[1] = (under1 + gap1 - over2 - gap2) * RT * T[2] / LAND
    out[2] = (over2 - under2) * RT * T[3] / BEHIND
    if first == FLYING:
        out[3], out[5] = y[5], pull(angle, y, 0) - DAMP / MASS[0] * y[5]
    if second == FLYING:
        out[4], out[6] = y[6], pull(angle, y, 1) - DAMP / MASS[1] * y[6]
    out[7] = 1e9 * (under2 + gap2)
    return out / SPEED


COMPILED_TOO = ("psi", "slot", "gap", "chamber", "thrown", "pull", "rates")
"""Functions that a compiler may be let loose on, in their order."""


@dataclass
class Path:
    """Where a cycle went: pressures and lifts at angles, the state at its end, how each ring stands, mass blown by, pieces."""

    y: np.ndarray
    end: np.ndarray
    modes: list
    blown: float
    pieces: int


def happens(i, what):
    """Events of ring i, by how it stands; each ends a piece."""

    def leaves(angle, y, *modes):
        return pull(angle, y, i)

    def at_bottom(angle, y, *modes):
        return y[3 + i]

    def at_top(angle, y, *modes):
        return y[3 + i] - PLAY

    events = {DOWN: [(leaves, 1)], UP: [(leaves, -1)], FLYING: [(at_bottom, -1), (at_top, 1)]}[what]
    for event, direction in events:
        event.direction, event.terminal = direction, True
    return [event for event, _ in events]


def turned(angle, y, modes, i):
    """Ring i after its event: it leaves a side, or lands and rests there as long as it is pulled that way; it does not bounce."""
    if modes[i] != FLYING:
        modes[i] = FLYING
        return
    low = y[3 + i] < PLAY / 2
    y[3 + i], y[5 + i] = (0.0 if low else PLAY), 0.0
    if (pull(angle, y, i) < 0.0) == low:
        modes[i] = DOWN if low else UP


def one_cycle(start, modes, angles=(), method="Radau", rtol=1e-7):
    """From firing top to the next."""
    angle, y, modes, pieces = 0.0, np.array([*start[:7], 0.0]), list(modes), 0
    path = np.full((7, len(angles)), np.nan)
    while angle < END:
        events = [event for i in range(2) for event in happens(i, modes[i])]
        whose = [i for i in range(2) for _ in happens(i, modes[i])]
        found = solve_ivp(
            rates,
            (angle, END),
            y,
            method=method,
            rtol=rtol,
            atol=ATOL,
            args=tuple(modes),
            events=events,
            dense_output=len(angles) > 0,
        )
        assert found.status >= 0, found.message
        inside = [n for n, each in enumerate(angles) if angle <= each <= found.t[-1]]
        if inside:
            path[:, inside] = found.sol(angles[inside])[:7]
        angle, y, pieces = found.t[-1], found.y[:, -1].copy(), pieces + 1
        for i, when in zip(whose, found.t_events, strict=True):
            if len(when) and found.status == 1:
                turned(angle, y, modes, i)
    return Path(path, y, modes, y[7] / 1e9, pieces)


REST = np.array([BELOW, BELOW, BELOW, 0.0, 0.0, 0.0, 0.0])


def from_rest():
    """Both rings on their lower sides, and what pulls them off lets them go."""
    return REST, [DOWN if pull(0.0, REST, i) < 0.0 else FLYING for i in range(2)]


def the_pack():
    """The same pack for the program."""
    from blockwright.physics.ring_pack import Land, Pack, PackGas, Ring

    top = Ring(WIDE[0], CLEAR, PLAY, SIDE, SEAT, AROUND, BEHIND, T[1], MASS[0], RUB, DAMP)
    second = replace(top, gap_m=WIDE[1], behind_k=T[3], mass_kg=MASS[1])
    return Pack((top, second), (Land(LAND, T[2]),), T[0], T[4], PackGas(G, RT, MU, CD))


def the_motion(steps):
    from blockwright.physics.ring_pack import Motion

    angles = np.arange(steps) * (END / steps)
    return Motion(np.array([chamber(each) for each in angles]), SPEED, THROW, ROD, crankcase_pa=BELOW)


def from_the_programs(found):
    """State and stands of the rings where the program's cycle begins, at firing top, where both rings rest."""
    low, high = found.lift_m[:, 0] == 0.0, found.lift_m[:, 0] == PLAY
    assert (low | high).all()
    start = [found.behind_pa[0, 0], found.land_pa[0, 0], found.behind_pa[1, 0], *found.lift_m[:, 0], 0.0, 0.0]
    return start, [DOWN if each else UP for each in low]


@pytest.fixture(scope="module")
def apart():
    """The periodic cycle by Radau's method, to a tight tolerance, from where the program's finest cycle begins."""
    from blockwright.physics.ring_pack import run_pack

    angles = np.arange(720) * (END / 720)
    return one_cycle(*from_the_programs(run_pack(the_pack(), the_motion(5760))), angles, rtol=1e-8)


def test_the_fastest_of_the_piston_is_what_it_is_said_to_be():
    s, c = (THROW * f(np.linspace(0, math.pi, 10**6)) for f in (np.sin, np.cos))
    assert np.abs(SPEED * (-s - s * c / np.sqrt(ROD**2 - s**2))).max() == pytest.approx(FASTEST, rel=1e-5)


@pytest.mark.slow
def test_the_program_goes_where_the_independent_integrator_goes(apart):
    """Gas and rings together; the error falls with the step."""
    from blockwright.physics.ring_pack import run_pack

    assert apart.pieces > 6, "rings leave and land"
    wrong = []
    for steps in (720, 2880):
        found = run_pack(the_pack(), the_motion(steps))
        assert found.settled
        every = steps // 720
        land = np.abs(found.land_pa[0, ::every] - apart.y[1]).max() / apart.y[1].max()
        lift = np.abs(found.lift_m[:, ::every] - apart.y[3:5]).mean() / PLAY
        wrong.append((land, lift, abs(found.blow_by_kg / apart.blown - 1.0)))
    assert (np.array(wrong[0]) < (0.02, 0.02, 0.01)).all()
    assert (np.array(wrong[1]) < np.array(wrong[0]) / 2).all()


@pytest.mark.slow
def test_the_integrators_cycle_closes_where_the_programs_does(apart):
    """Begun where the program's cycle begins, it ends there too."""
    assert apart.modes == [DOWN, UP]
    assert apart.end[3:5] == pytest.approx([0.0, PLAY])
    assert apart.end[:3] == pytest.approx(apart.y[:3, 0], rel=2e-3)
