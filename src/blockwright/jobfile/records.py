"""One way from a TOML table to a record: every field by its declaration, every fault in one list, nothing guessed.

A record always comes back. Where a field is at fault, something stands in for it (`nan`, an empty text, nothing) and its place is marked
in `Where`, so that whatever does not rest on that field can still be checked. A record with any problem is never used for more.
"""

from __future__ import annotations

import datetime as dt
import math
import types
import typing
from collections.abc import Callable, Hashable, Mapping
from dataclasses import replace
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar

from blockwright.engine.features import FEATURES
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.near import meant, meant_or_listed, nearest
from blockwright.jobfile.toml_lines import Lines
from blockwright.jobfile.where import Where
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities import Kind, QuantityError, parse, plausible
from blockwright.quantities.declared import Entry, Typed, Written, entries_of
from blockwright.quantities.errors import excerpt

R = TypeVar("R", bound=Written)

KINDS_BY_NAME: Mapping[str, Callable[[str], Kind]] = {
    "measures": Kind,
    "fit": lambda name: REGISTRY[name].kind,
    "feature": lambda name: FEATURES[name].kind,
}
LIKELY_KIND = {"measures": str(Kind.LENGTH)}
LARGEST_WHOLE = 10**12
BAD: Any = object()
"""Stands for a value that could not be read; its problem is in the list."""


def read_record(cls: type[R], table: Any, where: Where) -> R:
    """A record of `cls` from a table; every problem is put down at its place in `where`."""
    if not isinstance(table, Mapping):
        where.say("toml-table", f"{_shown(table)} stands here; a table with names and values is wanted.")
        return blank(cls)
    entries, hints = entries_of(cls), _hints(typing.cast(Hashable, cls))
    misspelt = _unknown_keys(table, entries, where)
    inner = where.within(table)
    values: dict[str, Any] = {}
    entered: dict[str, Typed] = {}
    for key, (name, declared, required) in entries.items():
        if key in table:
            value = _value(hints[name], declared, table[key], inner.at(key))
            if value is not BAD:
                values[name] = value
                entered[key] = Typed(table[key], value)
        elif required and key not in misspelt:
            what = f"'{key}' is missing ({declared.doc})."
            where.at(key).say("toml-missing", what, f"Add a line: {key} = ...")
        if required:
            values.setdefault(name, _stand_in(hints[name]))
    return cls(**values, entered=entered)


def blank(cls: type[R]) -> R:
    """A record of stand-ins: what is left where its table cannot be read at all."""
    hints = _hints(typing.cast(Hashable, cls))
    return cls(**{name: _stand_in(hints[name]) for name, _, required in entries_of(cls).values() if required})


def read_alone(cls: type[R], table: Mapping[str, Any]) -> R:
    """A record from a table that comes from no file. Raises BlockwrightError with its problems."""
    problems: list[Problem] = []
    record = read_record(cls, table, Where("", Lines(""), problems))
    if problems:
        raise BlockwrightError(problems)
    return record


def check_field(cls: type[Written], key: str, value: Any) -> Problem | None:
    """What is wrong with one value typed for one field, if anything."""
    problems: list[Problem] = []
    name, declared, _ = entries_of(cls)[key]
    _value(_hints(typing.cast(Hashable, cls))[name], declared, value, Where("", Lines(""), problems, (key,)))
    return replace(problems[0], place=Place()) if problems else None


@cache
def _hints(cls: Hashable) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _unknown_keys(table: Mapping[str, Any], known: Mapping[str, Any], where: Where) -> set[str]:
    """Put down every key that is not known; the known ones that were meant come back, marked as faulty."""
    misspelt = set()
    for key in table:
        if key not in known:
            near = nearest(key, [name for name in known if name not in table])
            if near:
                misspelt.add(near)
                where.at(near).mark()
            mend = f"Did you mean '{near}'?" if near else f"The names known here: {', '.join(known)}."
            where.at(key).say("toml-unknown", f"the name '{excerpt(key)}' is not known here.", mend)
    return misspelt


def _stand_in(hint: Any) -> Any:
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        return None
    if origin is tuple:
        return ()
    if origin is not None:
        return {}
    if issubclass(hint, Written):
        return blank(hint)
    if issubclass(hint, StrEnum):
        return next(iter(hint))
    return {float: math.nan, int: 0, bool: False, str: ""}[hint]


def _value(hint: Any, declared: Entry, value: Any, where: Where) -> Any:
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return _value(next(a for a in arguments if a is not type(None)), declared, value, where)
    if origin is tuple:
        return _list(arguments[0], declared, value, where)
    if hint is float:
        return _number(declared, value, where)
    if origin is not None:
        return _map(declared, value, where)
    if issubclass(hint, Written):
        return read_record(hint, value, where)
    if issubclass(hint, StrEnum):
        return _choice(hint, value, where)
    return _plain(hint, value, where)


def _put(where: Where, code: str, what: str, mend: str = "") -> Any:
    """Put down a problem; `BAD` comes back."""
    where.say(code, what, mend)
    return BAD


def _list(hint: Any, declared: Entry, value: Any, where: Where) -> Any:
    if not isinstance(value, list):
        brackets = f"Write [[{where.path[-1]}]]." if isinstance(value, Mapping) else ""
        return _put(where, "toml-list", f"{_shown(value)} stands here; a list in square brackets is wanted.", brackets)
    items = (_value(hint, declared, item, where.at(index)) for index, item in enumerate(value))
    return tuple(item for item in items if item is not BAD)


def _map(declared: Entry, value: Any, where: Where) -> Any:
    if not isinstance(value, Mapping):
        return _put(where, "toml-table", f"{_shown(value)} stands here; a table of names and sizes is wanted.")
    items = {key: _number(declared, item, where.at(key)) for key, item in value.items()}
    return {key: item for key, item in items.items() if item is not BAD}


def _number(declared: Entry, value: Any, where: Where) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float) or _huge(value):
        wanted = 'Write it as text: "0.584 mm".' if declared.kind or declared.kind_from else "Write a plain number."
        return _put(where, "toml-quantity", f"{_shown(value)} stands here; a number is wanted.", wanted)
    if declared.kind is None and not declared.kind_from:
        return _bare(value, where)
    kind = declared.kind or _kind_around(declared.kind_from, where)
    if kind is None:
        return BAD
    try:
        quantity = parse(str(value), kind, unit=declared.unit, signed=declared.signed)
        doubt = _doubt(declared, quantity, where)
    except QuantityError as error:
        doubt = error.problems[0]
    if doubt is None:
        return quantity.si
    where.put(doubt)
    return BAD


def _doubt(declared: Entry, quantity: Any, where: Where) -> Problem | None:
    if declared.span is None:
        return None
    low, high = _span(declared.span, quantity.kind, declared.unit)
    name = " ".join(str(step) for step in where.path[-1:]).replace("_", " ")
    return plausible(quantity, low, high, what=name, unit=quantity.unit)


@cache
def _span(span: tuple[str, str], kind: Kind, unit: str | None) -> tuple[float, float]:
    low, high = (parse(text, kind, unit=unit, signed=True).si for text in span)
    return low, high


def _bare(value: Any, where: Where) -> Any:
    try:
        number = float(value)
    except ValueError:
        return _put(where, "toml-number", f"{_shown(value)} is no number.", "Write a plain number: 2.0")
    if math.isfinite(number):
        return number
    return _put(where, "toml-number", f"{_shown(value)} is no number to work with.", "Write a plain number: 2.0")


def _kind_around(name: str, where: Where) -> Kind | None:
    """The kind that another field says: the gauge's `measures`, the limit's `fit`.

    `None` where that field is missing or at fault, which is told at its own place, once.
    """
    said, path = next(
        ((table[name], path) for table, path in where.around if name in table), (LIKELY_KIND.get(name), ())
    )
    if not isinstance(said, str):
        return None
    try:
        return KINDS_BY_NAME[name](said.strip())
    except (KeyError, ValueError):
        there = where.of((*path, name))
        if there.sound:
            there.put(unknown_name(name, said))
        return None


def unknown_name(field: str, said: str) -> Problem:
    """The problem of a fit, feature or kind of measurement that does not exist."""
    known = {"measures": [str(kind) for kind in Kind], "fit": list(REGISTRY), "feature": list(FEATURES)}[field]
    mend = meant_or_listed(said, known, "Some that are known")
    return Problem(f"{field}-unknown", f"there is no {field} '{excerpt(said)}'.", mend)


def _choice(hint: type[StrEnum], value: Any, where: Where) -> Any:
    words = {member.value.lower(): member for member in hint}
    if isinstance(value, str):
        plain = " ".join(value.lower().split())
        if plain in words:
            return words[plain]
    near = meant(value, [member.value for member in hint]) if isinstance(value, str) else ""
    possible = f"Possible: {', '.join(member.value for member in hint)}."
    return _put(where, "toml-choice", f"{_shown(value)} is not possible here.", f"{near} {possible}".strip())


WANTED = {str: "text in double quotes", int: "a whole number", bool: "true or false", dt.date: "a date"}


def _plain(hint: type, value: Any, where: Where) -> Any:
    if hint is dt.date:
        return _date(value, where)
    if isinstance(value, hint) and not (hint is int and (isinstance(value, bool) or _huge(value))):
        return value.strip() if isinstance(value, str) else value
    return _put(where, "toml-type", f"{_shown(value)} stands here; {WANTED[hint]} is wanted.")


def _date(value: Any, where: Where) -> Any:
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, dt.date):
        return value
    try:
        return dt.date.fromisoformat(value)
    except (TypeError, ValueError):
        return _put(where, "toml-date", f"{_shown(value)} is no date.", "Write it as 2026-03-31.")


def _huge(value: Any) -> bool:
    return isinstance(value, int) and abs(value) > LARGEST_WHOLE


def _shown(value: Any) -> str:
    """What was written, short and safe to print."""
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, bool):
        return "true" if value else "false"
    if _huge(value):
        return "a number of more than 12 digits"
    return f"'{excerpt(str(value))}'"
