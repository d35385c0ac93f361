"""Every ring of a job as a spring, and what putting it over its piston asks of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blockwright.choices.ring_bench import RingId, rings_of
from blockwright.engine.job import Job
from blockwright.fits.opening import Opened, opened, ring_sizes
from blockwright.fits.sizes import Lacking, Missing, Sizes
from blockwright.fits.strength import ring_alloy
from blockwright.materials import alloy
from blockwright.physics.ring_beam import closing_stress_pa, contact_pressure_pa, opening_m, tangential_force_n


@dataclass(frozen=True)
class Mounting:
    """One ring as a spring, and what putting it on asks of it. Pa and N.

    `missing` are the readings that are lacking, where it could not be worked out.
    """

    ring: RingId
    tension_n: float = 0.0
    pressure_pa: float = 0.0
    closing_stress_pa: float = 0.0
    opened: Opened | None = None
    missing: tuple[Missing, ...] = ()


def mountings(job: Job) -> Iterator[Mounting]:
    """Every top and second ring of a job."""
    sizes = Sizes(job)
    for ring in rings_of(job):
        if ring.ring in ("top", "second"):
            yield _mounting(sizes, ring)


def _mounting(sizes: Sizes, ring: RingId) -> Mounting:
    job = sizes.job
    try:
        read = ring_sizes(sizes, ring.at, ring.ring)
        on = opened(job, ring.at, ring.ring, read)
    except Lacking as lacking:
        return Mounting(ring, missing=lacking.missing)
    free, wall, height, gap, bore = (
        each.estimate.value for each in (read.free, read.wall, read.height, read.gap, read.bore)
    )
    modulus = alloy(ring_alloy(job, ring.rings, ring.ring)).modulus_pa
    opening = opening_m(free, gap)
    force = float(tangential_force_n(opening, bore, wall, height, modulus))
    return Mounting(
        ring,
        force,
        float(contact_pressure_pa(force, bore, height)),
        float(closing_stress_pa(opening, bore, wall, modulus)),
        on,
    )
