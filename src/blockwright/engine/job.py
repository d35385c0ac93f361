"""The job: one engine on the bench, whole and immutable. Readers make it, `assess` judges it, nothing changes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from blockwright.engine.assembly import Assembly
from blockwright.engine.at_work import AtWork
from blockwright.engine.duty import Duty
from blockwright.engine.fasteners import Fastener
from blockwright.engine.filing import Grinder, Pass, shown_after_filing
from blockwright.engine.heat import Temperatures
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Clocking
from blockwright.engine.parts import CylinderParts, MainParts, Part, PartKind, WorkOrder
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import LimitRule, Record, ShopRules
from blockwright.engine.steps import Signing, StepChange
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities.declared import Written, entry

FORMAT = "blockwright job 1"
GAUGE_FORMAT = "blockwright gauges 1"
ENGINE_MARK = "engine"
"""The mark under which readings of the assembled engine are written (end float, turning torque)."""


@dataclass(frozen=True, kw_only=True)
class JobSheet(Written):
    """What `job.toml` holds."""

    format: str = entry(f"'{FORMAT}'")
    job: str = entry("number or name of the job")
    customer: str = entry("for whom", default="")
    invented: bool = entry("yes for demonstration data: every sheet then says so", default=False)
    engine: Engine = entry("the engine")
    duty: Duty = entry("what it is for")
    temperatures: Temperatures = entry("how hot it runs, where that is known", default=Temperatures())
    at_work: AtWork = entry("the engine at work: what is known beside its clearances", default=AtWork())
    rules: ShopRules = entry("how the shop decides and shows", default=ShopRules())
    part: tuple[Part, ...] = entry("the parts", default=())
    cylinder: tuple[CylinderParts, ...] = entry("which parts go in which cylinder", default=())
    main: tuple[MainParts, ...] = entry("which shells go in which main", default=())
    limit: tuple[LimitRule, ...] = entry("limits and who says so", default=())
    clocking: tuple[Clocking, ...] = entry(
        "where ring gaps are to lie, where the builder has his own pattern", default=()
    )
    grinder: Grinder = entry("the ring grinder", default=Grinder())
    order: tuple[WorkOrder, ...] = entry("work ordered from the machine shop", default=())
    assembly: Assembly = entry("how the engine goes together: what the order of assembly rests on", default=Assembly())
    fastener: tuple[Fastener, ...] = entry("how the bolts of each joint are tightened, by the maker's word", default=())
    step: tuple[StepChange, ...] = entry("steps of the route that the builder adds, moves or strikes", default=())


@dataclass(frozen=True, kw_only=True)
class GaugeSheet(Written):
    """What `gauges.toml` holds."""

    format: str = entry(f"'{GAUGE_FORMAT}'")
    gauge: tuple[Gauge, ...] = entry("the gauges", default=())
    setting: tuple[Setting, ...] = entry("what the comparators were set on", default=())


@dataclass(frozen=True)
class Job:
    """One engine on the bench."""

    sheet: JobSheet
    gauge_sheet: GaugeSheet
    readings: tuple[Reading, ...] = ()
    records: tuple[Record, ...] = ()
    passes: tuple[Pass, ...] = ()
    signings: tuple[Signing, ...] = ()

    @property
    def engine(self) -> Engine:
        """The engine's architecture and sizes."""
        return self.sheet.engine

    @property
    def duty(self) -> Duty:
        """What the engine is for."""
        return self.sheet.duty

    @property
    def at_work(self) -> AtWork:
        """What is known of the engine at work."""
        return self.sheet.at_work

    @property
    def rules(self) -> ShopRules:
        """How the shop decides and shows."""
        return self.sheet.rules

    @cached_property
    def shown(self) -> tuple[Reading, ...]:
        """Readings that show the parts as they are: a gap that was read before its ring was filed no longer does."""
        return shown_after_filing(self.readings, self.passes)

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """Parts by mark; the assembled engine itself is one of them."""
        listed = {part.mark: part for part in self.sheet.part}
        return {ENGINE_MARK: Part(mark=ENGINE_MARK, kind=PartKind.ENGINE), **listed}

    @cached_property
    def gauges(self) -> Mapping[str, Gauge]:
        """Gauges by mark."""
        return {gauge.id: gauge for gauge in self.gauge_sheet.gauge}

    @cached_property
    def settings(self) -> Mapping[str, Setting]:
        """Settings by mark."""
        return {setting.id: setting for setting in self.gauge_sheet.setting}

    @cached_property
    def _cylinders(self) -> Mapping[int, CylinderParts]:
        return {parts.number: parts for parts in self.sheet.cylinder}

    @cached_property
    def _mains(self) -> Mapping[int, MainParts]:
        return {parts.number: parts for parts in self.sheet.main}

    def in_cylinder(self, number: int) -> CylinderParts:
        """What is assigned to a cylinder; empty marks where nothing is yet."""
        return self._cylinders.get(number, CylinderParts(number=number))

    def in_main(self, number: int) -> MainParts:
        """What is assigned to a main bearing."""
        return self._mains.get(number, MainParts(number=number))

    def only(self, kind: PartKind) -> str:
        """Mark of the one part of a kind (the block, the crank); empty where there is none."""
        return next((part.mark for part in self.sheet.part if part.kind is kind), "")

    def home(self, mark: str) -> Position | None:
        """The cylinder or main that a part is assigned to."""
        return self._homes.get(mark)

    def carriers(self, kind: PartKind) -> tuple[tuple[str, Position | None], ...]:
        """Marks of all parts of a kind, each with the position it is assigned to, in order of position."""
        homes = self._homes
        listed = [(part.mark, homes.get(part.mark)) for part in self.sheet.part if part.kind is kind]
        return tuple(sorted(listed, key=lambda item: (item[1] is None, item[1].sort_key if item[1] else (), item[0])))

    @cached_property
    def _homes(self) -> Mapping[str, Position]:
        homes: dict[str, Position] = {}
        for held in self.sheet.cylinder:
            here = Position(Place.CYLINDER, str(held.number))
            for mark in (held.piston, held.pin, held.rings, held.rod, *held.shells):
                if mark:
                    homes[mark] = here
        for seat in self.sheet.main:
            for mark in seat.shells:
                homes[mark] = Position(Place.MAIN, str(seat.number))
        return homes
