"""The rings of a sheet: where each one stands and what was taken off it, and where its gap goes on the piston."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.choices.clocking.whole import Clocked, alike, clocking_of
from blockwright.choices.ring_bench import RingState, ring_bench
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.report.clocking_picture import LETTER, clocked_svg
from blockwright.report.ring_words import took_words
from blockwright.report.rows import value_alone, wanted_unit
from blockwright.report.sheet.fit_part import standing


@dataclass(frozen=True)
class RingLine:
    """One ring of the map."""

    ring: str
    gap: str
    took: str
    words: str
    standing: str


@dataclass(frozen=True)
class RingSet:
    """The rings of one cylinder."""

    cylinder: str
    piston: str
    rings: str
    lines: tuple[RingLine, ...]


@dataclass(frozen=True)
class Piece:
    """One piece of a pack: its letter in the picture, where its gap goes, which way up it lies."""

    letter: str
    name: str
    angle: str
    way: str


@dataclass(frozen=True)
class Clock:
    """How the gaps lie in cylinders that are all alike; `picture` names the drawing, `says` what it shows."""

    cylinders: str
    picture: str
    says: str
    pieces: tuple[Piece, ...]
    remarks: tuple[str, ...]


def ring_sets(job: Job) -> tuple[RingSet, ...]:
    """The ring map, a cylinder each; empty where no rings are assigned."""
    if not any(part.kind is PartKind.RINGS for part in job.sheet.part):
        return ()
    bench = ring_bench(job)
    found = []
    for place in job.engine.positions(Place.CYLINDER):
        states = [state for state in bench.rings if state.ring.at == place]
        held = job.in_cylinder(place.number)
        if states:
            lines = tuple(_line(job, state) for state in states)
            found.append(RingSet(str(place.number), held.piston, held.rings, lines))
    return tuple(found)


def _line(job: Job, state: RingState) -> RingLine:
    result = state.result
    gap = value_alone(result, wanted_unit(job, result.fit)) if result.found else "not read"
    return RingLine(state.ring.ring, gap, took_words(job, state), result.words, standing(result))


def clocks(job: Job) -> tuple[tuple[Clock, ...], dict[str, str]]:
    """How the gaps lie, cylinders that are alike together, and the drawings by name; nothing where no rings are assigned."""
    numbers = [place.number for place in job.engine.positions(Place.CYLINDER)]
    clocked = [clocking_of(job, number) for number in numbers if job.in_cylinder(number).rings]
    groups = alike(job, clocked)
    pictures = {_name(group): clocked_svg(job.engine, group[0]) for group in groups}
    return tuple(_clock(group) for group in groups), pictures


def _name(group: Sequence[Clocked]) -> str:
    return f"clock/{group[0].number}"


def _clock(group: Sequence[Clocked]) -> Clock:
    first = group[0]
    numbers = ", ".join(str(each.number) for each in group)
    placed = ", ".join(f"{piece} at {angle:.0f}°" for piece, angle in first.pattern.items())
    says = f"Crown from above, front at the top, degrees clockwise from the front: {placed or 'no piece has a place'}."
    pieces = tuple(
        Piece(LETTER[piece], str(piece), f"{first.pattern[piece]:.0f}°" if piece in first.pattern else "–", way)
        for piece, way in first.facing
    )
    remarks = [
        f"{fault.text[:1].upper()}{fault.text[1:]}{' (a wish, no rule)' * fault.wish}." for fault in first.faults
    ]
    remarks += [f"No place is left for the {piece}." for piece in first.homeless]
    return Clock(numbers, _name(group), says, pieces, tuple(remarks))
