"""Fits when hot: walls, ring gaps, pins, and the films of the bearings, each judged by the share of its draws inside its limits.

| fit | hot value | limit |
| --- | --- | --- |
| wall clearance | bore and skirt each grown, at the skirt's gauge height | 0: a bare skirt larger than its bore is a warning, for it flexes |
| top, second end gap | the gap as filed, ring and bore grown | 0: the ends meet |
| pin in piston, pin in bush | boss or rod's eye and pin grown | 0: no room left |
| main film, rod film | smallest film over the cycle | combined roughness of journal and shell |

Gas pressure and the stiffness of block and liner are left out. A verdict is no firmer than the number of draws allows: of n draws with k failing the
chance is taken as (k + 1)/(n + 2), Laplace's rule of succession, so that none of forty is no proof of one in a thousand. Not validated on a
measured engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.engine.rules import Authority
from blockwright.fits.assessment import WEAK_GROUND, Assessment, FitResult, Standing
from blockwright.fits.practice import piston_alloy
from blockwright.fits.strength import ring_alloy
from blockwright.metrology.estimate import Estimate
from blockwright.metrology.verdict import Chances, Rule, Verdict, decide_by
from blockwright.physics.expansion import hot_clearance_m, hot_gap_m
from blockwright.running.work.alloys import growth, pin_alloy, rod_alloy
from blockwright.running.work.bearings import Films
from blockwright.running.work.draws import Draws, spread
from blockwright.running.work.facts import Facts
from blockwright.running.work.result import HotFit
from blockwright.running.work.seats import Metal, Seat

Array = NDArray[np.float64]
BINS = 40
NOT_JUDGED = "not judged without draws"
GAPS = {"top end gap": "top_ring", "second end gap": "second_ring"}
FILM_WORDS = "smallest oil film at work"
UNTRIED = "not validated on a measured engine"
WORDS = {
    "wall clearance": ("bore less bare skirt, both hot", "the bare skirt must not outgrow its bore (it flexes: a warning)"),
    "top end gap": ("gap of the top ring, hot", "the ends must not meet"),
    "second end gap": ("gap of the second ring, hot", "the ends must not meet"),
    "pin in piston": ("room of the pin in its bosses, hot", "the pin must not stick"),
    "pin in bush": ("room of the pin in the rod, hot", "the pin must not stick"),
}  # fmt: skip


@dataclass(frozen=True)
class Hot:
    """One fit's columns, cold and hot, with its low limit and the ground for it."""

    fit: str
    position: str
    words: str
    cold_m: Array
    hot_m: Array
    readings: Estimate
    ground: str
    low_m: float = 0.0


class Growing:
    """How the engine's parts grow, draw by draw."""

    def __init__(self, job: Job, facts: Facts, draws: Draws, places_c: Mapping[str, Array], metal: Metal) -> None:
        self.job, self.facts, self.draws, self.places_c, self.metal = job, facts, draws, places_c, metal

    def per_k(self, name: str, at_c: Array) -> Array:
        """Mean expansion of an alloy up to a temperature."""
        return growth(name, self.draws.normal(self.facts[f"expansion of {name}"]), at_c)

    def hot(self, result: FitResult) -> Hot | None:
        """A fit's columns; None for one that heat is not worked out for."""
        found, name = result.found, result.fit.name
        if found is None or name not in WORDS:
            return None
        words, ground = WORDS[name]
        if name in GAPS:
            cold = self.draws.size(found.estimate)
            hot = self.gap(cold, name, result.position.number)
        else:
            cold = self.draws.size(found.estimate)
            inner = np.full_like(cold, found.sizes[1][1].estimate.value)
            hot = self._pair(inner + cold, inner, name, result)
        return Hot(name, str(result.position), words, cold, hot, found.estimate, ground)

    def gap(self, cold_m: Array, name: str, number: int) -> Array:
        """A ring's hot gap from its cold one. Ends that meet press: below nil the value is the squeeze."""
        ring = ring_alloy(self.job, self.job.in_cylinder(number).rings, name)
        bore = self.job.engine.running_surface
        ring_c, bore_c = self.places_c[GAPS[name]], self.places_c["bore"]
        held = np.maximum(cold_m, 0.0)
        return np.asarray(
            hot_gap_m(held, self.job.engine.bore_m, self.per_k(bore, bore_c), self.per_k(ring, ring_c), bore_c, ring_c)
        )

    def _pair(self, outer: Array, inner: Array, name: str, result: FitResult) -> Array:
        number, piston = result.position.number, piston_alloy(self.job, result.position)[0]
        outer_alloy, inner_alloy, places = {
            "wall clearance": (self.job.engine.running_surface, piston, ("bore", "skirt")),
            "pin in piston": (piston, pin_alloy(self.job, number), ("pin", "pin")),
            "pin in bush": (rod_alloy(self.job, number), pin_alloy(self.job, number), ("pin", "pin")),
        }[name]
        outer_c, inner_c = (self.places_c[place] for place in places)
        grown = self.per_k(outer_alloy, outer_c), self.per_k(inner_alloy, inner_c)
        return np.asarray(hot_clearance_m(outer, inner, *grown, outer_c, inner_c))


def hot_fits(assessment: Assessment, growing: Growing) -> Iterator[HotFit]:
    """Every fit that was read and that heat is worked out for, in the order of the assessment."""
    for result in assessment.results:
        hot = growing.hot(result)
        if hot is not None:
            yield judged(growing.job, growing.draws, hot)


def held(films: Films, seats: tuple[Seat, ...]) -> Films:
    """Films no thicker than half of what heat leaves of the clearance: one tighter than the model takes was worked out at the least that it takes,
    and one that heat closes has no film, however well such oil would carry.
    """
    room = np.stack([0.5 * seat.hot_m for seat in seats], axis=1)
    return replace(films, film_m=np.minimum(films.film_m, room))


def film_fits(job: Job, draws: Draws, seats: tuple[Seat, ...], films: Films) -> Iterator[HotFit]:
    """The smallest film of each bearing against its roughness; a bearing that was not read is left out."""
    for index, seat in enumerate(seats):
        if seat.read:
            ground = f"the film must clear the roughness ({seat.roughness_origin})"
            film = films.film_m[:, index]
            hot = Hot(seat.fit, str(seat.position), FILM_WORDS, seat.cold_m, film, seat.cold, ground, seat.roughness_m)
            yield judged(job, draws, hot)


def judged(job: Job, draws: Draws, hot: Hot) -> HotFit:
    """One hot fit with its verdict, by the same rule as a cold one; without draws it is not judged.

    A gap conforms where the chance that its ends meet is no more than the shop puts up with, which is less than its rule for other fits.
    """
    drawn = hot.hot_m[1:][np.isfinite(hot.hot_m[1:])]
    inside = bool(hot.hot_m[0] >= hot.low_m)
    failed = int(np.sum(drawn < hot.low_m))
    below = failed / len(drawn) if len(drawn) else float(not inside)
    rule = Rule(1.0 - job.rules.touch if hot.fit in GAPS else job.rules.level, job.rules.acceptance)
    standing, said = _standing(rule, succession(failed, len(drawn)), inside, drawn=bool(len(drawn)))
    counts, edges = np.histogram(drawn, BINS) if len(drawn) else (np.array([], dtype=int), np.array([]))
    return HotFit(
        fit=hot.fit, position=hot.position, words=hot.words, cold=spread(hot.cold_m), hot=spread(hot.hot_m),
        low=hot.low_m, high=None, authority=f"computed: {hot.ground}", below=below, inside=1.0 - below, above=0.0,
        standing=standing, said=said, weights=draws.weights(hot.hot_m, (hot.readings,)),
        bins=tuple(float(each) for each in edges), counts=tuple(int(n) for n in counts), validated=UNTRIED,
    )  # fmt: skip


def succession(failed: int, drawn: int) -> Chances:
    """What so many draws, of which so many fail, tell of the chance of failing: the mean of what it may be, all chances alike beforehand."""
    below = (failed + 1.0) / (drawn + 2.0)
    return Chances(below, 1.0 - below, 0.0)


def _standing(rule: Rule, chance: Chances, inside: bool, *, drawn: bool) -> tuple[str, str]:
    if not drawn:
        return str(Standing.UNDECIDED), NOT_JUDGED
    verdict = decide_by(chance, inside, rule)
    ground = WEAK_GROUND[Authority.COMPUTED]
    said = {
        Verdict.CONFORMS: f"inside {ground}", Verdict.NONCONFORMING: f"outside {ground}", Verdict.UNDECIDED: "undecided",
    }[verdict]  # fmt: skip
    return str(verdict), said
