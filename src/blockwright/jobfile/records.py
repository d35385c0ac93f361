"""One way from a TOML table to a record: every field by its declaration, every fault in one list, nothing guessed."""

from __future__ import annotations

import datetime as dt
import difflib
import math
import types
import typing
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar

from blockwright.engine.features import FEATURES
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.toml_lines import Lines, Path
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities import Kind, QuantityError, parse, plausible
from blockwright.quantities.declared import Entry, Typed, Written, entries_of

R = TypeVar("R", bound=Written)

KINDS_BY_NAME: Mapping[str, Callable[[str], Kind]] = {
    "measures": Kind,
    "fit": lambda name: REGISTRY[name].kind,
    "feature": lambda name: FEATURES[name].kind,
}
LIKELY_KIND = {"measures": Kind.LENGTH}
BAD: Any = object()
"""Stands for a value that could not be read; its problem is in the list."""


@dataclass(frozen=True)
class Where:
    """The place in a file that is being read, and the list that its problems go to."""

    file: str
    lines: Lines
    problems: list[Problem]
    path: Path = ()
    around: tuple[Mapping[str, Any], ...] = field(default=())

    def at(self, key: str | int) -> Where:
        """One step further in."""
        return replace(self, path=(*self.path, key))

    def within(self, table: Mapping[str, Any]) -> Where:
        """The same place, with a table that fields further in may look at."""
        return replace(self, around=(table, *self.around))

    def say(self, code: str, what: str, mend: str = "") -> Any:
        """Put down a problem here; returns `BAD`."""
        return self.put(Problem(code, what, mend))

    def put(self, problem: Problem) -> Any:
        """Put down a problem found elsewhere as one of this place."""
        place = Place(self.file, self.lines.of(self.path), self.name)
        self.problems.append(replace(problem, place=place))
        return BAD

    @property
    def name(self) -> str:
        """The path as a builder would say it: `part 3, alloy`."""
        words: list[str] = []
        for step in self.path:
            if isinstance(step, int):
                words[-1] += f" {step + 1}"
            else:
                words.append(step)
        return ", ".join(words)


def read_record(cls: type[R], table: Any, where: Where) -> R:
    """A record of `cls` from a table; `BAD` where something required is missing or wrong (all problems are put down)."""
    if not isinstance(table, Mapping):
        return typing.cast(R, where.say("toml-table", "a table with keys was wanted here."))
    entries = entries_of(cls)
    for key in table:
        if key not in entries:
            _unknown(key, entries, where.at(key))
    inner, hints = where.within(table), _hints(typing.cast(Hashable, cls))
    values: dict[str, Any] = {}
    entered: dict[str, Typed] = {}
    for key, (name, declared, required) in entries.items():
        if key in table:
            values[name] = _value(hints[name], declared, table[key], inner.at(key))
            entered[key] = Typed(table[key], values[name])
        elif required:
            where.at(key).say("toml-missing", f"{key} is missing.", f"{key}: {declared.doc}.")
            values[name] = BAD
    if any(value is BAD for value in values.values()):
        return typing.cast(R, BAD)
    return cls(**values, entered=entered)


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


def _unknown(key: str, known: Mapping[str, Any], where: Where) -> None:
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    mend = f"Did you mean '{near[0]}'?" if near else f"Known here: {', '.join(known)}."
    where.say("toml-unknown", f"'{key}' is not known here.", mend)


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


def _list(hint: Any, declared: Entry, value: Any, where: Where) -> Any:
    if not isinstance(value, list):
        return where.say("toml-list", "a list in square brackets was wanted here.")
    items = tuple(_value(hint, declared, item, where.at(index)) for index, item in enumerate(value))
    return BAD if any(item is BAD for item in items) else items


def _map(declared: Entry, value: Any, where: Where) -> Any:
    if not isinstance(value, Mapping):
        return where.say("toml-table", "a table of names and sizes was wanted here.")
    items = {key: _number(declared, item, where.at(key)) for key, item in value.items()}
    return BAD if any(item is BAD for item in items.values()) else items


def _number(declared: Entry, value: Any, where: Where) -> Any:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return where.say("toml-quantity", "a number with its unit was wanted here.", 'Write it as text: "0.584 mm".')
    if declared.kind is None and not declared.kind_from:
        return _bare(value, where)
    kind = declared.kind or _kind_around(declared.kind_from, where)
    if kind is None:
        return BAD
    try:
        quantity = parse(str(value), kind, unit=declared.unit, signed=declared.signed)
    except QuantityError as error:
        return where.put(error.problems[0])
    if declared.span is not None:
        low, high = (parse(text, kind, unit=declared.unit, signed=True).si for text in declared.span)
        doubt = plausible(quantity, low, high, what=f"a {where.path[-1]}", unit=quantity.unit)
        if doubt is not None:
            return where.put(doubt)
    return quantity.si


def _bare(value: Any, where: Where) -> Any:
    try:
        number = float(value)
    except ValueError:
        return where.say("toml-number", f"'{value}' is no number.")
    return number if math.isfinite(number) else where.say("toml-number", f"'{value}' is no number to work with.")


def _kind_around(name: str, where: Where) -> Kind | None:
    """The kind that another field says: the gauge's `measures`, the limit's `fit`. `None` where that field is itself at fault."""
    said = next((table[name] for table in where.around if name in table), LIKELY_KIND.get(name))
    try:
        return KINDS_BY_NAME[name](str(said))
    except (KeyError, ValueError):
        _put_once(_no_such(name, str(said)), replace(where, path=(*where.path[:-1], name)))
        return None


def _no_such(name: str, said: str) -> Problem:
    names: dict[str, list[str]] = {"measures": [*Kind], "fit": [*REGISTRY], "feature": [*FEATURES]}
    known = names[name]
    near = difflib.get_close_matches(said, known, n=1, cutoff=0.5)
    return Problem(f"{name}-unknown", f"'{said}' is not known here.", f"Did you mean '{near[0]}'?" if near else "")


def _put_once(problem: Problem, where: Where) -> None:
    placed = replace(problem, place=Place(where.file, where.lines.of(where.path), where.name))
    if placed not in where.problems:
        where.problems.append(placed)


def _choice(hint: type[StrEnum], value: Any, where: Where) -> Any:
    words = {member.value.lower(): member for member in hint}
    if isinstance(value, str) and value.strip().lower() in words:
        return words[value.strip().lower()]
    near = difflib.get_close_matches(str(value).lower(), words, n=1, cutoff=0.5)
    listed = ", ".join(f"'{member.value}'" for member in hint)
    mend = f"Did you mean '{words[near[0]].value}'? Possible: {listed}." if near else f"Possible: {listed}."
    return where.say("toml-choice", f"'{value}' is not possible here.", mend)


def _plain(hint: type, value: Any, where: Where) -> Any:
    if hint is dt.date and isinstance(value, str):
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            return where.say("toml-date", f"'{value}' is no date.", "Write it as 2026-03-31.")
    if hint is dt.date and isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, hint) and not (hint is int and isinstance(value, bool)):
        return value
    wanted = {str: "text in quotes", int: "a whole number", bool: "true or false", dt.date: "a date"}[hint]
    return where.say("toml-type", f"{wanted} was wanted here, not {value!r}.")
