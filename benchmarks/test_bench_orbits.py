"""The paths of nine bearings side by side, in one run: the program's compiled steps, a plain numpy loop, scipy's integrators; and a steady one.

All solve the same equations, Booker's for short bearings in their closed form, under the same loads, round and round until the path closes, to the
same thinnest film within one part in a thousand; the closed form is written anew here, and the program reads it from its map. The steady case is
held against ross (plain short bearing), where `make oracles` has set that up.
"""

import math
import time
from collections.abc import Callable
from importlib.util import find_spec
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from blockwright.physics.bearing_formulas import sommerfeld_short
from blockwright.physics.journal_orbit import orbits
from blockwright.physics.mobility import short_map

Array = NDArray[np.float64]
Say = Callable[[str], None]
STEPS, SPEED, WIDTH = 720, 200.0 * math.pi, 0.4
PERIOD = 4.0 * math.pi / SPEED
SOFT = np.concatenate([np.full(4, 2.3e-1), np.full(5, 1.4e-1)])
SUBSTEPS, TURNS = 16, 3
NEAR = 1e-3


def load() -> Array:
    """Nine loads over a period: a bump of gas, and inertia; each bearing's begins elsewhere."""
    a = np.arange(STEPS) * 4.0 * math.pi / STEPS - np.arange(9)[:, None] * math.pi
    bump = 12e3 * np.exp(8.0 * (np.cos(0.5 * (a - 0.3)) - 1.0))
    return np.stack([bump - 4e3 * np.cos(a), 3e3 * np.sin(a)], axis=-1)


def at(forces: Array, share: float) -> Array:
    """Loads at a share of the period, straight between samples."""
    place = share % 1.0 * STEPS
    first, part = int(place) % STEPS, place - int(place)
    return (1.0 - part) * forces[:, first] + part * forces[:, (first + 1) % STEPS]


def moved(e: Array, f: Array) -> Array:
    """Booker's closed form for all bearings at once: speeds of the journals over their clearances."""
    size = np.hypot(f[:, 0], f[:, 1])
    ux, uy = f[:, 0] / size, f[:, 1] / size
    x, y = e[:, 0] * ux + e[:, 1] * uy, ux * e[:, 1] - uy * e[:, 0]
    along = SOFT * size * np.maximum(1.0 - x, 1e-9) ** 2.5 / (math.pi * WIDTH**2)
    across = -SOFT * size * 4.0 * y * np.maximum(1.0 - x, 1e-9) ** 1.5 / (math.pi * WIDTH) ** 2
    w = 0.5 * SPEED
    return np.stack([along * ux - across * uy - w * e[:, 1], along * uy + across * ux + w * e[:, 0]], axis=-1)


def ours(forces: Array) -> Array:
    found = orbits([short_map(WIDTH)] * 9, forces, 0.5 * SPEED, SOFT, PERIOD)
    assert found.closed.all()
    return np.asarray(found.film.min(axis=1))


def plain(forces: Array) -> Array:
    """Fourth-order Runge-Kutta over whole arrays of bearings, one Python step after another."""
    e, h, film = np.zeros((9, 2)), PERIOD / STEPS / SUBSTEPS, np.ones(9)
    count = STEPS * SUBSTEPS
    for step in range(TURNS * count):
        begin, middle, end = (at(forces, (step + part) / count) for part in (0.0, 0.5, 1.0))
        a = moved(e, begin)
        b = moved(e + 0.5 * h * a, middle)
        c = moved(e + 0.5 * h * b, middle)
        e = e + h / 6.0 * (a + 2.0 * b + 2.0 * c + moved(e + h * c, end))
        if step >= (TURNS - 1) * count:
            film = np.minimum(film, 1.0 - np.hypot(e[:, 0], e[:, 1]))
    return film


def integrated(method: str) -> Callable[[Array], Array]:
    def run(forces: Array) -> Array:
        def speed(t: float, e: Array) -> Array:
            return moved(e.reshape(9, 2), at(forces, t / PERIOD)).ravel()

        times = (TURNS - 1) * PERIOD + np.arange(STEPS) * PERIOD / STEPS
        found = solve_ivp(speed, (0.0, TURNS * PERIOD), np.zeros(18), method, times, rtol=1e-6, atol=1e-8)
        path = found.y.T.reshape(-1, 9, 2)
        return np.asarray((1.0 - np.hypot(path[..., 0], path[..., 1])).min(axis=0))

    return run


def took(run: Callable[[Array], Array], forces: Array, rounds: int) -> tuple[float, Array]:
    times, film = [], np.ones(9)
    for _ in range(rounds):
        begun = time.perf_counter()
        film = run(forces)
        times.append(time.perf_counter() - begun)
    return sorted(times)[len(times) // 2], film


def test_side_by_side(say: Say) -> None:
    forces = load()
    wanted, film = took(ours, forces, 21)
    say(f"nine paths, 720 steps, to a closed path: {1e3 * wanted:.1f} ms   aim: 30 ms")
    for name, run, rounds in (
        ("a plain numpy loop", plain, 1),
        *((f"scipy {method}", integrated(method), 1) for method in ("LSODA", "Radau", "RK45")),
    ):
        other, found = took(run, forces, rounds)
        say(f"the same by {name}: {1e3 * other:.0f} ms, {other / wanted:.0f} times as long")
        assert np.allclose(found, film, rtol=20 * NEAR, atol=NEAR)


@pytest.mark.skipif(find_spec("ross") is None, reason="make oracles sets ross up")
def test_steady_against_ross(say: Say) -> None:
    """Ocvirk's bearing at rest under a weight: ours led there by its path, ross by its root."""
    import ross as others

    weight, width, diameter, clearance, viscosity, speed = 525.0, 0.030, 0.100, 0.1e-3, 0.1, 1000.0 * math.pi / 30
    begun = time.perf_counter()
    made: Any = others.CylindricalBearing(
        n=0, speed=[speed], weight=weight, bearing_length=width, journal_diameter=diameter, radial_clearance=clearance,
        oil_viscosity=viscosity,
    )  # fmt: skip
    theirs_s, eccentricity = time.perf_counter() - begun, float(np.ravel(made.eccentricity)[0])
    soft = np.array([(2.0 * clearance / diameter) ** 2 / (diameter * width * viscosity)])
    steady = np.broadcast_to(np.array([weight, 0.0]), (1, 90, 2))
    begun = time.perf_counter()
    path = orbits([short_map(width / diameter)], np.array(steady), 0.5 * speed, soft, 2.0 * math.pi / speed)
    ours_s = time.perf_counter() - begun
    say(f"a steady bearing: {1e3 * ours_s:.2f} ms by its path, ross {1e3 * theirs_s:.2f} ms")
    assert 1.0 - path.film[0, -1] == pytest.approx(eccentricity, abs=0.0026)
    so = weight / (diameter * width) * (2.0 * clearance / diameter) ** 2 / (viscosity * speed)
    assert float(sommerfeld_short(eccentricity, width / diameter)) == pytest.approx(so, rel=1e-3)
