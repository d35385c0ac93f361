"""A record as TOML text. Where the file was there before, only what changed is touched: remarks, order and the words typed stay."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import fields
from enum import Enum
from typing import Any

from blockwright.jobfile.exact import quantity_text
from blockwright.jobfile.records import KINDS_BY_NAME
from blockwright.jobfile.toml_edit import NoPlaceError, edited, new_text
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import Entry, Written, entries_of


def toml_text(record: Written, before: str, file: str) -> str:
    """The record as the text of a file whose text was `before` (nothing where it is new).

    Raises BlockwrightError where the old layout is such that the change cannot be put into it.
    """
    wanted = plain(record)
    if not before:
        return new_text(wanted)
    held = tomllib.loads(before)
    if held == wanted:
        return before
    try:
        text = edited(before, held, wanted)
        if tomllib.loads(text) == wanted:
            return text
    except (NoPlaceError, tomllib.TOMLDecodeError):
        pass
    what = f"the layout of {file} is such that the change cannot be put into it."
    mend = "Nothing was written. Write tables as [engine] and [[part]], each name on a line of its own, then try again."
    raise BlockwrightError(Problem("toml-layout", what, mend, Place(file)))


def plain(record: Written, around: tuple[Written, ...] = ()) -> dict[str, Any]:
    """A record as a TOML table: the words that were typed where they still hold, else the value; defaults left out."""
    defaults = {item.name: item.default for item in fields(record)}
    table: dict[str, Any] = {}
    for key, (name, declared, required) in entries_of(type(record)).items():
        value = getattr(record, name)
        typed = record.entered.get(key)
        holds = typed is not None and typed.value == value
        if (
            value is None
            or (value in ((), {}) and not holds)
            or (typed is None and not required and value == defaults[name])
        ):
            continue
        if typed is not None and holds and not _holds_records(value):
            table[key] = typed.raw
        else:
            table[key] = _plain_value(value, declared, (record, *around))
    return table


def _holds_records(value: Any) -> bool:
    return isinstance(value, Written) or (isinstance(value, tuple) and any(isinstance(item, Written) for item in value))


def _plain_value(value: Any, declared: Entry, around: tuple[Written, ...]) -> Any:
    if isinstance(value, Written):
        return plain(value, around)
    if isinstance(value, tuple):
        return [_plain_value(item, declared, around) for item in value]
    if isinstance(value, Mapping):
        return {key: _plain_value(item, declared, around) for key, item in value.items()}
    if isinstance(value, float) and (declared.kind or declared.kind_from):
        return quantity_text(value, declared.kind or _kind(declared.kind_from, around))
    return value.value if isinstance(value, Enum) else value


def _kind(name: str, around: tuple[Written, ...]) -> Kind:
    said = next(getattr(record, name) for record in around if hasattr(record, name))
    return KINDS_BY_NAME[name](str(said))
