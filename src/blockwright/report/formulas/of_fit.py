"""The formulas behind a fit, each with the fit's own numbers as far as it has them: what `reckon` would be given.

A formula is whole where the fit's readings and the job's facts give everything that it asks for; else its name is told, and a form can begin
with what is known.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from blockwright.engine.job import Job
from blockwright.fits.assessment import FitResult
from blockwright.fits.fit import Found
from blockwright.fits.opening import RING_DROP, borne_once_pa
from blockwright.fits.practice import piston_alloy
from blockwright.fits.strength import HOT_MODULUS_PA, ring_alloy
from blockwright.materials import alloy
from blockwright.report.formulas.described import described
from blockwright.report.formulas.table import DECK, GAPS, LANDS, PRESSURES, SIZED, SPREADS, WALL, Offered, serving
from blockwright.report.formulas.values import told
from blockwright.running.ring_heat import RING_OF_FIT
from blockwright.running.temperatures import temperature

Known = Mapping[str, float]
"""What a fit knows, by the physics floor's own names, in SI."""


FINE = 8
"""Significant digits of a fit's own numbers: a hundredth of a micrometre of a bore."""


@dataclass(frozen=True)
class Behind:
    """A formula that serves a fit: its name, the inputs known by name with their unit, and whether they are all that it asks for."""

    offered: Offered
    inputs: tuple[tuple[str, str], ...] = ()
    whole: bool = False

    @property
    def name(self) -> str:
        """Its name in words."""
        return self.offered.name

    @property
    def slug(self) -> str:
        """Its name as it is typed."""
        return self.offered.slug

    @property
    def command(self) -> str:
        """The command that reckons it with what is known."""
        return self.offered.command(self.inputs)


def behind(job: Job, result: FitResult) -> tuple[Behind, ...]:
    """The formulas that serve a result's fit, the nearest first."""
    known_by = KNOWN.get(result.fit.name)
    if known_by is None:
        return tuple(Behind(each) for each in serving(result.fit.name))
    known = known_by(job, result)
    return tuple(_filled(each, known) for each in serving(result.fit.name))


def _filled(each: Offered, known: Known) -> Behind:
    """A formula with what is known of its inputs; those that are parts of another thing are never taken from a fit."""
    inputs = described(each).inputs
    own = [one for one in inputs if one.path == (one.parameter,) and one.parameter in known]
    whole = bool(own) and all(one in own for one in inputs if one.wanted)
    return Behind(each, tuple((one.key, told(known[one.parameter], one.measure, count=FINE)) for one in own), whole)


def _of_gap(job: Job, result: FitResult) -> Known:
    """An end gap: the gap at the place that governs, the bore by its nominal size, temperatures as the computed limit takes them."""
    ring = alloy(ring_alloy(job, job.in_cylinder(result.position.number).rings, result.fit.name))
    bore = alloy(job.engine.running_surface)
    ring_c, bore_c = (temperature(job, zone).value_c for zone in (RING_OF_FIT[result.fit.name], "bore"))
    return {
        "bore_m": job.engine.bore_m,
        "bore_expansion_per_k": bore.mean_expansion_per_k(bore_c),
        "ring_expansion_per_k": ring.mean_expansion_per_k(ring_c),
        "bore_c": bore_c,
        "ring_c": ring_c,
        "gap_hot_m": 0.0,
        **({"gap_cold_m": result.found.estimate.value} if result.found else {}),
    }


def _of_wall(job: Job, result: FitResult) -> Known:
    """The wall clearance: bore and skirt as read, each with its alloy and temperature."""
    of_bore, of_piston = alloy(job.engine.running_surface), alloy(piston_alloy(job, result.position)[0])
    bore_c, piston_c = (temperature(job, zone).value_c for zone in ("bore", "skirt"))
    sizes = [size.estimate.value for _, size in result.found.sizes[:2]] if result.found else []
    return {
        **dict(zip(("bore_m", "piston_m"), sizes, strict=False)),
        "bore_expansion_per_k": of_bore.mean_expansion_per_k(bore_c),
        "piston_expansion_per_k": of_piston.mean_expansion_per_k(piston_c),
        "bore_c": bore_c,
        "piston_c": piston_c,
    }


def _of_ring(job: Job, result: FitResult) -> Known:
    """A ring as a spring: its own sizes, its bore, its alloy; what bears on it follows from them."""
    if result.found is None:
        return {}
    from blockwright.physics.ring_beam import opening_m, tangential_force_n

    sizes = _by_role(result.found)
    held = job.in_cylinder(result.position.number).rings
    name = ring_alloy(job, held, result.fit.name.partition(" ")[0])
    free, gap, bore, wall, height = (sizes[each] for each in ("free opening", "gap", "bore", "wall", "height"))
    modulus, opening = alloy(name).modulus_pa, float(opening_m(free, gap))
    return {
        "free_gap_m": free, "fitted_gap_m": gap, "opening_m": opening, "bore_m": bore, "radial_m": wall, "axial_m": height, "modulus_pa": modulus,
        "tangential_n": float(tangential_force_n(opening, bore, wall, height, modulus)),
        "allowable_pa": borne_once_pa(name), "drop_m": RING_DROP * height,
        **({"piston_m": sizes["land"]} if "land" in sizes else {}),
    }  # fmt: skip


def _by_role(found: Found) -> dict[str, float]:
    """Sizes by the end of their role: `top ring wall` → `wall`, `bore, middle thrust` → `bore`."""
    ends = ("free opening", "wall", "height", "gap", "land")
    return {
        next((end for end in ends if role.endswith(end)), role.partition(",")[0]): size.estimate.value
        for role, size in found.sizes
    }


def _of_land(job: Job, result: FitResult) -> Known:
    """A land: its radii and thickness, and how much knock is reckoned with; its load is not a reading."""
    if result.found is None:
        return {"knock": job.duty.knock}
    land, depth, height = (size.estimate.value for _, size in result.found.sizes)
    return {
        "outer_radius_m": 0.5 * land, "root_radius_m": 0.5 * land - depth, "depth_m": depth, "thickness_m": height,
        "modulus_pa": HOT_MODULUS_PA, "knock": job.duty.knock, "stress_pa": result.estimate.value,
    }  # fmt: skip


def _of_deck(job: Job, result: FitResult) -> Known:
    """The crank drive by its nominal sizes, the pin without offset."""
    return {"throw_m": 0.5 * job.engine.stroke_m, "rod_m": job.engine.rod_length_m, "angle_rad": 0.0}


def _of_size(job: Job, result: FitResult) -> Known:
    """The nominal size; which class it is made to, no reading says."""
    nominal = result.fit.size(job.engine)
    return {} if nominal is None else {"nominal_m": nominal}


KNOWN: Mapping[str, Callable[[Job, FitResult], Known]] = {
    **dict.fromkeys(GAPS, _of_gap),
    **dict.fromkeys(WALL, _of_wall),
    **dict.fromkeys((*PRESSURES, *SPREADS), _of_ring),
    **dict.fromkeys(LANDS, _of_land),
    **dict.fromkeys(DECK, _of_deck),
    **dict.fromkeys(SIZED, _of_size),
}
