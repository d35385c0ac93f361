"""What is told of each bearing: its numbers with their spread, its path, other clearances and oils, and the window of clearances that would do."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from blockwright.materials.oils import grade, grade_names
from blockwright.physics.plain_bearing import RIGID_TO_PA, Running, clearance_window, over_clearances, running
from blockwright.running.work.bearings import Bearings, Films
from blockwright.running.work.draws import Draws, spread
from blockwright.running.work.loads import about_top, curve
from blockwright.running.work.oil_supply import oil_of_grade
from blockwright.running.work.result import BearingTold, OilTried, Window
from blockwright.running.work.seats import LEAST_SHARE, MOST_SHARE, Seat

Array = NDArray[np.float64]
TRIED = np.linspace(0.4, 2.4, 13)
"""Clearances tried, over the cold measured one, or over USUAL_SHARE of the journal where that is more."""
USUAL_SHARE = 4e-4
"""Less clearance over journal than anybody builds with, yet enough to try others from."""
HOTTEST_C = 150.0
"""Film temperature that a bearing should not pass (from memory: oil and lining age fast beyond)."""
COOLEST_C = 40.0
OIL_GRADES = ("20", "30", "40", "50", "60")


def told(bearings: Bearings, films: Films, draws: Draws) -> tuple[BearingTold, ...]:
    """Every bearing."""
    oils = _oils(bearings)
    return tuple(_told(bearings, films, draws, index, oils) for index in range(len(bearings.seats)))


def _told(bearings: Bearings, films: Films, draws: Draws, index: int, oils: dict[str, Running]) -> BearingTold:
    seat, best = bearings.seats[index], bearings.best
    load = bearings.loaded.motion.load_n[index]
    samples = len(load)
    angle = float(np.interp(int(best.film_at[index]), np.arange(samples), np.linspace(0.0, 720.0, samples, False)))
    tried, over, window = _window(bearings, seat, index)
    eccentricity = np.hypot(best.offset[index, :, 0], best.offset[index, :, 1])
    radial = seat.bearing(0).clearance_m
    film = spread(films.film_m[:, index])
    return BearingTold(
        name=seat.name, fit=seat.fit, position=str(seat.position), read=seat.read,
        cold_m=spread(seat.cold_m), hot_m=spread(seat.hot_m), diameter_m=seat.diameter_m, width_m=seat.width_m,
        film_m=film, film_at_deg=angle - 720.0 if angle > 360.0 else angle,
        peak_pa=spread(films.peak_pa[:, index]),
        specific_pa=float(np.hypot(load[:, 0], load[:, 1]).max() / (seat.diameter_m * seat.width_m)),
        loss_w=spread(films.loss_w[:, index]), flow_m3_s=spread(films.flow_m3_s[:, index]),
        temperature_c=spread(films.temperature_c[:, index]), out_c=spread(films.out_c[:, index]),
        roughness_m=seat.roughness_m, roughness_origin=seat.roughness_origin,
        measures=bool(best.peak_pa[index] <= RIGID_TO_PA), settled=bool(best.settled[index]),
        orbit=_pairs(best.offset[index]), film_over_m=curve(about_top(radial * (1.0 - eccentricity))),
        load_n=_pairs(load), tried_m=curve(tried), tried_film_m=curve(over.film_m), tried_c=curve(over.temperature_c),
        window=window,
        oils=tuple(
            OilTried(name, float(each.film_m[index]), float(each.temperature_c[index]), float(each.loss_w[index]))
            for name, each in oils.items()
        ),
        weights=draws.weights(films.film_m[:, index], (seat.cold,)),
    )  # fmt: skip


def _oils(bearings: Bearings) -> dict[str, Running]:
    """All bearings on the middle of each grade."""
    listed = [seat.bearing(0) for seat in bearings.seats]
    found: dict[str, Running] = {}
    near = bearings.best
    for name in (each for each in grade_names() if each in OIL_GRADES):
        near = running(listed, bearings.loaded.motion, bearings.supply(0, oil_of_grade(grade(f"SAE {name}"))), near)
        found[name] = near
    return found


def _window(bearings: Bearings, seat: Seat, index: int) -> tuple[Array, Running, Window | None]:
    """Cold diametral clearances tried, what came of each, and the window."""
    low, high = (share * seat.diameter_m - seat.grown_m for share in (LEAST_SHARE, MOST_SHARE))
    about = max(float(seat.cold_m[0]), USUAL_SHARE * seat.diameter_m)
    tried = np.unique(np.clip(TRIED * about, max(low, 1e-6), high))
    hot = seat.with_clearance(float(seat.hot_m[0]))
    radial = 0.5 * (tried + seat.grown_m)
    found = over_clearances(hot, radial, bearings.loaded.motion, bearings.supply(0), index)
    window = clearance_window(radial, found, seat.roughness_m, COOLEST_C, HOTTEST_C) if len(tried) >= 3 else None
    if window is None:
        return tried, found, None
    ends = [None if end is None else 2.0 * end - seat.grown_m for end in (window.least_m, window.most_m)]
    return tried, found, Window(ends[0], ends[1], seat.roughness_m, COOLEST_C, HOTTEST_C)


def _pairs(values: Array) -> tuple[tuple[float, float], ...]:
    return tuple((float(f"{x:.5g}"), float(f"{y:.5g}")) for x, y in values)
