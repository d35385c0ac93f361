"""The spots of a job in the order in which they are measured, gathered to stations: what is at hand between two changes of gauge.

A spot is one place on one part in one state; it holds every row that was planned or taken there. A station is all spots of one feature, or, where
those are more than a hand keeps in view, of one feature on one part or at one position.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockwright.engine.features import FEATURES, Feature
from blockwright.engine.job import ENGINE_MARK, Job
from blockwright.metrology.readings import Reading

MOST_SPOTS = 24


@dataclass(frozen=True)
class Spot:
    """One place where a gauge is put; `rows` in the order of the file, at least one."""

    rows: tuple[Reading, ...]

    @property
    def key(self) -> str:
        """The id of its first row: it stays as rows are added."""
        return self.rows[0].id

    @property
    def first(self) -> Reading:
        """The row that says where the spot is."""
        return self.rows[0]

    @property
    def feature(self) -> Feature:
        """What is measured."""
        return FEATURES[self.first.feature]

    @property
    def taken(self) -> tuple[Reading, ...]:
        """The readings that count."""
        return tuple(row for row in self.rows if row.taken)

    @property
    def withdrawn(self) -> tuple[Reading, ...]:
        """The readings that were withdrawn."""
        return tuple(row for row in self.rows if row.withdrawn)

    @property
    def empty(self) -> Reading | None:
        """The row that waits for a reading, if one does."""
        return next((row for row in self.rows if not row.taken and not row.withdrawn), None)

    @property
    def waits(self) -> bool:
        """Whether a reading is still to be taken here: a planned row is empty, or every reading was withdrawn."""
        return self.empty is not None or not self.taken

    @property
    def named(self) -> str:
        """`cylinder 3, middle thrust`, `P2`, `P2, front boss`: where it is, within its station."""
        where = self.first.at or (self.first.part if self.first.part != ENGINE_MARK else "")
        both = f"{where} {self.first.part}" if self.first.at and self.feature.place is None else where
        return ", ".join(part for part in (both, self.first.spot) if part) or self.first.feature


@dataclass(frozen=True)
class Station:
    """Spots that are measured in one go."""

    feature: str
    of: str
    spots: tuple[Spot, ...]

    @property
    def key(self) -> str:
        """The key of its first spot."""
        return self.spots[0].key

    @property
    def name(self) -> str:
        """`bore, cylinder 1`, `skirt`."""
        return f"{self.feature}, {self.of}" if self.of else self.feature

    @property
    def done(self) -> int:
        """How many spots wait for nothing."""
        return sum(not spot.waits for spot in self.spots)

    @property
    def complete(self) -> bool:
        """Whether no spot waits."""
        return self.done == len(self.spots)


def stations(job: Job) -> tuple[Station, ...]:
    """All spots of a job, in the order of its readings."""
    together: defaultdict[str, list[Spot]] = defaultdict(list)
    for spot in _spots(job.readings):
        together[spot.first.feature].append(spot)
    return tuple(station for feature, spots in together.items() for station in _parted(feature, spots))


def station_of(found: Sequence[Station], key: str) -> tuple[Station, Spot] | None:
    """The spot with a key, or with a row of that id, and its station."""
    return next(
        (
            (each, spot)
            for each in found
            for spot in each.spots
            if key == spot.key or any(row.id == key for row in spot.rows)
        ),
        None,
    )


def next_spot(found: Sequence[Station], after: str = "") -> Spot | None:
    """The next spot that waits after the one with the key `after`, round to the beginning; `None` where nothing waits.

    A planned repeat is taken before the gauge moves on, so the spot `after` itself comes first while a row of it is empty.
    """
    spots = [spot for each in found for spot in each.spots]
    begin = next(
        (index + (not spot.waits or not spot.taken) for index, spot in enumerate(spots) if spot.key == after), 0
    )
    return next((spot for spot in [*spots[begin:], *spots[:begin]] if spot.waits), None)


def _spots(readings: Sequence[Reading]) -> Iterator[Spot]:
    rows: defaultdict[tuple[object, ...], list[Reading]] = defaultdict(list)
    for row in readings:
        if row.feature in FEATURES:
            rows[(row.part, row.feature, row.at, row.spot, row.state)].append(row)
    for found in rows.values():
        yield Spot(tuple(found))


def _parted(feature: str, spots: Sequence[Spot]) -> Iterator[Station]:
    """One station, or one for each position (each part where there is none) if there are too many spots for one."""
    if len(spots) <= MOST_SPOTS:
        yield Station(feature, "", tuple(spots))
        return
    shares: defaultdict[str, list[Spot]] = defaultdict(list)
    for spot in spots:
        shares[spot.first.at or spot.first.part].append(spot)
    for where, held in shares.items():
        for begin in range(0, len(held), MOST_SPOTS):
            yield Station(feature, where, tuple(held[begin : begin + MOST_SPOTS]))
