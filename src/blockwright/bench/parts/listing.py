"""Every part by its mark with where it goes, every place with what is in it, and the work that was ordered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from blockwright.bench.standing import Say
from blockwright.bench.state import Seen
from blockwright.bench.tones import OF, Tone
from blockwright.choices.pistons import pistons_of
from blockwright.engine.job import Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Place, Position
from blockwright.fits.assessment import OrderResult
from blockwright.report.rows import came_back_text, ordered_text

KIND_OF = {
    "piston": PartKind.PISTON,
    "pin": PartKind.PIN,
    "rings": PartKind.RINGS,
    "rod": PartKind.ROD,
    "shells": PartKind.SHELL,
}
ROLES_OF = {Place.CYLINDER: ("piston", "rings", "pin", "rod", "shells"), Place.MAIN: ("shells",)}
WORDS = {"rings": "ring set", "shells": "shells"}


@dataclass(frozen=True)
class PartTold:
    """One part: its mark, where it goes and what is known of it."""

    mark: str
    at: str
    facts: str
    note: str


@dataclass(frozen=True)
class KindTold:
    """Parts of one kind."""

    name: str
    parts: tuple[PartTold, ...]


@dataclass(frozen=True)
class SeatTold:
    """One place and what is in it, by role: marks as a text, blank where nothing is."""

    at: str
    held: tuple[tuple[str, str, str], ...]

    @property
    def empty(self) -> tuple[str, ...]:
        """Roles that nothing is assigned to."""
        return tuple(name for _, name, marks in self.held if not marks)


@dataclass(frozen=True)
class OrderTold:
    """Work ordered, who does it, and what came back, each with its tone."""

    text: str
    shop: str
    back: tuple[tuple[Tone, str], ...]


def listing(seen: Seen) -> dict[str, Any]:
    """The context of the page, but for its forms."""
    job = seen.job
    seats = list(seats_of(job))
    return {
        "say": say(job, seats),
        "kinds": kinds(job),
        "cylinders": [each for each in seats if each.at.startswith(Place.CYLINDER)],
        "mains": [each for each in seats if each.at.startswith(Place.MAIN)],
        "orders": orders(seen.assessment.orders, job),
        "pistons": pistons_of(job),
        "part_count": len(job.sheet.part),
    }


def say(job: Job, seats: list[SeatTold]) -> Say:
    """What matters now: places where parts are wanting."""
    if not job.sheet.part:
        return Say(
            Tone.PLAIN,
            "No part is registered yet.",
            "Readings are of parts: give each its mark.",
            "#register",
            "Register a part",
        )
    wanting = [each for each in seats if each.empty]
    if wanting:
        where = ", ".join(each.at for each in wanting[:6])
        more = f" and {len(wanting) - 6} more" if len(wanting) > 6 else ""
        what = f"Something is still to assign at {where}{more}."
        return Say(
            Tone.OPEN, what, "A fit between two parts is judged once both are assigned.", "#put", "Assign a part"
        )
    return Say(
        Tone.GOOD, "Every place has its parts.", f"{len(job.sheet.part)} parts by their marks.", "#put", "Swap a part"
    )


def kinds(job: Job) -> list[KindTold]:
    """Every part by kind."""
    at = {
        mark: str(place)
        for kind in PartKind
        if kind is not PartKind.ENGINE
        for mark, place in job.carriers(kind)
        if place is not None
    }
    grouped = ((kind, [part for part in job.sheet.part if part.kind is kind]) for kind in PartKind)
    return [
        KindTold(_several(kind, len(parts)), tuple(_told(part, at.get(part.mark, "")) for part in parts))
        for kind, parts in grouped
        if parts
    ]


def _several(kind: PartKind, count: int) -> str:
    return str(kind) if count == 1 else f"{kind}s"


def _told(part: Part, at: str) -> PartTold:
    mass = (part.as_typed("mass", part.mass_kg) or f"{1e3 * part.mass_kg:.1f} g") if part.mass_kg is not None else ""
    facts = (part.maker, part.batch, part.alloy, part.coating and f"coated: {part.coating}", mass)
    return PartTold(part.mark, at, ", ".join(filter(None, facts)), part.note)


def seats_of(job: Job) -> Iterator[SeatTold]:
    """Every cylinder and main bearing with what is in it."""
    for place in (Place.CYLINDER, Place.MAIN):
        for position in job.engine.positions(place):
            yield SeatTold(str(position), tuple(_held(job, position)))


def _held(job: Job, position: Position) -> Iterator[tuple[str, str, str]]:
    held = job.in_cylinder(position.number) if position.place is Place.CYLINDER else job.in_main(position.number)
    for role in ROLES_OF[position.place]:
        marks = getattr(held, role)
        yield role, WORDS.get(role, role), marks if isinstance(marks, str) else ", ".join(marks)


def orders(results: tuple[OrderResult, ...], job: Job) -> list[OrderTold]:
    """Work ordered, in the order of the job; orders of which nothing is judged are told too."""
    told = []
    for order in job.sheet.order:
        back = tuple(
            (OF[each.standing], " ".join(came_back_text(job, each).split())) for each in results if each.order == order
        )
        told.append(OrderTold(ordered_text(job, order), order.shop, back))
    return told
