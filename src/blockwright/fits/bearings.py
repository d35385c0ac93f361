"""Fits of the plain bearings: film clearance of mains and rods by two routes, shell crush.

The two routes to a film clearance, bore with its shells less journal, and housing less two shell walls less journal, must agree within
their uncertainty. Where both are read, the one with the smaller uncertainty decides and a disagreement is said.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits import practice
from blockwright.fits.fit import Fit, Found, Need
from blockwright.fits.remedies import by_size
from blockwright.fits.sizes import Lacking, Sizes, both, gathered
from blockwright.fits.words import length
from blockwright.metrology.estimate import Estimate, combine
from blockwright.metrology.evaluate import Size
from blockwright.metrology.verdict import expanded


@dataclass(frozen=True)
class Seat:
    """Where one bearing's readings lie: the part that holds it, its shells, its journal."""

    holder: str
    at: Position | None
    shelled: str
    housing: str
    closed: str
    shells: tuple[str, ...]
    journal: str
    journal_at: Position


def main_seat(sizes: Sizes, position: Position) -> Seat:
    """A main bearing."""
    engine = sizes.job.engine
    shells = sizes.job.in_main(position.number).shells
    block = sizes.part(PartKind.BLOCK)
    return Seat(
        block,
        position,
        "main shelled bore",
        "main housing",
        engine.mains_closed,
        shells,
        "main journal",
        position,
    )


def rod_seat(sizes: Sizes, position: Position) -> Seat:
    """The big end of a cylinder's rod on its throw."""
    parts = sizes.job.in_cylinder(position.number)
    at = sizes.job.engine.throw_of(position.number)
    return Seat(parts.rod, None, "big end shelled bore", "big end", "caps torqued", parts.shells, "rod journal", at)


def film(seat_of: Callable[[Sizes, Position], Seat]) -> Callable[[Sizes, Position], Found]:
    """Film clearance at a bearing: the better of two routes, and a word where they disagree."""

    def work_out(sizes: Sizes, position: Position) -> Found:
        seat = seat_of(sizes, position)
        (name, journal), routes = both(lambda: _thickest(sizes, seat), lambda: _routes(sizes, seat))
        found = [
            Found(bore.estimate - journal.estimate, (*bore.used, (name, journal)), f"{bore.governs}, against {name}")
            for bore in routes
        ]
        return found[0] if len(found) == 1 else _agreed(sizes.job, *found)

    return work_out


def _thickest(sizes: Sizes, seat: Seat) -> tuple[str, Size]:
    spots = sizes.of(sizes.part(PartKind.CRANK), seat.journal, seat.journal_at)
    name = max(spots, key=lambda spot: spots[spot].estimate.value)
    return f"{seat.journal} {seat.journal_at.label}, {name}", spots[name]


@dataclass(frozen=True)
class _Bore:
    """The bore that a journal turns in, square to the parting line, and the sizes that it came from."""

    estimate: Estimate
    used: tuple[tuple[str, Size], ...]
    governs: str


def _routes(sizes: Sizes, seat: Seat) -> list[_Bore]:
    """The bore by each route that has been read; where none has, what the first of them lacks."""
    found, lacking = [], []
    for route in (_by_shelled_bore, _by_walls):
        try:
            found.append(route(sizes, seat))
        except Lacking as missing:
            lacking.append(missing)
    if not found:
        raise lacking[0]
    return found


def _by_shelled_bore(sizes: Sizes, seat: Seat) -> _Bore:
    bore = sizes.one(seat.holder, seat.shelled, seat.at, frozenset({seat.closed, "shells in"}))
    return _Bore(bore.estimate, ((f"{seat.shelled}, square", bore),), "square to the parting line")


def _by_walls(sizes: Sizes, seat: Seat) -> _Bore:
    if len(seat.shells) != 2:
        raise Lacking(f"two shells assigned at {seat.at or seat.journal_at}")
    state = frozenset({seat.closed, "shells out"})
    housing = sizes.of(seat.holder, seat.housing, seat.at, state)["square"]
    walls = [(f"wall of shell {mark}", sizes.one(mark, "shell wall")) for mark in seat.shells]
    estimate = combine([(1, housing.estimate), *((-1, wall.estimate) for _, wall in walls)])
    used = ((f"{seat.housing}, square", housing), *walls)
    return _Bore(estimate, used, "square to the parting line, by housing and shell walls")


def _agreed(job: Job, first: Found, second: Found) -> Found:
    better, other = sorted((first, second), key=lambda found: found.estimate.u)
    gap = first.estimate - second.estimate
    words = f"by the other route {length(job, other.estimate.value)}"
    agree = abs(gap.value) <= expanded(gap)
    note = (
        f"{words}: the two agree"
        if agree
        else f"{words}: the two disagree by more than their readings allow; find out why before you build"
    )
    return Found(better.estimate, better.sizes, better.governs, (*better.notes, note))


def _crush(seat_of: Callable[[Sizes, Position], Seat]) -> Callable[[Sizes, Position], Found]:
    def work_out(sizes: Sizes, position: Position) -> Found:
        shells = seat_of(sizes, position).shells
        if len(shells) != 2:
            raise Lacking(f"two shells assigned at {position}")
        upper, lower = gathered(*(partial(sizes.one, mark, "shell crush") for mark in shells))
        pair = [(f"crush of {mark}", size) for mark, size in zip(shells, (upper, lower), strict=True)]
        (low, least), (high, most) = sorted(pair, key=lambda item: item[1].estimate.value)
        greater = Found(most.estimate, ((high, most),), f"the greater of two: {high}")
        return Found(least.estimate, ((low, least),), f"the lesser of two: {low}", also=(greater,))

    return work_out


def closed_and(word: str) -> Callable[[Engine], frozenset[str]]:
    """State of a main housing that is bolted up, shells in or out."""
    return lambda engine: frozenset({engine.mains_closed, word})


def _rod_state(word: str) -> Callable[[Engine], frozenset[str]]:
    return lambda engine: frozenset({"caps torqued", word})


FILM = (
    "shelled bore - journal; or housing - two shell walls - journal",
    "square to the parting line, where a half-shell bearing is closest, against the thickest place of the journal",
)
TIGHT = "the film breaks and the shell wipes"
LOOSE = "oil runs away, pressure falls, the crank knocks"
REMEDY = by_size(
    "thinner shells, or a half-shell mix, for {by} more room; else have the journal polished by {by}",
    "thicker shells, for {by} less room",
)

FITS = (
    Fit(
        "main film", Place.MAIN, "bearings", "oil clearance of a main bearing, on the diameter", *FILM,
        (
            Need("main shelled bore", closed_and("shells in")), Need("main journal"),
            Need("main housing", closed_and("shells out"), optional=True), Need("shell wall", optional=True),
        ),
        film(main_seat), when_low=TIGHT, when_high=LOOSE, remedy=REMEDY,
        practice=practice.main_film, size=lambda engine: engine.main_journal_m,
    ),
    Fit(
        "rod film", Place.CYLINDER, "bearings", "oil clearance of a rod bearing, on the diameter", *FILM,
        (
            Need("big end shelled bore", _rod_state("shells in")), Need("rod journal"),
            Need("big end", _rod_state("shells out"), optional=True), Need("shell wall", optional=True),
        ),
        film(rod_seat), when_low=TIGHT, when_high=LOOSE, remedy=REMEDY,
        practice=practice.rod_film, size=lambda engine: engine.rod_journal_m,
    ),
    Fit(
        "main shell crush", Place.MAIN, "bearings", "how far a main shell stands proud of its half housing",
        "as read", "the lesser of the two shells for the low side, the greater for the high side; the bearing maker's figure rules",
        (Need("shell crush"),), _crush(main_seat), when_low="the shell spins in its housing", when_high="the shell bows in at the parting line",
        remedy=by_size("other shells; never file the cap", "other shells; never file the shell's ends"), hard=Side.BOTH, on_request=True,
    ),
    Fit(
        "rod shell crush", Place.CYLINDER, "bearings", "how far a rod shell stands proud of its half housing",
        "as read", "the lesser of the two shells for the low side, the greater for the high side; the bearing maker's figure rules",
        (Need("shell crush"),), _crush(rod_seat), when_low="the shell spins in its housing", when_high="the shell bows in at the parting line",
        remedy=by_size("other shells; never file the cap", "other shells; never file the shell's ends"), hard=Side.BOTH, on_request=True,
    ),
)  # fmt: skip
