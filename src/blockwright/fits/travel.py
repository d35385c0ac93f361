"""Which heights of a bore a ring or a skirt runs over, and what the bore is between them."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from typing import TypeVar

from blockwright.engine.layout import Engine
from blockwright.metrology.estimate import Estimate, combine
from blockwright.metrology.evaluate import Size

T = TypeVar("T")
HEIGHTS = ("top", "middle", "bottom")


def skirt_heights(engine: Engine) -> tuple[tuple[str, ...], str]:
    """Heights within the skirt's travel, and a note where that is not known."""
    if engine.skirt_top_m is None or engine.skirt_bottom_m is None or not engine.heights:
        return HEIGHTS, "the skirt's travel is not given, so every height counts"
    return _within(engine, engine.skirt_top_m, engine.skirt_bottom_m + engine.stroke_m, "skirt")


def ring_heights(engine: Engine, ring: str) -> tuple[tuple[str, ...], str]:
    """Heights within a ring's travel, and a note where that is not known."""
    at_tdc = {"top": engine.top_ring_m, "second": engine.second_ring_m}.get(ring, engine.oil_ring_m)
    if at_tdc is None or not engine.heights:
        return HEIGHTS, "the ring's travel is not given, so every height counts"
    return _within(engine, at_tdc, at_tdc + engine.stroke_m, f"{ring} ring")


def mean_diameter(bore: Mapping[str, Size], height: str) -> Estimate:
    """Mean of the two directions at a height: what sets the bore's girth there."""
    return combine([(0.5, bore[f"{height} thrust"].estimate), (0.5, bore[f"{height} axial"].estimate)])


def diameter_at(bore: Mapping[str, Size], engine: Engine, depth_m: float) -> Estimate:
    """Mean diameter at a depth, straight between the heights that were read, flat beyond them."""
    depths = [engine.heights[height] for height in HEIGHTS]
    diameters = [mean_diameter(bore, height) for height in HEIGHTS]
    if depth_m <= depths[0]:
        return diameters[0]
    for (upper, lower), (above, below) in zip(_pairs(depths), _pairs(diameters), strict=True):
        if depth_m <= lower:
            share = (depth_m - upper) / (lower - upper)
            return combine([(1.0 - share, above), (share, below)])
    return diameters[-1]


def _within(engine: Engine, first_m: float, last_m: float, what: str) -> tuple[tuple[str, ...], str]:
    inside = tuple(height for height in HEIGHTS if first_m <= engine.heights.get(height, first_m) <= last_m)
    if not inside:
        return HEIGHTS, f"no height that was read lies in the {what}'s travel, so every height counts"
    left_out = [height for height in HEIGHTS if height not in inside]
    return inside, f"{' and '.join(left_out)} lies outside the {what}'s travel" if left_out else ""


def _pairs(items: Sequence[T]) -> list[tuple[T, T]]:
    return list(itertools.pairwise(items))
