"""Plain bearings of an engine at work: smallest film, peak pressure, loss, oil flow and temperature for measured clearances; the clearance window.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| D, B | diameter_m, width_m | bore and whole width of the bearing | m |
| c | clearance_m | radial clearance: half the difference of the diameters | m |
| – | groove_m | width of an oil groove all the way round: two lands of (B - groove)/2 are left, each with half the load | m |
| – | hole_m | diameter of the feed hole where there is no groove | m |
| F | load_n | load on the journal over one period, bearings × samples × 2 | N |
| eta | viscosity_pa_s | viscosity of the film at its effective temperature, the mean of in and out | Pa s |

Loss = eta (w_j - w_b)² R³ B 2 pi / (c sqrt(1 - e²)) over the whole circle, broken film included, and F · (e' - w̄ × e) c, which the film's
pressure takes: all work done on the film, exactly, of a full one. Out of the sides flows what the pressure presses out; of a land beside a groove
only the outer half counts, as the inner returns. The feed adds p c³ (1 + 1.5 e²) pi D / (12 eta L) for each land, or from a hole
pi h³ p / (6 eta ln(B/d) q), q = 1.204 + 0.368 y - 1.046 y² + 1.942 y³, y = d/B (ISO 7902-2, q from memory).

Rigid, one viscosity for the whole film, oil not followed through the broken film, no starvation: above about 50 MPa it ranks bearings and does
not measure them. Its steady limit is held against printed tables; under a moving load not validated: no open table of an engine's bearing was found.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.mobility import mobility_map
from blockwright.physics.oil import Walther, density_kg_m3, film_viscosity_pa_s

Array = NDArray[np.float64]
RIGID_TO_PA = 50e6
HOTTEST_FILM_C = 200.0
SETTLED_K = 0.02
MOST_TRIES, FEW_TRIES = 40, 8


@dataclass(frozen=True)
class PlainBearing:
    """One bearing as measured. A groove all the way round, or a feed hole, or neither: then nothing but side flow carries heat away."""

    diameter_m: float
    width_m: float
    clearance_m: float
    groove_m: float = 0.0
    hole_m: float = 0.0

    def __post_init__(self) -> None:
        keep_above("bearing bore", self.diameter_m, 0.0, "m")
        keep_within("radial clearance over radius", 2.0 * self.clearance_m / self.diameter_m, 1e-4, 1e-2)
        keep_within("groove over width", self.groove_m / self.width_m, 0.0, 0.7)
        keep_within("feed hole over width", self.hole_m / self.width_m, 0.0, 0.7)

    @property
    def lands(self) -> int:
        """How many films share the load."""
        return 2 if self.groove_m > 0.0 else 1

    @property
    def land_m(self) -> float:
        """Width of each film."""
        return (self.width_m - self.groove_m) / self.lands


@dataclass(frozen=True)
class OilSupply:
    """Oil as it comes to the bearing. `heat_share` is the share of the loss that the oil carries off; the rest goes through metal."""

    line: Walther
    at_15_kg_m3: float
    feed_c: float
    feed_pa: float
    heat_share: float
    hths_pa_s: float | None = None
    heat_j_kg_k: float = 2000.0

    def __post_init__(self) -> None:
        keep_within("oil feed temperature", self.feed_c, -30.0, 150.0, "°C")
        keep_within("oil feed pressure over the surroundings'", self.feed_pa, 0.0, 2e6, "Pa")
        keep_within("share of heat that the oil carries", self.heat_share, 0.0, 1.0)
        keep_above("specific heat of the oil", self.heat_j_kg_k, 0.0, "J/(kg K)")

    def viscosity_pa_s(self, temperature_c: Numbers) -> Array:
        """Viscosity in a film at a temperature."""
        return np.asarray(film_viscosity_pa_s(temperature_c, self.line, self.at_15_kg_m3, self.hths_pa_s))


@dataclass(frozen=True)
class Motion:
    """How bearings are turned and loaded over one period, in axes whose turning `mean_speed_rad_s` takes account of.

    `load_n`: on the journal, bearings × samples × 2. `mean_speed_rad_s`: (w_j + w_b)/2 - w_axes; `sliding_rad_s`: w_j - w_b; one number, or
    bearings × samples (a rod's wavers as it swings). `hole_rad`: where the feed hole is in those axes, likewise; without
    it the mean over all places is taken.
    """

    load_n: Array
    mean_speed_rad_s: Numbers
    sliding_rad_s: Numbers
    period_s: float
    hole_rad: Numbers | None = None

    def repeated(self, index: int, count: int) -> Motion:
        """The motion of one bearing, `count` times over."""

        def one(value: Numbers) -> Numbers:
            wide = np.broadcast_to(np.asarray(value), self.load_n.shape[:2])[index]
            return np.asarray(np.broadcast_to(wide, (count, *wide.shape)))

        load = np.broadcast_to(self.load_n[index], (count, *self.load_n.shape[1:]))
        hole = None if self.hole_rad is None else one(self.hole_rad)
        return Motion(load, one(self.mean_speed_rad_s), one(self.sliding_rad_s), self.period_s, hole)


@dataclass(frozen=True)
class Running:
    """Bearings at work: arrays over bearings, paths over bearings × samples × 2.

    `film_m` is the smallest film of the period, at `film_angle_rad` in the load's axes and sample `film_at`; flows and losses are means over the
    period; `temperature_c` the film's effective, `out_c` that of the oil that leaves; `settled` where the path closed within
    the map and the temperature came to rest.
    """

    film_m: Array
    film_angle_rad: Array
    film_at: NDArray[np.int64]
    peak_pa: Array
    loss_w: Array
    side_flow_m3_s: Array
    feed_flow_m3_s: Array
    temperature_c: Array
    out_c: Array
    viscosity_pa_s: Array
    offset: Array
    settled: NDArray[np.bool_]

    @property
    def measures(self) -> NDArray[np.bool_]:
        """Whether the pressure is low enough that a rigid film of one viscosity measures; beyond that it only ranks."""
        return np.asarray(self.peak_pa <= RIGID_TO_PA)


@dataclass(frozen=True)
class Window:
    """Radial clearances between which every bound is kept; None for an end that lies beyond those tried."""

    least_m: float | None
    most_m: float | None


def at_temperature(
    bearings: Sequence[PlainBearing],
    motion: Motion,
    supply: OilSupply,
    temperature_c: Array,
    start: Array | None = None,
) -> Running:
    """Bearings whose films have stated temperatures; `out_c` is then what their heat balance gives.

    Raises
    ------
    ValueError
        Outside what `orbits`, `mobility_map` or the oil's line hold for.
    """
    from blockwright.physics.journal_orbit import orbits  # it loads a compiler

    c, r, land, lands = _sizes(bearings)
    eta = supply.viscosity_pa_s(temperature_c)
    softness = (c / r) ** 2 / (2.0 * r * land * eta)
    maps = [mobility_map(each.land_m / each.diameter_m) for each in bearings]
    load = motion.load_n / lands[:, None, None]
    path = orbits(maps, load, motion.mean_speed_rad_s, softness, motion.period_s, start)
    e = 1.0 - path.film
    sliding = np.square(motion.sliding_rad_s)
    drag = eta * r**3 * land / c * 2.0 * math.pi * np.mean(sliding / np.sqrt(1.0 - e**2), axis=1)
    loss = lands * (drag + c * path.power.mean(axis=1))
    side = c * r**3 / (3.0 * land) * path.edge.mean(axis=1)
    feed = _feed(bearings, e, path.film_angle_rad, motion.hole_rad, eta) * supply.feed_pa
    keep_above("oil flow through a bearing", side + feed, 0.0, "m³/s")
    heat_flow = density_kg_m3(temperature_c, supply.at_15_kg_m3) * supply.heat_j_kg_k * (side + feed)
    at = np.argmin(path.film, axis=1)
    each = np.arange(len(bearings))
    return Running(
        film_m=c * path.film[each, at],
        film_angle_rad=path.film_angle_rad[each, at],
        film_at=at,
        peak_pa=np.max(path.peak * np.hypot(load[..., 0], load[..., 1]), axis=1) / (2.0 * r * land),
        loss_w=loss,
        side_flow_m3_s=side,
        feed_flow_m3_s=feed,
        temperature_c=np.asarray(temperature_c),
        out_c=supply.feed_c + supply.heat_share * loss / heat_flow,
        viscosity_pa_s=eta,
        offset=path.offset,
        settled=path.closed & path.held,
    )


def running(
    bearings: Sequence[PlainBearing], motion: Motion, supply: OilSupply, near: Running | None = None
) -> Running:
    """Bearings at work, the temperature of each film settled so that it is the mean of oil in and oil out.

    `near` are the same bearings at work with other numbers, where to begin looking. A film that would be hotter than 200 °C is left there and
    not `settled`.

    Raises
    ------
    ValueError
        Outside what the models hold for; for a load that is nil throughout (no oil would be pressed out).
    """
    start: Array | None = None if near is None else near.offset[:, 0]

    def tried(temperature_c: Array) -> Running:
        nonlocal start
        found = at_temperature(bearings, motion, supply, temperature_c, start)
        start = found.offset[:, 0]
        return found

    count = len(bearings)
    if near is not None:
        found = _near(tried, near, supply.feed_c)
        if bool(np.all(found.settled)):
            return found
    return _settled(tried, np.full(count, supply.feed_c), np.full(count, HOTTEST_FILM_C), supply.feed_c)


def over_clearances(
    bearing: PlainBearing, clearances_m: Array, motion: Motion, supply: OilSupply, index: int = 0
) -> Running:
    """One bearing of a motion at work with each of a row of radial clearances, all at once."""
    bearings = [replace(bearing, clearance_m=float(c)) for c in clearances_m]
    return running(bearings, motion.repeated(index, len(bearings)), supply)


def clearance_window(
    clearances_m: Array, found: Running, least_film_m: float, coolest_c: float, hottest_c: float
) -> Window | None:
    """Between which radial clearances the film is thick enough and its temperature within bounds; None where it is nowhere so.

    `least_film_m` is the combined roughness of shell and journal (read off the parts) times a margin. An end lies where the first bound, each taken
    as a straight line between clearances tried, is just kept. Of several stretches the widest is given. Peak pressure is not a bound here.

    Raises
    ------
    ValueError
        For fewer than three clearances, or clearances that do not grow.
    """
    c = np.asarray(clearances_m, dtype=np.float64)
    if len(c) < 3 or not bool(np.all(np.diff(c) > 0.0)):
        raise ValueError("clearance window: three clearances or more are needed, each larger than the one before.")
    keep_above("least film", least_film_m, 0.0, "m")
    keep_above("hottest film", hottest_c, coolest_c, "°C")
    unsettled = np.where(found.settled, 1.0, -1.0)
    bounds = (found.film_m - least_film_m, hottest_c - found.temperature_c, found.temperature_c - coolest_c, unsettled)
    return _widest(c, np.array(bounds))


def _widest(c: Array, spare: Array) -> Window | None:
    kept = np.concatenate([[False], np.all(spare >= 0.0, axis=0), [False]])
    firsts, lasts = np.flatnonzero(kept[1:] & ~kept[:-1]), np.flatnonzero(kept[:-1] & ~kept[1:]) - 1
    if len(firsts) == 0:
        return None

    def crossing(inside: int, outside: int) -> float | None:
        if not 0 <= outside < len(c):
            return None
        failed = spare[:, outside] < 0.0
        at, beyond = spare[failed, inside], spare[failed, outside]
        return float(c[inside] + (c[outside] - c[inside]) * np.min(at / (at - beyond)))

    widest = int(np.argmax(c[lasts] - c[firsts]))
    first, last = int(firsts[widest]), int(lasts[widest])
    return Window(crossing(first, first - 1), crossing(last, last + 1))


def _sizes(bearings: Sequence[PlainBearing]) -> tuple[Array, Array, Array, Array]:
    c = np.array([each.clearance_m for each in bearings])
    r = np.array([0.5 * each.diameter_m for each in bearings])
    return c, r, np.array([each.land_m for each in bearings]), np.array([float(each.lands) for each in bearings])


def _feed(bearings: Sequence[PlainBearing], e: Array, angle_rad: Array, hole_rad: Numbers | None, eta: Array) -> Array:
    """Flow that a pascal of feed pressure drives through each bearing, m³/(s Pa), mean over the period."""
    ring = np.mean(1.0 + 1.5 * e**2, axis=1)
    at_hole = ring if hole_rad is None else np.mean((1.0 - e * np.cos(angle_rad - hole_rad)) ** 3, axis=1)
    return np.array([_one_feed(*each) for each in zip(bearings, ring, at_hole, strict=True)]) / eta


def _one_feed(bearing: PlainBearing, ring: float, at_hole: float) -> float:
    c3 = bearing.clearance_m**3
    if bearing.groove_m > 0.0:
        return bearing.lands * math.pi * bearing.diameter_m * c3 * ring / (12.0 * bearing.land_m)
    if bearing.hole_m > 0.0:
        y = bearing.hole_m / bearing.width_m
        q = 1.204 + 0.368 * y - 1.046 * y**2 + 1.942 * y**3
        return math.pi * c3 * at_hole / (6.0 * math.log(1.0 / y) * q)
    return 0.0


def _over(found: Running, feed_c: float) -> Array:
    """How far the mean of oil in and out is over the temperature that was taken."""
    return np.asarray(0.5 * (feed_c + np.minimum(found.out_c, 1e4)) - found.temperature_c)


def _near(tried: Callable[[Array], Running], near: Running, feed_c: float) -> Running:
    """The temperatures by secants from those of a run much like it; not `settled` where that leads nowhere."""
    t = np.clip(near.temperature_c, feed_c, HOTTEST_FILM_C)
    found = tried(t)
    g, slope = _over(found, feed_c), np.full_like(t, -1.5)
    for _ in range(FEW_TRIES):
        if bool(np.all(np.abs(g) <= SETTLED_K)):
            break
        moved = np.clip(-g / slope, -20.0, 20.0)
        following = np.clip(t + moved, feed_c, HOTTEST_FILM_C)
        found = tried(following)
        now = _over(found, feed_c)
        with np.errstate(divide="ignore", invalid="ignore"):
            secant = (now - g) / (following - t)
        slope = np.where(np.isfinite(secant) & (secant < -0.5), secant, slope)
        t, g = following, now
    return replace(found, settled=found.settled & (np.abs(g) <= SETTLED_K))


def _settled(tried: Callable[[Array], Running], cold: Array, hot: Array, feed_c: float) -> Running:
    """The temperatures that are the mean of in and out, each kept between two ends (regula falsi, the Illinois way)."""

    def over(found: Running) -> Array:
        return _over(found, feed_c)

    low, high = cold.copy(), hot.copy()
    found = tried(high)
    g_high, g_low = over(found), over(tried(low))
    too_hot = g_high > 0.0
    went_up: NDArray[np.bool_] | None = None
    for _ in range(MOST_TRIES):
        t = np.where(too_hot, hot, low + (high - low) * g_low / np.where(g_low > g_high, g_low - g_high, 1.0))
        t = np.clip(t, low, high)
        found = tried(t)
        g = over(found)
        if bool(np.all((np.abs(g) <= SETTLED_K) | too_hot)):
            break
        up = g > 0.0
        low, high = np.where(up, t, low), np.where(up, high, t)
        again = np.where(up == went_up, 0.5, 1.0) if went_up is not None else np.ones_like(g)
        g_low, g_high = np.where(up, g, again * g_low), np.where(up, again * g_high, g)
        went_up = up
    return replace(found, settled=found.settled & (np.abs(over(found)) <= SETTLED_K))
