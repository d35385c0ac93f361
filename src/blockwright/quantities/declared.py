"""How a field of a record is written by a builder: one declaration serves the reader, the writer, the blank form and the docs.

A record is a frozen dataclass that inherits `Written`; each field is made by `quantity` (a number with a unit) or `entry` (text, a whole
number, yes or no, a choice, a list, another record). Numbers are held in SI; the words typed are kept beside them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any, NamedTuple

from blockwright.quantities.units import Kind

SI_SUFFIXES = (
    "_per_k",
    "_rad_s",
    "_rad",
    "_m2_s",
    "_pa_s",
    "_m3",
    "_m",
    "_c",
    "_k",
    "_nm",
    "_pa",
    "_kg",
    "_w",
    "_s",
    "_si",
)


@dataclass(frozen=True)
class Entry:
    """How one field is written: its key in the file, what it means, and for quantities the kind, unit and plausible span.

    `kind_from` names the field that says the kind, where one kind does not fit all (a gauge's resolution).
    """

    doc: str
    key: str = ""
    kind: Kind | None = None
    kind_from: str = ""
    unit: str | None = None
    signed: bool = False
    span: tuple[str, str] | None = None


class Typed(NamedTuple):
    """What was typed for a field, and the value that it was read as: good only while the field still holds that value."""

    raw: Any
    value: Any


@dataclass(frozen=True, kw_only=True)
class Written:
    """Base of records that are read from a file; `entered` keeps, by key, what was typed."""

    entered: Mapping[str, Typed] = field(default_factory=dict, compare=False, repr=False)

    def as_typed(self, key: str, value: Any) -> str:
        """What was typed for a key, while the field still holds the value that it was read as; else nothing."""
        typed = self.entered.get(key)
        return typed.raw if typed is not None and typed.value == value and isinstance(typed.raw, str) else ""


def quantity(
    kind: Kind | None,
    doc: str,
    *,
    kind_from: str = "",
    unit: str | None = None,
    signed: bool = False,
    span: tuple[str, str] | None = None,
    key: str = "",
    default: Any = MISSING,
) -> Any:
    """A field that holds a quantity in SI. `unit` is what a bare number means; `span` is what is plausible, as text with units."""
    return _field(Entry(doc, key, kind, kind_from, unit, signed, span), default)


def entry(doc: str, *, key: str = "", default: Any = MISSING) -> Any:
    """A field that holds text, a whole number, yes or no, a choice, a list or another record."""
    return _field(Entry(doc, key), default)


def entries_of(record: type[Written]) -> dict[str, tuple[str, Entry, bool]]:
    """Key in the file -> (field name, its entry, whether it must be there), in declared order."""
    found = {}
    for item in fields(record):
        declared = item.metadata.get("entry")
        if declared is not None:
            required = item.default is MISSING and item.default_factory is MISSING
            found[declared.key or plain_key(item.name)] = (item.name, declared, required)
    return found


def plain_key(name: str) -> str:
    """The field's name without its unit: `bore_m` is written `bore`."""
    for suffix in SI_SUFFIXES:
        if name.endswith(suffix):
            return name.removesuffix(suffix)
    return name


def _field(declared: Entry, default: Any) -> Any:
    metadata = {"entry": declared}
    if default is MISSING:
        return field(metadata=metadata)
    if isinstance(default, dict | list):
        return field(default_factory=type(default), metadata=metadata)
    return field(default=default, metadata=metadata)
