"""The readings still to take for an engine, in the order that changes gauge and setting least.

Every gauge and every setting is taken up once for the parts, and once more for the assembled engine if it is wanted there. Between them the
order is that of the features: bores first, housings before their shells go in, the assembled engine last.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from blockwright.engine.features import FEATURES, Feature, GaugeKind
from blockwright.engine.job import ENGINE_MARK, JobSheet
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position
from blockwright.engine.states import show_state
from blockwright.fits.registry import REGISTRY
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind, parse

ALSO_USUAL = ("upper rail gap", "lower rail gap", "turning torque")
"""Fits that are open only where looked for, and that a plan has all the same."""
FRAME_M = 25e-3
UNDER_M = 0.2e-3
"""What is measured from outside is seldom over its nominal size, and up to this much under it: so a 50 mm journal wants the frame to 50."""
CALIPER = "CA1"
"""Takes sizes that nothing in the sheet tells beforehand."""
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
    takings = sorted(_takings(sheet, full), key=_order(sheet))
    sizes = list(dict.fromkeys((t.gauge, t.set_to_m) for t in takings if t.set_to_m))
    marks = {size: f"S{number}" for number, size in enumerate(sizes, 1)}
    readings = tuple(
        Reading(
            id=f"r{number}", part=t.part, feature=t.feature.name, at=str(t.at or ""), spot=t.spot, gauge=t.gauge,
            setting=marks.get((t.gauge, t.set_to_m), ""), state=t.state or None, unit=_unit(t),
        )
        for number, t in enumerate(takings, 1)
    )  # fmt: skip
    settings = tuple(
        Setting(id=mark, gauge=gauge, size_m=size, master=_micrometer(size)) for (gauge, size), mark in marks.items()
    )
    masters = [setting.master for setting in settings]
    return Plan(readings, _gauges([*dict.fromkeys([*(t.gauge for t in takings), *masters])]), settings)


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
    nominal = feature.nominal(sheet.engine) or 0.0
    match feature.gauge:
        case GaugeKind.OUTSIDE if not nominal and parse(feature.span[1], Kind.LENGTH).si > FRAME_M:
            return CALIPER, 0.0
        case GaugeKind.OUTSIDE:
            return _micrometer(max(nominal - UNDER_M, 0.0)), 0.0
        case GaugeKind.BORE:
            return ("BG1" if nominal >= SMALL_BORE_M else "BG2"), nominal
        case kind:
            return SHORT_MARK[kind], 0.0


SHORT_MARK = {
    GaugeKind.BLADES: "FB1", GaugeKind.DIAL: "DI1", GaugeKind.DEPTH: "DG1", GaugeKind.BALL: "BM1", GaugeKind.SLOTS: "GB1",
    GaugeKind.ROUGHNESS: "RT1", GaugeKind.TORQUE: "TW1", GaugeKind.EDGE: "FB1",
}  # fmt: skip


def _micrometer(nominal_m: float) -> str:
    """Mark of the outside micrometer whose frame takes a size: M0, M25, M50 ..."""
    return f"M{25 * math.floor(nominal_m / FRAME_M + 1e-9)}"


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


def _unit(taking: _Taking) -> str:
    if taking.set_to_m:
        return "um"
    return {Kind.LENGTH: "mm", Kind.ROUGHNESS: "um", Kind.TORQUE: "Nm"}.get(taking.feature.kind, "")


def _gauges(marks: Sequence[str]) -> tuple[Gauge, ...]:
    return tuple(_register(mark) for mark in marks)


def _register(mark: str) -> Gauge:
    """A gauge as a shop would have it; its certificate and repeatability are left for the builder to write."""
    if mark.startswith("M"):
        low = int(mark[1:])
        return Gauge(
            id=mark,
            name=f"outside micrometer {low} to {low + 25} mm",
            resolution_si=1e-6,
            low_si=low * 1e-3,
            high_si=(low + 25) * 1e-3,
        )
    if mark.startswith("BG"):
        return Gauge(id=mark, name="dial bore gauge", sense=Sense.DEVIATION, resolution_si=1e-6)
    names = {
        "FB1": ("feeler blades", Sense.BLADES, 0.0), "DI1": ("dial indicator", Sense.SIZE, 1e-5), "DG1": ("depth gauge", Sense.SIZE, 1e-5),
        CALIPER: ("caliper", Sense.SIZE, 1e-5), "BM1": ("ball-end micrometer", Sense.SIZE, 1e-6), "GB1": ("gauge blocks", Sense.SIZE, 5e-6),
    }  # fmt: skip
    if mark == "RT1":
        return Gauge(id=mark, name="roughness tester", measures=Kind.ROUGHNESS, resolution_si=1e-8)
    if mark == "TW1":
        return Gauge(id=mark, name="beam torque wrench", measures=Kind.TORQUE, resolution_si=0.5)
    name, sense, resolution = names[mark]
    return Gauge(id=mark, name=name, sense=sense, resolution_si=resolution)
