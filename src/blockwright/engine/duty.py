"""What the engine is for, as axes: power, boost, fuel, full load, cooling, oil. Limits are chosen from these, not from named uses."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class Cooling(StrEnum):
    """What carries the heat away."""

    WATER = "water"
    AIR = "air"
    OIL = "oil"


@dataclass(frozen=True, kw_only=True)
class Duty(Written):
    """The work that the engine will do."""

    use: str = entry("in words: 'harbour boat, full load for hours'", default="")
    power_w: float = quantity(Kind.POWER, "brake power", unit="kW", span=("1 kW", "1500 kW"))
    at_speed_rad_s: float = quantity(Kind.SPEED, "crank speed at that power", unit="rpm", span=("500 rpm", "20000 rpm"))
    redline_rad_s: float = quantity(
        Kind.SPEED, "highest crank speed allowed", unit="rpm", span=("800 rpm", "22000 rpm")
    )
    boost_pa: float = quantity(
        Kind.PRESSURE_STEP, "boost above the air outside", unit="bar", span=("0 bar", "5 bar"), default=0.0
    )
    peak_pressure_pa: float | None = quantity(
        Kind.PRESSURE_STEP,
        "peak cylinder pressure at full load, above the crankcase",
        unit="bar",
        span=("20 bar", "400 bar"),
        default=None,
    )
    knock: float = entry(
        "how many times the ordinary load a knocking engine puts on the lands; there is no source for it", default=1.5
    )
    nitrous: bool = entry("whether nitrous oxide is used", default=False)
    fuel: str = entry("fuel", default="")
    full_load_share: float = quantity(Kind.RATIO, "share of running time at full load", span=("0", "1"), default=0.1)
    cooling: Cooling = entry("water, air or oil", default=Cooling.WATER)
    coolant_c: float | None = quantity(
        Kind.TEMPERATURE, "coolant (or head) temperature", unit="°C", span=("20 °C", "300 °C"), default=None
    )
    oil_c: float | None = quantity(
        Kind.TEMPERATURE, "oil temperature at work", unit="°C", span=("20 °C", "200 °C"), default=None
    )
    oil_grade: str = entry("oil grade, '10W-40'", default="")

    @property
    def boosted(self) -> bool:
        """More than a token of boost."""
        return self.boost_pa > 0.1e5

    @property
    def hard_worked(self) -> bool:
        """Full load for long spells, heavy boost, or nitrous."""
        return self.full_load_share >= 0.5 or self.boost_pa >= 1.2e5 or self.nitrous
