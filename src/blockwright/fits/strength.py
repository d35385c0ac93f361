"""Rings and lands as springs and plates: pressure of a ring on its wall, stress of the land beneath it.

Lands are counted from the crown: the top land lies above the top ring and carries no such load, the second land under the top ring, the third under
the second ring. Some count the other way, by the ring above: their "top ring land" is the second land here, their "second ring land" the third.

Both are worked out from readings by the models of `physics.ring_beam` and `physics.lands`; what the models leave out is a share of the budget.
The land's load is assumed where no analysis of the ring pack gives it: the full peak pressure above, a share of it below.
"""

from __future__ import annotations

import math

from blockwright.engine.features import land_under
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority, Side
from blockwright.fits.bores import bore_of
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.limits import Offer
from blockwright.fits.remedies import always, by_size
from blockwright.fits.sizes import USUAL_ALLOY, Lacking, Sizes, alloy_of, both, gathered
from blockwright.fits.words import Scale
from blockwright.materials import alloy
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, through
from blockwright.physics.lands import land_bending, land_load_pa
from blockwright.physics.ring_beam import contact_pressure_pa, opening_m, tangential_force_n
from blockwright.quantities import Kind

PRESSURE_BELOW = {"top": 0.30, "second": 0.05}
"""Pressure under a ring as a share of the peak, assumed until the ring pack is analysed."""
PRESSURE_ABOVE = {"top": 1.0, "second": 0.30}
MODEL_SHARE = {"pressure": 0.05, "land": 0.15, "opening": 0.10}
"""Standard uncertainty of each model as a share of its result (assumed)."""
HOT_MODULUS_PA = 60e9
"""Young's modulus of a piston at the grooves: a fifth less than cold (from memory); the stress hardly depends on it."""


def ring_alloy(job: Job, mark: str, ring: str) -> str:
    """Alloy of one ring of a set: `top`, `second`."""
    part = job.parts.get(mark)
    return alloy_of(part, ring) if part else USUAL_ALLOY[PartKind.RINGS]


def modelled(estimate: Estimate, model: str, position: Position) -> Estimate:
    """An estimate with the share of what its model leaves out."""
    source = Source(Cause.MODEL, f"{model} model, {position}")
    return Estimate(estimate.value, {**estimate.shares, source: Share(MODEL_SHARE[model] * abs(estimate.value))})


def _pressure(ring: str) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        job = sizes.job
        mark = job.in_cylinder(position.number).rings
        names = (f"{ring} ring free opening", f"{ring} ring wall", f"{ring} ring height")
        free, wall, height, gap, bore = gathered(
            *(lambda name=name: sizes.one(mark, name) for name in names),
            lambda: sizes.one(mark, f"{ring} gap", position, job.engine.bore_state),
            lambda: bore_of(sizes, position)["middle thrust"],
        )
        modulus = alloy(ring_alloy(job, mark, ring)).modulus_pa

        def pressure(free_m: float, gap_m: float, bore_m: float, wall_m: float, height_m: float) -> float:
            force = tangential_force_n(opening_m(free_m, gap_m), bore_m, wall_m, height_m, modulus)
            return float(contact_pressure_pa(force, bore_m, height_m))

        inputs = (free, gap, bore, wall, height)
        estimate = through(pressure, [size.estimate for size in inputs])
        used = tuple(zip((names[0], f"{ring} gap", "bore, middle thrust", names[1], names[2]), inputs, strict=True))
        return Found(modelled(estimate, "pressure", position), used)

    return work_out


def _land(ring: str) -> WorkOut:
    def work_out(sizes: Sizes, position: Position) -> Found:
        job = sizes.job
        piston = job.in_cylinder(position.number).piston
        land = land_under(ring)
        names = (land, f"{ring} groove depth", f"{land} height")
        peak, sizes_read = both(
            lambda: _peak_pa(job), lambda: gathered(*(lambda name=name: sizes.one(piston, name) for name in names))
        )
        bore_m = job.engine.bore_m

        def stress(land_m: float, depth_m: float, height_m: float) -> float:
            return land_stress_pa(land_m, depth_m, height_m, bore_m, ring, peak, job.duty.knock)

        estimate = through(stress, [size.estimate for size in sizes_read])
        note = f"{PRESSURE_ABOVE[ring]:.0%} of the peak above and {PRESSURE_BELOW[ring]:.0%} below it assumed, times {job.duty.knock:g} for knock"
        return Found(
            modelled(estimate, "land", position),
            tuple(zip(names, sizes_read, strict=True)),
            "at the root of the groove above",
            (note,),
        )

    return work_out


def _peak_pa(job: Job) -> float:
    if job.duty.peak_pressure_pa is None:
        raise Lacking("peak_pressure in [duty] of job.toml")
    return job.duty.peak_pressure_pa


def land_stress_pa(
    land_m: float, depth_m: float, height_m: float, bore_m: float, ring: str, peak_pa: float, knock: float
) -> float:
    """Nominal stress at the root of the land under a ring. The ring adds what presses on it outside the land."""
    outer, root = 0.5 * land_m, 0.5 * land_m - depth_m
    above, below = PRESSURE_ABOVE[ring] * peak_pa, PRESSURE_BELOW[ring] * peak_pa
    overhang_n = (above - below) * 0.25 * math.pi * max(bore_m**2 - land_m**2, 0.0)
    load = land_load_pa(above, below, overhang_n, outer, root, knock)
    return float(land_bending(load, outer, root, height_m, HOT_MODULUS_PA).stress_pa)


def _band(job: Job, position: Position) -> Offer:
    source = "0.12 to 0.25 N/mm² is printed for compression rings (a piston ring handbook, 2008, tangential force)"
    return Offer(Authority.PRACTICE, source, 0.12e6, 0.185e6, 0.25e6)


FITS = (
    *(
        Fit(
            f"{ring} ring pressure", Place.CYLINDER, "rings", f"pressure of the {ring} ring on its wall by its own tension",
            "2 F_t / (d h), F_t from free gap, wall and modulus (curved beam of constant pressure)", "bore at the middle, along the thrust axis",
            (Need(f"{ring} ring free opening"), Need(f"{ring} ring wall"), Need(f"{ring} ring height"),
             Need(f"{ring} gap", lambda engine: engine.bore_state), Need("bore", lambda engine: engine.bore_state)),
            _pressure(ring), when_low="seals late and flutters", when_high="wears the wall and costs power",
            remedy=by_size("another ring: this one is tired, or free for a larger bore", "another ring: this one bears too hard"),
            practice=_band, hard=Side.NEITHER, kind=Kind.PRESSURE_STEP, scale=Scale.PRESSURE, on_request=True,
        )
        for ring in ("top", "second")
    ),
    *(
        Fit(
            f"{land_under(ring)} stress", Place.CYLINDER, "rings", f"bending stress at the root of the land under the {ring} ring, at peak pressure",
            "annular plate clamped at the groove's root, under the pressure across the ring", "at the root of the groove above",
            (Need(land_under(ring)), Need(f"{ring} groove depth"), Need(f"{land_under(ring)} height")),
            _land(ring), when_low="", when_high="the land cracks and breaks off, knock first",
            remedy=always("a piston with a thicker land or a shallower groove; more octane, less advance, less boost"),
            hard=Side.HIGH, kind=Kind.PRESSURE_STEP, scale=Scale.STRESS, on_request=True,
        )
        for ring in ("top", "second")
    ),
)  # fmt: skip
