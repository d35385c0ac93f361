"""Cycle, temperatures and forces put into the records that are shown."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.materials.at_work import heat_laws
from blockwright.physics.crank_forces import cylinder_forces, rod_bolt_load_n
from blockwright.physics.layouts_forces import free_forces
from blockwright.physics.slider_crank import mean_piston_speed_m_s, pin_acceleration_m_s2
from blockwright.running.work.bearings import Columns
from blockwright.running.work.draws import SPAN, Draws, spread
from blockwright.running.work.facts import Facts
from blockwright.running.work.geometry import drive_of, train_of
from blockwright.running.work.heat import TOUCHED, Network
from blockwright.running.work.loads import OUTSIDE_PA, STEPS, about_top, angles_deg, curve, evenly, loaded
from blockwright.running.work.matched import Matched
from blockwright.running.work.result import CycleTold, ForcesTold, HeatPath, Node, Spread

Array = NDArray[np.float64]
ORDERS = (1, 2, 4)
PLACE_WORDS = {
    "crown": "piston crown, mean",
    "belt": "piston about the top groove",
    "skirt": "piston skirt",
    "top_ring": "top ring",
    "second_ring": "second ring",
    "oil_ring": "oil ring",
    "pin": "piston pin and bosses",
    "liner_top": "bore, top fifth of the stroke",
    "liner_middle": "bore, to three fifths",
    "liner_bottom": "bore, below",
    "bore": "bore where skirt and rings run coolest",
    "head": "chamber wall in the head",
    "main_housing": "metal round the main bearings",
    "big_end": "metal of the big ends",
    "journal": "crank journals",
    "sink": "coolant or cooling air",
    "oil": "oil",
}
BANDS = {"crown": (0.0, 300.0), "belt": (200.0, 230.0), "skirt": (120.0, 150.0), "liner_top": (150.0, 180.0)}
"""Full load, water-cooled, aluminium piston: J. B. Heywood, "Internal Combustion Engine Fundamentals", 1988, chapter 12 (from memory)."""


def cycle_told(facts: Facts, found: Matched, crown_heat_w: Array, own: Array | None, words: str) -> CycleTold:
    """The cycle, with the span of the draws at each angle."""
    cycle = found.cycle
    even = np.array([evenly(cycle.angle_rad, row) for row in cycle.pressure_pa.T])
    hot = evenly(cycle.angle_rad, cycle.temperature_k[:, 0])
    best = even[0] if own is None else own
    peak = cycle.peak_pa if own is None else np.full(1, own.max())
    span = about_top(np.quantile(even[1:], SPAN, axis=0).T).T if len(even) > 2 and own is None else np.empty((2, 0))
    shown = about_top(best)
    return CycleTold(
        facts.value("speed"), facts.value("power"), curve(angles_deg(STEPS)), curve(shown), curve(about_top(hot)),
        curve(span[0]), curve(span[1]), spread(np.asarray(peak)),
        float(angles_deg(STEPS)[int(np.argmax(shown))]), spread(cycle.peak_k), spread(found.indicated_pa), spread(found.friction_pa),
        spread(found.breathing), spread(crown_heat_w / found.chamber.piston_area_m2),
        float(np.max(np.abs(cycle.energy_left_over))), words,
    )  # fmt: skip


def nodes_told(job: Job, places_c: Mapping[str, Array], net: Network) -> tuple[Node, ...]:
    """Every place with its temperature, and how it lies to the handbook's band."""
    known = job.sheet.temperatures
    rows = []
    for name, words in PLACE_WORDS.items():
        if name in places_c:
            given = name in net.given or getattr(known, f"{name}_c", None) is not None
            rows.append(Node(name, words, spread(places_c[name]), given, _band(job, name, float(places_c[name][0]))))
    return tuple(rows)


def paths_told(net: Network, found: Matched) -> tuple[HeatPath, ...]:
    """Every resistance as it was used."""
    laws = {law.name: law for law in heat_laws()}
    inside = tuple(
        HeatPath(
            law.name, law.name, law.between, 1.0 / float(np.atleast_1d(way.conductance_w_k)[0]), float(np.atleast_1d(heat)[0]),
            laws[law.name].spread, law.source,
        )
        for law, way, heat in zip(net.laws, net.ways, found.walls.heat_w, strict=False)
    )  # fmt: skip
    return (*_gas_told(net, found), *inside)


def _gas_told(net: Network, found: Matched) -> Iterator[HeatPath]:
    """Heat from the gas to each wall that it touches; the resistance is that of the cycle's mean."""
    at = found.walls.temperatures
    for place, heat in zip(TOUCHED, found.walls.heat_w[len(net.ways) :], strict=True):
        gas = f"gas at the {place}"
        heat_w = float(heat[0])
        resistance = float((at[gas] - at[place])[0]) / heat_w if heat_w else float("inf")
        yield HeatPath(
            gas, f"gas to the {place.replace('_', ' ')}", (gas, place), resistance, heat_w, 0.0, "the cycle, by Woschni"
        )


def forces_told(job: Job, facts: Facts, draws: Draws, columns: Columns) -> ForcesTold:
    """Forces of one cylinder, of the crank, and what is left free."""
    speed, redline = facts.value("speed"), job.duty.redline_rad_s
    drive = drive_of(job, float(columns.piston_kg[0]), float(columns.rod_kg[0]), float(columns.big_share[0]))
    train = train_of(job, facts, drive, max(float(columns.counterweight[0]), 0.0))
    whole = loaded(train, columns.pressure_pa[0], speed, (), ()).forces
    first = whole.cylinders[(job.engine.firing_order or (1,))[0] - 1]
    free = free_forces(train, speed)
    largest = _largest(job, facts, draws, columns)
    engine = job.engine
    return ForcesTold(
        curve(angles_deg(STEPS)), curve(about_top(first.gas_n)), curve(about_top(first.side_n)), curve(about_top(whole.torque_nm)),
        *largest, float(mean_piston_speed_m_s(speed, engine.stroke_m)), float(mean_piston_speed_m_s(redline, engine.stroke_m)),
        float(-pin_acceleration_m_s2(0.0, redline, engine.stroke_m / 2.0, engine.rod_length_m)),
        tuple(free.largest_force_n(order) for order in ORDERS), tuple(free.largest_couple_nm(order) for order in ORDERS), ORDERS,
    )  # fmt: skip


def _largest(job: Job, facts: Facts, draws: Draws, columns: Columns) -> tuple[Spread, Spread, Spread, Spread]:
    """Largest pin load, thrust on either side, and pull on the rod bolts, by draws."""
    speed, angle = facts.value("speed"), np.arange(STEPS, dtype=np.float64) * (4.0 * math.pi / STEPS)
    cap = draws.normal(facts["cap_share"])
    rows = []
    for index in range(1 + draws.samples):
        rod_kg = float(columns.rod_kg[index])
        drive = drive_of(job, float(columns.piston_kg[index]), rod_kg, float(columns.big_share[index]))
        forces = cylinder_forces(angle, columns.pressure_pa[index] - OUTSIDE_PA, speed, drive)
        cap_kg = min(max(float(cap[index]) * rod_kg, 0.0), drive.rod.big_kg)
        rows.append((
            float(np.hypot(forces.pin_n[:, 0], forces.pin_n[:, 1]).max()), float(forces.side_n.max()), float(-forces.side_n.min()),
            float(rod_bolt_load_n(drive, cap_kg, job.duty.redline_rad_s)),
        ))  # fmt: skip
    pin, major, minor, bolts = np.array(rows).T
    return spread(pin), spread(major), spread(minor), spread(bolts)


def _band(job: Job, name: str, value_c: float) -> str:
    band = BANDS.get(name)
    if band is None:
        return ""
    low, high = band
    span = f"under {high:.0f} °C" if not low else f"{low:.0f} to {high:.0f} °C"
    lies = "within" if low <= value_c <= high else "under" if value_c < low else "over"
    kind = "" if job.duty.cooling == "water" else ", of water-cooled engines"
    return f"{lies} the handbook's band of {span}{kind}"
