"""A record as TOML text. Where the file was there before, only what changed is touched: comments, order and the words typed stay."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import fields
from enum import Enum
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, Table

from blockwright.jobfile.exact import quantity_text
from blockwright.jobfile.records import KINDS_BY_NAME
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import Entry, Written, entries_of


def toml_text(record: Written, before: str, file: str) -> str:
    """The record as the text of a file whose text was `before` (nothing where it is new).

    Raises BlockwrightError where the old layout is such that the change cannot be put into it.
    """
    wanted = plain(record)
    if not before:
        return tomlkit.dumps(wanted)
    if tomllib.loads(before) == wanted:
        return before
    text = _changed(before.replace("\r\n", "\n"), wanted)
    if text is None or tomllib.loads(text) != wanted:
        what = f"the layout of {file} is such that the change cannot be put into it."
        mend = (
            "Nothing was written. Write tables as [engine] and [[part]], each key on a line of its own, then try again."
        )
        raise BlockwrightError(Problem("toml-layout", what, mend, Place(file)))
    return text.replace("\n", "\r\n") if before.split("\n", 1)[0].endswith("\r") else text


def plain(record: Written, around: tuple[Written, ...] = ()) -> dict[str, Any]:
    """A record as a TOML table: the words that were typed where they still hold, else the value; defaults left out."""
    defaults = {item.name: item.default for item in fields(record)}
    table: dict[str, Any] = {}
    for key, (name, declared, required) in entries_of(type(record)).items():
        value = getattr(record, name)
        typed = record.entered.get(key)
        if value is None or (typed is None and not required and (value == defaults[name] or value in ((), {}))):
            continue
        if typed is not None and typed.value == value and not _holds_records(value):
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


def _changed(before: str, wanted: Mapping[str, Any]) -> str | None:
    """The old text with what differs put in; `None` where its layout does not allow it."""
    try:
        document = tomlkit.parse(before)
        _update(document, wanted)
        return tomlkit.dumps(document)
    except (TOMLKitError, KeyError, IndexError, ValueError, TypeError, AttributeError):
        return None


def _update(table: Any, wanted: Mapping[str, Any]) -> None:
    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        old = table.get(key)
        if isinstance(value, Mapping) and isinstance(old, Mapping):
            _update(old, value)
        elif _tables(value) and _tables(old):
            _update_tables(old, value)
        elif old is None:
            _add(table, key, value)
        elif old != value:
            table[key] = value


def _tables(value: Any) -> bool:
    """Whether a value is a list of tables, such as the parts."""
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) for item in value)


def _add(table: Any, key: str, value: Any) -> None:
    """A new key after the last one of its table, before the blank lines and remarks that close it."""
    if not isinstance(table, Table) or isinstance(value, Mapping) or _tables(value):
        table[key] = value
        return
    closing = _closing(table)
    table.append(key, value)
    for item in closing:
        table.add(item)


def _closing(table: Table) -> list[Any]:
    """Blank lines and remarks that stand after the last key of a table, taken out of it."""
    body = table.value.body
    count = 0
    while count < len(body) and body[-1 - count][0] is None:
        count += 1
    closing = [item for _, item in body[len(body) - count :]]
    del body[len(body) - count :]
    return closing


def _update_tables(old: Any, wanted: Sequence[Mapping[str, Any]]) -> None:
    """Change, strike out and add tables of a list; the ones that stayed as they are are left alone."""
    shorter = min(len(old), len(wanted))
    same = next((i for i in range(shorter) if old[i] != wanted[i]), shorter)
    tail = next((i for i in range(shorter - same) if old[-1 - i] != wanted[-1 - i]), shorter - same)
    for _ in range(len(old) - len(wanted)):
        del old[same]
    for index in range(same, len(old) - tail):
        _update(old[index], wanted[index])
    for index in range(len(old) - tail, len(wanted) - tail):
        _insert(old, index, wanted[index])


def _insert(tables: Any, index: int, value: Mapping[str, Any]) -> None:
    """A new table in a list, a blank line before it, what closed the table above now closing this one."""
    table = tomlkit.item(dict(value))
    if not isinstance(tables, AoT) or not isinstance(table, Table) or not index:
        tables.insert(index, dict(value))
        return
    above = tables[index - 1]
    closing = _closing(above)
    above.add(tomlkit.nl())
    for item in closing:
        table.add(item)
    tables.insert(index, table)
