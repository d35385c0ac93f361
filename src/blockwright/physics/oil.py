"""Oil: its viscosity at any temperature from two that its maker states, its viscosity index, and what shear leaves of it in a film.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| v | kinematic_m2_s | kinematic viscosity | m²/s |
| A, B | Walther.a, Walther.b | constants of the line through two points | – |
| T | temperature_c | temperature | °C (K inside) |
| rho | density_kg_m3 | density | kg/m³ |
| HTHS | hths_pa_s | dynamic viscosity at 150 °C and a shear of 10⁶ 1/s | Pa s |

References
----------
ASTM D341, "Viscosity-Temperature Charts for Liquid Petroleum Products", the form for more than 2 mm²/s. ASTM D2270, "Calculating Viscosity
Index from Kinematic Viscosity at 40 °C and 100 °C".
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from blockwright.materials.oils import reference_oils
from blockwright.physics.guards import Numbers, keep_above, keep_within

MM2 = 1e-6
KELVIN = 273.15
THINNEST_M2_S, THICKEST_M2_S = 2.0 * MM2, 2e7 * MM2
COLDEST_C, HOTTEST_C = -40.0, 250.0
SHEARED_AT_C = 150.0
MINERAL_PER_K = 7.0e-4
"""Growth of a mineral oil's volume with temperature (from memory)."""


@dataclass(frozen=True)
class Walther:
    """The line of one oil: lg lg(v + 0.7) = a - b lg T, v in mm²/s and T in K."""

    a: float
    b: float

    def kinematic_m2_s(self, temperature_c: Numbers) -> Numbers:
        """Kinematic viscosity at a temperature, m²/s. Raises ValueError outside -40 to 250 °C."""
        keep_within("oil temperature", temperature_c, COLDEST_C, HOTTEST_C, "°C")
        kelvin = temperature_c + KELVIN
        return MM2 * (10.0 ** (10.0 ** (self.a - self.b * np.log10(kelvin))) - 0.7)


def walther(cool_c: float, cool_m2_s: float, warm_c: float, warm_m2_s: float) -> Walther:
    """The line through the viscosities at two temperatures, as a maker states them for 40 and 100 °C.

    Raises
    ------
    ValueError
        Where the warmer oil is not the thinner, or a viscosity lies outside 2 to 2·10⁷ mm²/s.

    Example
    -------
    62 mm²/s at 40 °C and 10.6 at 100 °C (computed from the standard's equation):

    >>> line = walther(40.0, 62e-6, 100.0, 10.6e-6)
    >>> f"{line.a:.4f} {line.b:.4f} {1e6 * line.kinematic_m2_s(150.0):.2f}"
    '7.8651 3.0494 4.52'
    """
    for stated in (cool_m2_s, warm_m2_s):
        keep_within("viscosity", stated, THINNEST_M2_S, THICKEST_M2_S, "m²/s")
    if not (warm_c > cool_c and warm_m2_s < cool_m2_s):
        raise ValueError("oil: the second temperature must be the higher, and the oil thinner there.")
    up = [math.log10(math.log10(stated / MM2 + 0.7)) for stated in (cool_m2_s, warm_m2_s)]
    along = [math.log10(stated + KELVIN) for stated in (cool_c, warm_c)]
    b = (up[0] - up[1]) / (along[1] - along[0])
    return Walther(up[0] + b * along[0], b)


def viscosity_index(at_40_m2_s: float, at_100_m2_s: float) -> float:
    """Viscosity index of an oil of 4 to 30 mm²/s at 100 °C.

    Notes
    -----
    With the reference oils of the same viscosity Y at 100 °C (L and H at 40 °C, straight lines between the standard's rows): 100 (L - U)/(L - H)
    up to 100, beyond it 100 + (10^N - 1)/0.00715, N = lg(H/U)/lg Y.

    Example
    -------
    The standard's worked example, 73.30 and 8.86 mm²/s:

    >>> round(viscosity_index(73.30e-6, 8.86e-6))
    92
    """
    u, y = at_40_m2_s / MM2, at_100_m2_s / MM2
    rows, lows, highs = reference_oils()
    keep_within("viscosity at 100 °C", y, rows[0], rows[-1], "mm²/s")
    keep_above("viscosity at 40 °C", u, y, "mm²/s")
    low, high = float(np.interp(y, rows, lows)), float(np.interp(y, rows, highs))
    if u >= high:
        return 100.0 * (low - u) / (low - high)
    power = math.log10(high / u) / math.log10(y)
    return 100.0 + (math.pow(10.0, power) - 1.0) / 0.00715


def density_kg_m3(temperature_c: Numbers, at_15_kg_m3: float, expansion_per_k: float = MINERAL_PER_K) -> Numbers:
    """Density at a temperature, kg/m³, from that at 15 °C."""
    keep_within("oil temperature", temperature_c, COLDEST_C, HOTTEST_C, "°C")
    return at_15_kg_m3 / (1.0 + expansion_per_k * (temperature_c - 15.0))


def film_viscosity_pa_s(
    temperature_c: Numbers, line: Walther, at_15_kg_m3: float, hths_pa_s: float | None = None
) -> Numbers:
    """Dynamic viscosity in a bearing's film, Pa s: density times kinematic viscosity, less what shear takes from a multigrade.

    Notes
    -----
    Scaled to the stated HTHS value at 150 °C: rho v (T) · HTHS / (rho v)(150 °C). Without one the oil is taken to bear shear unharmed. The scaling
    by one factor at all temperatures is a simplification (no printed film viscosity was found to hold it against).
    """
    plain = density_kg_m3(temperature_c, at_15_kg_m3) * line.kinematic_m2_s(temperature_c)
    if hths_pa_s is None:
        return plain
    keep_above("HTHS viscosity", hths_pa_s, 0.0, "Pa s")
    return plain * hths_pa_s / (density_kg_m3(SHEARED_AT_C, at_15_kg_m3) * line.kinematic_m2_s(SHEARED_AT_C))
