"""Stations and spots of a job as the measuring page holds them: all of the job at once, so that it goes from station to station with no network.

The page lays over it what was typed on this tablet and is not in it yet; it is whole again with the next number of the book.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from blockwright.bench.drawn import inline
from blockwright.bench.measure import words
from blockwright.choices.stations import Spot, Station, stations
from blockwright.engine.features import Feature
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.metrology.gauges import Sense
from blockwright.metrology.readings import TWICE, Reading
from blockwright.report.pictures.where import where_picture


@dataclass(frozen=True)
class Taken:
    """One reading as shown: `said` with its unit, `why` it was withdrawn, `twice` where two hands took it at once."""

    row: str
    said: str
    by: str
    when: str
    why: str
    note: str
    twice: bool


@dataclass(frozen=True)
class SpotCard:
    """One spot. `empty`: ids of the planned rows that wait; the words after it hold for the row in hand; `temps`: which bear on it."""

    key: str
    words: str
    label: tuple[str, ...]
    sketch: str
    asked: str
    empty: tuple[str, ...]
    part: str
    feature: str
    at: str
    spot: str
    depth: str
    unit: str
    gauge: str
    setting: str
    sitting: str
    state: str
    part_temp: str
    gauge_temp: str
    bore_temp: str
    temps: tuple[str, ...]
    wants_depth: bool
    signed: bool
    readings: tuple[Taken, ...]


@dataclass(frozen=True)
class StationCard:
    """One station: `how` the gauge is put there, `kind` what a gauge for it must measure."""

    key: str
    name: str
    feature: str
    how: str
    kind: str
    spots: tuple[SpotCard, ...]


@dataclass(frozen=True)
class GaugeCard:
    """A gauge that may be chosen."""

    id: str
    said: str
    kind: str
    compares: bool
    backwards: bool
    blades: bool


@dataclass(frozen=True)
class SettingCard:
    """A setting that may be chosen."""

    id: str
    gauge: str
    size: str


@dataclass(frozen=True)
class MeasurePlan:
    """Everything of a job that the measuring page needs, but for its sketches."""

    number: int
    stations: tuple[StationCard, ...]
    gauges: tuple[GaugeCard, ...]
    settings: tuple[SettingCard, ...]

    def as_json(self) -> dict[str, Any]:
        """For the page."""
        return asdict(self)


def measure_plan(job: Job, number: int) -> MeasurePlan:
    """The plan of a job as it stands after its event `number`."""
    gauges = tuple(
        GaugeCard(
            g.id,
            words.gauge_words(g),
            str(g.measures),
            g.sense.compares,
            g.sense is Sense.BACKWARDS,
            g.sense is Sense.BLADES,
        )
        for g in job.gauges.values()
    )
    settings = tuple(SettingCard(s.id, s.gauge, words.setting_size(s)) for s in job.settings.values())
    return MeasurePlan(number, tuple(_station(job, each) for each in stations(job)), gauges, settings)


def sketches(job: Job) -> dict[str, str]:
    """The sketch of every spot of a job by its name, in the inks of the page."""
    spots = {sketch_name(spot.feature, spot.first.spot): spot for each in stations(job) for spot in each.spots}
    return {name: str(inline(where_picture(s.feature.name, s.first.spot, s.feature.how))) for name, s in spots.items()}


def sketch_name(feature: Feature, spot: str) -> str:
    """What a sketch is kept under."""
    return f"{feature.name}|{spot}"


def _station(job: Job, station: Station) -> StationCard:
    feature = station.spots[0].feature
    spots = tuple(_spot(job, spot, station) for spot in station.spots)
    return StationCard(station.key, station.name, feature.name, feature.how, str(feature.kind), spots)


def _spot(job: Job, spot: Spot, station: Station) -> SpotCard:
    row, feature = spot.empty or spot.rows[-1], spot.feature
    return SpotCard(
        key=spot.key, words=words.spot_words(spot, station), label=words.spot_label(spot, station), sketch=sketch_name(feature, row.spot),
        asked=words.asked(job, row), empty=tuple(each.id for each in spot.rows if not each.text and not each.withdrawn),
        part=row.part, feature=row.feature, at=row.at, spot=row.spot, depth=row.cells.get("depth", ""), unit=row.unit,
        gauge=row.gauge, setting=row.setting, sitting=row.sitting, state=show_state(row.state) if row.state else "",
        part_temp=words.degrees(row.part_temp_c), gauge_temp=words.degrees(row.gauge_temp_c), bore_temp=words.degrees(row.bore_temp_c),
        temps=words.temperatures_wanted(job, row, feature.thermal), wants_depth=feature.depth, signed=feature.signed,
        readings=tuple(_taken(each) for each in spot.rows if each.text or each.withdrawn),
    )  # fmt: skip


def _taken(row: Reading) -> Taken:
    when = row.when.isoformat() if row.when else ""
    return Taken(row.id, words.reading_words(row), row.by, when, row.withdrawn, row.note, TWICE in row.note)
