"""The gauges that a shop would take up for a new job, in its own units; certificates and repeatability are left for the builder to write.

| gauge | metric step | inch step |
| --- | --- | --- |
| outside micrometers, bore gauges, ball-end micrometer | 0.001 mm | 0.0001 in |
| caliper, dial indicator, depth gauge | 0.01 mm | 0.0005 in, 0.001 in for the depth gauge |

Steps are those of common gauges (from memory).
"""

from __future__ import annotations

import math
from typing import Any

from blockwright.engine.features import GaugeKind
from blockwright.engine.rules import Units
from blockwright.metrology.gauges import Gauge, Sense, Setting
from blockwright.quantities import Kind, parse
from blockwright.quantities.declared import Typed

FRAME_M = {Units.METRIC: 25e-3, Units.INCH: 25.4e-3}
"""Micrometer frames step by 25 mm, or by an inch."""
CALIPER = "CA1"
"""Takes sizes that nothing in the sheet tells beforehand."""
SHORT_MARK = {
    GaugeKind.BLADES: "FB1", GaugeKind.DIAL: "DI1", GaugeKind.DEPTH: "DG1", GaugeKind.BALL: "BM1", GaugeKind.SLOTS: "GB1",
    GaugeKind.ROUGHNESS: "RT1", GaugeKind.TORQUE: "TW1", GaugeKind.EDGE: "FB1",
}  # fmt: skip
OTHERS = {
    "BG1": ("dial bore gauge", Sense.DEVIATION, Kind.LENGTH, "0.001 mm", "0.0001 in"),
    "BG2": ("dial bore gauge", Sense.DEVIATION, Kind.LENGTH, "0.001 mm", "0.0001 in"),
    "FB1": ("feeler blades", Sense.BLADES, Kind.LENGTH, "", ""),
    "DI1": ("dial indicator", Sense.SIZE, Kind.LENGTH, "0.01 mm", "0.0005 in"),
    "DG1": ("depth gauge", Sense.SIZE, Kind.LENGTH, "0.01 mm", "0.001 in"),
    CALIPER: ("caliper", Sense.SIZE, Kind.LENGTH, "0.01 mm", "0.0005 in"),
    "BM1": ("ball-end micrometer", Sense.SIZE, Kind.LENGTH, "0.001 mm", "0.0001 in"),
    "GB1": ("gauge blocks", Sense.SIZE, Kind.LENGTH, "0.005 mm", "0.0002 in"),
    "RT1": ("roughness tester", Sense.SIZE, Kind.ROUGHNESS, "0.01 um", "1 uin"),
    "TW1": ("beam torque wrench", Sense.SIZE, Kind.TORQUE, "0.5 Nm", "0.5 ft-lb"),
}
UNIT = {
    Kind.LENGTH: {Units.METRIC: "mm", Units.INCH: "in"}, Kind.ROUGHNESS: {Units.METRIC: "um", Units.INCH: "uin"},
    Kind.TORQUE: {Units.METRIC: "Nm", Units.INCH: "ft-lb"},
}  # fmt: skip
DEVIATION = {Units.METRIC: "um", Units.INCH: "tenths"}
BY_BLADES = {Units.METRIC: "mm", Units.INCH: "thou"}


def micrometer(nominal_m: float, units: Units) -> str:
    """Mark of the outside micrometer whose frame takes a size: M0, M25, M50 ... in mm, M0, M1, M2 ... in inches."""
    frames = math.floor(nominal_m / FRAME_M[units] + 1e-9)
    return f"M{frames * (25 if units is Units.METRIC else 1)}"


def register(mark: str, units: Units) -> Gauge:
    """A gauge as a shop would have it."""
    inch = units is Units.INCH
    if mark.startswith("M"):
        low = int(mark[1:])
        high, unit = (low + 1, "in") if inch else (low + 25, "mm")
        step = "0.0001 in" if inch else "0.001 mm"
        written = _written(Kind.LENGTH, resolution=step, low=f"{low} {unit}", high=f"{high} {unit}")
        return Gauge(id=mark, name=f"outside micrometer {low} to {high} {unit}", **written)
    name, sense, measures, *steps = OTHERS[mark]
    step = steps[inch]
    return Gauge(
        id=mark, name=name, sense=sense, measures=measures, **(_written(measures, resolution=step) if step else {})
    )


def set_to(mark: str, gauge: str, size_m: float, units: Units) -> Setting:
    """A comparator set to a nominal size on the micrometer that takes it."""
    text = f"{size_m / 25.4e-3:.7g} in" if units is Units.INCH else ""
    master = micrometer(size_m, units)
    if not text:
        return Setting(id=mark, gauge=gauge, size_m=size_m, master=master)
    si = parse(text, Kind.LENGTH).si
    return Setting(id=mark, gauge=gauge, size_m=si, master=master, entered={"size": Typed(text, si)})


def _written(kind: Kind, **texts: str) -> dict[str, Any]:
    """Fields of a gauge in SI by what would be typed for them, with the words kept."""
    typed = {key: Typed(text, parse(text, kind).si) for key, text in texts.items()}
    return {f"{key}_si": each.value for key, each in typed.items()} | {"entered": typed}
