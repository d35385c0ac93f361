"""Temperatures of piston, rings and bore: the lumped network of one cylinder, with the ways of heat of `materials/heat_paths.toml`.

| place | what |
| --- | --- |
| crown, belt, skirt | of the piston: mean of the crown; metal about the top groove; skirt |
| liner_top, _middle, _bottom | the bore's wall over the first fifth of the stroke, to three fifths, and below |
| head | the chamber's wall in the head |
| sink, oil | coolant or cooling air, and oil, both held |

All cylinders are taken alike. Rings and pin hang between places by stated shares. Not validated on a measured engine: it was held only against the
bands of a handbook, and docs/work.md says where it leaves them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.at_work import LinerKind
from blockwright.engine.duty import Cooling
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.fits.practice import piston_alloy
from blockwright.materials.at_work import (
    HeatLaw,
    conductivity_spread,
    conductivity_w_m_k,
    heat_laws,
    liner_resistance_m2_k_w,
    rubbing,
)  # fmt: skip
from blockwright.physics.cycle import Chamber, Cycle
from blockwright.physics.heat_network import Settled, Way, settled
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import GIVEN_C_U, Facts
from blockwright.running.work.result import Fact

Array = NDArray[np.float64]
KELVIN = 273.15
ZONES: Mapping[str, tuple[float, float]] = {
    "liner_top": (0.0, 0.2), "liner_middle": (0.2, 0.6), "liner_bottom": (0.6, 1.0),
}  # fmt: skip
"""Parts of the bore's wall, as shares of the stroke from the top."""
TOUCHED = ("crown", "head", *ZONES)
"""Places that the gas touches, in the order in which their ways of heat follow those of the network."""
WALL_SHARE = 0.07
"""Thickness of the bore's wall over the bore (assumed)."""
GIVEN_PLACES = {
    place: f"{place}_c" for place in ("crown", "belt", "skirt", "head", "liner_top", "liner_middle", "liner_bottom")
}
"""Places of the network and the temperature of the job that holds them. The coolant's of an air-cooled engine is that of its head, which it holds."""
BETWEEN: Mapping[str, tuple[tuple[str, float], ...]] = {
    "top_ring": (("belt", 0.6), ("liner_top", 0.4)),
    "second_ring": (("belt", 0.42), ("skirt", 0.18), ("liner_middle", 0.4)),
    "oil_ring": (("belt", 0.24), ("skirt", 0.36), ("liner_middle", 0.4)),
    "pin": (("belt", 0.5), ("skirt", 0.5)),
    "bore": (("liner_middle", 0.5), ("liner_bottom", 0.5)),
}
"""What hangs between places (assumed): a ring takes six tenths from its groove and the rest from the wall; second and oil groove lie on the way to
the skirt; the bore where skirt and rings run coolest is the mean of its middle and its bottom."""
BETWEEN_U_K = 8.0
"""Standard uncertainty of those (assumed)."""


@dataclass(frozen=True)
class Network:
    """The ways of heat of an engine with their draws, and the places that are held, °C."""

    laws: tuple[HeatLaw, ...]
    ways: tuple[Way, ...]
    held_c: Mapping[str, Array]
    rubbed_share: Array
    places: tuple[str, ...]
    given: frozenset[str]


def network(job: Job, facts: Facts, draws: Draws) -> Network:
    """The network of a job: laws that apply, conductances drawn, and what is held."""
    laws = tuple(law for law in heat_laws() if not law.when or law.when in _kinds(job))
    ways = tuple(Way(*law.between, _conductance(law, job, draws)) for law in laws)
    held = {"sink": draws.normal(facts["sink"]), "oil": draws.normal(facts["oil"])}
    known = job.sheet.temperatures
    given = {place: getattr(known, key) for place, key in GIVEN_PLACES.items() if getattr(known, key) is not None}
    doubt_k = dict.fromkeys(given, known.give_k)
    if job.duty.cooling is Cooling.AIR and job.duty.coolant_c is not None and "head" not in given:
        given["head"], doubt_k["head"] = job.duty.coolant_c, GIVEN_C_U
    for place, value in given.items():
        words = f"temperature given: {place.replace('_', ' ')}"
        held[place] = draws.normal(Fact(words, words, value, doubt_k[place], "°C", "given"))
    rubbed = rubbing()
    share = rubbed.of_friction * draws.factor("rubbing", "share of friction that piston and rings make", rubbed.spread)
    places = tuple(dict.fromkeys(place for law in laws for place in law.between))
    return Network(laws, ways, held, share, places, frozenset(given))


def heated(net: Network, chamber: Chamber, cycle: Cycle, rubbing_w: Array) -> Settled:
    """Temperatures (K) with the cycle's gas on the walls and rubbing between them; `rubbing_w` is an engine's rubbing, for each cylinder."""
    areas = dict(zip(("crown", "head"), chamber.walls_m2(cycle.angle_rad)[:2], strict=True)) | _bare(
        chamber, cycle.angle_rad
    )
    ways, held = list(net.ways), {place: value + KELVIN for place, value in net.held_c.items()}
    for place in TOUCHED:
        gas = f"gas at the {place}"
        carried, hot = _gas_side(cycle, np.asarray(areas[place]))
        ways.append(Way(gas, place, carried))
        held[gas] = hot
    rubbed = rubbing_w * net.rubbed_share
    return settled(ways, {place: share * rubbed for place, share in rubbing().dealt.items()}, held)


def hanging(job: Job, temperatures_c: Mapping[str, Array], draws: Draws) -> dict[str, Array]:
    """Rings and pin: between places of the network, or as given; °C."""
    found = {}
    for name, parts in BETWEEN.items():
        given = getattr(job.sheet.temperatures, f"{name}_c")
        words = f"temperature of the {name.replace('_', ' ')}"
        if given is not None:
            found[name] = draws.normal(Fact(words, words, given, job.sheet.temperatures.give_k, "°C", "given"))
        else:
            mixed = sum(share * temperatures_c[place] for place, share in parts)
            off = draws.normal(
                Fact(f"{words}, off", f"{words}, beside what its neighbours give", 0.0, BETWEEN_U_K, "K", "assumed")
            )
            found[name] = np.asarray(mixed + off)
    return found


def liner_kind(job: Job) -> LinerKind:
    """How the running surface sits: as given, or by cooling and alloys."""
    if job.at_work.liner is not None:
        return job.at_work.liner
    if job.duty.cooling is Cooling.AIR:
        return LinerKind.FINNED
    return LinerKind.DRY if job.engine.liner_material else LinerKind.PARENT


def _kinds(job: Job) -> set[str]:
    finned = job.duty.cooling is Cooling.AIR or liner_kind(job) is LinerKind.FINNED
    return {"finned" if finned else "liquid", *(("jets",) if job.at_work.oil_jets else ())}


def _conductance(law: HeatLaw, job: Job, draws: Draws) -> Array:
    bore, stroke = job.engine.bore_m, job.engine.stroke_m
    factor = draws.factor(f"way of heat: {law.name}", f"heat, {law.name}", law.spread)
    if law.law in ("disc", "shell", "along"):
        k = _conductivity(job, law, draws)
        shape = {
            "disc": 8.0 * math.pi * 0.085 * bore,
            "shell": math.pi * 0.06 * bore,
            "along": math.pi * bore * WALL_SHARE * bore / (_between(law) * stroke) if law.law == "along" else 0.0,
        }[law.law]
        return np.asarray(shape * k * factor)
    zone = (ZONES[law.between[0]][1] - ZONES[law.between[0]][0]) * stroke if law.between[0] in ZONES else 0.0
    area = {
        "rim": math.pi * bore, "skirt": 0.35 * bore**2, "under": 0.9 * math.pi / 4 * bore**2, "inside": 0.4 * math.pi * bore**2,
        "head": 1.2 * math.pi / 4 * bore**2, "wall": math.pi * 1.12 * bore * zone, "oil": math.pi * bore * zone,
    }[law.law]  # fmt: skip
    value = law.value
    if law.law == "wall":
        value = 1.0 / (1.0 / law.value + liner_resistance_m2_k_w(liner_kind(job)))
    return np.asarray(area * value * factor)


def _conductivity(job: Job, law: HeatLaw, draws: Draws) -> Array:
    first = job.engine.positions(Place.CYLINDER)[0]
    metal = job.engine.running_surface if law.law == "along" else piston_alloy(job, first)[0]
    factor = draws.factor(f"conductivity of {metal}", f"conductivity of {metal}", conductivity_spread())
    return conductivity_w_m_k(metal) * factor


def _between(law: HeatLaw) -> float:
    """Distance of the middles of two parts of the wall, as a share of the stroke."""
    one, other = (0.5 * sum(ZONES[place]) for place in law.between)
    return other - one


def _bare(chamber: Chamber, angle_rad: Array) -> dict[str, Array]:
    """How much of each part of the bore's wall the piston leaves bare, m²."""
    _, _, bare = chamber.walls_m2(angle_rad)
    travel = np.asarray(bare) / (math.pi * chamber.bore_m)
    stroke = chamber.stroke_m
    return {
        place: math.pi * chamber.bore_m * np.clip(travel - low * stroke, 0.0, (high - low) * stroke)
        for place, (low, high) in ZONES.items()
    }


def _gas_side(cycle: Cycle, area_m2: Array) -> tuple[Array, Array]:
    """Conductance of the gas on a wall over the cycle (W/K), and the temperature that it acts with, K."""
    film = cycle.film_w_m2_k * (area_m2[:, None] if area_m2.ndim else area_m2)
    span = cycle.angle_rad[-1] - cycle.angle_rad[0]
    carried = np.trapezoid(film, cycle.angle_rad, axis=0) / span
    hot = np.trapezoid(film * cycle.temperature_k, cycle.angle_rad, axis=0) / span
    return carried, hot / carried
