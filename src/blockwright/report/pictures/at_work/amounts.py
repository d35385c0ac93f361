"""Numbers of an engine at work as they stand in a picture: bar absolute, degrees of the crank, µm of film, °C, kN, W, and lengths in the shop's unit.

Records hold SI and °C. The factors here turn curves into the numbers of an axis; single values go through `quantities.show`, as finely as their
spread tells.
"""

from __future__ import annotations

import math

from blockwright.quantities import Kind, parse, show
from blockwright.running.work.result import Spread

PA_PER_BAR, M_PER_MICRON, N_PER_KN, ZERO_K = 1e5, 1e-6, 1e3, 273.15
FIGURES = 3
"""Where a number stands alone, so many of its figures are written."""
MINUS, UNKNOWN = "\N{MINUS SIGN}", "not known"


def unit_m(unit: str) -> float:
    """Metres per unit of length. Raises QuantityError for a unit that is no length."""
    return parse("1", Kind.LENGTH, unit=unit).si


def length(size_m: float, unit: str, u_m: float = 0.0) -> str:
    """A length in the shop's unit: `0.052 mm`."""
    if not math.isfinite(size_m):
        return UNKNOWN
    return show(size_m, Kind.LENGTH, unit, u=u_m or None).replace("-", MINUS).replace(" um", " µm")


def bar(pressure_pa: float, u_pa: float = 0.0) -> str:
    """An absolute pressure: `70.2 bar`."""
    return _shown(pressure_pa, Kind.PRESSURE, "bar a", u_pa, "bar")


def micron(film_m: float, u_m: float = 0.0) -> str:
    """A film or a lift: `1.6 µm`."""
    return _shown(film_m, Kind.LENGTH, "um", u_m, "µm")


def kilonewton(force_n: float, u_n: float = 0.0) -> str:
    """A force: `2.7 kN`."""
    return _shown(force_n, Kind.FORCE, "kN", u_n, "kN")


def watt(power_w: float) -> str:
    """A loss or a flow of heat: `430 W`, or `2.4 kW` from a kilowatt."""
    if not math.isfinite(power_w):
        return UNKNOWN
    told = f"{power_w / 1e3:.1f} kW" if abs(power_w) >= 999.5 else f"{power_w:.0f} W"
    return told.replace("-", MINUS)


def celsius(temperature_c: float) -> str:
    """A temperature: `262 °C`."""
    return f"{temperature_c:.0f} °C".replace("-", MINUS) if math.isfinite(temperature_c) else UNKNOWN


def per_cent(share: float) -> str:
    """A share: `6.7 %`; the smallest are not told as nil, nor the largest as all."""
    if 0.0 < share < 0.001:
        return "under 0.1 %"
    if 0.999 < share < 1.0:
        return "over 99.9 %"
    return f"{100 * share:.1f} %" if 0.0 < share < 0.1 else f"{100 * share:.0f} %"


def degrees(angle_deg: float) -> str:
    """A crank angle: `12°`, `−158°`."""
    return f"{angle_deg:.0f}°".replace("-0°", "0°").replace("-", MINUS)


def after_firing(angle_deg: float) -> str:
    """A crank angle from firing top, in words: `12° after firing top`."""
    turned = round(angle_deg)
    if not turned:
        return "at firing top"
    return f"{abs(turned)}° {'after' if turned > 0 else 'before'} firing top"


def between(spread: Spread, said: str, low: str, high: str) -> str:
    """A value with the span that holds 95 % of the draws; the value alone where there are none."""
    return f"{said} (95 % of the draws: {low} to {high})" if spread.drawn else said


def _shown(si: float, kind: Kind, unit: str, u: float, said: str) -> str:
    """A value as finely as its uncertainty, or with its first figures, in a unit as it is said."""
    if not math.isfinite(si):
        return UNKNOWN
    digits = show(si, kind, unit, u=u if u > 0.0 else _alone(si), with_unit=False)
    return f"{digits.replace('-', MINUS)} {said}"


def _alone(value: float) -> float:
    """A doubt that leaves a number its first figures."""
    return 3.0 * 10.0 ** (math.floor(math.log10(abs(value))) + 1 - FIGURES) if value else 0.0
