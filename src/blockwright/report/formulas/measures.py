"""What the end of a name says: `bore_m` is a length in metres, `temperature_k` a temperature counted from absolute zero."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.quantities import Kind

ZERO_C_K = 273.15


@dataclass(frozen=True)
class Measure:
    """A unit in SI: its symbol, the kind of quantity if the builder's units know it, and what a bare number means.

    `bare` is blank where a bare number is refused because more than one unit may be meant. `above_zero_k` says that the value is in K and the
    kind's in °C.
    """

    symbol: str
    kind: Kind | None = None
    bare: str | None = ""
    above_zero_k: bool = False

    def from_kind(self, si: float) -> float:
        """The physics floor's number from that of the kind."""
        return si + ZERO_C_K if self.above_zero_k else si

    def to_kind(self, value: float) -> float:
        """The kind's number from the physics floor's."""
        return value - ZERO_C_K if self.above_zero_k else value


PLAIN = Measure("", Kind.RATIO)
ABSOLUTE = Measure("Pa", Kind.PRESSURE, None)
BY_SUFFIX = {
    "_per_k": Measure("1/K", Kind.EXPANSION, None),
    "_w_m2_k": Measure("W/(m2 K)"),
    "_j_kg_k": Measure("J/(kg K)"),
    "_j_kg": Measure("J/kg"),
    "_m_s_k": Measure("m/(s K)"),
    "_m_s2": Measure("m/s2"),
    "_m_s": Measure("m/s", Kind.TRAVEL, None),
    "_kg_m2": Measure("kg m2"),
    "_kg_m": Measure("kg m"),
    "_kg_m3": Measure("kg/m3", Kind.DENSITY, None),
    "_kg_s": Measure("kg/s"),
    "_m3_s": Measure("m3/s"),
    "_m2_s": Measure("m2/s", Kind.KINEMATIC, None),
    "_pa_s": Measure("Pa s", Kind.VISCOSITY, None),
    "_rad_s": Measure("rad/s", Kind.SPEED, None),
    "_rad": Measure("rad", Kind.ANGLE, None),
    "_m3": Measure("m3", Kind.VOLUME, None),
    "_m2": Measure("m2", Kind.AREA, None),
    "_nm": Measure("Nm", Kind.TORQUE, None),
    "_kg": Measure("kg", Kind.MASS, None),
    "_pa": Measure("Pa", Kind.PRESSURE_STEP, None),
    "_n_m": Measure("N/m"),
    "_n": Measure("N", Kind.FORCE, None),
    "_hz": Measure("Hz"),
    "_w": Measure("W", Kind.POWER, None),
    "_s": Measure("s", Kind.DURATION, None),
    "_m": Measure("m", Kind.LENGTH, None),
    "_c": Measure("°C", Kind.TEMPERATURE, "°C"),
    "_k": Measure("K", Kind.TEMPERATURE, "K", above_zero_k=True),
}
"""Longer ends first, so that `_m_s` is not taken for `_s`."""
BY_SYMBOL = {each.symbol: each for each in BY_SUFFIX.values()}


def parted(name: str) -> tuple[str, Measure]:
    """A name without its unit, and what the unit is: `bore_m` → `bore`, metres."""
    for suffix, measure in BY_SUFFIX.items():
        if name.endswith(suffix):
            return name.removesuffix(suffix), measure
    return name, PLAIN
