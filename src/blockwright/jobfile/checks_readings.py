"""Faults of readings against the rest of the job: no such part, gauge or position, or a bore of 3.437 mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache

from blockwright.engine.features import FEATURES, Feature
from blockwright.jobfile.known import Known
from blockwright.jobfile.near import listed, meant, meant_or_listed, meant_place
from blockwright.jobfile.readings_csv import Read
from blockwright.jobfile.records import unknown_name
from blockwright.metrology.evaluate import Thermal
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.problems import Problem
from blockwright.quantities import Kind, Quantity, parse, plausible, show
from blockwright.quantities.errors import excerpt, with_article
from blockwright.quantities.numerals import plain_digits, read_numeral

SIZE_DIGITS = 3
SIZE_NEAR = 0.04
"""A number of this many digits, this near to the setting in mm or in, is a size and no deviation (assumed)."""
FARTHEST_M = 2e-3
"""How far a comparator is read from its setting at most (assumed; its needle goes round twice or thrice)."""

Found = Iterator[tuple[str, Problem]]
"""Column, and what is wrong there."""


def reading_problems(known: Known, reads: Sequence[Read]) -> Iterator[Problem]:
    """Faults of the readings, in their order."""
    seen: dict[str, int] = {}
    for read in reads:
        reading = read.reading
        for column, problem in (*_id(reading, seen), *_reading(known, read)):
            if column not in read.bad:
                yield problem.at(file=reading.place.file, line=reading.place.line, field=column)


def _id(reading: Reading, seen: dict[str, int]) -> Found:
    if not reading.id:
        yield "id", Problem("reading-id", "the row has no id.", "Number the rows: r1, r2, r3.")
    elif reading.id in seen:
        what = f"the id '{excerpt(reading.id)}' stands already in line {seen[reading.id]}."
        yield "id", Problem("reading-twice", what, "Give each row its own.")
    seen.setdefault(reading.id, reading.place.line)


def _reading(known: Known, read: Read) -> Found:
    reading = read.reading
    feature = FEATURES.get(reading.feature)
    if feature is None:
        yield "feature", unknown_name("feature", reading.feature)
        if reading.part and known.lacks_part(reading.part):
            yield "part", _no_part(known, reading, known.parts.marks)
    else:
        yield from _part(known, reading, feature)
        yield from _spot(known, reading, feature)
    if reading.text and not reading.withdrawn:
        found = list(gauge_faults(known, reading, feature))
        yield from found
        if feature is not None and read.quantity is not None and not found and not read.bad & {"value", "unit"}:
            yield from _value(known, read, feature)


def _no_part(known: Known, reading: Reading, would_do: Sequence[str]) -> Problem:
    if not reading.part:
        return Problem("part-unknown", "the row does not say which part.", listed(would_do, "Possible"))
    what = f"no part bears the mark '{excerpt(reading.part)}'."
    none = "Give a [[part]] in job.toml this mark." if known.parts.marks else "job.toml has no [[part]] at all."
    return Problem("part-unknown", what, meant_or_listed(reading.part, would_do, "Possible") or none)


def _part(known: Known, reading: Reading, feature: Feature) -> Found:
    kind = known.kind_of(reading.part)
    if not reading.part or known.lacks_part(reading.part):
        yield "part", _no_part(known, reading, known.marks_of(feature.part))
    elif kind is not None and kind is not feature.part:
        what = f"{excerpt(reading.part)} is {with_article(kind)}, and {feature.name} belongs to {with_article(feature.part)}."
        yield "feature", Problem("feature-part", what, "Mend the part or the feature.")


def _spot(known: Known, reading: Reading, feature: Feature) -> Found:
    if feature.place is None:
        if reading.at:
            yield "at", Problem("at-unwanted", f"{feature.name} is not read at a position.", "Leave the cell blank.")
    elif not reading.at:
        possible = listed(known.positions(feature.place) or (), "Possible")
        yield "at", Problem("at-missing", f"the row does not say which {feature.place}.", possible)
    else:
        known_here = known.positions(feature.place)
        if known_here is not None and reading.at not in known_here:
            what = f"this engine has no '{excerpt(reading.at)}' for {feature.name}."
            yield "at", Problem("at-unknown", what, meant_place(reading.at, known_here, "Possible"))
    if reading.spot not in feature.spots:
        yield "spot", _no_spot(reading, feature)
    if reading.depth_m is not None and not feature.depth:
        what = f"{feature.name} is not read at a depth."
        yield "depth", Problem("depth-unwanted", what, "Leave the cell blank; the spot says where it is read.")


def _no_spot(reading: Reading, feature: Feature) -> Problem:
    spots = [spot for spot in feature.spots if spot]
    if not spots:
        return Problem("spot-unwanted", f"{feature.name} is read at one spot only.", "Leave the cell blank.")
    what = (
        f"{feature.name} has no spot '{excerpt(reading.spot)}'."
        if reading.spot
        else "the row does not say at which spot."
    )
    return Problem("spot-unknown", what, meant(reading.spot, spots) or listed(spots, "Its spots"))


def gauge_faults(known: Known, reading: Reading, feature: Feature | None) -> Found:
    """Faults of the gauge and the setting that a reading names, by column."""
    gauge = known.gauges.get(reading.gauge)
    if not reading.gauge:
        what = "the row does not say which gauge."
        yield "gauge", Problem("gauge-unknown", what, listed(known.gauges.marks, "The gauges are"))
    elif known.gauges.lacks(reading.gauge):
        what = f"there is no gauge '{excerpt(reading.gauge)}' in gauges.toml."
        none = "gauges.toml has no [[gauge]] at all."
        mend = meant_or_listed(reading.gauge, known.gauges.marks, "The gauges are") or none
        yield "gauge", Problem("gauge-unknown", what, mend)
    if gauge is None or feature is None:
        return
    if known.gauges.sound(gauge.id, "measures") and gauge.measures is not feature.kind:
        what = f"gauge {gauge.id} measures {gauge.measures}, and {feature.name} is a {feature.kind}."
        yield "gauge", Problem("gauge-kind", what, "Name another gauge.")
    if not known.gauges.sound(gauge.id, "sense"):
        return
    yield from _setting(known, reading, gauge, feature)
    if gauge.sense is Sense.BLADES and reading.low_si is not None and reading.low_si == reading.high_si != 0.0:
        what = "one blade alone gives no size."
        mend = "Write the one that goes and the next that does not: '0.40 to 0.45 mm'."
        yield "value", Problem("blade-interval", what, mend)


def _setting(known: Known, reading: Reading, gauge: Gauge, feature: Feature) -> Found:
    if not gauge.sense.compares or feature.thermal is not Thermal.SIZE:
        if reading.setting:
            what = f"gauge {gauge.id} is not set on anything for {feature.name}."
            yield "setting", Problem("setting-unwanted", what, "Leave the cell blank.")
        return
    setting = known.settings.get(reading.setting)
    of_gauge = [mark for mark in known.settings.marks if _gauge_of(known, mark) == gauge.id]
    if not reading.setting:
        what = f"gauge {gauge.id} compares, and the row does not say what it was set on."
        yield "setting", Problem("setting-missing", what, listed(of_gauge, f"Settings of {gauge.id}"))
    elif known.settings.lacks(reading.setting):
        what = f"there is no setting '{excerpt(reading.setting)}' in gauges.toml."
        yield (
            "setting",
            Problem("setting-unknown", what, meant_or_listed(reading.setting, of_gauge, f"Settings of {gauge.id}")),
        )
    elif setting is not None and known.settings.sound(setting.id, "gauge") and setting.gauge != gauge.id:
        what = f"setting {setting.id} was made on gauge {excerpt(setting.gauge)}, not on {gauge.id}."
        yield "setting", Problem("setting-other", what, "Mend the gauge or the setting of this row.")


def _gauge_of(known: Known, setting: str) -> str:
    found = known.settings.get(setting)
    return found.gauge if found is not None else ""


def _value(known: Known, read: Read, feature: Feature) -> Found:
    """A value off by a unit or a power of ten, or a gauge set on another size: told, never changed."""
    reading, quantity = read.reading, read.quantity
    assert quantity is not None
    gauge = known.gauges.get(reading.gauge)
    if gauge is None or not known.gauges.sound(gauge.id, "sense"):
        return
    span = _expected(known, feature)
    if gauge.sense.compares and feature.thermal is Thermal.SIZE:
        setting = known.settings.get(reading.setting)
        if setting is None or feature.kind is not Kind.LENGTH or not known.settings.sound(setting.id, "size"):
            return
        typed_size = _size_itself(quantity, setting)
        if typed_size is not None:
            yield "value", typed_size
            return
        span = _deviations(span, setting, gauge)
        if span[0] >= span[1]:
            yield "setting", _other_size(feature, setting, _expected(known, feature), quantity.unit)
            return
    doubt = plausible(quantity, *span, what=feature.name, unit=quantity.unit)
    if doubt is not None:
        yield "value", doubt


def _size_itself(quantity: Quantity, setting: Setting) -> Problem | None:
    """A size typed where a deviation is wanted: 86.003 in a row of um, on a setting of 86 mm. One with its sign is taken at its word."""
    numeral = read_numeral(quantity.text)
    if numeral.sign or numeral.is_fraction or len(str(numeral.count)) < SIZE_DIGITS:
        return None
    for unit in ("mm", "in"):
        number = plain_digits(numeral.count, numeral.power)
        if abs(parse(f"{number} {unit}", Kind.LENGTH).si / setting.size_m - 1.0) < SIZE_NEAR and quantity.unit != unit:
            what = f"{number} {quantity.unit}: did you mean {number} {unit}, the size itself?"
            size = show(setting.size_m, Kind.LENGTH, unit)
            mend = f"Write how far it is from the setting of {size}; or, if it is so far off, +{number}."
            return Problem("reading-size", what, mend)
    return None


def _expected(known: Known, feature: Feature) -> tuple[float, float]:
    """Plausible span of a feature: about its nominal size in this engine, else that of the feature in any engine."""
    span = feature.expected(known.job.engine)
    return _span(feature.name) if span is None or not all(map(math.isfinite, span)) else span


@cache
def _span(name: str) -> tuple[float, float]:
    feature = FEATURES[name]
    low, high = (parse(text, feature.kind, signed=True).si for text in feature.span)
    return low, high


def _deviations(span: tuple[float, float], setting: Setting, gauge: Gauge) -> tuple[float, float]:
    """Plausible readings of a comparator about its setting, in its own sense."""
    low, high = max(-FARTHEST_M, span[0] - setting.size_m), min(FARTHEST_M, span[1] - setting.size_m)
    return (-high, -low) if gauge.sense is Sense.BACKWARDS else (low, high)


def _other_size(feature: Feature, setting: Setting, span: tuple[float, float], unit: str) -> Problem:
    shown_in = "in" if unit in ("in", "thou", "tenths", "uin") else "mm"
    size, low, high = (show(each, Kind.LENGTH, shown_in) for each in (setting.size_m, *span))
    what = f"setting {setting.id} is {size}, and {with_article(feature.name)} of {low} to {high} is expected."
    return Problem("setting-size", what, "Name the setting that the gauge was on.")
