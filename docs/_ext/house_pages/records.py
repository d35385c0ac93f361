"""The format of a job folder: keys of the two sheets, columns of the two tables, states, features and units, all as declared."""

from __future__ import annotations

import datetime as dt
import re
import types
import typing
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from enum import StrEnum
from itertools import groupby
from typing import Any

from blockwright.engine.features import FEATURES, Feature
from blockwright.engine.job import FORMAT, GAUGE_FORMAT, GaugeSheet, JobSheet
from blockwright.engine.states import OPPOSITES
from blockwright.jobfile import passes_csv, readings_csv, record_csv, route_csv
from blockwright.jobfile.inherit import INHERITED
from blockwright.materials import alloys
from blockwright.metrology.evaluate import Thermal
from blockwright.quantities import Kind, show
from blockwright.quantities.declared import Entry, Written, entries_of
from blockwright.quantities.errors import with_article
from blockwright.quantities.units import UNITS
from house_pages.markdown import code, first_large, plain, sentence, table

SHEETS: Mapping[str, type[Written]] = {"job.toml": JobSheet, "gauges.toml": GaugeSheet}
MIXED_KIND = {
    "measures": "in a unit of what the gauge measures",
    "fit": "in a unit of the fit",
    "feature": "in a unit of the feature",
}
TYPED = {
    str: "text",
    int: "a whole number",
    bool: "`true` or `false`",
    float: "a number",
    dt.date: "a date, `2026-03-31`",
}

READING_COLUMNS = {
    "id": "the row's own mark; no two rows share one",
    "part": "mark of the part that was measured; `engine` for what is read on the assembled engine",
    "feature": "what was measured on it, from the list of features below",
    "at": "where on the part, for features that repeat: `cylinder 3`, `main 2`, `throw 1`; blank for others",
    "spot": "at which spot of the feature; blank where it has only one",
    "depth": "ring gaps: how deep below the deck the ring lay",
    "value": "what the gauge showed: `97.128`, `2.75490 in`, `+8`; for blades the one that goes and the one that does not: "
    "`25 to 26`. Blank: still to take",
    "unit": "unit of the value, where it is not written behind it",
    "gauge": "mark of the gauge",
    "setting": "mark of the setting that a comparator was on; blank for gauges that show the size itself",
    "sitting": "a word for one session at one temperature: `bores`, `monday`; what is written once for it holds for its other rows",
    "state": "how the part was: `plate on`, `caps torqued; shells in`",
    "part_temp": "temperature of the part; a number without a unit is in °C",
    "gauge_temp": "temperature of the gauge; a comparator's master has its own in `gauges.toml`",
    "bore_temp": "ring gaps: temperature of the bore",
    "by": "who took it",
    "when": "on which day, `2026-03-31`",
    "withdrawn": "the reason for which the reading no longer counts; the row stays",
    "note": "anything else",
}
RECORD_COLUMNS = {
    "number": "counts up from 1",
    "event": "`concession` for a fit that is out, `judgement` for one that could not be told",
    "fit": "name of the fit",
    "at": "where: `throw 3`",
    "value": "what it was when it was signed; an acceptance holds for this value only",
    "by": "who signed",
    "when": "on which day",
    "why": "the reason",
    "digest": "the seal that ties the row to the one before it; blank in a row written by hand",
}
ROUTE_COLUMNS = {
    "number": "counts up from 1",
    "event": "`signed` or `undone`",
    "step": "key of the step: `final: piston 3`",
    "by": "who signed",
    "when": "day, time and time zone: `2026-03-31 14:05:00+01:00`",
    "counts": "what was counted, in the order in which the step asks: `2; 14`",
    "photos": "the photos in that order too, by the name under which each is kept in `attachments` and by its own: `0123456789abcdef.jpg from clips.jpg`",
    "eyes": "who else has looked",
    "paint": "how many bolts bear a mark of paint",
    "looks": "fits that nobody limits, looked at and accepted by who signed, each with the reason: `turning torque, stage main 3: as its neighbours`",
    "note": "anything else; of a step that was undone, the reason",
    "relied": "the parts and fits that the signature leans on, as they were",
    "digest": "the seal that ties the row to the one before it; blank in a row written by hand",
}
PASS_COLUMNS = {
    "id": "the row's own mark",
    "rings": "mark of the ring set",
    "ring": "which ring of the set: `top`, `second`, `upper rail`, `lower rail`",
    "at": "the cylinder in whose bore the gap was read: `cylinder 3`",
    "wheel": "which grinding wheel; a new one cuts at a rate of its own",
    "taken": "how much was taken since the row before, as the grinder counts it; 0 for the gap before the first pass",
    "counted_in": "what the grinder counts: `turns`, `strokes`",
    "gap": "the gap after it: `0.35 to 0.40`; blank while it is not read yet, which a row that took something may be",
    "unit": "unit of the gap, where it is not written behind it",
    "gauge": "mark of the gauge",
    "depth": "how deep below the deck the ring lay",
    "state": "how the block was: `plate on`",
    "ring_temp": "temperature of the ring",
    "bore_temp": "temperature of the bore",
    "by": "who filed and read it",
    "when": "on which day",
    "withdrawn": "the reason for which the row no longer counts; it stays",
    "note": "anything else",
}
TABLES: Mapping[str, tuple[Sequence[str], Sequence[str], Mapping[str, str]]] = {
    readings_csv.FILE: (readings_csv.COLUMNS, readings_csv.REQUIRED, READING_COLUMNS),
    passes_csv.FILE: (passes_csv.COLUMNS, passes_csv.REQUIRED, PASS_COLUMNS),
    record_csv.FILE: (record_csv.COLUMNS, record_csv.REQUIRED, RECORD_COLUMNS),
    route_csv.FILE: (route_csv.COLUMNS, route_csv.REQUIRED, ROUTE_COLUMNS),
}
"""The columns of each table, those that must be there, and what stands in each."""
ANSWERS = {
    Thermal.SIZE: "brought to 20 °C",
    Thermal.GAP: "brought to 20 °C by ring and bore",
    Thermal.NONE: "taken as read",
}


def sheet(file: str) -> str:
    """Every key of one of the two sheets: first its own, then those of its tables and of the tables in them."""
    return "\n".join(_keys(heading, record) for heading, record in _tables(file, SHEETS[file]))


def _tables(heading: str, record: type[Written]) -> Iterator[tuple[str, type[Written]]]:
    """A table and all tables within it, each with its heading as it stands in the file."""
    yield heading, record
    around = "" if heading in SHEETS else heading.strip("[]") + "."
    hints = typing.get_type_hints(record)
    for key, (field, _, _) in entries_of(record).items():
        inner = _record_in(hints[field])
        if inner is not None:
            many = typing.get_origin(hints[field]) is tuple
            yield from _tables(f"[[{around}{key}]]" if many else f"[{around}{key}]", inner)


def _record_in(hint: Any) -> type[Written] | None:
    """The record that a field holds, alone, as a list or as something that may be missing."""
    inner = (hint, *typing.get_args(hint))
    return next((each for each in inner if isinstance(each, type) and issubclass(each, Written)), None)


def _keys(heading: str, record: type[Written]) -> str:
    hints, defaults = typing.get_type_hints(record), {item.name: item.default for item in fields(record)}
    rows = [
        (
            code(key),
            plain(sentence(entry.doc)),
            _written(hints[field], entry) + _if_left_out(entry, needed, defaults[field]),
        )
        for key, (field, entry, needed) in entries_of(record).items()
    ]
    head = "" if heading in SHEETS else f"### `{heading}`\n\n"
    return head + table(("key", "what it says", "how it is written"), rows, "stacks")


def columns(file: str) -> str:
    """Every column of one of the tables."""
    known, needed, meant = TABLES[file]
    rows = [(code(name), sentence(meant[name]), "must be there" if name in needed else "") for name in known]
    return table(("column", "what stands in it", ""), rows, "stacks")


def inherited(words: str) -> str:
    """Which blank cells are filled from their sitting."""
    rows = [(code(rule.column), " and ".join(code(key) for key in rule.keys)) for rule in INHERITED]
    return table(("a blank cell of", "takes what another row says that has the same"), rows)


def states(words: str) -> str:
    """The state words, each with its opposite."""
    return table(("state", "its opposite"), [(code(word), code(other)) for word, other in OPPOSITES.items()])


def features(words: str) -> str:
    """Every feature, part by part."""
    parts = groupby(FEATURES.values(), key=lambda feature: feature.part)
    return "\n".join(f"### on {with_article(kind)}\n\n{_features(tuple(found))}" for kind, found in parts)


def units(words: str) -> str:
    """Every unit that is understood, by what it measures."""
    rows = [
        (first_large(kind), ", ".join(code(unit.name) for unit in known if unit.name) or "a plain number")
        for kind, known in UNITS.items()
    ]
    return table(("for", "units"), rows, "stacks")


def materials(words: str) -> str:
    """Every alloy of the materials list."""
    named = (alloys.alloy(name) for name in alloys.alloy_names())
    rows = [
        (code(each.name), plain(sentence(each.words)), show(each.expansion_per_k, Kind.EXPANSION, "um/m/K", u=1e-7))
        for each in named
    ]
    return table(("name", "what it is", "expansion"), rows, "stacks")


def formats(words: str) -> str:
    """The first line of each of the two sheets."""
    return f'```toml\nformat = "{FORMAT}"    # job.toml\nformat = "{GAUGE_FORMAT}"    # gauges.toml\n```\n'


def _features(found: Sequence[Feature]) -> str:
    rows = [(code(each.name), plain(sentence(each.how)), _where(each)) for each in found]
    return table(("feature", "how it is read", "where, with what"), rows, "stacks")


def _where(feature: Feature) -> str:
    place = f"at each {feature.place}; " if feature.place else ""
    spots = " · ".join(code(spot) for spot in feature.spots if spot)
    taken = f"spots {spots}; " if spots else ""
    return f"{place}{taken}{feature.gauge}; {ANSWERS[feature.thermal]}"


def _written(hint: Any, entry: Entry) -> str:
    """How a value is typed: with which unit, or as one of which words."""
    if entry.kind is not None:
        return (
            f"{_quantity(entry.kind, entry)}{_span(entry)}"
            if _is_number(hint)
            else f"a table of names, each with {_quantity(entry.kind, entry)}"
        )
    if entry.kind_from:
        return MIXED_KIND[entry.kind_from]
    inner = [each for each in typing.get_args(hint) if each not in (types.NoneType, Ellipsis)]
    if typing.get_origin(hint) is tuple:
        return _list(inner[0])
    return _single(inner[0] if inner else hint, entry)


def _is_number(hint: Any) -> bool:
    return hint is float or (
        float in typing.get_args(hint) and typing.get_origin(hint) in (types.UnionType, typing.Union)
    )


def _list(inner: Any) -> str:
    if typing.get_origin(inner) is tuple:
        return "a list of lists of whole numbers"
    if issubclass(inner, Written):
        return "tables of its own, one for each"
    return f"a list: {'whole numbers' if inner is int else 'texts'}"


def _single(hint: Any, entry: Entry) -> str:
    if issubclass(hint, Written):
        return "a table of its own"
    if issubclass(hint, StrEnum):
        named = [member for member in hint if re.search(rf"\b{member.value}\b", entry.doc)]
        return " · ".join(code(f'"{member.value}"') for member in (named if len(named) > 1 else hint))
    return TYPED[hint]


def _quantity(kind: Kind, entry: Entry) -> str:
    if kind is Kind.RATIO:
        return 'a ratio, `"0.0045"` or `"45 %"`'
    bare = f", in {entry.unit} where no unit stands" if entry.unit else " with its unit"
    return f"{kind}{bare}"


def _span(entry: Entry) -> str:
    return f"; {entry.span[0]} to {entry.span[1]}" if entry.span else ""


def _if_left_out(entry: Entry, needed: bool, default: Any) -> str:
    """What holds where the key is not there; nothing to say where it is simply not known."""
    if needed:
        return ". **Must be there**"
    if default in ("", (), None) or not isinstance(default, str | int | float):
        return ""
    if isinstance(default, bool):
        return f". If left out: `{str(default).lower()}`"
    if isinstance(default, str):
        return ". If left out: " + code(f'"{default}"')
    return f". If left out: {_shown(entry, default)}"


def _shown(entry: Entry, default: float) -> str:
    if entry.kind is None or entry.kind is Kind.RATIO:
        return f"{default:g}"
    unit = "um/m/K" if entry.kind is Kind.EXPANSION else entry.unit or UNITS[entry.kind][0].name
    text = show(default, entry.kind, unit)
    number, _, name = text.partition(" ")
    return f"{float(number):g} {name}"


MAKERS = {
    "sheet": sheet,
    "columns": columns,
    "inherited": inherited,
    "states": states,
    "features": features,
    "units": units,
    "materials": materials,
    "formats": formats,
}
