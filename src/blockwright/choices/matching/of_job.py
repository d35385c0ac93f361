"""The tables of a job: pistons and ring sets to bores, shells to mains and rod journals, rods to cylinders by film and by mass.

Every part of a kind is tried in every place, assigned or spare, and judged there as `assess` would judge it. What cannot be judged is not
offered, and what is still to read for it is told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from blockwright.choices.matching.model import MASS_STEP_KG, Option, Rule, Table, by_name, natural, option_of
from blockwright.choices.matching.tables import half_shells
from blockwright.engine.job import Job
from blockwright.engine.parts import CylinderParts, PartKind
from blockwright.engine.positions import Place, Position, cylinder
from blockwright.fits.assess import judge, limits_for
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.bearings import Seat, main_seat, rod_seat
from blockwright.fits.registry import REGISTRY
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.metrology.estimate import Estimate, combine
from blockwright.running.assess import computed_offers

GAPS = ("top end gap", "second end gap")
WALLS = ("wall clearance", "coated wall clearance")


@dataclass(frozen=True)
class Asked:
    """What can be chosen in a job. `what` names it, `fit` the fit that tells; `rooms`: the bore (or housing less journal) of each place.

    `present`: what is there now. `missing`: what is still to read before all can be judged. `unread` and `unlimited`: places left out, since nothing
    can be judged there, or no limits say where to aim.
    """

    what: str
    fit: str
    table: Table
    present: Mapping[str, tuple[str, ...]]
    rooms: Mapping[str, Estimate] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    unlimited: tuple[str, ...] = ()
    by_mass: bool = False

    def with_rules(self, rules: Sequence[Rule]) -> Asked:
        """The same with the builder's rules."""
        return replace(self, table=replace(self.table, rules=(*self.table.rules, *rules)))


def banks_of(job: Job) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """Cylinders of both banks, as places; `None` for an engine with one."""
    banks = [tuple(str(cylinder(number)) for number in bank) for bank in job.engine.numbering]
    return (banks[0], banks[1]) if len(banks) == 2 else None


def with_in(job: Job, number: int, **marks: object) -> Job:
    """The same job with parts put in a cylinder (`piston="P2"`), taken out of the one where they were."""
    held = {each.number: each for each in job.sheet.cylinder}
    for name, mark in marks.items():
        nothing: object = () if name == "shells" else ""
        for other in held.values():
            if getattr(other, name) == mark:
                held[other.number] = replace(other, **{name: nothing})  # type: ignore[arg-type]
    here = held.get(number, CylinderParts(number=number))
    held[number] = replace(here, **marks)  # type: ignore[arg-type]
    return replace(job, sheet=replace(job.sheet, cylinder=tuple(held.values())))


def marks_of(job: Job, kind: PartKind) -> tuple[str, ...]:
    """Marks of all parts of a kind, assigned or spare, in natural order."""
    return tuple(
        sorted((part.mark for part in job.sheet.part if part.kind is kind), key=lambda mark: (natural(mark), mark))
    )


def everywhere(
    job: Job, marks: Sequence[str], put: Callable[[Job, int, str], Job], fit: str
) -> dict[tuple[int, str], FitResult]:
    """Every part in every cylinder, judged there. All parts move on by one cylinder at a time, so that a job serves all its cylinders at once."""
    numbers = [place.number for place in job.engine.positions(Place.CYLINDER)]
    found: dict[tuple[int, str], FitResult] = {}
    for shift in range(max(len(marks), len(numbers))):
        there, here = job, {}
        for index, mark in enumerate(marks):
            seat = (index + shift) % max(len(marks), len(numbers))
            if seat < len(numbers):
                here[numbers[seat]] = mark
        for number, mark in here.items():
            there = put(there, number, mark)
        sizes = Sizes(there)
        for number, mark in here.items():
            found[number, mark] = judge(sizes, REGISTRY[fit], cylinder(number), computed_offers)
    return found


def pistons(job: Job) -> Asked:
    """Pistons to bores by wall clearance: bare, or coated where no bare one is read."""
    marks = marks_of(job, PartKind.PISTON)
    put = partial(_put, "piston")
    results = everywhere(job, marks, put, WALLS[0])
    fit = WALLS[0]
    if not any(result.found for result in results.values()):
        coated = everywhere(job, marks, put, WALLS[1])
        if any(result.found for result in coated.values()):
            results, fit = coated, WALLS[1]
    masses = _masses(job, marks)
    options = [_option(number, (mark,), result, masses.get(mark)) for (number, mark), result in results.items()]
    rooms = {
        str(cylinder(number)): result.found.sizes[0][1].estimate
        for (number, _), result in results.items()
        if result.found
    }
    return _asked("pistons", fit, job, options, results.values(), rooms, _present(job, "piston"))


def ring_sets(job: Job) -> Asked:
    """Ring sets to bores: only where their gaps allow. A gap that is to be filed may be small: it is filed to its aim; a wide one stays wide."""
    marks = marks_of(job, PartKind.RINGS)
    put = partial(_put, "rings")
    both = [everywhere(job, marks, put, fit) for fit in GAPS]
    options = []
    for number, mark in both[0]:
        rings = [each[number, mark] for each in both if each[number, mark].standing is not Standing.OPEN]
        if len(rings) == 1 + job.parts[mark].second_ring:
            judged = [_gap(number, mark, result, fileable=job.parts[mark].file_fit is not False) for result in rings]
            known = [option for option in judged if option is not None]
            options.append(
                max(known, key=lambda each: (bool(each.barred), abs(each.deviation)))
                if len(known) == len(rings)
                else None
            )
    asked = [
        result
        for each in both
        for (_, mark), result in each.items()
        if result.fit.name == GAPS[0] or job.parts[mark].second_ring
    ]
    return _asked("ring sets", GAPS[0], job, options, asked, {}, _present(job, "rings"))


def _gap(number: int, mark: str, result: FitResult, *, fileable: bool) -> Option | None:
    option = _option(number, (mark,), result, None)
    if option is None:
        return None
    if fileable and option.deviation <= 0.0:
        return replace(option, deviation=0.0, barred="", miss=0.0, mended="file to its aim")
    high = result.limits.high_value
    if high is not None and result.estimate.value > high:
        return replace(
            option, barred="over its high limit, and nothing makes a gap smaller", miss=result.estimate.value - high
        )
    return option


def main_shells(job: Job) -> Asked:
    """Shells to mains, each half for itself: housing less journal less two walls."""
    places = job.engine.positions(Place.MAIN)
    present = {str(place): job.in_main(place.number).shells for place in places}
    return _shells(job, "main shells", "main film", places, main_seat, present)


def rod_shells(job: Job) -> Asked:
    """Shells to rods on their journals, each half for itself; the rods stay where they are."""
    places = job.engine.positions(Place.CYLINDER)
    present = {str(place): job.in_cylinder(place.number).shells for place in places}
    return _shells(job, "rod shells", "rod film", places, rod_seat, present)


def rods(job: Job) -> Asked:
    """Rods to cylinders, with the shells that are in them: by the film on that throw where it is read, and by mass with what is there.

    A rod without a film that can be judged counts as one on its aim. Masses are those of rod and piston together.
    """
    marks = marks_of(job, PartKind.ROD)
    shells = {each.rod: each.shells for each in job.sheet.cylinder if each.rod}
    results = everywhere(
        job,
        marks,
        lambda there, number, mark: with_in(there, number, rod=mark, shells=shells.get(mark, ())),
        "rod film",
    )
    masses = _masses(job, marks)
    pistons_mass = {
        each.number: job.parts[each.piston].mass_kg for each in job.sheet.cylinder if each.piston in job.parts
    }
    judged = all(result.found is not None for result in results.values())
    options: list[Option | None] = []
    for (number, mark), result in results.items():
        own, other = masses.get(mark), pistons_mass.get(number)
        mass = None if own is None or other is None else own + _rounded(other)
        found = (
            _option(number, (mark,), result, mass) if judged else Option(str(cylinder(number)), (mark,), mass_kg=mass)
        )
        options.append(found)
    found_results = results.values() if judged else ()
    return replace(
        _asked("rods", "rod film", job, options, found_results, {}, _present(job, "rod")), by_mass=not judged
    )


def _put(name: str, job: Job, number: int, mark: str) -> Job:
    return with_in(job, number, **{name: mark})


def _rounded(mass_kg: float) -> float:
    return round(mass_kg / MASS_STEP_KG) * MASS_STEP_KG


def _masses(job: Job, marks: Sequence[str]) -> dict[str, float]:
    return {mark: _rounded(mass) for mark in marks if (mass := job.parts[mark].mass_kg) is not None}


def _present(job: Job, name: str) -> dict[str, tuple[str, ...]]:
    return {str(cylinder(each.number)): (getattr(each, name),) for each in job.sheet.cylinder if getattr(each, name)}


def _option(number: int, uses: tuple[str, ...], result: FitResult, mass_kg: float | None) -> Option | None:
    if result.found is None:
        return None
    return option_of(str(cylinder(number)), uses, result.estimate, result.limits, mass_kg)


def _asked(
    what: str, fit: str, job: Job, options: Sequence[Option | None], results: Iterable[FitResult], rooms: Mapping[str, Estimate],
    present: Mapping[str, tuple[str, ...]],
) -> Asked:  # fmt: skip
    listed = list(results)
    places = tuple(str(place) for place in job.engine.positions(Place.CYLINDER))
    known = sorted((option for option in options if option is not None), key=by_name)
    missing = dict.fromkeys(str(each) for result in listed for each in result.missing)
    read = {str(result.position) for result in listed if result.found is not None}
    asked = Asked(what, fit, Table(places, tuple(known)), present, rooms, tuple(missing))
    return _told_apart(asked, read)


def _told_apart(asked: Asked, read: Collection[str]) -> Asked:
    """Only places where something can be chosen stay on the table."""
    offered = {option.place for option in asked.table.options}
    left = [place for place in asked.table.places if place not in offered]
    places = tuple(place for place in asked.table.places if place in offered)
    unread, unlimited = (tuple(place for place in left if (place in read) is limited) for limited in (False, True))
    return replace(asked, table=replace(asked.table, places=places), unread=unread, unlimited=unlimited)


def _shells(
    job: Job, what: str, fit: str, places: Sequence[Position], seat_of: Callable[[Sizes, Position], Seat],
    present: Mapping[str, tuple[str, ...]],
) -> Asked:  # fmt: skip
    sizes, missing = Sizes(job), list[str]()
    walls, halves = _walls(sizes, present, missing)
    rooms: dict[str, Estimate] = {}
    for place in places:
        try:
            rooms[str(place)] = _room(sizes, seat_of(sizes, place), walls)
        except Lacking as lacking:
            missing += [str(each) for each in lacking.missing]
    limits = {str(place): limits_for(job, REGISTRY[fit], place, computed_offers) for place in places}
    uppers, lowers = ({mark: walls[mark] for mark in half if mark in walls} for half in halves)
    options = half_shells(rooms, limits, uppers, lowers)
    table = Table(tuple(str(place) for place in places), tuple(sorted(options, key=by_name)))
    held = {place: marks for place, marks in present.items() if marks}
    return _told_apart(
        Asked(what, fit, table, held, rooms, tuple(dict.fromkeys(missing))), rooms if uppers and lowers else ()
    )


def _walls(
    sizes: Sizes, present: Mapping[str, tuple[str, ...]], missing: list[str]
) -> tuple[dict[str, Estimate], tuple[list[str], list[str]]]:
    """Walls by mark, and which are upper and which lower halves: as assigned; a spare goes with those whose mark begins alike."""
    halves: tuple[list[str], list[str]] = ([], [])
    for pair in present.values():
        for half, mark in zip(halves, pair, strict=False):
            half.append(mark)
    heads = [{_head(mark) for mark in half} for half in halves]
    assigned = {mark for each in sizes.job.sheet.cylinder for mark in each.shells} | {
        m for e in sizes.job.sheet.main for m in e.shells
    }
    for mark in marks_of(sizes.job, PartKind.SHELL):
        if mark not in assigned:
            for half, head in zip(halves, heads, strict=True):
                if _head(mark) in head:
                    half.append(mark)
    walls: dict[str, Estimate] = {}
    for mark in dict.fromkeys([*halves[0], *halves[1]]):
        try:
            walls[mark] = sizes.one(mark, "shell wall").estimate
        except Lacking as lacking:
            missing += [str(each) for each in lacking.missing]
    return walls, halves


def _head(mark: str) -> str:
    return re.sub(r"\d+$", "", mark)


def _room(sizes: Sizes, seat: Seat, walls: Mapping[str, Estimate]) -> Estimate:
    """The bore of the housing less the thickest place of the journal; without a housing read, the shelled bore with its own shells added back."""
    spots = sizes.of(sizes.part(PartKind.CRANK), seat.journal, seat.journal_at)
    journal = max((size.estimate for size in spots.values()), key=lambda estimate: estimate.value)
    try:
        housing = sizes.of(seat.holder, seat.housing, seat.at, frozenset({seat.closed, "shells out"}))[
            "square"
        ].estimate
    except Lacking:
        if len(seat.shells) != 2 or not all(mark in walls for mark in seat.shells):
            raise
        shelled = sizes.one(seat.holder, seat.shelled, seat.at, frozenset({seat.closed, "shells in"})).estimate
        housing = combine([(1.0, shelled), *((1.0, walls[mark]) for mark in seat.shells)])
    return housing - journal
