"""Fits of the rings: end gaps over their whole travel, side clearance, flush depth, back clearance.

A gap depends on where in the bore the ring lies: the bore's girth changes by pi times its change of diameter. What governs is the gap
at the smallest bore within the ring's travel.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from blockwright.engine.features import land_under
from blockwright.engine.job import Job
from blockwright.engine.layout import HEIGHTS, Engine
from blockwright.engine.positions import Place, Position
from blockwright.fits import practice
from blockwright.fits.bores import WAYS, bore_of
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.limits import Offer
from blockwright.fits.remedies import always, by_size
from blockwright.fits.sizes import Lacking, Sizes, gathered
from blockwright.fits.travel import around, ring_heights, ring_travel, weighted_diameter
from blockwright.metrology.estimate import Estimate, combine, exact
from blockwright.metrology.evaluate import Size

NOT_CARRIED = "not carried over the travel"
"""How the note of a gap ends that is judged where it was read."""
BELOW_LAND_M = (0.05e-3, 0.13e-3)


def _state(engine: Engine) -> frozenset[str]:
    return engine.bore_state


def _bore_size(engine: Engine) -> float:
    return engine.bore_m


def _gap(ring: str) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        engine = sizes.job.engine
        mark, feature = sizes.job.in_cylinder(position.number).rings, f"{ring} gap"
        try:
            read = sizes.one(mark, feature, position, engine.bore_state)
        except Lacking:
            moved = _moved(sizes, position, mark, ring)
            if moved is None:
                raise
            return moved
        depth_m = _mean_depth(read)
        if depth_m is None:
            return _as_read(ring, read, "no depth written down")
        if not engine.heights:
            return _as_read(ring, read, "the depths at which bores are read are not given")
        try:
            bore = bore_of(sizes, position)
        except Lacking:
            return _as_read(ring, read, "the bore is not read, or not at all its spots")
        where, weights, note = _narrowest(bore, engine, ring)
        read_at = around(engine, depth_m)
        rests_on = dict.fromkeys((*weights, *read_at))
        used = tuple(
            (f"bore {position.number}, {height} {way}", bore[f"{height} {way}"]) for height in rests_on for way in WAYS
        )
        estimate = read.estimate + _opening(bore, read_at, bore, weights)
        return Found(estimate, ((f"{ring} gap", read), *used), where, (note,) if note else ())

    return work_out


def _moved(sizes: Sizes, position: Position, mark: str, ring: str) -> Found | None:
    """The gap of a ring that was read in another bore, worked out from the two bores; `None` where that cannot be done."""
    engine = sizes.job.engine
    found = sizes.elsewhere(mark, f"{ring} gap", engine.bore_state) if mark else None
    depth_m = _mean_depth(found[1]) if found else None
    if found is None or depth_m is None or not engine.heights:
        return None
    there, read = found
    try:
        here_bore, there_bore = bore_of(sizes, position), bore_of(sizes, there)
    except Lacking:
        return None
    where, weights, _ = _narrowest(here_bore, engine, ring)
    read_at = around(engine, depth_m)
    change = _opening(there_bore, read_at, here_bore, weights)
    used = (
        (f"{ring} gap", read),
        *(
            (f"bore {position.number}, {height} {way}", here_bore[f"{height} {way}"])
            for height in weights
            for way in WAYS
        ),
        *(
            (f"bore {there.number}, {height} {way}", there_bore[f"{height} {way}"])
            for height in read_at
            for way in WAYS
        ),
    )
    note = f"{mark} was read in {there} and is now for {position}: worked out from the two bores; read it again in its own bore"
    return Found(read.estimate + change, used, where, (note,))


def change_to_governing(sizes: Sizes, position: Position, ring: str, depth_m: float | None) -> Estimate:
    """What a gap opens by (m) from a depth of a bore to the place in the ring's travel that governs; nothing where the job cannot tell."""
    engine = sizes.job.engine
    if depth_m is None or not engine.heights:
        return exact(0.0)
    try:
        bore = bore_of(sizes, position)
    except Lacking:
        return exact(0.0)
    return _opening(bore, around(engine, depth_m), bore, _narrowest(bore, engine, ring)[1])


def _opening(
    there: Mapping[str, Size], read_at: Mapping[str, float], here: Mapping[str, Size], weights: Mapping[str, float]
) -> Estimate:
    """What a gap opens by from one place to another: the girth changes by pi times the diameter."""
    return (weighted_diameter(here, weights) - weighted_diameter(there, read_at)).scaled(math.pi)


def _as_read(ring: str, read: Size, why: str) -> Found:
    return Found(read.estimate, ((f"{ring} gap", read),), "where it was read", (f"{why}: {NOT_CARRIED}",))


def _narrowest(bore: Mapping[str, Size], engine: Engine, ring: str) -> tuple[str, dict[str, float], str]:
    """Where in a ring's travel the bore is smallest: at a height that was read, or at an end of the travel that lies between two."""
    heights, note = ring_heights(engine, ring)
    places = {f"{height} of the bore, the smallest in the ring's travel": {height: 1.0} for height in heights}
    travel = ring_travel(engine, ring)
    for end, depth_m in zip(("upper", "lower"), travel or (), strict=False):
        places[f"{end} end of the ring's travel, where the bore is smallest"] = around(engine, depth_m)
    girth = {height: sum(bore[f"{height} {way}"].estimate.value for way in WAYS) for height in HEIGHTS}
    where = min(places, key=lambda name: round(sum(w * girth[height] for height, w in places[name].items()), 9))
    return where, places[where], note


def _mean_depth(read: Size) -> float | None:
    depths = [reading.depth_m for reading in read.readings if reading.depth_m is not None]
    return sum(depths) / len(depths) if len(depths) == len(read.readings) else None


def _of_ring(sizes: Sizes, position: Position, feature: str) -> Size:
    return sizes.one(sizes.job.in_cylinder(position.number).rings, feature)


def _of_piston(sizes: Sizes, position: Position, feature: str) -> Size:
    return sizes.one(sizes.job.in_cylinder(position.number).piston, feature)


def _less(larger: str, smaller: str) -> WorkOut:
    """Groove less ring, both on the parts assigned to the cylinder."""

    def work_out(sizes: Sizes, position: Position) -> Found:
        groove, ring = gathered(lambda: _of_piston(sizes, position, larger), lambda: _of_ring(sizes, position, smaller))
        return Found(groove.estimate - ring.estimate, ((larger, groove), (smaller, ring)))

    return work_out


def _back(ring: str) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        depth, wall, bore, land = gathered(
            lambda: _of_piston(sizes, position, f"{ring} groove depth"),
            lambda: _of_ring(sizes, position, f"{ring} ring wall"),
            lambda: bore_of(sizes, position)["middle thrust"],
            lambda: _of_piston(sizes, position, land_under(ring)),
        )
        estimate = combine([(1, depth.estimate), (-1, wall.estimate), (0.5, bore.estimate), (-0.5, land.estimate)])
        used = (
            (f"{ring} groove depth", depth),
            (f"{ring} ring wall", wall),
            ("bore, middle thrust", bore),
            (land_under(ring), land),
        )
        return Found(estimate, used)

    return work_out


def _end_gap(
    ring: str, offer: Callable[[Job, Position], Offer | None], when_high: str, on_request: bool = False
) -> Fit:
    return Fit(
        f"{ring} gap" if "rail" in ring else f"{ring} end gap", Place.CYLINDER, "rings",
        f"gap between the ends of the {ring}{'' if 'rail' in ring else ' ring'} in its own bore, cold",
        "gap read + pi x (bore at the governing height - bore where it was read)",
        "the gap at the smallest bore in the ring's travel, ring square at the depth written down",
        (Need(f"{ring} gap", _state), Need("bore", _state, optional=True)), _gap(ring),
        when_low="the ends butt when hot: the ring breaks or the piston seizes", when_high=when_high,
        remedy=by_size("file it by {by} to {to}, a little at a time, in bore {at}", "nothing can be put back: another ring, or a signed concession"),
        practice=offer, size=_bore_size, on_request=on_request,
    )  # fmt: skip


def _groove(ring: str) -> tuple[Fit, ...]:
    flush = practice.practice("below the land", *BELOW_LAND_M)
    return (
        Fit(
            f"{ring} side clearance", Place.CYLINDER, "rings", f"axial room of the {ring} ring in its groove, total",
            "groove width - ring height", "the narrowest place of the groove",
            (Need(f"{ring} groove width"), Need(f"{ring} ring height")), _less(f"{ring} groove width", f"{ring} ring height"),
            when_low="the ring sticks in its groove and cannot seal", when_high="the ring flutters and hammers its land",
            remedy=by_size("another ring, {by} less high, or have the groove recut", "another ring or piston: the groove is {by} too wide"),
            practice=practice.side,
        ),
        Fit(
            f"{ring} ring flush depth", Place.CYLINDER, "rings", f"how far the {ring} ring can sink below its land",
            "groove depth - ring wall", "as read",
            (Need(f"{ring} groove depth"), Need(f"{ring} ring wall")), _less(f"{ring} groove depth", f"{ring} ring wall"),
            when_low="the ring stands proud and takes the side load", when_high="slow gas behind the ring: it seals late",
            remedy=by_size("another ring, {by} narrower", "another ring, {by} wider"),
            practice=lambda job, position: flush, on_request=True, signed=True,
        ),
        Fit(
            f"{ring} back clearance", Place.CYLINDER, "rings", f"radial room behind the {ring} ring, ring on the wall",
            "flush depth + (bore - land) / 2", "bore at the middle, along the thrust axis",
            (Need(f"{ring} groove depth"), Need(f"{ring} ring wall"), Need(land_under(ring)), Need("bore", _state)), _back(ring),
            when_low="the ring is pinched between groove and wall", when_high="slow gas behind the ring: it seals late",
            remedy=always("another ring or piston"),
            practice=lambda job, position: practice.practice("no less than the least flush depth", BELOW_LAND_M[0]),
            on_request=True,
        ),
    )  # fmt: skip


FITS = (
    _end_gap("top", practice.top_gap, "blow-by: power lost, oil fouled; a soft matter"),
    _end_gap(
        "second",
        practice.second_gap,
        "a soft matter: a looser second lets the gas out from under the top ring",
    ),
    _end_gap("upper rail", practice.rail_gap, "oil passes; a soft matter", on_request=True),
    _end_gap("lower rail", practice.rail_gap, "oil passes; a soft matter", on_request=True),
    *_groove("top"),
    *_groove("second"),
)
