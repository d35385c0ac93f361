"""Mobility of a journal in its bearing: how fast, and which way, a load moves it at each place; maps for any width, kept on disk.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| B/D | width_ratio | width of the film over the diameter | – |
| e | eccentricity | offset of the journal over the radial clearance, from the bearing's centre | – |
| g | – | angle from the offset to the load on the journal, counter-clockwise | rad |
| M | along, across | speed of the journal's centre over F psi² / (B D eta), along the load and 90° further | – |
| pmax/p̄ | peak | largest pressure over F / (B D) | – |
| E | edge | integral of H³ (-dP/dZ) round one edge, for unit speed | – |

A map is a table over u = -ln(1 - e) and s = sqrt(g / pi). With x and y the offset along the load and 90° further, it holds M_along / (1 - x)^2.5
and M_across / (-y (1 - x)^1.5), which a short bearing has as constants, pmax/p̄ and E, all as logarithms, so that little is left
to interpolate.

Pressure is nil or more at each moment over the whole circle: oil is not followed from where the film breaks to where it forms again, and no feed
starves. The map's steady limit is held against printed tables; under a moving load there is no open table: not validated.

References
----------
J. F. Booker, "Dynamically loaded journal bearings: mobility method of solution", 1965. F. W. Ocvirk, "Short-bearing approximation for full journal
bearings", 1952.
"""

from __future__ import annotations

import math
import os
import tempfile
import zipfile
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from blockwright.physics.compiled import cache_folder
from blockwright.physics.guards import keep_within
from blockwright.physics.reynolds import NARROWEST, WIDEST, squeeze

Array = NDArray[np.float64]
VERSION = 1
"""Of the maps on disk: raise it when the solver or the table changes."""
DEPTHS, TURNS = 41, 41
NOTHING = -300.0
"""Logarithm of what a map does not hold."""
FLATTEST = 2e-3
"""Offset across the load below which the speed across it is too small to be told from the grid's own error."""
DEEPEST_U = -math.log(1.0 - 0.999)


@dataclass(frozen=True)
class MobilityMap:
    """Tables over u (rows) and s (columns), both evenly spaced from nil: logarithms of scaled M along and across the load, of pmax/p̄, and of E."""

    width_ratio: float
    tables: Array

    @property
    def deepest(self) -> float:
        """Largest eccentricity that the map holds."""
        return 0.999


@lru_cache(maxsize=64)
def mobility_map(width_ratio: float) -> MobilityMap:
    """The map for a width over diameter (to three digits after the point), from disk, or made in a few seconds and put there.

    Raises
    ------
    ValueError
        For widths outside 0.05 to 1.5 diameters.
    """
    keep_within("width over diameter", width_ratio, NARROWEST, WIDEST)
    rounded = round(width_ratio, 3)
    folder = cache_folder()
    path = None if folder is None else folder / f"mobility-{VERSION}-{rounded:.3f}.npz"
    tables = None if path is None else _read(path)
    if tables is None:
        tables = made_tables(rounded)
        if path is not None:
            _keep(path, tables)
    return MobilityMap(rounded, tables)


@lru_cache(maxsize=64)
def short_map(width_ratio: float) -> MobilityMap:
    """Booker's closed form for a short bearing: a sibling of the finite map in the limit of little width and small eccentricity.

    Notes
    -----
    M_along = (1 - x)^2.5 / (pi (B/D)²), M_across = -4 y (1 - x)^1.5 / (pi² (B/D)²). Peak and edge flow are not in it (nil here).
    """
    tables = np.full((4, DEPTHS, TURNS), NOTHING)
    tables[0] = -math.log(math.pi * width_ratio**2)
    tables[1] = -math.log(math.pi**2 * width_ratio**2 / 4.0)
    return MobilityMap(width_ratio, tables)


def made_tables(width_ratio: float, depths: int = DEPTHS, turns: int = TURNS) -> Array:
    """Tables solved anew: 4 × depths × turns."""
    tables = np.empty((4, depths, turns))
    for row, u in enumerate(np.linspace(0.0, DEEPEST_U, depths)):
        tables[:, row] = _row(1.0 - math.exp(-u), width_ratio, turns)
    tables[1, 0] = (
        2.0 * tables[1, 1] - tables[1, 2]
    )  # at the centre nothing moves across the load, so that row is led on from the next
    return tables


def _row(e: float, width_ratio: float, turns: int) -> Array:
    """One eccentricity: squeezes in directions that a short bearing would answer the wanted loads with, read off at the wanted loads."""
    wanted = np.linspace(0.0, 1.0, turns)
    load = np.array([_squeezed(e, a, width_ratio) for a in _directions(e, turns)])
    g, along, across, peak, edge = load.T
    s = np.sqrt(np.clip(g, 0.0, math.pi) / math.pi)
    x, sine = e * np.cos(g), e * np.sin(g)
    inner = sine > FLATTEST
    scaled = along / (1.0 - x) ** 2.5
    turning = across[inner] / (sine[inner] * (1.0 - x[inner]) ** 1.5) if inner.any() else np.zeros(0)
    at_turns = np.clip(wanted, s[inner][0], s[inner][-1]) if inner.any() else wanted
    rows = [PchipInterpolator(s, np.log(each))(wanted) for each in (scaled, peak, edge)]
    rows.insert(1, PchipInterpolator(s[inner], np.log(turning))(at_turns) if inner.any() else np.zeros(turns))
    return np.array(rows)


def _directions(e: float, turns: int) -> Array:
    g = math.pi * np.linspace(0.0, 1.0, turns + turns // 2) ** 2
    x, sine = e * np.cos(g), e * np.sin(g)
    return np.asarray(g + np.arctan2(4.0 / math.pi * sine, 1.0 - x))


def _squeezed(e: float, direction_rad: float, width_ratio: float) -> tuple[float, float, float, float, float]:
    found = squeeze(e, direction_rad, width_ratio)
    g = direction_rad if e == 0.0 else abs(math.atan2(found.load[1], found.load[0]))
    if direction_rad in (0.0, math.pi):
        g = direction_rad
    size = found.load_size
    turned = direction_rad - g
    return g, math.cos(turned) / size, math.sin(turned) / size, found.peak / size, found.edge_flow


def _read(path: Path) -> Array | None:
    try:
        with path.open("rb") as file, np.load(file) as kept:
            tables = np.asarray(kept["tables"], dtype=np.float64)
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    return tables if tables.shape == (4, DEPTHS, TURNS) and bool(np.isfinite(tables).all()) else None


def _keep(path: Path, tables: Array) -> None:
    """Written beside and moved into place in one go, so that nobody reads half a file; a folder that cannot be written is no error."""
    with suppress(OSError):
        handle, beside = tempfile.mkstemp(dir=path.parent, suffix=".npz")
        try:
            with os.fdopen(handle, "wb") as file:
                np.savez(file, tables=tables)
            Path(beside).replace(path)
        except OSError:
            Path(beside).unlink(missing_ok=True)
            raise
