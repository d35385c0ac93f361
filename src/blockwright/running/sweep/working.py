"""Rows of cases whose cycles are known. What cases share is worked out once: loads of a duty, bearings of a clearance and oil, packs of two gaps.

Bearings begin where those worked out just before ended, so a row hangs in its last digits (well within what settles a film's temperature) on
the cases that it is worked out with. These are the same for a study however often it was broken off.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from statistics import fmean
from typing import TypeVar, cast

import numpy as np

from blockwright.physics.crank_forces import rod_bolt_load_n
from blockwright.physics.plain_bearing import Motion, Running, running
from blockwright.physics.ring_pack import run_pack
from blockwright.problems import BlockwrightError
from blockwright.running.sweep.cases import Case, Change, Duty, Ranges, cases
from blockwright.running.sweep.changed import FITS, SECOND_FIT, TOP_FIT, changed
from blockwright.running.sweep.duties import Outcome, State, states, words_of
from blockwright.running.sweep.ground import ALONE, Ground, facts_at, job_of
from blockwright.running.sweep.rows import Films, Least, Row, worst
from blockwright.running.work.bearings import Bearings, columns_of
from blockwright.running.work.geometry import drive_of
from blockwright.running.work.hot import Growing
from blockwright.running.work.oil_supply import Oil, oil_of
from blockwright.running.work.rings import Packs, gaps_of
from blockwright.running.work.seats import LEAST_SHARE, MOST_SHARE, Metal, Seat, metal_of, seats_of

T = TypeVar("T")
FAULTS = (BlockwrightError, ValueError, ArithmeticError)
"""What a model says where it cannot do a case."""


def run_case(ground: Ground, case: Case, *, rings: bool = True) -> Row:
    """One case alone, best values only. A case that the models cannot do gives a row with its message.

    `rings`: whether the gas in the ring packs is worked out too.
    """
    return rows_of(ground, [case], {case.duty: states(ground, [case])[0]}, rings=rings)[0]


def rows_of(ground: Ground, listed: Sequence[Case], known: Mapping[Duty, Outcome], *, rings: bool) -> list[Row]:
    """The rows of cases whose duties' states are known, in their order."""
    kept = _Kept(ground)
    with np.errstate(all="ignore"):
        return [_row(kept, case, known[case.duty], rings=rings) for case in listed]


def _row(kept: _Kept, case: Case, state: Outcome, *, rings: bool) -> Row:
    films: tuple[Films, ...] = ()
    try:
        row, films = (Row(message=state), ()) if isinstance(state, str) else kept.at(case, state).row(case, rings=rings)
    except FAULTS as fault:
        row = Row(message=words_of(fault))
    over = case.speed_rad_s > kept.ground.job.duty.redline_rad_s * (1.0 + 1e-9)
    return replace(row, caution=str(worst(row, films, over_redline=over)))


class _Kept:
    """What is kept from case to case: the duty worked on last, and bearings to begin near."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.near: dict[str, Running] = {}
        self._oils: dict[str, Oil] = {}
        self._duty: _AtDuty | None = None

    def oil(self, written: str) -> Oil:
        """An oil by its grade; the job's own where nothing is written."""
        if written not in self._oils:
            job = self.ground.job
            self._oils[written] = oil_of(job_of(job, replace(cases(job, Ranges())[0], oil=written)))
        return self._oils[written]

    def at(self, case: Case, state: State) -> _AtDuty:
        """The duty of a case."""
        if self._duty is None or self._duty.case.duty != case.duty:
            self._duty = _AtDuty(self, case, state)
        return self._duty


class _AtDuty:
    """One duty of an engine, and everything that was worked out at it."""

    def __init__(self, kept: _Kept, case: Case, state: State) -> None:
        self.kept, self.case, self.state = kept, case, state
        self.ground = kept.ground
        self.facts = facts_at(self.ground, case)
        self.metal: Metal = metal_of(job_of(self.ground.job, case), self.facts, ALONE)
        self.growing = Growing(self.ground.job, self.facts, ALONE, state.places_c, self.metal)
        self._done: dict[object, object] = {}

    def row(self, case: Case, *, rings: bool) -> tuple[Row, tuple[Films, ...]]:
        """A case at this duty, and its films."""
        trying = _Trying()
        wall = trying(lambda: self.least("wall", case.wall))
        top = trying(lambda: self.least("top_gap", case.top_gap))
        second = trying(lambda: self.least("second_gap", case.second_gap))
        rod = trying(lambda: self.films("rod_film", case.rod_film, case.oil))
        main = trying(lambda: self.films("main_film", case.main_film, case.oil))
        blown = trying(lambda: self.blow_by(case.top_gap, case.second_gap)) if rings else None
        row = replace(
            self.plain, blow_by_share=blown and blown[0], blow_by_l_min=blown and blown[1], rod_bolts_n=trying(lambda: self.bolts_n),
            message="; ".join(dict.fromkeys(trying.said)),
        )  # fmt: skip
        if wall:
            row = replace(row, wall_hot_m=wall.hot_m, wall_at=wall.at)
        if top:
            row = replace(row, top_gap_hot_m=top.hot_m, top_gap_at=top.at)
        if second:
            row = replace(row, second_gap_hot_m=second.hot_m, second_gap_at=second.at)
        if rod:
            row = replace(row, rod_film_m=rod.film_m, rod_at=rod.at, rod_c=rod.film_c, rod_loss_w=rod.loss_w)
        if main:
            row = replace(row, main_film_m=main.film_m, main_at=main.at, main_c=main.film_c, main_loss_w=main.loss_w)
        return row, tuple(each for each in (rod, main) if each is not None)

    @cached_property
    def plain(self) -> Row:
        """What is the same for all cases at this duty."""
        found = self.state.found
        crown, skirt, top, bore = (
            float(self.state.places_c[place][0]) for place in ("crown", "skirt", "liner_top", "bore")
        )
        return Row(
            peak_pa=float(found.cycle.peak_pa[0]), breathing=float(found.breathing[0]), crown_c=crown, skirt_c=skirt,
            liner_top_c=top, bore_c=bore,
        )  # fmt: skip

    def least(self, name: str, change: Change) -> Least | None:
        """The least hot size of a fit over the cylinders; None where none was read."""
        return self._once((name, change), lambda: self._least(FITS[name], change))

    def films(self, name: str, change: Change, oil: str) -> Films | None:
        """The films of all bearings of one kind; None where there is none that can be worked."""
        return self._once((name, change, oil), lambda: self._films(name, change, oil))

    def blow_by(self, top: Change, second: Change) -> tuple[float, float] | None:
        """Mean blow-by over the cylinders, as a share of their charge and in litres a minute; None where no cylinder has both gaps."""
        return self._once(("rings", top, second), lambda: self._blow_by(top, second))

    @cached_property
    def bolts_n(self) -> float:
        """Pull on a rod's bolts at this speed."""
        value = self.facts.value
        drive = drive_of(self.ground.job, value("piston_mass"), value("rod_mass"), value("big_share"))
        cap_kg = min(max(value("cap_share") * value("rod_mass"), 0.0), drive.rod.big_kg)
        return float(rod_bolt_load_n(drive, cap_kg, self.case.speed_rad_s))

    def _once(self, key: object, work: Callable[[], T]) -> T:
        """What was worked out before, its fault included."""
        if key not in self._done:
            try:
                self._done[key] = work()
            except FAULTS as fault:
                self._done[key] = fault
        done = self._done[key]
        if isinstance(done, Exception):
            raise done
        return cast(T, done)

    def _least(self, fit: str, change: Change) -> Least | None:
        results = [each for each in changed(self.ground.assessment, {fit: change}).results if each.fit.name == fit]
        hot = [each for each in map(self.growing.hot, results) if each is not None]
        if not hot:
            return None
        least = min(hot, key=lambda each: float(each.hot_m[0]))
        return Least(float(least.hot_m[0]), least.position)

    def _films(self, name: str, change: Change, oil: str) -> Films | None:
        fit = FITS[name]
        seats = self._once(("seats", name, change), lambda: self._seats(fit, change))
        if not seats:
            return None
        supply = self.base.supply(0, self.kept.oil(oil))
        found = running([seat.bearing(0) for seat in seats], self.motion(fit), supply, self.kept.near.get(fit))
        self.kept.near[fit] = found
        return _told(seats, found)

    def _seats(self, fit: str, change: Change) -> list[Seat]:
        """The bearings of one fit."""
        every, _ = seats_of(changed(self.ground.assessment, {fit: change}), self.facts, ALONE, self.metal)
        seats = [seat for seat in every if seat.fit == fit]
        for seat in seats:
            _keep_possible(seat)
        return seats

    @cached_property
    def base(self) -> Bearings:
        """The bearings as measured, loaded at this duty."""
        seats, _ = seats_of(self.ground.assessment, self.facts, ALONE, self.metal)
        columns = columns_of(self.facts, ALONE, self.state.found, None)
        return Bearings(job_of(self.ground.job, self.case), self.facts, seats, columns)

    def motion(self, fit: str) -> Motion:
        """How the bearings of one fit are turned and loaded."""
        whole = self.base.loaded.motion
        own = [seat.fit == fit for seat in self.base.seats]
        mean, sliding = (np.asarray(each)[own] for each in (whole.mean_speed_rad_s, whole.sliding_rad_s))
        return Motion(whole.load_n[own], mean, sliding, whole.period_s)

    def _blow_by(self, top: Change, second: Change) -> tuple[float, float] | None:
        gaps = gaps_of(changed(self.ground.assessment, {TOP_FIT: top, SECOND_FIT: second}), ALONE)
        packs, motion = self.packs, self.packs.motion(1)
        blown = [run_pack(packs.pack(each, 1), motion) for each in gaps]
        if not blown:
            return None
        if not all(np.isfinite(each.blow_by_kg).all() for each in blown):
            raise ValueError("no blow-by was found")
        share = [float(np.asarray(each.blow_by_kg).reshape(-1)[0]) / float(packs.charge_kg[0]) for each in blown]
        litres = [float(np.asarray(each.blow_by_l_min(self.case.speed_rad_s)).reshape(-1)[0]) for each in blown]
        return fmean(share), fmean(litres)

    @cached_property
    def packs(self) -> Packs:
        """Makes the ring packs at this duty."""
        return Packs(self.ground.job, self.facts, ALONE, self.state.found, self.growing, None)


class _Trying:
    """Works parts of a case out; what one of them says when it cannot be done is kept, and the others go on."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def __call__(self, work: Callable[[], T]) -> T | None:
        try:
            return work()
        except FAULTS as fault:
            self.said.append(words_of(fault))
            return None


def _keep_possible(seat: Seat) -> None:
    """A bearing outside what the model takes is said, not held at its edge: a sweep would compare what is not there."""
    share = float(seat.hot_m[0]) / seat.diameter_m
    if not LEAST_SHARE <= share <= MOST_SHARE:
        low, high = (1e3 * each * seat.diameter_m for each in (LEAST_SHARE, MOST_SHARE))
        raise ValueError(
            f"{seat.name}: {1e3 * float(seat.hot_m[0]):.3f} mm hot is no clearance that the bearing model takes ({low:.3f} to {high:.3f} mm)"
        )


def _told(seats: Sequence[Seat], found: Running) -> Films:
    if not np.isfinite([found.film_m, found.temperature_c, found.loss_w, found.peak_pa]).all():
        raise ValueError(f"no film was found: {seats[0].fit}")
    at = int(np.argmin(found.film_m))
    rough = np.array([seat.roughness_m for seat in seats])
    return Films(
        float(found.film_m[at]), str(seats[at].position), float(found.temperature_c[at]), float(np.sum(found.loss_w)),
        float(np.max(found.peak_pa)), float(np.max(found.temperature_c)), float(np.min(found.film_m - rough)), bool(np.all(found.settled)),
    )  # fmt: skip
