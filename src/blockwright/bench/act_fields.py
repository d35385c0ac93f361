"""Fields of a form that sends an act: made from the declaration of the record that the act holds, so that form, file and docs say the same."""

from __future__ import annotations

import datetime as dt
import types
import typing
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from django.http import HttpRequest

from blockwright.acts.roles import Role
from blockwright.bench.access import hand_of
from blockwright.ledger.models import Book
from blockwright.quantities import Kind
from blockwright.quantities.declared import Entry, Written, entries_of

Option = tuple[str, str]
YES_NO: tuple[Option, ...] = (("", "not said"), ("yes", "yes"), ("no", "no"))
NAMED = {"id": "mark", "by": "signed by", "at": "where", "when": "date"}
"""Keys that a form calls otherwise than the file."""


@dataclass(frozen=True)
class ActField:
    """One field. `name` is where its value goes in the act's words; `key` is what a refusal calls it; `shape` is text, date, count, yes or choice."""

    name: str
    key: str
    label: str
    hint: str = ""
    value: str = ""
    unit: str = ""
    shape: str = "text"
    options: tuple[Option, ...] = ()
    required: bool = False


def fields_of(
    record: type[Written],
    prefix: str,
    keys: Sequence[str],
    values: Mapping[str, Any] | None = None,
    options: Mapping[str, Sequence[Option]] | None = None,
    units: Mapping[str, str] | None = None,
) -> tuple[ActField, ...]:
    """Fields for some keys of a record, with the words that stand there now; `units` are those that a bare number is taken in."""
    entries, hints = entries_of(record), typing.get_type_hints(record)
    given, chosen, meant = values or {}, options or {}, units or {}
    return tuple(
        _field(
            prefix, key, entries[key], hints[entries[key][0]], given.get(key, ""), chosen.get(key), meant.get(key, "")
        )
        for key in keys
    )


def _field(
    prefix: str,
    key: str,
    entry: tuple[str, Entry, bool],
    hint: Any,
    value: Any,
    options: Sequence[Option] | None,
    unit: str,
) -> ActField:
    _, declared, required = entry
    plain = _plain_hint(hint)
    listed, shape = _looks(plain, declared, options)
    held = ("yes" if value else "no") if isinstance(value, bool) else str(value)
    if not held and shape == "choice" and plain is not None and issubclass(plain, StrEnum):
        held = ""
    label = NAMED.get(key, key.replace("_", " "))
    return ActField(f"{prefix}.{key}", key, label, declared.doc, held, unit, shape, listed, required)


def _looks(plain: type | None, declared: Entry, options: Sequence[Option] | None) -> tuple[tuple[Option, ...], str]:
    if options is not None:
        return tuple(options), "choice"
    if plain is bool:
        return YES_NO, "yes"
    if plain is not None and issubclass(plain, StrEnum):
        return (("", "the usual"), *((each.value, each.value) for each in plain)), "choice"
    if plain is int:
        return (), "count"
    return (), "date" if plain is dt.date else "text"


def _plain_hint(hint: Any) -> type | None:
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        hint = next(each for each in typing.get_args(hint) if each is not type(None))
    return hint if isinstance(hint, type) else None


def length_units(record: type[Written], unit: str) -> dict[str, str]:
    """The unit in which a bare length is taken, for every length of a record."""
    return {key: unit for key, (_, declared, _) in entries_of(record).items() if declared.kind is Kind.LENGTH}


def may(request: HttpRequest, book: Book, role: Role) -> bool:
    """Whether whoever asks may do at this book what needs this role."""
    held = hand_of(request).role_at(book)
    return held is not None and held >= role
