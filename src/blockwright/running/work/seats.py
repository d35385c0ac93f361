"""The bearings of an engine at work: which there are, their clearances cold and hot by draws, their widths and their roughness."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.at_work import MainGroove
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.materials.at_work import assumed
from blockwright.metrology.estimate import Estimate
from blockwright.physics.expansion import hot_clearance_m
from blockwright.physics.plain_bearing import PlainBearing
from blockwright.running.work.alloys import crank_alloy, growth, rod_alloy
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import Facts
from blockwright.running.work.geometry import mains_worked
from blockwright.running.work.result import Fact

Array = NDArray[np.float64]
LEAST_SHARE, MOST_SHARE = 2.2e-4, 9.5e-3
"""Clearance over diameter: within what the bearing model takes; draws beyond are held at these."""
ROD_FIT, MAIN_FIT = "rod film", "main film"


@dataclass(frozen=True)
class Seat:
    """One bearing: its fit, and its diametral clearances by draws; `cold` is its estimate where it was read."""

    name: str
    fit: str
    position: Position
    cold: Estimate
    read: bool
    cold_m: Array
    hot_m: Array
    diameter_m: float
    width_m: float
    groove_m: float
    hole_m: float
    roughness_m: float
    roughness_origin: str

    @property
    def grown_m(self) -> float:
        """What heat opens it by, diametral, best value."""
        return float(self.hot_m[0] - self.cold_m[0])

    def bearing(self, index: int) -> PlainBearing:
        """The bearing of one draw."""
        return self.with_clearance(float(self.hot_m[index]))

    def with_clearance(self, hot_m: float) -> PlainBearing:
        """The bearing with a diametral clearance when hot, held within what the model takes."""
        share = min(max(hot_m / self.diameter_m, LEAST_SHARE), MOST_SHARE)
        return PlainBearing(self.diameter_m, self.width_m, 0.5 * share * self.diameter_m, self.groove_m, self.hole_m)


@dataclass(frozen=True)
class Metal:
    """Temperatures of what holds the bearings, °C by draws."""

    main_housing_c: Array
    big_end_c: Array
    journal_c: Array


def metal_of(job: Job, facts: Facts, draws: Draws) -> Metal:
    """As given, or so much over the oil."""
    oil = draws.normal(facts["oil"])
    known = job.sheet.temperatures

    def at(place: str, given: float | None) -> Array:
        if given is not None:
            words = f"temperature given: {place.replace('_', ' ')}"
            return draws.normal(Fact(words, words, given, known.give_k, "°C", "given"))
        return oil + draws.normal(facts[f"{place}_over_oil"])

    return Metal(
        at("main_housing", known.main_housing_c), at("big_end", known.big_end_c), at("journal", known.journal_c)
    )


def seats_of(
    assessment: Assessment, facts: Facts, draws: Draws, metal: Metal
) -> tuple[tuple[Seat, ...], tuple[str, ...]]:
    """Rod bearings by cylinder, then mains, that can be worked; and what the others lack, in words."""
    job, sizes = assessment.job, Sizes(assessment.job)
    engine = job.engine
    by_key = {(result.fit.name, result.position): result for result in assessment.results}
    places = [(ROD_FIT, position) for position in engine.positions(Place.CYLINDER)]
    places += [(MAIN_FIT, position) for position in engine.positions(Place.MAIN)[: mains_worked(engine)]]
    seats, lacking = [], []
    for fit, position in places:
        result = by_key.get((fit, position))
        made = None if result is None else _seat(job, sizes, result, facts, draws, metal)
        if made is None:
            lacking.append(f"{fit}, {position}: neither its clearance nor its limits and journal are known")
        else:
            seats.append(made)
    return tuple(seats), tuple(lacking)


def _seat(job: Job, sizes: Sizes, result: FitResult, facts: Facts, draws: Draws, metal: Metal) -> Seat | None:
    rod = result.fit.name == ROD_FIT
    nominal = job.engine.rod_journal_m if rod else job.engine.main_journal_m
    found = result.found
    journal = found.sizes[-1][1].estimate.value if found is not None else nominal
    cold = found.estimate if found is not None else _middle(result)
    if journal is None or cold is None:
        return None
    kind = "rod" if rod else "main"
    number = result.position.number
    holder = rod_alloy(job, number) if rod else job.engine.housing_material
    holder_c = metal.big_end_c if rod else metal.main_housing_c
    crank = crank_alloy(job)
    cold_m = draws.size(cold)
    hot_m = np.asarray(hot_clearance_m(
        journal + cold_m, np.full_like(cold_m, journal), growth(holder, draws.normal(facts[f"expansion of {holder}"]), holder_c),
        growth(crank, draws.normal(facts[f"expansion of {crank}"]), metal.journal_c), holder_c, metal.journal_c,
    ))  # fmt: skip
    width = _fact_or(facts, f"{kind}_width", nominal, journal)
    groove, hole = 0.0, _fact_or(facts, f"{kind}_hole", nominal, journal)
    if not rod and job.at_work.main_groove is MainGroove.ROUND:
        known = facts.get("groove_width")
        groove, hole = known.value if known is not None else assumed("groove_width").value * width, 0.0
    rough, origin = _roughness(job, sizes, result, facts)
    name = f"rod bearing, {result.position}" if rod else f"{result.position}"
    return Seat(
        name, result.fit.name, result.position, cold, found is not None, cold_m, hot_m, journal, width, groove,
        min(hole, 0.6 * width), rough, origin,
    )  # fmt: skip


def _fact_or(facts: Facts, name: str, nominal: float | None, journal_m: float) -> float:
    """A width or hole of the facts; where the nominal journal is not given, the usual share of the journal as read."""
    fact = facts.get(name)
    if fact is not None:
        return fact.value
    return assumed("oil_hole" if name.endswith("hole") else name).value * journal_m


def _middle(result: FitResult) -> Estimate | None:
    """The middle of a fit's limits, for a bearing that was not read."""
    limits = result.limits
    if limits.low is None or limits.high is None:
        return None
    return Estimate(0.5 * (limits.low.value + limits.high.value))


def _roughness(job: Job, sizes: Sizes, result: FitResult, facts: Facts) -> tuple[float, str]:
    """Combined roughness of journal and shell, and where it comes from."""
    shell = facts["shell_roughness"]
    crank = job.only(PartKind.CRANK)
    rod = result.fit.name == ROD_FIT
    at = job.engine.throw_of(result.position.number) if rod else result.position
    try:
        read = sizes.one(crank, "rod journal roughness" if rod else "main journal roughness", at)
    except Lacking:
        journal = facts["journal_roughness"]
        return journal.value + shell.value, "journal and shell assumed"
    return read.estimate.value + shell.value, "journal as read, shell assumed"


def by_fit(seats: Sequence[Seat]) -> Mapping[str, list[Seat]]:
    """Seats by the fit that they belong to."""
    found: dict[str, list[Seat]] = {}
    for seat in seats:
        found.setdefault(seat.fit, []).append(seat)
    return found
