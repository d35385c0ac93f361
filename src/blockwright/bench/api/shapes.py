"""The form of every answer that the published schema of an assessment does not give. Sizes are SI; what was typed stands beside them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import fields
from enum import Enum
from typing import Any, Generic, TypeVar, get_type_hints

from ninja import Field, Schema
from pydantic import create_model

from blockwright.engine.parts import Part
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.quantities.declared import Written, entries_of

T = TypeVar("T")


class Page(Schema, Generic[T]):
    """A part of a list."""

    items: list[T]
    total: int = Field(description="How many there are in all.")
    next: str | None = Field(description="Address of the next part; null at the end.")


class EngineHead(Schema):
    """One engine and how far its book has got."""

    id: str = Field(description="The engine in every address.")
    title: str
    role: str = Field(description="What you may do at it: viewer, measurer, builder or owner.")
    number: int = Field(description="Number of its last event.")
    digest: str = Field(description="Digest of its last event.")
    opened_at: dt.datetime
    archived: bool


class SpotToTake(Schema):
    """One spot at a station."""

    id: str = Field(description="Id of its first row; it stays.")
    named: str
    part: str
    feature: str
    at: str
    spot: str
    depth: str
    state: str
    gauge: str
    setting: str
    sitting: str
    waits: bool
    empty: list[str] = Field(description="Ids of planned rows that wait: name one as `row` of a reading.")
    taken: list[str] = Field(description="Ids of readings that count.")


class StationToTake(Schema):
    """What is measured between two changes of gauge."""

    id: str
    name: str
    feature: str
    kind: str = Field(description="What its gauge must measure: length, roughness, torque, ...")
    how: str
    waiting: int = Field(description="How many spots still wait.")
    spots: list[SpotToTake]


class ReadingTold(Schema):
    """One row of the readings."""

    id: str
    part: str
    feature: str
    at: str
    spot: str
    standing: str = Field(description="taken, waits or withdrawn")
    unit: str = Field(description="SI unit of low and high; blank where nothing is read.")
    low: float | None = Field(description="The indication; a blade that goes. A deviation is as the gauge shows it.")
    high: float | None = Field(description="Equal to low, but for blades: the one that does not go.")
    gauge: str
    setting: str
    sitting: str
    state: str
    by: str
    when: dt.date | None
    withdrawn: str = Field(description="The reason.")
    note: str
    typed: dict[str, str] = Field(description="The cells of its row as they were typed.")


class EventTold(Schema):
    """One event of the book."""

    number: int
    kind: str
    at: dt.datetime
    by: str
    key: str
    what: str = Field(description="What was done, in words.")
    why: str
    parts: list[str]
    row: str
    body: dict[str, Any] = Field(description="Words as they were typed.")
    before: str = Field(description="Digest of the event before.")
    digest: str


class Events(Schema):
    """Events after a number, in their order."""

    number: int = Field(description="Number of the last event of the book.")
    items: list[EventTold]
    more: bool = Field(description="Ask again, since the number of the last of these.")


class News(Schema):
    """Whether something has happened."""

    number: int
    digest: str
    new: int = Field(description="How many events there are since the number that was asked about.")


class Kept(Schema):
    """An act that is on record."""

    number: int
    digest: str
    kind: str
    key: str
    row: str = Field(description="Id of the row that it wrote, where it wrote one.")
    fits: list[dict[str, Any]] = Field(description="The fits that a reading touches, as in an assessment.")


class PaperTold(Schema):
    """One paper."""

    key: str
    name: str
    words: str
    media: str
    sized: bool = Field(description="Whether it is made as A4 or as Letter.")
    lacking: str = Field(description="Why there is none; blank where there is.")
    href: str


class BeingMade(Schema):
    """A paper that takes a moment: ask again after Retry-After."""

    being: str


class ProblemTold(Schema):
    """One thing that is wrong."""

    code: str
    what: str
    mend: str
    field: str
    file: str | None = None
    line: int | None = None


class Refused(Schema):
    """A refusal (RFC 9457), as application/problem+json."""

    type: str
    title: str
    status: int
    detail: str
    problems: list[ProblemTold]


class SortTold(Schema):
    """A sort of refusal."""

    name: str
    title: str
    status: int
    means: str


def page_of(form: Any) -> Any:
    """A part of a list of a form that was made here."""
    return Page.__class_getitem__(form)


def of_record(name: str, doc: str, record: type[Written], **more: Any) -> Any:
    """The form of a record of the job folder: its fields, each with the words that the folder's own page has for it."""
    hints = get_type_hints(record)
    docs = {field: declared.doc for field, declared, _ in entries_of(record).values()}
    held: dict[str, Any] = {
        each.name: (_plain(hints[each.name]), Field(description=docs[each.name])) for each in own_fields(record)
    }
    return create_model(name, __base__=Schema, __doc__=doc, **held, **more)


def own_fields(record: type[Written]) -> list[Any]:
    """The fields of a record that a file holds."""
    return [each for each in fields(record) if each.name != "entered"]


def _plain(hint: Any) -> Any:
    """A text in place of one of a list of words."""
    return str if isinstance(hint, type) and issubclass(hint, Enum) else hint


def plain_record(record: Written) -> Mapping[str, Any]:
    """A record's own fields; sizes in SI."""
    return {each.name: getattr(record, each.name) for each in own_fields(type(record))}


PartTold = of_record(
    "PartTold", "One part. Sizes are SI.", Part, home=(str, Field(description="Where it is put; blank: nowhere."))
)
GaugeTold = of_record("GaugeTold", "One gauge. Figures are in SI of what it measures.", Gauge)
SettingTold = of_record("SettingTold", "What a comparator was set on. Sizes are SI.", Setting)
