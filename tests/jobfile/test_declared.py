"""Every field of every record can be told apart by its key, says what it is, and can be read and written."""

import datetime as dt
import types
import typing
from collections import Counter
from collections.abc import Mapping
from dataclasses import MISSING, fields
from enum import StrEnum

import pytest

from blockwright.engine.job import GaugeSheet, JobSheet
from blockwright.jobfile.records import KINDS_BY_NAME, blank
from blockwright.jobfile.toml_write import plain
from blockwright.quantities import parse
from blockwright.quantities.declared import Written, entries_of, plain_key


def within(record: type[Written]) -> set[type[Written]]:
    """A record and every record in it."""
    found = {record}
    for hint in typing.get_type_hints(record).values():
        for kind in (hint, *typing.get_args(hint)):
            if isinstance(kind, type) and issubclass(kind, Written) and kind is not Written:
                found |= within(kind)
    return found


def every_record() -> list[type[Written]]:
    return sorted(within(JobSheet) | within(GaugeSheet), key=lambda record: record.__name__)


def test_no_record_is_forgotten() -> None:
    """Whatever inherits from the base is in one of the two files."""
    assert {record.__name__ for record in Written.__subclasses__()} == {record.__name__ for record in every_record()}


@pytest.mark.parametrize("record", every_record())
class TestRecord:
    def test_keys_are_unique(self, record) -> None:
        declared = [item for item in fields(record) if "entry" in item.metadata]
        keys = Counter(item.metadata["entry"].key or plain_key(item.name) for item in declared)
        assert [key for key, count in keys.items() if count > 1] == []
        assert len(entries_of(record)) == len(declared)

    def test_every_field_is_declared_and_documented(self, record) -> None:
        undeclared = [item.name for item in fields(record) if "entry" not in item.metadata]
        assert undeclared == ["entered"]
        for name, entry, _ in entries_of(record).values():
            assert len(entry.doc) > 2, name

    def test_keys_can_be_written_bare(self, record) -> None:
        assert all(key.replace("_", "").isalnum() and key.isascii() and key.islower() for key in entries_of(record))

    def test_every_field_can_be_read(self, record) -> None:
        for name, entry, _ in entries_of(record).values():
            assert readable(typing.get_type_hints(record)[name]), name
            assert not entry.kind_from or entry.kind_from in KINDS_BY_NAME

    def test_spans_and_units_are_of_the_kind(self, record) -> None:
        for name, entry, _ in entries_of(record).values():
            if entry.span is not None and entry.kind is not None:
                low, high = (parse(text, entry.kind, unit=entry.unit, signed=True).si for text in entry.span)
                assert low < high, name
            if entry.unit is not None and entry.kind is not None:
                assert parse("1", entry.kind, unit=entry.unit).si > 0.0

    def test_defaults_lie_in_their_spans(self, record) -> None:
        for item in fields(record):
            entry = item.metadata.get("entry")
            if entry is not None and entry.span and isinstance(item.default, float):
                low, high = (parse(text, entry.kind, unit=entry.unit, signed=True).si for text in entry.span)
                assert low <= item.default <= high, item.name

    def test_a_stand_in_can_be_made(self, record) -> None:
        made = blank(record)
        for item in fields(record):
            if item.default is not MISSING:
                assert getattr(made, item.name) == item.default

    def test_what_goes_without_saying_is_not_written(self, record) -> None:
        required = {key for key, (_, _, must) in entries_of(record).items() if must}
        written = plain_or_none(record)
        assert written is None or set(written) <= required


def plain_or_none(record: type[Written]) -> Mapping[str, object] | None:
    """A stand-in as a table; nothing where it holds numbers that are not known and cannot be written."""
    numbers = any(hint is float and must for hint, must in hints_of(record))
    nested = any(isinstance(hint, type) and issubclass(hint, Written) and must for hint, must in hints_of(record))
    return None if numbers or nested else plain(blank(record))


def hints_of(record: type[Written]) -> list[tuple[object, bool]]:
    hints = typing.get_type_hints(record)
    return [(hints[name], must) for name, _, must in entries_of(record).values()]


def readable(hint: object) -> bool:
    """Whether the reader knows what to do with a field of this type."""
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return len(arguments) == 2 and type(None) in arguments and readable(arguments[0])
    if origin is tuple:
        return len(arguments) == 2 and arguments[1] is Ellipsis and readable(arguments[0])
    if origin is not None:
        return arguments == (str, float)
    return isinstance(hint, type) and (hint in (str, int, bool, float, dt.date) or issubclass(hint, Written | StrEnum))
