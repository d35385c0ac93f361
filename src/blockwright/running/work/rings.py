"""The ring pack of each cylinder on its gaps as filed, hot: pressures between the rings, lift, blow-by; the map over both gaps; a looser second ring.

Two compression rings; the oil ring's drain holes keep the space under the second at the crankcase's pressure. Groove, wall and land are as read
where they were, else assumed. Draws of the pack are fewer than those of the rest, since each runs cycles until they repeat themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.fits.assessment import Assessment
from blockwright.fits.practice import piston_alloy
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.physics.expansion import hot_length_m
from blockwright.physics.ring_pack import DAMPING_N_S_M, Land, Motion, Pack, Ring, gap_map, run_pack
from blockwright.running.second_ring import second_ring
from blockwright.running.work.draws import Draws, spread
from blockwright.running.work.facts import Facts
from blockwright.running.work.geometry import offset_of
from blockwright.running.work.heat import KELVIN
from blockwright.running.work.hot import Growing
from blockwright.running.work.loads import STEPS, about_top, angles_deg, curve, evenly
from blockwright.running.work.matched import Matched
from blockwright.running.work.result import GapMap, RingsTold

Array = NDArray[np.float64]
MOST_DRAWS = 200
STEEL_KG_M3 = 7800.0
LOOSER_M = (0.1e-3, 0.2e-3)
MAP_SHARES = np.linspace(0.5, 2.0, 7)
"""Gaps of the map, over those of the cylinder that is looked at."""
LEAST_CLEARANCE_M = 20e-6
"""A land hotter than its bore allows is held to this radial clearance."""
TOP, SECOND = "top", "second"
GAPLESS = "The second ring has no through gap: it is taken to let nothing past, and none can be looser."
FIT = {TOP: "top end gap", SECOND: "second end gap"}


@dataclass(frozen=True)
class Gaps:
    """Cold gaps of one cylinder by draws, as read; of a second ring without a through gap none."""

    position: Position
    top_m: Array
    second_m: Array
    gapless: bool = False


def gaps_of(assessment: Assessment, draws: Draws) -> tuple[Gaps, ...]:
    """Cylinders of which both gaps were read, or the top one where the second ring has no through gap."""
    job = assessment.job
    found = {(r.fit.name, r.position): r.found for r in assessment.results if r.found is not None}
    rows = []
    for position in job.engine.positions(Place.CYLINDER):
        pair = [found.get((FIT[ring], position)) for ring in (TOP, SECOND)]
        part = job.parts.get(job.in_cylinder(position.number).rings)
        if pair[0] is not None and part is not None and part.gapless_second:
            top = draws.size(pair[0].estimate)
            rows.append(Gaps(position, top, np.zeros_like(top), True))
        elif pair[0] is not None and pair[1] is not None:
            rows.append(Gaps(position, draws.size(pair[0].estimate), draws.size(pair[1].estimate)))
    return tuple(rows)


class Packs:
    """Makes the packs of an engine."""

    def __init__(
        self, job: Job, facts: Facts, draws: Draws, cycle: Matched, growing: Growing, own: Array | None
    ) -> None:
        self.job, self.facts, self.draws, self.growing = job, facts, draws, growing
        self.sizes = Sizes(job)
        columns = 1 + min(draws.samples, MOST_DRAWS)
        angle = cycle.cycle.angle_rad
        self.chamber = (
            np.array([evenly(angle, row) for row in cycle.cycle.pressure_pa.T[:columns]])
            if own is None
            else np.broadcast_to(own, (columns, len(own)))
        )
        self.columns = columns
        self.charge_kg = np.asarray(cycle.cycle.mass_kg)[:columns]
        self.gas_k = np.asarray(growing.places_c["belt"])[:columns] + KELVIN

    def motion(self, columns: int) -> Motion:
        """The piston's motion under the pressure of so many draws; of one alone, without a draw's axis."""
        engine = self.job.engine
        pressure = self.chamber[0] if columns == 1 else self.chamber[:columns]
        return Motion(
            pressure, self.facts.value("speed"), engine.stroke_m / 2.0, engine.rod_length_m, offset_of(engine)
        )

    def pack(self, gaps: Gaps, columns: int) -> Pack:
        """The pack of a cylinder, hot; `columns` 1 for its best values."""
        cut = slice(0, 1) if columns == 1 else slice(0, columns)
        place = self.growing.places_c
        number = gaps.position.number
        clearance = self._land_clearance(gaps.position)[cut]
        height = self._length(gaps.position, "second land height", PartKind.PISTON, "land_height")
        bore = self.job.engine.bore_m
        rings = tuple(
            self._ring(ring, gaps.position, hot[cut], clearance, cut)
            for ring, hot in (
                (TOP, self.growing.gap(gaps.top_m, FIT[TOP], number)),
                (SECOND, gaps.second_m if gaps.gapless else self.growing.gap(gaps.second_m, FIT[SECOND], number)),
            )
        )
        land_k = 0.5 * (place["belt"] + place["liner_top"])[cut] + KELVIN
        land = Land(_plain(math.pi * bore * clearance * height), _plain(land_k))
        below_k = place["skirt"][cut] + KELVIN
        return Pack(rings, (land,), _plain(self.gas_k[cut]), _plain(below_k))

    def _ring(self, ring: str, position: Position, hot_gap: Array, clearance: Array, cut: slice) -> Ring:
        normal = self.draws.normal
        wall = self._length(position, f"{ring} ring wall", PartKind.RINGS, "ring_wall")
        height = self._length(position, f"{ring} ring height", PartKind.RINGS, "ring_height")
        around = math.pi * (self.job.engine.bore_m - wall)
        play = np.clip(self._play(position, ring)[cut], 5e-6, 1e-3)
        side = np.maximum(wall - clearance, 0.3 * wall)
        behind = np.maximum(normal(self.facts["back_clearance"])[cut], 0.05e-3)
        groove = "top_ring" if ring == TOP else "second_ring"
        return Ring(
            gap_m=_plain(np.maximum(hot_gap, 0.0)), clearance_m=_plain(clearance), play_m=_plain(play), side_m=_plain(side),
            seat_m=_plain(np.maximum(normal(self.facts["seat"])[cut], 0.1e-6)), around_m=around,
            behind_m3=_plain(around * (behind * (height + play) + 0.5 * play * wall)),
            behind_k=_plain(self.growing.places_c[groove][cut] + KELVIN), mass_kg=STEEL_KG_M3 * around * wall * height,
            friction_n=_plain(np.maximum(normal(self.facts["ring_friction"])[cut], 0.0)),
            damping_n_s_m=_plain(DAMPING_N_S_M * np.maximum(normal(self.facts["ring_damping"])[cut], 0.1)),
        )  # fmt: skip

    def _land_clearance(self, position: Position) -> Array:
        """Radial clearance of the second land in its bore, hot."""
        bore = self.job.engine.bore_m
        piston = self.job.in_cylinder(position.number).piston
        try:
            cold = self.draws.size(self.sizes.one(piston, "second land").estimate)
        except Lacking:
            cold = bore - self.draws.normal(self.facts["land_under_bore"])
        place = self.growing.places_c
        alloy_name = piston_alloy(self.job, position)[0]
        land = hot_length_m(cold, self.growing.per_k(alloy_name, place["belt"]), place["belt"])
        wall_c = 0.5 * (place["liner_top"] + place["liner_middle"])
        hot_bore = hot_length_m(bore, self.growing.per_k(self.job.engine.running_surface, wall_c), wall_c)
        return np.asarray(np.maximum(0.5 * (hot_bore - land), LEAST_CLEARANCE_M))

    def _play(self, position: Position, ring: str) -> Array:
        parts = self.job.in_cylinder(position.number)
        try:
            groove = self.sizes.one(parts.piston, f"{ring} groove width").estimate
            height = self.sizes.one(parts.rings, f"{ring} ring height").estimate
        except Lacking:
            return self.draws.normal(self.facts["side_clearance"])
        return self.draws.size(groove - height)

    def _length(self, position: Position, feature: str, kind: PartKind, default: str) -> float:
        """A size as read on a cylinder's part, else as assumed."""
        parts = self.job.in_cylinder(position.number)
        mark = parts.piston if kind is PartKind.PISTON else parts.rings
        try:
            return float(self.sizes.one(mark, feature).estimate.value)
        except Lacking:
            return self.facts.value(default)


def rings_told(packs: Packs, gaps: Sequence[Gaps]) -> tuple[RingsTold, ...]:
    """Every cylinder."""
    return tuple(_told(packs, each) for each in gaps)


def _told(packs: Packs, gaps: Gaps) -> RingsTold:
    motion = packs.motion(1)
    one = packs.pack(gaps, 1)
    best = run_pack(one, motion)
    speed = packs.facts.value("speed")
    charge = float(packs.charge_kg[0])
    drawn = run_pack(packs.pack(gaps, packs.columns), packs.motion(packs.columns)) if packs.columns > 1 else best
    blown = np.concatenate([np.atleast_1d(best.blow_by_kg), np.atleast_1d(drawn.blow_by_kg)[1:]])
    share = blown / packs.charge_kg[: len(blown)]
    litres = np.concatenate([np.atleast_1d(each.blow_by_l_min(speed)) for each in (best, drawn)])[
        [0, *range(2, 1 + len(blown))]
    ]
    hot = [np.atleast_1d(np.asarray(ring.gap_m)) for ring in packs.pack(gaps, packs.columns).rings]
    looser = GAPLESS if gaps.gapless else _looser(packs, one, motion, charge)
    return RingsTold(
        position=str(gaps.position), angle_deg=curve(angles_deg(STEPS)), chamber_pa=curve(about_top(packs.chamber[0])),
        under_top_pa=curve(about_top(best.land_pa[0])), under_second_pa=(),
        top_lift_m=curve(about_top(best.lift_m[0])), second_lift_m=curve(about_top(best.lift_m[1])),
        top_gap_m=spread(hot[0]), second_gap_m=spread(hot[1]), blow_by_share=spread(share),
        blow_by_l_min=spread(litres), settled=bool(best.settled), looser=looser,
    )  # fmt: skip


def _looser(packs: Packs, pack: Pack, motion: Motion, charge_kg: float) -> str:
    engine = packs.job.engine
    answer = second_ring(pack, motion, charge_kg, LOOSER_M, cylinders=engine.cylinders, units=packs.job.rules.units)
    return f"{answer.verdict} {answer.limits}"


def map_of(packs: Packs, gaps: Gaps) -> GapMap:
    """Blow-by and land pressure over cold top and second gaps about those of one cylinder."""
    number = gaps.position.number
    tops, seconds = (MAP_SHARES * float(each[0]) for each in (gaps.top_m, gaps.second_m))
    hot = [
        np.maximum(
            [float(packs.growing.gap(np.full_like(gaps.top_m, cold), FIT[ring], number)[0]) for cold in colds], 0.0
        )
        for ring, colds in ((TOP, tops), (SECOND, seconds))
    ]
    found = gap_map(packs.pack(gaps, 1), packs.motion(1), hot[0], hot[1])
    share = found.blow_by_share(float(packs.charge_kg[0]))
    between = found.peak_pa[0]
    return GapMap(
        curve(tops), curve(seconds), tuple(curve(row) for row in share), tuple(curve(row) for row in between),
        (float(gaps.top_m[0]), float(gaps.second_m[0])), str(gaps.position),
    )  # fmt: skip


def _plain(values: Array) -> Array | float:
    """One number where there is one column."""
    return float(values[0]) if len(values) == 1 else values
