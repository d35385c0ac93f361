"""What the files of a job name, as far as they could be read: parts, gauges, settings, positions.

A check asks here, so that one fault is told once: a part whose record cannot be read is not called unknown in each of its readings, and
where the engine's layout is at fault no position is called wrong.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Generic, TypeVar

from blockwright.engine.job import ENGINE_MARK, Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Place
from blockwright.jobfile.where import Where
from blockwright.metrology.gauges import Gauge, Setting

T = TypeVar("T")
LAYOUT_FIELDS = ("layout", "cylinders", "banks", "shared_throws", "mains", "case", "pistons")
"""What the positions of an engine follow from."""


class Register(Generic[T]):
    """Records by their mark, and whether every mark could be read."""

    def __init__(self, records: Sequence[T], marks: Sequence[str], where: Where, mark_field: str) -> None:
        places = [where.at(index) for index in range(len(records))]
        self._complete = not where.at_fault and all(place.at(mark_field).sound for place in places)
        self._records = {mark: record for mark, record in zip(marks, records, strict=True) if mark}
        self._places = {mark: place for mark, place in zip(marks, places, strict=True) if mark}
        self._none_told = bool(where.faulty.here)
        self._twice = {mark for mark, count in Counter(marks).items() if count > 1}

    def get(self, mark: str) -> T | None:
        """The record of a mark, if there is one."""
        return self._records.get(mark)

    def lacks(self, mark: str) -> bool:
        """Whether no record bears this mark; never where some mark could not be read.

        Where there is no record at all that is told once, or not at all if the file has other faults.
        """
        if self._records or not self._complete:
            return self._complete and mark not in self._records
        told, self._none_told = self._none_told, True
        return not told

    def sound(self, mark: str, field: str) -> bool:
        """Whether a field of a record could be read, and it is clear which record that is."""
        place = self._places.get(mark)
        return mark not in self._twice and (place is None or place.at(field).sound)

    def whole(self) -> Mapping[str, T]:
        """The records with nothing wrong in them."""
        return {
            mark: record
            for mark, record in self._records.items()
            if self._places[mark].sound and mark not in self._twice
        }

    @property
    def marks(self) -> list[str]:
        """All marks, in order."""
        return list(self._records)


class Known:
    """What may be relied on of a job that may have faults."""

    def __init__(self, job: Job, sheet_at: Where, gauges_at: Where) -> None:
        self.job = job
        self.sheet_at = sheet_at
        sheet, gauges = job.sheet, job.gauge_sheet
        self.parts: Register[Part] = Register(
            sheet.part, [part.mark for part in sheet.part], sheet_at.at("part"), "mark"
        )
        self.gauges: Register[Gauge] = Register(
            gauges.gauge, [gauge.id for gauge in gauges.gauge], gauges_at.at("gauge"), "id"
        )
        self.settings: Register[Setting] = Register(
            gauges.setting, [setting.id for setting in gauges.setting], gauges_at.at("setting"), "id"
        )
        self._known: dict[Place, tuple[str, ...] | None] = {}

    def kind_of(self, mark: str) -> PartKind | None:
        """What kind of part bears a mark; `None` where that is not known."""
        if mark == ENGINE_MARK:
            return PartKind.ENGINE
        part = self.parts.get(mark)
        return part.kind if part is not None and self.parts.sound(mark, "kind") else None

    def lacks_part(self, mark: str) -> bool:
        """Whether no part bears this mark."""
        return mark != ENGINE_MARK and self.parts.lacks(mark)

    def marks_of(self, kind: PartKind) -> list[str]:
        """Marks of the parts of a kind."""
        if kind is PartKind.ENGINE:
            return [ENGINE_MARK]
        return [mark for mark in self.parts.marks if self.kind_of(mark) is kind]

    def positions(self, place: Place) -> tuple[str, ...] | None:
        """All positions of one kind as they are written; `None` where the layout is at fault."""
        if place not in self._known:
            self._known[place] = self._positions(place)
        return self._known[place]

    def _positions(self, place: Place) -> tuple[str, ...] | None:
        engine_at = self.sheet_at.at("engine")
        if not all(engine_at.at(field).sound for field in LAYOUT_FIELDS):
            return None
        return tuple(str(position) for position in self.job.engine.positions(place))
