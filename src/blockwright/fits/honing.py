"""What honing a bore leads to: the wall clearance that a straight, round bore would give, and ring gaps that open.

A bore is honed straight and round at its largest diameter: metal comes off, none goes on. A ring gap opens by pi times what the diameter
gains, since the ring's ends part along the circumference.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from blockwright.engine.positions import Place, Position
from blockwright.fits.bores import bore_of
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Limits
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.fits.words import Scale, say

TO_ITS_LARGEST = ("bore taper", "out-of-round", "bell-mouth")
"""Fits of a bore's form: mended by honing to the largest diameter that is there."""
WALL = "wall clearance"

LimitsOf = Callable[[Fit], Limits]


def after_honing(sizes: Sizes, fit: Fit, position: Position, remedy: str, limits_of: LimitsOf) -> Iterator[str]:
    """What to know before a bore is honed as a remedy says, each as a clause; nothing where the remedy is no honing of a bore."""
    if position.place is not Place.CYLINDER or "hone bore" not in remedy:
        return
    if fit.name in TO_ITS_LARGEST:
        yield from _too_wide(sizes, position, limits_of(REGISTRY[WALL]))
    yield "after honing read this bore's ring gaps again: they open by pi times what the diameter gains"


def _too_wide(sizes: Sizes, position: Position, limits: Limits) -> Iterator[str]:
    """What the wall clearance would be in a bore honed to its largest diameter, where that is over the high limit."""
    high = limits.high_value
    try:
        wall = REGISTRY[WALL].work_out(sizes, position)
        diameters = [size.estimate.value for size in bore_of(sizes, position).values()]
    except Lacking:
        return
    governing = wall.sizes[0][1].estimate.value
    straight = wall.estimate.value + max(diameters) - governing
    if high is not None and straight > high:
        told, over = (say(sizes.job, each, Scale.CLEARANCE, u=wall.estimate.u) for each in (straight, high))
        yield f"honed to its largest diameter it would give {told} of wall clearance, over {over}: a larger piston is needed, or leave it and sign"
