"""Path of a journal in its bearing under a load that comes round again and again, by the mobility method.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| e | offset | offset of the journal from the bearing's centre over the radial clearance, x and y | – |
| F | load_n | load on the journal, x and y, evenly spaced in time over one period | N |
| w̄ | mean_speed_rad_s | mean of the speeds of journal and bearing, less that of the axes | rad/s |
| k | softness | psi² / (B D eta): what a newton moves a journal that has mobility 1, in clearances a second | 1/(N s) |

e' = k |F| M + w̄ × e, stepped by the classical Runge-Kutta method, one step a sample, more where the film is thin; the load between samples by a cubic
through four of them. Turned round and round until the path closes. Weight and inertia of the journal are in the load or left out.

References
----------
J. F. Booker, "Dynamically loaded journal bearings: mobility method of solution", 1965. No orbit with a printed table was to be had: under a moving
load not validated. Held against its steady limit, the closed form for short bearings, and its own halved steps.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.compiled import compiled
from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.mobility import DEEPEST_U, MobilityMap

Array = NDArray[np.float64]
MOST_TURNS = 200
CLOSED = 1e-5
"""A path counts as closed where its end lies no further from its start, in clearances."""
QUIETEST_N = 1e-9


@dataclass(frozen=True)
class Orbit:
    """Paths of many bearings over one period. `offset`: bearings × samples × 2; `film` is the smallest gap over the clearance, at `film_angle_rad`
    in the axes of the load; `peak` the largest pressure over F / (B D); `edge` E times the speed M |F| k, 1/s; `power` F · (e' - w̄ × e), N/s: what
    the squeeze of the film takes, over the clearance. `gap` is what is left open between end and start of the path, `turns` how many periods it took.
    """

    offset: Array
    film: Array
    film_angle_rad: Array
    peak: Array
    edge: Array
    power: Array
    gap: Array
    turns: NDArray[np.int64]

    @property
    def closed(self) -> NDArray[np.bool_]:
        """Which paths came round to where they began."""
        return np.asarray(self.gap <= CLOSED)

    @property
    def held(self) -> NDArray[np.bool_]:
        """Which paths stayed off the map's edge, at an eccentricity of 0.999."""
        return np.asarray(self.film.min(axis=1) > 1.01 * (1.0 - E_MOST))


def orbits(
    maps: Sequence[MobilityMap],
    load_n: Array,
    mean_speed_rad_s: Numbers,
    softness: Array,
    period_s: float,
    start: Array | None = None,
) -> Orbit:
    """Closed paths of bearings, each with its map, its load (bearings × samples × 2) and its softness.

    `mean_speed_rad_s` is one number, or one for each bearing and sample. `start` are offsets to begin with, as those of a path found before.

    Raises
    ------
    ValueError
        For a softness or period that is not above nil, shapes that do not fit, or a speed not finite.
    """
    count, samples, _ = load_n.shape
    keep_above("period", period_s, 0.0, "s")
    keep_above("softness", softness, 0.0)
    keep_within("samples of a period", float(samples), 8.0, 1e6)
    speeds = np.ascontiguousarray(np.broadcast_to(np.asarray(mean_speed_rad_s, dtype=np.float64), (count, samples)))
    if (
        len(maps) != count
        or softness.shape != (count,)
        or not np.isfinite(speeds).all()
        or not np.isfinite(load_n).all()
    ):
        raise ValueError("orbits: maps, loads and softness must be as many as the bearings, and finite.")
    load = np.ascontiguousarray(load_n, dtype=np.float64)
    tables = np.stack([each.tables for each in maps])
    begin = np.zeros((count, 2)) if start is None else np.ascontiguousarray(start, dtype=np.float64)
    offset, left, turns, looked = _turned(
        tables, load, _between(load), speeds, _between(speeds), softness, period_s / samples, begin
    )
    e = np.hypot(offset[..., 0], offset[..., 1])
    size = np.hypot(load[..., 0], load[..., 1])
    return Orbit(
        offset,
        1.0 - e,
        np.arctan2(offset[..., 1], offset[..., 0]),
        looked[..., 0],
        looked[..., 1] * size * softness[:, None],
        looked[..., 2] * size**2 * softness[:, None],
        left,
        turns,
    )


def _between(samples: Array) -> Array:
    """Values half-way between samples of a period: a cubic through the four around."""
    near = samples + np.roll(samples, -1, axis=1)
    far = np.roll(samples, 1, axis=1) + np.roll(samples, -2, axis=1)
    return np.asarray((9.0 * near - far) / 16.0)


U_MOST = DEEPEST_U
E_MOST = 1.0 - math.exp(-DEEPEST_U)
THINNED = 0.1
"""In one step the film may grow or shrink by this share of itself, or the step is divided."""
MOST_PARTS = 64


@compiled
def _look(tables: Array, ex: float, ey: float, fx: float, fy: float) -> tuple[float, float, float, float]:
    """Mobility along and 90° across a load, peak pressure and edge flow: the table read with straight lines between its nodes."""
    size = math.sqrt(fx * fx + fy * fy)
    if size < QUIETEST_N:
        return 0.0, 0.0, 0.0, 0.0
    e = math.sqrt(ex * ex + ey * ey)
    if e > E_MOST:
        ex, ey, e = ex * E_MOST / e, ey * E_MOST / e, E_MOST
    x, y = (ex * fx + ey * fy) / size, (fx * ey - fy * ex) / size
    u = -math.log(1.0 - e) / U_MOST * (tables.shape[1] - 1)
    s = math.sqrt(math.atan2(abs(y), x) / math.pi) * (tables.shape[2] - 1)
    i, j = min(int(u), tables.shape[1] - 2), min(int(s), tables.shape[2] - 2)
    u, s = u - i, s - j
    a, b, c, d = (1.0 - u) * (1.0 - s), (1.0 - u) * s, u * (1.0 - s), u * s
    root = math.sqrt(1.0 - x)
    t = tables[:, i : i + 2, j : j + 2]
    along = math.exp(a * t[0, 0, 0] + b * t[0, 0, 1] + c * t[0, 1, 0] + d * t[0, 1, 1]) * root**5
    across = -y * math.exp(a * t[1, 0, 0] + b * t[1, 0, 1] + c * t[1, 1, 0] + d * t[1, 1, 1]) * root**3
    peak = math.exp(a * t[2, 0, 0] + b * t[2, 0, 1] + c * t[2, 1, 0] + d * t[2, 1, 1])
    edge = math.exp(a * t[3, 0, 0] + b * t[3, 0, 1] + c * t[3, 1, 0] + d * t[3, 1, 1])
    return along, across, peak, edge


@compiled
def _speed(tables: Array, ex: float, ey: float, fx: float, fy: float, w: float, k: float) -> tuple[float, float]:
    along, across, _, _ = _look(tables, ex, ey, fx, fy)
    return k * (along * fx - across * fy) - w * ey, k * (along * fy + across * fx) + w * ex


@compiled
def _step(tables: Array, ex: float, ey: float, loads: Array, speeds: Array, k: float, dt: float) -> tuple[float, float]:
    """One sample further. `loads` (3 × 2) and `speeds` (3) at its beginning, middle and end, a parabola between."""
    vx, vy = _speed(tables, ex, ey, loads[0, 0], loads[0, 1], speeds[0], k)
    thin = max(1.0 - math.sqrt(ex * ex + ey * ey), 1.0 - E_MOST)
    closing = abs(vx * ex + vy * ey) / max(math.sqrt(ex * ex + ey * ey), 1e-12)
    parts = min(1 + int(closing * dt / (THINNED * thin)), MOST_PARTS)
    h = dt / parts
    for part in range(parts):
        f = np.empty((3, 3))
        for n in range(3):
            t = (part + 0.5 * n) / parts
            p, q, r = (1.0 - t) * (1.0 - 2.0 * t), 4.0 * t * (1.0 - t), t * (2.0 * t - 1.0)
            f[n, 0] = p * loads[0, 0] + q * loads[1, 0] + r * loads[2, 0]
            f[n, 1] = p * loads[0, 1] + q * loads[1, 1] + r * loads[2, 1]
            f[n, 2] = p * speeds[0] + q * speeds[1] + r * speeds[2]
        ax, ay = _speed(tables, ex, ey, f[0, 0], f[0, 1], f[0, 2], k)
        bx, by = _speed(tables, ex + 0.5 * h * ax, ey + 0.5 * h * ay, f[1, 0], f[1, 1], f[1, 2], k)
        cx, cy = _speed(tables, ex + 0.5 * h * bx, ey + 0.5 * h * by, f[1, 0], f[1, 1], f[1, 2], k)
        dx, dy = _speed(tables, ex + h * cx, ey + h * cy, f[2, 0], f[2, 1], f[2, 2], k)
        ex += h / 6.0 * (ax + 2.0 * bx + 2.0 * cx + dx)
        ey += h / 6.0 * (ay + 2.0 * by + 2.0 * cy + dy)
        e = math.sqrt(ex * ex + ey * ey)
        if e > E_MOST:
            ex, ey = ex * E_MOST / e, ey * E_MOST / e
    return ex, ey


@compiled
def _turned(
    tables: Array, load: Array, load_between: Array, w: Array, w_between: Array, k: Array, dt: float, start: Array
) -> tuple[Array, Array, NDArray[np.int64], Array]:
    """Each bearing round and round until its path closes; then what the map says along it."""
    count, samples = w.shape
    offset, looked = np.empty((count, samples, 2)), np.empty((count, samples, 3))
    left, turns = np.empty(count), np.empty(count, dtype=np.int64)
    f, v = np.empty((3, 2)), np.empty(3)
    for i in range(count):
        ex, ey = start[i, 0], start[i, 1]
        for turn in range(MOST_TURNS):
            x, y = ex, ey
            for n in range(samples):
                offset[i, n, 0], offset[i, n, 1] = ex, ey
                after = (n + 1) % samples
                f[0], f[1], f[2] = load[i, n], load_between[i, n], load[i, after]
                v[0], v[1], v[2] = w[i, n], w_between[i, n], w[i, after]
                ex, ey = _step(tables[i], ex, ey, f, v, k[i], dt)
            left[i], turns[i] = math.sqrt((ex - x) ** 2 + (ey - y) ** 2), turn + 1
            if left[i] <= CLOSED:
                break
        for n in range(samples):
            along, across, peak, edge = _look(tables[i], offset[i, n, 0], offset[i, n, 1], load[i, n, 0], load[i, n, 1])
            looked[i, n, 0], looked[i, n, 1], looked[i, n, 2] = peak, edge * math.sqrt(along**2 + across**2), along
    return offset, left, turns, looked
