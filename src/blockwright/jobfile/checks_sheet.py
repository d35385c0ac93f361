"""What only the whole of `job.toml` shows: facts that contradict each other, marks that no part bears, two parts in one place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from blockwright.engine.features import FEATURES
from blockwright.engine.job import ENGINE_MARK, Job
from blockwright.engine.pack import Clocking, Element
from blockwright.engine.parts import PartKind, WorkOrder
from blockwright.engine.positions import Place
from blockwright.jobfile.checks_assembly import assembly_problems
from blockwright.jobfile.checks_limits import limit_problems
from blockwright.jobfile.known import LAYOUT_FIELDS, Known
from blockwright.jobfile.near import listed, meant, meant_or_listed, meant_place
from blockwright.jobfile.records import unknown_name
from blockwright.jobfile.where import Where
from blockwright.materials import alloy
from blockwright.problems import BlockwrightError
from blockwright.quantities.errors import excerpt, with_article

ASSIGNED = {"piston": PartKind.PISTON, "pin": PartKind.PIN, "rings": PartKind.RINGS, "rod": PartKind.ROD}
NUMBERING = ("banks", "firing_order", "bank_angle", "shared_throws")
"""What hangs together with the layout: where one of them is at fault, any of them may be."""
SMALLER_FIRST = (
    (
        "main_journal",
        "main_journal_m",
        "main_housing",
        "main_housing_m",
        "the main journal is no smaller than its housing",
    ),
    ("rod_journal", "rod_journal_m", "big_end", "big_end_m", "the rod journal is no smaller than the big end"),
    ("pin_diameter", "pin_m", "bore", "bore_m", "the pin is no smaller than the bore"),
    ("bore", "bore_m", "bore_spacing", "bore_spacing_m", "the bore is no smaller than the distance between two bores"),
)
"""Key and field of the smaller of two sizes, key and field of the larger, and what is wrong where it is not so."""


def engine_problems(job: Job, where: Where) -> None:
    """Facts of the engine and its duty that contradict each other."""
    here = where.at("engine")
    for fault in job.engine.faults():
        field = fault.place.field.split(".")[-1]
        if here.at(field).sound and _rests_on_sound(field, here):
            here.at(field).put(fault)
            if field in NUMBERING:
                here.at("layout").mark()
    for key, field, larger_key, larger_field, what in SMALLER_FIRST:
        small, large = getattr(job.engine, field), getattr(job.engine, larger_field)
        if small is not None and large is not None and small >= large:
            here.at(key).say("engine-sizes", f"{what}.", f"Mend {key} or {larger_key}.")
    if job.duty.redline_rad_s < job.duty.at_speed_rad_s:
        what = "the redline is below the speed at which the power is given."
        where.at("duty", "redline").say("duty-redline", what, "Mend redline or at_speed.")
    if job.duty.knock < 1.0:
        where.at("duty", "knock").say("duty-knock", "knock does not lessen a load.", "Write 1.0 or more.")
    if job.sheet.grinder.smallest <= 0.0:
        what = "the smallest step of the grinder is above 0."
        where.at("grinder", "smallest").say("grinder-step", what, "Write the least that can be taken: 1.0")


def sheet_problems(known: Known) -> None:
    """Faults of `job.toml` in itself, put down at its places."""
    job, where = known.job, known.sheet_at
    _materials(job, where)
    _assignments(known)
    limit_problems(known)
    for index, order in enumerate(job.sheet.order):
        _order(known, order, where.at("order", index))
    _clocking(known, where.at("clocking"))
    assembly_problems(known)


def _rests_on_sound(field: str, here: Where) -> bool:
    return field not in NUMBERING or all(here.at(name).sound for name in LAYOUT_FIELDS)


def _materials(job: Job, where: Where) -> None:
    engine = job.engine
    named = [(where.at("engine", field), getattr(engine, field)) for field in ("housing_material", "liner_material")]
    for index, part in enumerate(job.sheet.part):
        named += [(where.at("part", index, field), getattr(part, field)) for field in ("alloy", "second_alloy")]
    for here, name in named:
        if name and here.sound:
            try:
                alloy(name)
            except BlockwrightError as error:
                here.put(error.problems[0])


def part_problems(job: Job, where: Where) -> None:
    """Marks that are blank, there twice or reserved, and parts of which there is only one."""
    parts = where.at("part")
    for index, part in enumerate(job.sheet.part):
        if part.mark == ENGINE_MARK:
            what = f"'{ENGINE_MARK}' is the mark of the assembled engine in the readings."
            parts.at(index, "mark").say("part-reserved", what, "Give the part another mark.")
    report_marks("part", [part.mark for part in job.sheet.part], parts, "mark")
    for kind in (PartKind.BLOCK, PartKind.CRANK):
        found = [i for i, part in enumerate(job.sheet.part) if part.kind is kind and parts.at(i, "kind").sound]
        for index in found[1:]:
            what, mend = (
                f"an engine has one {kind}.",
                "Write case halves as one block; keep spare parts out of the job.",
            )
            parts.at(index, "kind").say("part-second", what, mend)


def report_marks(what: str, marks: Iterable[str], where: Where, field: str) -> None:
    """Put down every mark that is blank or there twice."""
    seen: set[str] = set()
    for index, mark in enumerate(marks):
        here = where.at(index, field)
        if not here.sound:
            continue
        if not mark:
            here.say(f"{what}-unmarked", f"the {what} has no mark.", "Give it one; readings name it by its mark.")
        elif mark in seen:
            here.say(f"{what}-twice", f"the {what} '{excerpt(mark)}' is there twice.", "Give each its own mark.")
        seen.add(mark)


def _assignments(known: Known) -> None:
    sheet, where = known.job.sheet, known.sheet_at
    homes: dict[str, str] = {}
    _numbers(known, Place.CYLINDER, [item.number for item in sheet.cylinder])
    _numbers(known, Place.MAIN, [item.number for item in sheet.main])
    for index, item in enumerate(sheet.cylinder):
        here, home = where.at("cylinder", index), f"cylinder {item.number}"
        for field, kind in ASSIGNED.items():
            if getattr(item, field):
                _assigned(known, here.at(field), home, getattr(item, field), kind, homes)
        _shells(known, here.at("shells"), home, item.shells, homes)
    for index, seat in enumerate(sheet.main):
        _shells(known, where.at("main", index, "shells"), f"main {seat.number}", seat.shells, homes)


def _numbers(known: Known, place: Place, numbers: list[int]) -> None:
    positions = known.positions(place)
    seen: set[int] = set()
    for index, number in enumerate(numbers):
        here = known.sheet_at.at(str(place), index, "number")
        if not here.sound:
            continue
        if positions is not None and f"{place} {number}" not in positions:
            here.say("at-unknown", f"this engine has no {place} {number}.", listed(positions, "It has"))
        elif number in seen:
            here.say("assigned-twice", f"there are two tables for {place} {number}.", "Make one of the two.")
        seen.add(number)


def _shells(known: Known, here: Where, home: str, shells: tuple[str, ...], homes: dict[str, str]) -> None:
    if len(shells) not in (0, 2) and here.sound:
        here.say("shells-two", f"a bearing has two shells, and here stand {len(shells)}.", 'Write ["upper", "lower"].')
    for index, mark in enumerate(shells):
        _assigned(known, here.at(index), home, mark, PartKind.SHELL, homes)


def _assigned(known: Known, here: Where, home: str, mark: str, wanted: PartKind, homes: dict[str, str]) -> None:
    kind = known.kind_of(mark)
    if known.lacks_part(mark):
        of_kind = known.marks_of(wanted)
        mend = meant(mark, of_kind) or f'Add a [[part]] with this mark and kind = "{wanted}".'
        here.say("part-unknown", f"no part bears the mark '{excerpt(mark)}'.", mend)
    elif kind is not None and kind is not wanted:
        what = f"{excerpt(mark)} is {with_article(kind)}; {with_article(wanted)} is wanted here."
        here.say("part-kind", what, "Name another part.")
    elif mark in homes:
        here.say("assigned-twice", f"{excerpt(mark)} is already in {homes[mark]}.", "A part goes in one place.")
    else:
        homes[mark] = home


def _order(known: Known, order: WorkOrder, here: Where) -> None:
    feature = FEATURES.get(order.feature)
    if feature is None:
        if here.at("feature").sound:
            here.at("feature").put(unknown_name("feature", order.feature))
        return
    for field, what, mend in _order_faults(known, order):
        if here.at(field).sound:
            here.at(field).say(f"order-{field}", what, mend)
    positions = known.positions(feature.place) if feature.place is not None else ()
    if order.at and positions is not None and order.at not in positions:
        what = f"{feature.name} is not read at '{excerpt(order.at)}' of this engine."
        here.at("at").say("at-unknown", what, meant_place(order.at, positions, "Possible"))


def _clocking(known: Known, where: Where) -> None:
    positions = known.positions(Place.CYLINDER)
    seen: set[str] = set()
    for index, chosen in enumerate(known.job.sheet.clocking):
        for nth, name in enumerate(chosen.by_maker):
            if not any(Clocking(by_maker=(name,)).held(piece) for piece in Element):
                what = f"there is no piece '{excerpt(name)}' in a ring pack."
                where.at(index, "by_maker", nth).say(
                    "clocking-piece", what, meant_or_listed(name, [*Element], "The pieces are")
                )
        here = where.at(index, "at")
        if not here.sound:
            continue
        if chosen.at and positions is not None and chosen.at not in positions:
            here.say("at-unknown", f"this engine has no '{excerpt(chosen.at)}'.", listed(positions, "It has"))
        elif chosen.at in seen:
            here.say("clocking-twice", f"there are two for {chosen.at or 'every cylinder'}.", "Make one of the two.")
        seen.add(chosen.at)


def _order_faults(known: Known, order: WorkOrder) -> Iterator[tuple[str, str, str]]:
    feature, kind = FEATURES[order.feature], known.kind_of(order.part)
    if known.lacks_part(order.part):
        what = f"no part bears the mark '{excerpt(order.part)}'."
        yield "part", what, meant_or_listed(order.part, known.marks_of(feature.part), "Marks that would do")
    elif kind is not None and kind is not feature.part:
        what = f"{excerpt(order.part)} is {with_article(kind)}, and {feature.name} belongs to {with_article(feature.part)}."
        yield "part", what, "Name the part that was sent out."
    if order.low_si is None and order.high_si is None:
        yield "low", "the order says no size.", "Write low, high or both."
    elif order.low_si is not None and order.high_si is not None and order.low_si >= order.high_si:
        yield "low", "low is not below high.", "Exchange them, or mend one."
