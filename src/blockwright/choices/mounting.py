"""Putting a ring over its piston: how far its ends must come apart, how far they may, and whether it may be wound on by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blockwright.choices.ring_bench import RingId, rings_of
from blockwright.engine.job import Job
from blockwright.fits.bores import bore_of
from blockwright.fits.sizes import Lacking, Sizes, gathered
from blockwright.fits.strength import ring_alloy
from blockwright.materials import alloy
from blockwright.physics.ring_beam import closing_stress_pa, contact_pressure_pa, opening_m, tangential_force_n
from blockwright.physics.ring_mounting import Spread, Winding, spread_over, widest_safe_gap_m, wound_on

ALLOWED_PA = {"grey iron": 300e6, "ductile iron": 450e6}
STEEL_ALLOWED_PA = 600e6
"""Stress that a ring bears once, while it is put on: above what it bears in its bore for good (from memory, no source)."""
RING_DROP = 1.0
"""A ring wound on crosses its own height over half a turn."""


@dataclass(frozen=True)
class Mounting:
    """One ring as a spring, and what putting it on asks of it. Pa, m and N.

    `needed` is the ring spread until it just passes over the piston; `stop_gap_m` where the stop of the pliers belongs; `wound` what winding it
    on by hand would do. `missing` are the readings that are lacking, where it could not be worked out.
    """

    ring: RingId
    tension_n: float = 0.0
    pressure_pa: float = 0.0
    closing_stress_pa: float = 0.0
    needed: Spread | None = None
    stop_gap_m: float = 0.0
    allowed_pa: float = 0.0
    wound: Winding | None = None
    missing: tuple[str, ...] = ()

    @property
    def safe(self) -> bool:
        """Whether it can pass over the piston within the stress allowed."""
        return self.needed is not None and self.needed.gap_m <= self.stop_gap_m


def mountings(job: Job) -> Iterator[Mounting]:
    """Every top and second ring of a job."""
    sizes = Sizes(job)
    for ring in rings_of(job):
        if ring.ring in ("top", "second"):
            yield _mounting(sizes, ring)


def _mounting(sizes: Sizes, ring: RingId) -> Mounting:
    job, kind = sizes.job, ring.ring
    piston = job.in_cylinder(ring.at.number).piston
    try:
        free, wall, height, gap, bore, land = (
            size.estimate.value
            for size in gathered(
                *(
                    lambda what=what: sizes.one(ring.rings, f"{kind} ring {what}")
                    for what in ("free opening", "wall", "height")
                ),
                lambda: sizes.one(ring.rings, f"{kind} gap", ring.at, job.engine.bore_state),
                lambda: bore_of(sizes, ring.at)["middle thrust"],
                lambda: sizes.one(piston, f"{kind} land"),
            )
        )
    except Lacking as lacking:
        return Mounting(ring, missing=lacking.missing)
    name = ring_alloy(job, ring.rings, kind)
    modulus, allowed = alloy(name).modulus_pa, ALLOWED_PA.get(name, STEEL_ALLOWED_PA)
    opening = opening_m(free, gap)
    force = float(tangential_force_n(opening, bore, wall, height, modulus))
    return Mounting(
        ring, force, float(contact_pressure_pa(force, bore, height)), float(closing_stress_pa(opening, bore, wall, modulus)),
        spread_over(land, float(opening), bore, wall, height, modulus),
        float(widest_safe_gap_m(allowed, free, bore, wall, modulus)), allowed,
        wound_on(RING_DROP * height, land, bore, wall, height, modulus, allowed),
    )  # fmt: skip
