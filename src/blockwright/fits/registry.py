"""Every fit of the trade that this tool knows, in the order of the build. Adding one touches its own file and its test."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence

from blockwright.engine.layout import Engine
from blockwright.engine.positions import Place, Position
from blockwright.fits import bearings, bores, crank, opening, pins, rings, strength, turning
from blockwright.fits.fit import Fit

REGISTRY: dict[str, Fit] = {
    fit.name: fit for module in (bores, rings, strength, opening, pins, bearings, crank, turning) for fit in module.FITS
}


def fits_of(engine: Engine) -> Iterable[tuple[Fit, Position]]:
    """Every fit of this engine at each of its positions."""
    for fit in REGISTRY.values():
        for position in fit.positions(engine):
            yield fit, position


OwnFeatures = Mapping[str, Sequence[tuple[str, frozenset[str]]]]
"""By fit on request: the features, each in a state, that no other fit would show as missing."""


def own_features(engine: Engine) -> OwnFeatures:
    """What each fit on request has to itself in this engine: needed by no fit that is always looked at, and by none before it."""
    applied = [fit for fit in REGISTRY.values() if fit.applies(engine)]
    always = {need for fit in applied if not fit.on_request for need in _needed(fit, engine)}
    seen: set[tuple[Place, tuple[str, frozenset[str]]]] = set()
    own: dict[str, list[tuple[str, frozenset[str]]]] = {}
    for fit in applied:
        if fit.on_request:
            needed = [need for need in _needed(fit, engine) if need not in always]
            own[fit.name] = [need for need in needed if (fit.place, need) not in seen]
            seen.update((fit.place, need) for need in needed)
    return own


def _needed(fit: Fit, engine: Engine) -> list[tuple[str, frozenset[str]]]:
    return [(need.feature, need.state(engine)) for need in fit.needs if not need.optional]


def nearest(name: str) -> str:
    """The fit whose name comes nearest to what was typed, or an empty text."""
    typed = " ".join(name.lower().split())
    worded = [known for known in REGISTRY if typed and set(typed.split()) <= set(known.split())]
    found = worded or difflib.get_close_matches(typed, REGISTRY, n=1, cutoff=0.5)
    return found[0] if found else ""
