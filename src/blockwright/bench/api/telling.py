"""A job in the forms of the API."""

from __future__ import annotations

from typing import Any

from blockwright.acts.event import Event
from blockwright.bench.access import Actor
from blockwright.bench.api.shapes import (
    EngineHead,
    EventTold,
    GaugeTold,
    PartTold,
    ReadingTold,
    SettingTold,
    SpotToTake,
    StationToTake,
    plain_record,
)
from blockwright.choices.stations import Spot, Station
from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.engine.parts import Part
from blockwright.engine.states import show_state
from blockwright.ledger.models import Book
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind
from blockwright.report.as_json import UNIT
from blockwright.report.event_words import said

UNITS = {**UNIT, Kind.MASS: "kg", Kind.PRESSURE: "Pa", Kind.TEMPERATURE: "°C", Kind.ANGLE: "rad"}
STANDINGS = ("taken", "waits", "withdrawn")


def engine_head(book: Book, actor: Actor) -> EngineHead:
    """An engine in a list."""
    role = actor.role_at(book)
    return EngineHead(id=book.slug, title=book.title, role=role.word if role is not None else "", number=book.head_number,
                      digest=book.head_digest, opened_at=book.opened_at, archived=book.archived)  # fmt: skip


def station_told(station: Station) -> StationToTake:
    """A station with its spots."""
    feature = station.spots[0].feature
    return StationToTake(id=station.key, name=station.name, feature=feature.name, kind=str(feature.kind), how=feature.how,
                         waiting=len(station.spots) - station.done, spots=[_spot(each) for each in station.spots])  # fmt: skip


def _spot(spot: Spot) -> SpotToTake:
    row = spot.empty or spot.rows[-1]
    return SpotToTake(
        id=spot.key, named=spot.named, part=row.part, feature=row.feature, at=row.at, spot=row.spot, depth=row.cells.get("depth", ""),
        state=show_state(row.state) if row.state else "", gauge=row.gauge, setting=row.setting, sitting=row.sitting, waits=spot.waits,
        empty=[each.id for each in spot.rows if not each.text and not each.withdrawn], taken=[each.id for each in spot.taken],
    )  # fmt: skip


def standing_of(row: Reading) -> str:
    """`taken`, `waits` or `withdrawn`."""
    return "withdrawn" if row.withdrawn else "taken" if row.taken else "waits"


def reading_told(row: Reading) -> ReadingTold:
    """One row of the readings."""
    feature = FEATURES.get(row.feature)
    unit = UNITS.get(feature.kind, "") if feature is not None and row.low_si is not None else ""
    return ReadingTold(
        id=row.id, part=row.part, feature=row.feature, at=row.at, spot=row.spot, standing=standing_of(row), unit=unit, low=row.low_si,
        high=row.high_si, gauge=row.gauge, setting=row.setting, sitting=row.sitting, state=show_state(row.state) if row.state else "",
        by=row.by, when=row.when, withdrawn=row.withdrawn, note=row.note, typed=dict(row.cells),
    )  # fmt: skip


def event_told(event: Event) -> EventTold:
    """One event, in words and whole."""
    words = said(event)
    return EventTold(number=event.number, kind=event.kind, at=event.at, by=event.by, key=event.key, what=words.what, why=words.why,
                     parts=list(words.parts), row=words.row, body=dict(event.body), before=event.before, digest=event.digest)  # fmt: skip


def part_told(job: Job, part: Part) -> Any:
    """One part and where it is."""
    home = job.home(part.mark)
    return PartTold(**plain_record(part), home=str(home) if home is not None else "")


def gauge_told(gauge: Gauge) -> Any:
    """One gauge."""
    return GaugeTold(**plain_record(gauge))


def setting_told(setting: Setting) -> Any:
    """One setting."""
    return SettingTold(**plain_record(setting))
