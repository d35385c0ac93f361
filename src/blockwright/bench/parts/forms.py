"""The forms about parts: a part, new or again; which part goes where; work for the machine shop."""

from __future__ import annotations

from typing import Any

from blockwright.bench.act_fields import ActField, Option, fields_of, length_units
from blockwright.bench.parts.listing import ROLES_OF, WORDS
from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.engine.parts import Part, PartKind, WorkOrder
from blockwright.engine.positions import Place
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.toml_write import plain

PART_FIRST = ("mark", "kind", "maker", "batch", "mass", "alloy", "coating", "note")
PART_MORE = (
    "gauge_height", "skirt_length", "skirt_width", "barrel", "oval", "file_fit", "second_ring", "oil_ring", "support_rail", "gapless_second",
    "second_alloy", "top_face", "second_face", "thin",
)  # fmt: skip
ORDER_KEYS = ("part", "feature", "at", "work", "low", "high", "shop")
KINDS: tuple[Option, ...] = tuple((str(kind), str(kind)) for kind in PartKind if kind is not PartKind.ENGINE)


def forms(job: Job, again: str) -> dict[str, Any]:
    """The context of the forms; `again` is the mark of a part that is entered again."""
    known = next((part for part in job.sheet.part if part.mark == again), None)
    values, unit = plain(known) if known is not None else {}, unit_of(job, Scale.SIZE)
    units = length_units(Part, unit) | {"mass": "g"}
    return {
        "again": again if known is not None else "",
        "first_fields": fields_of(Part, "part", PART_FIRST, values, {"kind": KINDS}, units),
        "more_fields": fields_of(Part, "part", PART_MORE, values, {}, units),
        "order_fields": order_fields(job, unit),
        "orders_now": plain(job.sheet).get("order", []),
        "choices": part_choices(job),
        "places": places(job),
        "roles": [(role, WORDS.get(role, role)) for role in ROLES_OF[Place.CYLINDER]],
    }


def order_fields(job: Job, unit: str) -> tuple[ActField, ...]:
    """Fields for work that is ordered."""
    parts: list[Option] = [(part.mark, f"{part.mark}, {part.kind}") for part in job.sheet.part]
    features: list[Option] = [(name, name) for name in FEATURES]
    where: list[Option] = [("", "all of it"), *places(job)]
    options = {"part": parts, "feature": features, "at": where}
    return fields_of(WorkOrder, "item", ORDER_KEYS, {}, options, {"low": unit, "high": unit})


def part_choices(job: Job) -> list[Option]:
    """Parts that can be assigned."""
    fixed = (PartKind.BLOCK, PartKind.CRANK, PartKind.OTHER, PartKind.ENGINE)
    return [(part.mark, f"{part.mark}, {part.kind}") for part in job.sheet.part if part.kind not in fixed]


def places(job: Job) -> list[Option]:
    """Cylinders and mains by name."""
    return [(str(each), str(each)) for place in (Place.CYLINDER, Place.MAIN) for each in job.engine.positions(place)]
