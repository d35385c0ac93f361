"""What the parts of an engine at work are made of, and how they grow."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.fits.practice import piston_alloy
from blockwright.fits.sizes import USUAL_ALLOY, alloy_of
from blockwright.fits.strength import ring_alloy
from blockwright.materials import alloy
from blockwright.running.work.result import Fact

Array = NDArray[np.float64]
RINGS = ("top end gap", "second end gap")


def expansions(job: Job) -> Iterator[Fact]:
    """Expansion of every alloy that a hot size rests on: one fact each, so that an error of it is one error wherever it acts."""
    for name in sorted(alloys_at_work(job)):
        held = alloy(name)
        words = f"expansion of {name}"
        yield Fact(f"expansion of {name}", words, held.expansion_per_k, held.expansion_u_per_k, "1/K", "materials list")


def alloys_at_work(job: Job) -> set[str]:
    """Names of the alloys that grow in an engine at work."""
    names = {job.engine.running_surface, job.engine.housing_material, crank_alloy(job)}
    for position in job.engine.positions(Place.CYLINDER):
        held = job.in_cylinder(position.number)
        names |= {piston_alloy(job, position)[0], rod_alloy(job, position.number), pin_alloy(job, position.number)}
        names |= {ring_alloy(job, held.rings, ring) for ring in RINGS}
    return names


def crank_alloy(job: Job) -> str:
    """Alloy of the crank."""
    part = job.parts.get(job.only(PartKind.CRANK))
    return alloy_of(part, "") if part else USUAL_ALLOY[PartKind.CRANK]


def rod_alloy(job: Job, number: int) -> str:
    """Alloy of a cylinder's rod: its own, that of all rods, or the usual one."""
    part = job.parts.get(job.in_cylinder(number).rod)
    return (part.alloy if part else "") or job.at_work.rod_alloy or USUAL_ALLOY[PartKind.ROD]


def pin_alloy(job: Job, number: int) -> str:
    """Alloy of a cylinder's piston pin."""
    part = job.parts.get(job.in_cylinder(number).pin)
    return alloy_of(part, "") if part else USUAL_ALLOY[PartKind.PIN]


def growth(name: str, drawn_per_k: Array, temperature_c: Array) -> Array:
    """Mean expansion up to a temperature, 1/K, of an alloy whose coefficient was drawn: a draw is off alike at every temperature."""
    held = alloy(name)
    up_to = np.array([held.mean_expansion_per_k(float(each)) for each in np.atleast_1d(temperature_c)])
    return np.asarray(up_to + (drawn_per_k - held.expansion_per_k))
