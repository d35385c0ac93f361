"""Pressure in a plain bearing of finite width, from Reynolds' equation: two dimensions, rigid, one viscosity, no pressure below nil.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| B/D | width_ratio | width of the bearing over its diameter | – |
| e | eccentricity | offset of the journal over the radial clearance c | – |
| t | angle_rad | place round the bearing, from the narrowest gap, in the direction of rotation | rad |
| H | gap | gap over the radial clearance: 1 - e cos t | – |
| Z | – | place along half the width: 0 in the middle, 1 at the edge | – |
| P | pressure | p psi² / (eta v), psi = c / R, v the speed of the journal's centre in clearances a second | – |
| a | direction_rad | direction of that speed, seen from the line of centres | rad |

Seen from a frame that turns with the mean of the two surfaces' speeds every motion is a squeeze:
d/dt(H³ dP/dt) + (D/B)² d/dZ(H³ dP/dZ) = -12 cos(t - a) with P ≥ 0. Turning steadily at w is the squeeze e w / 2 straight against the rotation.

Balances over cells, second order in both directions; cells crowd where the gap is narrow (Sommerfeld's angle) and at the edge. Where the film
gives way is found by trying sets of cells until pressure and balance both agree (a semismooth Newton method, which ends exactly).

References
----------
A. A. Raimondi, J. Boyd, "A solution for the finite journal bearing and its application to analysis and design", 1958. ISO 7902-2. Checked in
`tests/published` against their tables.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solveh_banded
from scipy.optimize import brentq

from blockwright.physics.guards import keep_within

Array = NDArray[np.float64]
NARROWEST, WIDEST = 0.05, 1.5
DEEPEST = 0.9995
ROUND, ALONG = 192, 12
MOST_TRIES = 60


@dataclass(frozen=True)
class Grid:
    """Cells round the bearing and along half its width: centres, faces and widths; gaps at centres and faces."""

    angle_rad: Array
    face_rad: Array
    round_rad: Array
    along: Array
    gap: Array
    face_gap: Array


@dataclass(frozen=True)
class Pressure:
    """Pressure of a squeeze of unit speed: P over round × half the width, and what is had from it.

    `load` is F psi² / (B D eta v): components along the line of centres and 90° further; `edge_flow` the integral of H³ (-dP/dZ) round one edge.
    """

    grid: Grid
    pressure: Array
    load: tuple[float, float]
    edge_flow: float

    @property
    def peak(self) -> float:
        """Largest P."""
        return float(self.pressure.max())

    @property
    def load_size(self) -> float:
        """The load without its direction."""
        return math.hypot(*self.load)


@dataclass(frozen=True)
class Steady:
    """A steadily turning bearing under a steady load: what the tables print.

    `sommerfeld` is So = p̄ psi² / (eta w); `raimondi_boyd` S = 1 / (2 pi So); `attitude_rad` from the load to the line of centres; `friction` f R / c;
    `flow` Q / (R c N B) that enters the film, N in turns a second; `side_share` of it that leaves at the sides; `peak_ratio` p̄ / pmax.
    """

    eccentricity: float
    sommerfeld: float
    attitude_rad: float
    friction: float
    flow: float
    side_share: float
    peak_ratio: float

    @property
    def raimondi_boyd(self) -> float:
        """Their characteristic number S."""
        return 1.0 / (2.0 * math.pi * self.sommerfeld)


def squeeze(
    eccentricity: float,
    direction_rad: float,
    width_ratio: float,
    cells: tuple[int, int] = (ROUND, ALONG),
    started: bool = False,
) -> Pressure:
    """Pressure of a journal that moves with unit speed in a direction seen from the line of centres.

    `started` lets the film begin at the widest gap and nowhere else, as the steady tables do; otherwise it may stand anywhere round the circle.

    Raises
    ------
    ValueError
        Outside eccentricities 0 to 0.9995 or widths 0.05 to 1.5 diameters.
    """
    keep_within("eccentricity", eccentricity, 0.0, DEEPEST)
    keep_within("width over diameter", width_ratio, NARROWEST, WIDEST)
    grid = _grid(eccentricity, *cells)
    sources = 12.0 * np.diff(np.sin(grid.face_rad - direction_rad))
    opposite = int(np.argmin(np.cos(grid.angle_rad - direction_rad)))
    p = _film(grid, sources, width_ratio, 0 if started else opposite, moved=not started)
    round_it = grid.round_rad * (p @ grid.along)
    load = 0.5 * float(round_it @ np.cos(grid.angle_rad)), 0.5 * float(round_it @ np.sin(grid.angle_rad))
    edge = float((grid.round_rad * grid.gap**3) @ p[:, -1]) / (0.5 * float(grid.along[-1]))
    return Pressure(grid, p, load, edge)


def steady(eccentricity: float, width_ratio: float, cells: tuple[int, int] = (ROUND, ALONG)) -> Steady:
    """A bearing that turns steadily: the film starts at the widest gap with no pressure, and ends where Reynolds lets it.

    Example
    -------
    B/D 1, e 0.8 (Butenschön: So 3.5663; Raimondi and Boyd: (r/c) f 1.70):

    >>> found = steady(0.8, 1.0)
    >>> f"{found.sommerfeld:.1f} {found.friction:.2f}"
    '3.6 1.70'
    """
    keep_within("eccentricity", eccentricity, 1e-3, DEEPEST)
    found = squeeze(eccentricity, -0.5 * math.pi, width_ratio, cells, started=True)
    half = 0.5 * eccentricity
    so = half * found.load_size
    attitude = math.atan2(-found.load[1], found.load[0])
    side = math.pi / 6.0 * half * found.edge_flow / width_ratio**2
    flow = _entering(found, half)
    friction = friction_over_clearance(so, eccentricity, attitude)
    return Steady(eccentricity, so, attitude, friction, flow, side / flow, so / (half * found.peak))


def steady_under(sommerfeld: float, width_ratio: float, cells: tuple[int, int] = (ROUND, ALONG)) -> Steady:
    """The steadily turning bearing that carries a load, given as So.

    Raises
    ------
    ValueError
        For a load that would need an eccentricity under 0.001 or over 0.9995.
    """

    def short_of(eccentricity: float) -> float:
        return math.log(steady(eccentricity, width_ratio, cells).sommerfeld / sommerfeld)

    if not (sommerfeld > 0.0 and short_of(1e-3) < 0.0 < short_of(DEEPEST)):
        raise ValueError(
            f"bearing load: So = {sommerfeld:g} lies beyond the eccentricities 0.001 to 0.9995 that can be solved."
        )
    return steady(float(brentq(short_of, 1e-3, DEEPEST, xtol=1e-7)), width_ratio, cells)


def friction_over_clearance(sommerfeld: float, eccentricity: float, attitude_rad: float) -> float:
    """Coefficient of friction on the journal over psi, with drag all round: pi / (So sqrt(1 - e²)) + e sin(beta) / 2 (ISO 7902-2)."""
    return math.pi / (sommerfeld * math.sqrt(1.0 - eccentricity**2)) + 0.5 * eccentricity * math.sin(attitude_rad)


def _entering(found: Pressure, half: float) -> float:
    """Q / (R c N B) through the first face after the widest gap: pi H - (pi/6) H³ dP/dt."""
    g, p = found.grid, found.pressure
    slope = half * float(p[1] @ g.along) / float(g.angle_rad[1] - g.angle_rad[0])
    h = float(g.face_gap[1])
    return math.pi * h - math.pi / 6.0 * h**3 * slope


@lru_cache(maxsize=64)
def _grid(eccentricity: float, n: int, m: int) -> Grid:
    """Half of the cells spread evenly, half by Sommerfeld's angle, which crowds them where the gap is narrow."""
    places = np.arange(2 * n, dtype=np.float64) * (math.pi / n) - math.pi
    centre, after = _crowded(eccentricity, places[::2]), _crowded(eccentricity, places[1::2])
    face = np.concatenate([[after[-1] - 2.0 * math.pi], after])
    along = np.diff(np.sin(0.5 * math.pi * np.linspace(0.0, 1.0, m + 1)))
    gap, face_gap = 1.0 - eccentricity * np.cos(centre), 1.0 - eccentricity * np.cos(face)
    return Grid(centre, face, np.diff(face), along, gap, face_gap)


def _crowded(eccentricity: float, rank: Array) -> Array:
    """Angles t whose mean with their Sommerfeld angle is `rank`, by halving."""
    ratio = math.sqrt((1.0 + eccentricity) / (1.0 - eccentricity))
    low, high = np.full_like(rank, -math.pi), np.full_like(rank, math.pi)
    for _ in range(50):
        middle = 0.5 * (low + high)
        short = 0.5 * middle + np.arctan(ratio * np.tan(0.5 * middle)) < rank
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return 0.5 * (low + high)


def _film(grid: Grid, sources: Array, width_ratio: float, cut: int, moved: bool) -> Array:
    """Pressure at all cells, with none in the column `cut`, where the circle is opened; it is moved to where no film is, if it must be."""
    for _ in range(8):
        p = np.roll(_opened(grid, sources, width_ratio, cut), cut, axis=0)
        if not moved or _inflow(grid, sources, width_ratio, p, cut) <= 1e-9:
            return p
        cut = _emptiest(p)
    raise ArithmeticError("the film has no place without pressure; the bearing is too wide for this method")


def _inflow(grid: Grid, sources: Array, width_ratio: float, p: Array, cut: int) -> float:
    """How much more flows into the column left out than it could hold without pressure: nil or less where it was rightly left out."""
    n = len(p)
    before, after = (cut - 1) % n, (cut + 1) % n
    t = grid.angle_rad
    left = grid.face_gap[cut] ** 3 * p[before] / ((t[cut] - t[before]) % (2.0 * math.pi))
    right = grid.face_gap[(cut + 1) % n] ** 3 * p[after] / ((t[after] - t[cut]) % (2.0 * math.pi))
    return float(np.max(left + right + sources[cut]))


def _emptiest(p: Array) -> int:
    """Middle of the longest stretch of columns without pressure; where there is none, the column with the least."""
    empty = np.concatenate([p.max(axis=1) <= 0.0] * 2)
    if not empty.any():
        return int(np.argmin(p.sum(axis=1)))
    lengths = np.zeros(len(empty), dtype=int)
    for i in range(len(empty)):
        lengths[i] = (lengths[i - 1] + 1 if i else 1) if empty[i] else 0
    end = int(np.argmax(lengths))
    return (end - min(int(lengths[end]), len(p)) // 2) % len(p)


def _opened(grid: Grid, sources: Array, width_ratio: float, cut: int) -> Array:
    """The film with its circle opened at a column: banded balances, rows of cells without pressure set aside until none is wrong."""
    n, m = len(sources), len(grid.along)
    gap, face_gap = np.roll(grid.gap, -cut), np.roll(grid.face_gap[:-1], -cut)
    turn = np.roll(grid.angle_rad, -cut)
    step = (np.roll(turn, -1) - turn) % (2.0 * math.pi)
    width = np.roll(grid.round_rad, -cut)[1:]
    b = (np.roll(sources, -cut)[1:, None] * grid.along).ravel()
    across = (np.roll(face_gap, -1) ** 3 / step)[:, None] * grid.along  # between column i and the next
    apart = 0.5 * (grid.along[1:] + grid.along[:-1])
    side = (gap[1:] ** 3 * width / width_ratio**2)[:, None]
    inner = side / apart
    edge = side[:, 0] / (0.5 * grid.along[-1])
    diagonal = across[:-1] + across[1:]
    diagonal[:, :-1] += inner
    diagonal[:, 1:] += inner
    diagonal[:, -1] += edge
    bands = np.zeros((m + 1, (n - 1) * m))
    bands[0] = diagonal.ravel()
    bands[1].reshape(n - 1, m)[:, :-1] = -inner
    bands[m, : (n - 2) * m] = -across[1:-1].ravel()
    p = _without_suction(bands, b, m)
    return np.concatenate([np.zeros((1, m)), p.reshape(n - 1, m)])


def _without_suction(bands: Array, b: Array, m: int) -> Array:
    """Pressure p ≥ 0 with A p ≥ b, and equal wherever p > 0; A by its diagonal and lower bands 1 and m."""
    full = b > 0.0
    for _ in range(MOST_TRIES):
        kept = full.astype(np.float64)
        masked = np.zeros_like(bands)
        masked[0] = np.where(full, bands[0], 1.0)
        for k in (1, m):
            masked[k, :-k] = bands[k, :-k] * kept[:-k] * kept[k:]
        p = solveh_banded(masked, b * kept, lower=True, check_finite=False, overwrite_ab=True)
        short = b - bands[0] * p
        for k in (1, m):
            short[k:] -= bands[k, :-k] * p[:-k]
            short[:-k] -= bands[k, :-k] * p[k:]
        again = np.where(full, p > 0.0, short > 0.0)
        if np.array_equal(again, full):
            return np.asarray(p)
        full = again
    raise ArithmeticError("the edge of the film was not found")
