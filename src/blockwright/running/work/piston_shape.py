"""The rest of a piston in its hot bore: upper edge of the skirt, skirt along the pin, second land, each by its own size and temperature.

| fit | hot value |
| --- | --- |
| skirt's upper edge | where the barrel of the skirt is given: smaller than at gauge height by so much, and hotter by a share of the way to the belt |
| skirt along the pin | where its oval is given |
| second land in its bore | where that land was read: as hot as the belt |

Not validated on a measured engine.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.bores import bore_of
from blockwright.fits.practice import piston_alloy
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.physics.expansion import hot_clearance_m
from blockwright.running.work.hot import Growing, Hot

Array = NDArray[np.float64]
UPPER_EDGE = 0.3
"""How far on the way from skirt to ring belt the skirt's upper edge is, in temperature (assumed)."""
FLEXES = "the bare skirt must not outgrow its bore (it flexes: a warning)"
SCUFFS = "the land must not touch its bore"


def shape_fits(assessment: Assessment, growing: Growing) -> Iterator[Hot]:
    """What of each piston's shape is known, hot."""
    sizes = Sizes(assessment.job)
    for result in assessment.results:
        if result.fit.name == "wall clearance" and result.found is not None:
            yield from _skirt(growing, result)
            yield from _land(growing, sizes, result)


def _skirt(growing: Growing, result: FitResult) -> Iterator[Hot]:
    assert result.found is not None
    part = growing.job.parts[growing.job.in_cylinder(result.position.number).piston]
    place = growing.places_c
    edge_c = place["skirt"] + UPPER_EDGE * (place["belt"] - place["skirt"])
    wall, skirt_m = growing.draws.size(result.estimate), result.found.sizes[1][1].estimate.value
    for name, words, smaller_m, at_c in (
        ("skirt's upper edge", "bore less the skirt's upper edge, both hot", part.barrel_m, edge_c),
        ("skirt along the pin", "bore less skirt along the pin, both hot", part.oval_m, place["skirt"]),
    ):
        if smaller_m is not None:
            cold = wall + smaller_m
            hot = _grown(growing, result, np.full_like(cold, skirt_m - smaller_m), cold, at_c, place["bore"])
            yield Hot(name, str(result.position), words, cold, hot, result.estimate, FLEXES)


def _land(growing: Growing, sizes: Sizes, result: FitResult) -> Iterator[Hot]:
    try:
        land = sizes.one(growing.job.in_cylinder(result.position.number).piston, "second land").estimate
        room = bore_of(sizes, result.position)["middle thrust"].estimate - land
    except Lacking:
        return
    place = growing.places_c
    cold = growing.draws.size(room)
    wall_c = 0.5 * (place["liner_top"] + place["liner_middle"])
    hot = _grown(growing, result, np.full_like(cold, land.value), cold, place["belt"], wall_c)
    yield Hot(
        "second land in its bore", str(result.position), "bore less second land, both hot", cold, hot, room, SCUFFS
    )


def _grown(growing: Growing, result: FitResult, inner_m: Array, cold_m: Array, piston_c: Array, bore_c: Array) -> Array:
    bore, piston = growing.job.engine.running_surface, piston_alloy(growing.job, result.position)[0]
    grown = growing.per_k(bore, bore_c), growing.per_k(piston, piston_c)
    return np.asarray(hot_clearance_m(inner_m + cold_m, inner_m, *grown, bore_c, piston_c))
