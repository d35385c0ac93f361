"""Clocking as a page shows it: where each gap goes on each piston, the map of rings, pistons and bores, and what putting the rings on asks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from blockwright.bench.drawn import inline
from blockwright.bench.links import link
from blockwright.bench.rings.held import RingsSeen
from blockwright.bench.rings.listing import ring_link
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.choices.clocking.whole import Clocked, alike, clocking_of
from blockwright.choices.mounting import mountings
from blockwright.choices.ring_bench import RingBench
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.fits.words import runs
from blockwright.ledger.models import Book
from blockwright.report.clocking_picture import LETTER, clocked_svg
from blockwright.report.clocking_words import FRAME, fault_words, way_words, whose_words
from blockwright.report.mounting_words import MODEL_NOTE, mounting_words
from blockwright.report.ring_words import MOUNTING_CAUTION, PISTON_CAUTION, stands_words, took_words
from blockwright.report.rows import value_alone, wanted_unit


@dataclass(frozen=True)
class Piece:
    """One piece of the pack: its letter in the picture, where its gap goes, and which way up it lies."""

    letter: str
    name: str
    angle: str
    way: str


@dataclass(frozen=True)
class Fault:
    """A rule that is broken, or a wish that is not met."""

    text: str
    tone: Tone


@dataclass(frozen=True)
class CrownGroup:
    """Cylinders of which all the same is to be said, with a picture of each."""

    name: str
    whose: str
    pieces: tuple[Piece, ...]
    faults: tuple[Fault, ...]
    pictures: tuple[SafeString, ...]


@dataclass(frozen=True)
class MapLine:
    """One ring of the map: its gap, what was taken off it, how it stands."""

    ring: str
    to: str
    gap: str
    took: str
    stands: str


@dataclass(frozen=True)
class MapCard:
    """One bore with the piston and the ring set that belong to it."""

    number: int
    piston: str
    rings: str
    lines: tuple[MapLine, ...]


@dataclass(frozen=True)
class Spring:
    """A ring as it is put on, in lines."""

    name: str
    lines: tuple[str, ...]
    lacking: bool


def crowns(book: Book, seen: RingsSeen) -> dict[str, Any]:
    """The context of the clocking page."""
    job = seen.job
    clocked = [clocking_of(job, place.number) for place in job.engine.positions(Place.CYLINDER)]
    springs = tuple(Spring(str(each.ring), mounting_words(job, each), each.opened is None) for each in mountings(job))
    return {
        "seen": seen,
        "say": say(book, clocked),
        "groups": tuple(_group(job, group) for group in alike(job, clocked)),
        "map": ring_map(book, seen.bench),
        "springs": [each for each in springs if not each.lacking],
        "springs_lacking": [each for each in springs if each.lacking],
        "frame": FRAME,
        "mounting_caution": MOUNTING_CAUTION,
        "piston_caution": PISTON_CAUTION,
        "model_note": MODEL_NOTE,
    }


def say(book: Book, clocked: list[Clocked]) -> Say:
    """Whether the gaps may lie as they are."""
    broken = [each for each in clocked if not each.sound]
    to, label = link("route", book=book.slug), "To the route"
    if broken:
        where = runs([f"cylinder {each.number}" for each in broken])
        return Say(
            Tone.OUT,
            f"A rule is broken in {where}: turn the gaps before the pistons go in.",
            next(fault_words(broken[0]))[0],
        )
    own = any(each.own for each in clocked)
    return Say(
        Tone.GOOD,
        "Lay the gaps as drawn.",
        "The pattern keeps every rule." if own else "The pattern is proposed; it keeps every rule.",
        to,
        label if to else "",
    )


def _group(job: Job, group: list[Clocked]) -> CrownGroup:
    first = group[0]
    numbers = [str(each.number) for each in group]
    name = f"Cylinder{'s' if len(group) > 1 else ''} {', '.join(numbers)}"
    faults = tuple(Fault(text, Tone.DOUBT if wish else Tone.OUT) for text, wish in fault_words(first))
    pictures = tuple(inline(clocked_svg(job.engine, each)) for each in group)
    return CrownGroup(name, whose_words(first), tuple(_pieces(first)), faults, pictures)


def _pieces(clocked: Clocked) -> list[Piece]:
    angles = {piece: f"{angle:.0f}°" for piece, angle in clocked.pattern.items()}
    return [
        Piece(LETTER[piece], str(piece), angles.get(piece, ""), way_words(clocked, piece, way))
        for piece, way in clocked.facing
    ]


def ring_map(book: Book, bench: RingBench) -> tuple[MapCard, ...]:
    """Which piston and which rings belong to which bore."""
    job = bench.job
    cards = []
    for place in job.engine.positions(Place.CYLINDER):
        parts = job.in_cylinder(place.number)
        lines = tuple(
            MapLine(
                state.ring.ring,
                ring_link(book, state.ring),
                value_alone(state.result, wanted_unit(job, state.result.fit)) if state.result.found else "not read",
                took_words(job, state),
                stands_words(state),
            )
            for state in bench.rings
            if state.ring.at == place
        )
        cards.append(MapCard(place.number, parts.piston or "?", parts.rings or "?", lines))
    return tuple(cards)
