"""Every fit of the trade that this tool knows, in the order of the build. Adding one touches its own file and its test."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

from blockwright.engine.layout import Engine
from blockwright.engine.positions import Position
from blockwright.fits import bearings, bores, crank, pins, rings, turning
from blockwright.fits.fit import Fit

REGISTRY: dict[str, Fit] = {
    fit.name: fit for module in (bores, rings, pins, bearings, crank, turning) for fit in module.FITS
}


def fits_of(engine: Engine) -> Iterable[tuple[Fit, Position]]:
    """Every fit of this engine at each of its positions."""
    for fit in REGISTRY.values():
        if fit.applies(engine):
            for position in engine.positions(fit.place):
                yield fit, position


def nearest(name: str) -> str:
    """The fit whose name comes nearest to what was typed, or an empty text."""
    found = difflib.get_close_matches(name.lower(), REGISTRY, n=1, cutoff=0.5)
    return found[0] if found else ""
