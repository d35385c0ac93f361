"""Gauges and their settings: what a reading was taken with, and whose error it therefore carries."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity

STEEL_PER_K = 11.5e-6


class Sense(StrEnum):
    """What a gauge's indication means."""

    SIZE = "size"
    DEVIATION = "deviation"
    BACKWARDS = "deviation backwards"
    BLADES = "blades"

    @property
    def compares(self) -> bool:
        """Whether a reading is a deviation from a setting."""
        return self in (Sense.DEVIATION, Sense.BACKWARDS)


@dataclass(frozen=True, kw_only=True)
class Gauge(Written):
    """One gauge of the register. Its figures are in SI of what it measures."""

    id: str = entry("short mark of the gauge, used in readings")
    name: str = entry("what it is, in words", default="")
    measures: Kind = entry("length, roughness, torque or mass", default=Kind.LENGTH)
    sense: Sense = entry(
        "size (it shows the size itself), deviation (from a setting), deviation backwards (the needle falls as the "
        "size grows), blades (one goes, the next does not)",
        default=Sense.SIZE,
    )
    resolution_si: float = quantity(None, "one step of its scale", kind_from="measures", default=0.0)
    certificate_si: float | None = quantity(
        None, "expanded uncertainty U on its certificate", kind_from="measures", default=None
    )
    coverage: float = entry("coverage factor k of that U", default=2.0)
    repeatability_si: float | None = quantity(
        None, "standard deviation of its repeats, from a study", kind_from="measures", default=None
    )
    repeatability_dof: int = entry("degrees of freedom of that study; 0: the value is taken as known", default=0)
    due: dt.date | None = entry("date on which its certificate runs out", default=None)
    expansion_per_k: float = quantity(
        Kind.EXPANSION,
        "thermal expansion of the gauge; steel where not given",
        unit="1/K",
        default=STEEL_PER_K,
    )
    low_si: float | None = quantity(None, "smallest size it takes", kind_from="measures", default=None)
    high_si: float | None = quantity(None, "largest size it takes", kind_from="measures", default=None)

    def takes(self, size: float) -> bool:
        """Whether a size lies in the gauge's range, as far as the range is known."""
        return (self.low_si is None or size >= self.low_si) and (self.high_si is None or size <= self.high_si)


@dataclass(frozen=True, kw_only=True)
class Setting(Written):
    """What a comparator was zeroed on, and when: every reading taken on it shares its error."""

    id: str = entry("short mark of the setting, used in readings")
    gauge: str = entry("the comparator that was set")
    size_m: float = quantity(Kind.LENGTH, "size it was set to")
    master: str = entry("what it was set on: a gauge of the register (a micrometer, a setting ring)")
    master_temp_c: float | None = quantity(Kind.TEMPERATURE, "temperature of the master", unit="°C", default=None)
    repeatability_m: float | None = quantity(
        Kind.LENGTH,
        "standard deviation of the act of setting; the comparator's own where not given",
        default=None,
    )
    when: dt.date | None = entry("date of setting", default=None)
    by: str = entry("who set it", default="")
