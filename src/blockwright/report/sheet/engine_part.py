"""The engine of a sheet: its facts and its duty in the builder's own words, the parts, and what goes where."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from enum import Enum

from blockwright.engine.job import Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Place
from blockwright.quantities import Kind, show
from blockwright.quantities.declared import Entry, Written, entries_of

PASSED_OVER = ("name", "banks", "heights", "knock")
"""Fields that the sheet says elsewhere, or not at all."""
USUAL_UNIT = {
    Kind.LENGTH: "mm",
    Kind.MASS: "g",
    Kind.TEMPERATURE: "°C",
    Kind.PRESSURE_STEP: "bar",
    Kind.POWER: "kW",
    Kind.SPEED: "rpm",
    Kind.ANGLE: "deg",
}


@dataclass(frozen=True)
class Fact:
    """A name and what is said under it."""

    name: str
    text: str


@dataclass(frozen=True)
class Seat:
    """What goes in one cylinder or main: marks, empty where nothing is assigned."""

    number: str
    marks: tuple[str, ...]


@dataclass(frozen=True)
class PartLine:
    """Parts that differ in mark and mass alone."""

    marks: str
    kind: str
    maker: str
    batch: str
    alloy: str
    mass: str
    more: str


def engine_facts(job: Job) -> tuple[Fact, ...]:
    """What the engine is, as far as it was given, without its sizes."""
    engine = job.engine
    banks = "; ".join(", ".join(map(str, bank)) for bank in engine.numbering)
    numbering = [Fact("front to rear", banks)] if len(engine.numbering) > 1 else []
    return (*(fact for fact, kind in _facts(engine) if kind is not Kind.LENGTH), *numbering)


def size_facts(job: Job) -> tuple[Fact, ...]:
    """The engine's nominal sizes, those that were given."""
    engine = job.engine
    depths = [Fact(f"bore read, {name}", show(depth, Kind.LENGTH, "mm")) for name, depth in engine.heights.items()]
    return (*(fact for fact, kind in _facts(engine) if kind is Kind.LENGTH), *depths)


def duty_facts(job: Job) -> tuple[Fact, ...]:
    """What the engine is for."""
    return tuple(fact for fact, _ in _facts(job.duty))


def _facts(record: Written) -> Iterator[tuple[Fact, Kind | None]]:
    defaults = {item.name: item.default for item in fields(record)}
    for key, (field, declared, _) in entries_of(type(record)).items():
        value = getattr(record, field)
        said = key in record.entered or value != defaults[field]
        if said and field not in PASSED_OVER and value not in (None, "", ()):
            yield Fact(key.replace("_", " "), _told(record, key, declared, value)), declared.kind


def _told(record: Written, key: str, declared: Entry, value: object) -> str:
    """A value as it was typed while it still holds, else in the usual unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if words := record.as_typed(key, value):
        return words
    if isinstance(value, tuple):
        return ", ".join(map(str, value))
    if isinstance(value, float):
        return _number(value, declared)
    return str(value.value) if isinstance(value, Enum) else str(value)


def _number(value: float, declared: Entry) -> str:
    if declared.kind is Kind.RATIO:
        return f"{100.0 * value:g} %"
    unit = USUAL_UNIT.get(declared.kind) if declared.kind else None
    return show(value, declared.kind, unit) if declared.kind and unit else f"{value:g}"


def cylinders(job: Job) -> tuple[Seat, ...]:
    """Piston, pin, ring set, rod and rod shells of each cylinder."""
    return tuple(
        Seat(str(place.number), (held.piston, held.pin, held.rings, held.rod, ", ".join(held.shells)))
        for place in job.engine.positions(Place.CYLINDER)
        for held in [job.in_cylinder(place.number)]
    )


def mains(job: Job) -> tuple[Seat, ...]:
    """The shells of each main."""
    return tuple(
        Seat(str(place.number), (", ".join(job.in_main(place.number).shells),))
        for place in job.engine.positions(Place.MAIN)
    )


def part_lines(job: Job) -> tuple[PartLine, ...]:
    """All parts; such as differ in mark and mass alone share a line."""
    alike: dict[Part, list[Part]] = {}
    for part in job.sheet.part:
        alike.setdefault(replace(part, mark="", mass_kg=None), []).append(part)
    kinds = list(PartKind)
    return tuple(_line(parts) for _, parts in sorted(alike.items(), key=lambda item: kinds.index(item[0].kind)))


def _line(parts: list[Part]) -> PartLine:
    first = parts[0]
    alloy = f"{first.alloy}, second ring {first.second_alloy}" if first.second_alloy else first.alloy
    more = "; ".join(text for text in (first.coating and f"coated: {first.coating}", first.note) if text)
    return PartLine(
        ", ".join(part.mark for part in parts), str(first.kind), first.maker, first.batch, alloy, _masses(parts), more
    )


def _masses(parts: Iterable[Part]) -> str:
    """What each part weighs, in order; a part that was not weighed has a dash."""
    told = [
        _told(part, "mass", entries_of(Part)["mass"][1], part.mass_kg) if part.mass_kg is not None else "–"
        for part in parts
    ]
    return ", ".join(told) if any(text != "–" for text in told) else ""
