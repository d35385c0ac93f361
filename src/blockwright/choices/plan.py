"""The readings still to take for an engine, in the order that changes gauge and setting least.

Every gauge and every setting is taken up once for the parts, and once more for the assembled engine if it is wanted there. Between them the
order is that of the features: bores first, housings before their shells go in, the assembled engine last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from blockwright.choices.shop_gauges import (
    BY_BLADES,
    CALIPER,
    DEVIATION,
    FRAME_M,
    SHORT_MARK,
    UNIT,
    micrometer,
    register,
    set_to,
)
from blockwright.engine.features import FEATURES, Feature, GaugeKind
from blockwright.engine.job import ENGINE_MARK, JobSheet
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position
from blockwright.engine.rules import Units
from blockwright.engine.states import show_state
from blockwright.fits.registry import REGISTRY
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind, parse

ALSO_USUAL = ("upper rail gap", "lower rail gap", "turning torque")
"""Fits that are open only where looked for, and that a plan has all the same."""
UNDER_M = 0.2e-3
"""What is measured from outside is seldom over its nominal size, and up to this much under it: so a 50 mm journal wants the frame to 50."""
READ_AS_CLEARANCES = (GaugeKind.BLADES, GaugeKind.EDGE, GaugeKind.DIAL)
SMALL_BORE_M = 50e-3


@dataclass(frozen=True)
class Plan:
    """Empty rows to fill, and the gauges and settings that they name."""

    readings: tuple[Reading, ...]
    gauges: tuple[Gauge, ...]
    settings: tuple[Setting, ...]


@dataclass(frozen=True)
class _Taking:
    """One reading to take, with the gauge and what it is set to (0 where it is not set)."""

    feature: Feature
    part: str
    at: Position | None
    spot: str
    state: frozenset[str]
    gauge: str
    set_to_m: float


def plan(sheet: JobSheet, *, full: bool = False) -> Plan:
    """Rows, gauges and settings for a new job: the usual fits, or with `full` every fit in the registry."""
    units = sheet.rules.units
    takings = sorted(_takings(sheet, full), key=_order(sheet))
    sizes = list(dict.fromkeys((t.gauge, t.set_to_m) for t in takings if t.set_to_m))
    marks = {size: f"S{number}" for number, size in enumerate(sizes, 1)}
    readings = tuple(
        Reading(
            id=f"r{number}", part=t.part, feature=t.feature.name, at=str(t.at or ""), spot=t.spot, gauge=t.gauge,
            setting=marks.get((t.gauge, t.set_to_m), ""), state=t.state or None, unit=_unit(t, units),
        )
        for number, t in enumerate(takings, 1)
    )  # fmt: skip
    settings = tuple(set_to(mark, gauge, size, units) for (gauge, size), mark in marks.items())
    masters = [setting.master for setting in settings]
    wanted = dict.fromkeys([*(t.gauge for t in takings), *masters])
    return Plan(readings, tuple(register(mark, units) for mark in wanted), settings)


def _takings(sheet: JobSheet, full: bool) -> Iterator[_Taking]:
    """Every spot of every feature that some fit needs, once for each state that is wanted."""
    engine = sheet.engine
    seen: set[tuple[str, str, str, str, frozenset[str]]] = set()
    for fit in REGISTRY.values():
        if not fit.applies(engine) or (fit.on_request and not full and fit.name not in ALSO_USUAL):
            continue
        for need in fit.needs:
            feature, state = FEATURES[need.feature], need.state(engine)
            if need.optional and not full and feature.name != "bore":
                continue
            for part in _marks(sheet, feature.part):
                for at in _places(sheet, feature, part):
                    if at is not None and at.place is fit.place and fit.spared(engine, at):
                        continue
                    for spot in feature.spots:
                        key = (feature.name, part, str(at or ""), spot, state)
                        if key not in seen:
                            seen.add(key)
                            yield _Taking(feature, part, at, spot, state, *_gauge(sheet, feature))


def _marks(sheet: JobSheet, kind: PartKind) -> Sequence[str]:
    return (ENGINE_MARK,) if kind is PartKind.ENGINE else [part.mark for part in sheet.part if part.kind is kind]


def _places(sheet: JobSheet, feature: Feature, part: str) -> Sequence[Position | None]:
    """Where a feature is read on a part; a ring set only in the cylinder that it is assigned to."""
    if feature.place is None:
        return (None,)
    positions = sheet.engine.positions(feature.place)
    if feature.part is PartKind.RINGS:
        home = {held.rings: held.number for held in sheet.cylinder}
        return [position for position in positions if position.number == home.get(part)]
    return positions


def _gauge(sheet: JobSheet, feature: Feature) -> tuple[str, float]:
    """Mark of the gauge a shop would take, and the size it is set to, 0 where it is not set."""
    nominal, units = feature.nominal(sheet.engine) or 0.0, sheet.rules.units
    match feature.gauge:
        case GaugeKind.OUTSIDE if not nominal and parse(feature.span[1], Kind.LENGTH).si > FRAME_M[units]:
            return CALIPER, 0.0
        case GaugeKind.OUTSIDE:
            return micrometer(max(nominal - UNDER_M, 0.0), units), 0.0
        case GaugeKind.BORE:
            return ("BG1" if nominal >= SMALL_BORE_M else "BG2"), nominal
        case kind:
            return SHORT_MARK[kind], 0.0


def _order(sheet: JobSheet) -> Callable[[_Taking], tuple[object, ...]]:
    rank = {name: index for index, name in enumerate(FEATURES)}
    first: dict[tuple[str, float], int] = {}

    def key(taking: _Taking) -> tuple[object, ...]:
        group = (taking.gauge, taking.set_to_m)
        first.setdefault(group, rank[taking.feature.name])
        place = taking.at.sort_key if taking.at else (0, 0, "")
        stage = _stage(sheet, taking)
        return (taking.feature.part is PartKind.ENGINE, first[group], *group, rank[taking.feature.name], stage, _natural(taking.part), place,
                show_state(taking.state), taking.feature.spots.index(taking.spot))  # fmt: skip

    return key


def _stage(sheet: JobSheet, taking: _Taking) -> int:
    stages = sheet.engine.turning_stages
    return stages.index(taking.at.label) if taking.at is not None and taking.at.label in stages else 0


def _natural(mark: str) -> tuple[str, int]:
    head = mark.rstrip("0123456789")
    return head, int(mark[len(head) :] or 0)


def _unit(taking: _Taking, units: Units) -> str:
    if taking.set_to_m:
        return DEVIATION[units]
    if taking.feature.gauge in READ_AS_CLEARANCES:
        return BY_BLADES[units]
    return UNIT[taking.feature.kind][units] if taking.feature.kind in UNIT else ""
