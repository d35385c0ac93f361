"""Which heights of a bore a ring or a skirt runs over, and what the bore is between them."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

from blockwright.engine.layout import HEIGHTS, Engine
from blockwright.metrology.estimate import Estimate, combine
from blockwright.metrology.evaluate import Size


def skirt_heights(engine: Engine) -> tuple[tuple[str, ...], str]:
    """Heights within the skirt's travel, and a note where that is not known."""
    if engine.skirt_top_m is None or engine.skirt_bottom_m is None or not engine.heights:
        return HEIGHTS, "the skirt's travel is not given, so every height counts"
    return _within(engine, engine.skirt_top_m, engine.skirt_bottom_m + engine.stroke_m, "skirt")


def ring_heights(engine: Engine, ring: str) -> tuple[tuple[str, ...], str]:
    """Heights within a ring's travel, and a note where that is not known."""
    travel = ring_travel(engine, ring)
    if travel is None or not engine.heights:
        return HEIGHTS, f"the travel of the {_named(ring)} is not given, so every height counts"
    return _within(engine, *travel, _named(ring))


def ring_travel(engine: Engine, ring: str) -> tuple[float, float] | None:
    """Depths below the deck between which a ring runs, m; `None` where its place is not given."""
    at_tdc = {"top": engine.top_ring_m, "second": engine.second_ring_m}.get(ring, engine.oil_ring_m)
    return None if at_tdc is None else (at_tdc, at_tdc + engine.stroke_m)


def mean_diameter(bore: Mapping[str, Size], height: str) -> Estimate:
    """Mean of the two directions at a height: what sets the bore's girth there."""
    return combine([(0.5, bore[f"{height} thrust"].estimate), (0.5, bore[f"{height} axial"].estimate)])


def weighted_diameter(bore: Mapping[str, Size], weights: Mapping[str, float]) -> Estimate:
    """Mean diameter at a depth that lies at or between the heights as `around` has it."""
    return combine((weight, mean_diameter(bore, height)) for height, weight in weights.items())


def around(engine: Engine, depth_m: float) -> dict[str, float]:
    """The heights that a depth lies at or between, each with its weight: straight between those that were read, flat beyond."""
    depths = [(height, engine.heights[height]) for height in HEIGHTS]
    if depth_m <= depths[0][1]:
        return {depths[0][0]: 1.0}
    for (above, upper), (below, lower) in itertools.pairwise(depths):
        if depth_m < lower:
            share = (depth_m - upper) / (lower - upper)
            return {above: 1.0 - share, below: share} if share else {above: 1.0}
        if depth_m == lower:
            return {below: 1.0}
    return {depths[-1][0]: 1.0}


def _within(engine: Engine, first_m: float, last_m: float, what: str) -> tuple[tuple[str, ...], str]:
    inside = tuple(height for height in HEIGHTS if first_m <= engine.heights[height] <= last_m)
    if not inside:
        return HEIGHTS, f"no height that was read lies in the {what}'s travel, so every height counts"
    left_out = [height for height in HEIGHTS if height not in inside]
    lie = "lies" if len(left_out) == 1 else "lie"
    return inside, f"{' and '.join(left_out)} {lie} outside the {what}'s travel" if left_out else ""


def _named(ring: str) -> str:
    return ring if "rail" in ring else f"{ring} ring"
