"""What only the whole job shows: marks that no part bears, gauges that no register knows, a bore of 3.437 mm.

Each check takes the job as read and yields problems with their places; together they find everything in one pass.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from blockwright.engine.features import FEATURES, Feature
from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, position
from blockwright.engine.rules import Authority
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.records import Where
from blockwright.materials import alloy
from blockwright.metrology.evaluate import Thermal
from blockwright.metrology.gauges import Sense
from blockwright.metrology.readings import Reading
from blockwright.problems import BlockwrightError, Problem
from blockwright.quantities import parse, plausible

ASSIGNED = {"piston": PartKind.PISTON, "pin": PartKind.PIN, "rings": PartKind.RINGS, "rod": PartKind.ROD}


def sheet_problems(job: Job, where: Where) -> None:
    """Faults of `job.toml` in itself; put down at `where`."""
    for fault in job.engine.faults():
        field = fault.place.field.split(".")[-1]
        where.at("engine").at(field).put(fault)
    _materials(job, where)
    _marks(job, where)
    _assignments(job, where)
    _limits(job, where)
    _orders(job, where)


def gauge_problems(job: Job, where: Where) -> None:
    """Faults of `gauges.toml` in itself."""
    for name, items in (("gauge", job.gauge_sheet.gauge), ("setting", job.gauge_sheet.setting)):
        for index in _repeated([item.id for item in items]):
            where.at(name).at(index).at("id").say(
                "gauge-twice", f"the {name} '{items[index].id}' is there twice.", "Give each its own mark."
            )
    for index, setting in enumerate(job.gauge_sheet.setting):
        here = where.at("setting").at(index)
        for field in ("gauge", "master"):
            mark = getattr(setting, field)
            if mark not in job.gauges:
                here.at(field).say("gauge-unknown", f"no gauge '{mark}' is registered.", _near(mark, job.gauges))
        if setting.gauge in job.gauges and not job.gauges[setting.gauge].sense.compares:
            here.at("gauge").say(
                "setting-gauge", f"gauge '{setting.gauge}' shows sizes; only a comparator is set.", "Mend its sense."
            )


def reading_problems(job: Job) -> Iterator[Problem]:
    """Faults of the readings against the rest of the job."""
    twice = _repeated([reading.id for reading in job.readings])
    for index in twice:
        reading = job.readings[index]
        yield Problem("reading-twice", f"the id '{reading.id}' is there twice.", "Give each row its own.").at(
            file=reading.place.file, line=reading.place.line, field="id"
        )
    for reading in job.readings:
        for field, problem in _reading(job, reading):
            yield problem.at(file=reading.place.file, line=reading.place.line, field=field)


Found = Iterator[tuple[str, Problem]]


def _reading(job: Job, reading: Reading) -> Found:
    feature = FEATURES.get(reading.feature)
    if not reading.id:
        yield "id", Problem("reading-id", "the row has no id.", "Number the rows: r1, r2, r3.")
    if feature is None:
        yield (
            "feature",
            Problem(
                "feature-unknown", f"there is no feature '{reading.feature[:40]}'.", _near(reading.feature, FEATURES)
            ),
        )
        return
    yield from _part_of(job, reading, feature)
    yield from _spot_of(job, reading, feature)
    if reading.low_si is not None:
        yield from _gauge_of(job, reading, feature)
        yield from _doubt(job, reading, feature)


def _part_of(job: Job, reading: Reading, feature: Feature) -> Found:
    part = job.parts.get(reading.part)
    if part is None:
        yield (
            "part",
            Problem("part-unknown", f"no part bears the mark '{reading.part[:40]}'.", _near(reading.part, job.parts)),
        )
    elif part.kind is not feature.part:
        yield (
            "feature",
            Problem(
                "feature-part",
                f"{reading.part} is a {part.kind}; {feature.name} belongs to a {feature.part}.",
                "Mend one of them.",
            ),
        )


def _spot_of(job: Job, reading: Reading, feature: Feature) -> Found:
    if feature.place is None and reading.at:
        yield "at", Problem("at-unwanted", f"{feature.name} is not read at a position.", "Leave it blank.")
    elif feature.place is not None:
        known = [str(each) for each in job.engine.positions(feature.place)]
        if reading.at not in known:
            where = (
                f"'{reading.at[:40]}' is no {feature.place} of this engine"
                if reading.at
                else f"the {feature.place} is missing"
            )
            yield "at", Problem("at-unknown", f"{where}.", _near(reading.at, known) or f"Possible: {', '.join(known)}.")
    if reading.spot not in feature.spots:
        spots = ", ".join(f"'{spot}'" for spot in feature.spots if spot) or "none: leave it blank"
        yield (
            "spot",
            Problem("spot-unknown", f"'{reading.spot[:40]}' is no spot of {feature.name}.", f"Its spots: {spots}."),
        )


def _gauge_of(job: Job, reading: Reading, feature: Feature) -> Found:
    gauge = job.gauges.get(reading.gauge)
    if gauge is None:
        what = f"no gauge '{reading.gauge[:40]}' is registered" if reading.gauge else "the row does not say which gauge"
        yield "gauge", Problem("gauge-unknown", f"{what}.", _near(reading.gauge, job.gauges))
        return
    if gauge.measures is not feature.kind:
        yield (
            "gauge",
            Problem(
                "gauge-kind",
                f"gauge {gauge.id} measures {gauge.measures}, {feature.name} is a {feature.kind}.",
                "Name another gauge.",
            ),
        )
    if gauge.sense.compares and feature.thermal is Thermal.SIZE:
        setting = job.settings.get(reading.setting)
        if setting is None:
            what = (
                f"no setting '{reading.setting[:40]}' is registered"
                if reading.setting
                else f"gauge {gauge.id} compares, and the row names no setting"
            )
            yield "setting", Problem("setting-unknown", f"{what}.", _near(reading.setting, job.settings))
        elif setting.gauge != gauge.id:
            yield (
                "setting",
                Problem(
                    "setting-other",
                    f"setting {setting.id} was made on gauge {setting.gauge}, not on {gauge.id}.",
                    "Mend one of them.",
                ),
            )
    elif reading.setting:
        yield (
            "setting",
            Problem("setting-unwanted", f"gauge {gauge.id} is not set for {feature.name}.", "Leave it blank."),
        )
    if gauge.sense is Sense.BLADES and reading.low_si == reading.high_si and reading.low_si != 0.0:
        yield (
            "value",
            Problem(
                "blade-interval",
                "a blade alone gives no size.",
                "Write the one that goes and the one that does not: '0.40 to 0.45 mm'.",
            ),
        )


def _doubt(job: Job, reading: Reading, feature: Feature) -> Found:
    """A value off by a unit or a power of ten: told, never changed."""
    gauge, setting = job.gauges.get(reading.gauge), job.settings.get(reading.setting)
    if gauge is None:
        return
    signed = feature.signed or gauge.sense.compares
    texts = reading.text.split(" to ")
    unit = reading.unit or None
    for text in texts[-1:]:
        quantity = parse(text, feature.kind, unit=unit, signed=signed)
        if setting is not None and gauge.sense.compares:
            low, high = -2e-3, 2e-3
            if reading.feature in ("bore", "skirt") and feature.expected(job.engine):
                span = feature.expected(job.engine)
                assert span is not None
                low, high = max(low, span[0] - setting.size_m), min(high, span[1] - setting.size_m)
        else:
            low, high = feature.expected(job.engine) or (
                parse(feature.span[0], feature.kind, signed=True).si, parse(feature.span[1], feature.kind, signed=True).si,
            )  # fmt: skip
        problem = plausible(quantity, low, high, what=feature.name, unit=quantity.unit)
        if problem is not None:
            yield "value", problem


def _materials(job: Job, where: Where) -> None:
    engine = job.engine
    named = [(where.at("engine").at(field), getattr(engine, field)) for field in ("housing_material", "liner_material")]
    named += [(where.at("part").at(i).at("alloy"), part.alloy) for i, part in enumerate(job.sheet.part)]
    for here, name in named:
        if name:
            try:
                alloy(name)
            except BlockwrightError as error:
                here.put(error.problems[0])


def _marks(job: Job, where: Where) -> None:
    marks = [part.mark for part in job.sheet.part]
    for index in _repeated(marks):
        where.at("part").at(index).at("mark").say(
            "part-twice", f"the mark '{marks[index]}' is there twice.", "Give each part its own."
        )
    for kind in (PartKind.BLOCK, PartKind.CRANK):
        of_kind = [index for index, part in enumerate(job.sheet.part) if part.kind is kind]
        for index in of_kind[1:]:
            where.at("part").at(index).say(
                "part-second",
                f"an engine has one {kind}.",
                "Write case halves as one block; keep spare parts out of the job.",
            )


def _assignments(job: Job, where: Where) -> None:
    seen: dict[str, str] = {}
    _numbers(job, where, Place.CYLINDER, [item.number for item in job.sheet.cylinder])
    _numbers(job, where, Place.MAIN, [item.number for item in job.sheet.main])
    for index, item in enumerate(job.sheet.cylinder):
        here = where.at("cylinder").at(index)
        for field, kind in ASSIGNED.items():
            if getattr(item, field):
                _assigned(job, here.at(field), f"cylinder {item.number}", getattr(item, field), kind, seen)
        _shells(job, here, f"cylinder {item.number}", item.shells, seen)
    for index, seat in enumerate(job.sheet.main):
        _shells(job, where.at("main").at(index), f"main {seat.number}", seat.shells, seen)


def _numbers(job: Job, where: Where, place: Place, numbers: list[int]) -> None:
    known = [each.number for each in job.engine.positions(place)]
    for index, number in enumerate(numbers):
        here = where.at(str(place)).at(index).at("number")
        if number not in known:
            here.say("at-unknown", f"this engine has no {place} {number}.", f"It has {known[0]} to {known[-1]}." if known else "")
        elif number in numbers[:index]:
            here.say("assigned-twice", f"{place} {number} is assigned twice.", "Make one table of the two.")


def _shells(job: Job, where: Where, home: str, shells: tuple[str, ...], seen: dict[str, str]) -> None:
    if len(shells) not in (0, 2):
        where.at("shells").say("shells-two", "a bearing has two shells.", 'Write ["upper", "lower"].')
    for mark in shells:
        _assigned(job, where.at("shells"), home, mark, PartKind.SHELL, seen)


def _assigned(job: Job, here: Where, home: str, mark: str, kind: PartKind, seen: dict[str, str]) -> None:
    part = job.parts.get(mark)
    if part is None:
        here.say("part-unknown", f"no part bears the mark '{mark}'.", _near(mark, job.parts))
    elif part.kind is not kind:
        here.say("part-kind", f"{mark} is a {part.kind}; a {kind} is wanted.", "Name another part.")
    elif mark in seen:
        here.say("assigned-twice", f"{mark} is already in {seen[mark]}.", "A part goes in one place.")
    seen.setdefault(mark, home)


def _limits(job: Job, where: Where) -> None:
    for index, rule in enumerate(job.sheet.limit):
        here = where.at("limit").at(index)
        fit = REGISTRY.get(rule.fit)
        if fit is None:
            here.at("fit").say("fit-unknown", f"there is no fit '{rule.fit}'.", _near(rule.fit, REGISTRY))
            continue
        known = [str(each) for each in job.engine.positions(fit.place)]
        if rule.at and rule.at not in known:
            here.at("at").say("at-unknown", f"'{rule.at}' is no {fit.place} of this engine.", _near(rule.at, known))
        if rule.authority in (Authority.PRACTICE, Authority.COMPUTED):
            here.at("authority").say(
                "limit-authority",
                f"'{rule.authority}' limits are the tool's own.",
                "Write builder, part maker or engine manual.",
            )
        if rule.authority is Authority.BUILDER and not (rule.by and rule.why):
            here.say("limit-unsigned", "a builder's own rule is signed.", "Write by and why.")
        if rule.low_si is not None and rule.high_si is not None and rule.low_si >= rule.high_si:
            here.at("low").say("limit-upside-down", "low is not below high.", "Exchange them.")
        per_size = (rule.low_per_size, rule.aim_per_size, rule.high_per_size)
        if (any(value is not None for value in per_size) or rule.by_size) and fit.size(job.engine) is None:
            here.say(
                "limit-size",
                f"a limit per size needs the nominal size for {fit.name} in [engine].",
                "Give it, or write the limit as a value.",
            )


def _orders(job: Job, where: Where) -> None:
    for index, order in enumerate(job.sheet.order):
        here = where.at("order").at(index)
        feature = FEATURES.get(order.feature)
        if feature is None:
            here.at("feature").say(
                "feature-unknown", f"there is no feature '{order.feature}'.", _near(order.feature, FEATURES)
            )
            continue
        if order.part not in job.parts:
            here.at("part").say("part-unknown", f"no part bears the mark '{order.part}'.", _near(order.part, job.parts))
        if order.at and (
            position(order.at) is None
            or feature.place is None
            or position(order.at) not in job.engine.positions(feature.place)
        ):
            here.at("at").say("at-unknown", f"'{order.at}' is no position of {feature.name} in this engine.")


def _repeated(marks: Iterable[str]) -> list[int]:
    seen: set[str] = set()
    found = []
    for index, mark in enumerate(marks):
        if mark and mark in seen:
            found.append(index)
        seen.add(mark)
    return found


def _near(name: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(name, list(known), n=1, cutoff=0.5)
    return f"Did you mean '{near[0]}'?" if near else ""
