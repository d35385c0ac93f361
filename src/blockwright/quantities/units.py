"""The table of units: each kind's units in the order to offer, with exact factors and where they come from.

A unit stands for `si = number × factor + offset`, times pi for the angular ones. Factors are ratios of whole
numbers, so that a text becomes the float nearest to what was written. Only temperatures and gauge pressures
have an offset.

| word | source |
| --- | --- |
| yard and pound | international agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, both exact |
| gravity | standard acceleration of gravity 9.80665 m/s², exact: 3rd CGPM, 1901 |
| atmosphere | standard atmosphere 101325 Pa, exact: 10th CGPM, 1954 |
| SI | The International System of Units, BIPM, 9th edition, 2019, with the units accepted beside it |
| NIST | Guide for the Use of the SI, NIST Special Publication 811, 2008, appendix B |
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What is measured. The value is the word used in messages."""

    LENGTH = "length"
    TEMPERATURE = "temperature"
    TEMPERATURE_STEP = "temperature step"
    TORQUE = "torque"
    PRESSURE = "pressure"
    PRESSURE_STEP = "pressure step"
    SPEED = "speed"
    MASS = "mass"
    ANGLE = "angle"
    POWER = "power"
    VOLUME = "volume"
    RATIO = "ratio"
    EXPANSION = "expansion"
    FORCE = "force"
    DURATION = "duration"
    ROUGHNESS = "roughness"
    VISCOSITY = "viscosity"
    KINEMATIC = "kinematic viscosity"
    AREA = "area"
    TRAVEL = "speed of travel"
    DENSITY = "density"


@dataclass(frozen=True)
class Ratio:
    """An exact number, top over bottom."""

    top: int
    bottom: int = 1

    @classmethod
    def of(cls, decimal: str) -> Ratio:
        """The exact value of a decimal text such as `0.45359237`."""
        whole, _, part = decimal.partition(".")
        return cls(int(whole + part), 10 ** len(part))

    def __mul__(self, other: Ratio) -> Ratio:
        return Ratio(self.top * other.top, self.bottom * other.bottom)

    def __truediv__(self, other: Ratio) -> Ratio:
        return Ratio(self.top * other.bottom, self.bottom * other.top)

    def __add__(self, other: Ratio) -> Ratio:
        return Ratio(self.top * other.bottom + other.top * self.bottom, self.bottom * other.bottom)

    def __float__(self) -> float:
        return self.top / self.bottom


_GAUGE, _ABSOLUTE = ("gauge", "gage"), ("abs", "absolute")
ZERO, ONE = Ratio(0), Ratio(1)


@dataclass(frozen=True)
class Unit:
    """One unit of one kind.

    `name` is what is shown; `also` lists further spellings with commas between, where a space stands for a
    space, a hyphen, a dot or nothing. `decimals` are shown where no uncertainty is known and `most_decimals`
    at the utmost. `fractions` says that builders write halves to 128ths of it.
    """

    name: str
    factor: Ratio
    decimals: int
    most_decimals: int
    source: str
    also: str = ""
    offset: Ratio = ZERO
    times_pi: bool = False
    fractions: bool = False

    @property
    def aliases(self) -> tuple[str, ...]:
        """The further spellings, one by one."""
        return tuple(self.also.split(", ")) if self.also else ()

    @property
    def scale(self) -> float:
        """SI per unit."""
        return self.si_step(ONE)

    @property
    def shift(self) -> float:
        """SI at zero of this unit."""
        return float(self.offset)

    def si(self, number: Ratio) -> float:
        """The SI float nearest to an exact number of this unit."""
        return float(number * self.factor + self.offset) if self.offset.top else self.si_step(number)

    def si_step(self, number: Ratio) -> float:
        """The SI float nearest to a difference of an exact number of this unit."""
        exact = float(number * self.factor)
        return exact * math.pi if self.times_pi else exact

    def number(self, si: float) -> float:
        """How many of this unit an SI value is."""
        return (si - self.shift) / self.scale


INCH_M = Ratio.of("0.0254")
FOOT_M = INCH_M * Ratio(12)
POUND_KG = Ratio.of("0.45359237")
GRAVITY_M_S2 = Ratio.of("9.80665")
POUND_FORCE_N = POUND_KG * GRAVITY_M_S2
PSI_PA = POUND_FORCE_N / (INCH_M * INCH_M)
ATMOSPHERE_PA = Ratio(101325)
MILLI, MICRO, KILO, MEGA = Ratio(1, 10**3), Ratio(1, 10**6), Ratio(10**3), Ratio(10**6)
FAHRENHEIT_K = Ratio(5, 9)
PER_FAHRENHEIT = ONE / FAHRENHEIT_K

SI = "SI"
NIST_FAHRENHEIT = "NIST: degree Fahrenheit"
ONE_TURN = "SI; one turn is 2π rad"
INCH = "yard and pound: inch of 25.4 mm"
POUND = "yard and pound: pound of 0.45359237 kg"
POUND_FORCE = "yard and pound, gravity"
KILOGRAM_FORCE = "gravity"

MICRON_WORDS = "micron, microns, micrometre, micrometres, micrometer, micrometers"
MICROINCH_WORDS = 'u in, u", micro inch, micro inches, uinch'
CELSIUS_WORDS = "° C, C, C°, deg C, degree C, degrees C, degrees Celsius, Celsius"
FAHRENHEIT_WORDS = "° F, F, F°, deg F, degree F, degrees F, degrees Fahrenheit, Fahrenheit"
FOOT_POUND_WORDS = "ft lb, ft lbs, ft lbf, lb ft, lbs ft, lbf ft, ft/lb, ft/lbs, foot pounds, pound feet"
INCH_POUND_WORDS = "in lb, in lbs, in lbf, lb in, lbs in, lbf in, in/lb, in/lbs, inch pounds, pound inches"

LENGTH = (
    Unit("mm", MILLI, 3, 5, SI, "millimetre, millimetres, millimeter, millimeters"),
    Unit("in", INCH_M, 4, 6, INCH, "inch, inches, \", ''", fractions=True),
    Unit("thou", INCH_M * MILLI, 1, 3, INCH, "thous, thousandth, thousandths"),
    Unit("tenths", INCH_M * MILLI / Ratio(10), 0, 2, f"{INCH}; a tenth is 0.1 thou", "tenth, ten thousandths"),
    Unit("um", MICRO, 0, 2, SI, MICRON_WORDS),
    Unit("uin", INCH_M * MICRO, 0, 1, INCH, MICROINCH_WORDS),
    Unit("cm", Ratio(1, 100), 4, 6, SI, "centimetre, centimetres, centimeter, centimeters"),
    Unit("m", ONE, 6, 8, SI, "metre, metres, meter, meters"),
)
ROUGHNESS = (
    Unit("um", MICRO, 2, 4, SI, MICRON_WORDS),
    Unit("uin", INCH_M * MICRO, 1, 2, INCH, MICROINCH_WORDS),
)
TEMPERATURE = (
    Unit("°C", ONE, 1, 3, SI, CELSIUS_WORDS),
    Unit("°F", FAHRENHEIT_K, 1, 3, NIST_FAHRENHEIT, FAHRENHEIT_WORDS, offset=Ratio(-160, 9)),
    Unit("K", ONE, 2, 3, SI, "deg K, kelvin, kelvins", offset=Ratio.of("-273.15")),
)
TEMPERATURE_STEP = (
    Unit("K", ONE, 1, 3, SI, "deg K, kelvin, kelvins"),
    Unit("°C", ONE, 1, 3, SI, CELSIUS_WORDS),
    Unit("°F", FAHRENHEIT_K, 1, 3, NIST_FAHRENHEIT, FAHRENHEIT_WORDS),
)
TORQUE = (
    Unit("Nm", ONE, 1, 3, SI, "N m, newton metre, newton metres, newton meter, newton meters"),
    Unit("ft-lb", FOOT_M * POUND_FORCE_N, 1, 3, POUND_FORCE, FOOT_POUND_WORDS),
    Unit("in-lb", INCH_M * POUND_FORCE_N, 1, 3, POUND_FORCE, INCH_POUND_WORDS),
    Unit("kgf m", GRAVITY_M_S2, 2, 4, KILOGRAM_FORCE, "kg m, m kg, m kgf"),
)
PRESSURE_STEP = (
    Unit("bar", KILO * Ratio(100), 2, 4, SI, "bar g, bar gauge, bars"),
    Unit("psi", PSI_PA, 1, 3, POUND_FORCE, "psi g, psi gauge, lb/in2, lbf/in2"),
    Unit("kPa", KILO, 1, 3, SI, "kPa g, kPa gauge"),
    Unit("MPa", MEGA, 1, 3, SI, "N/mm2, MPa g"),
    Unit("GPa", KILO * MEGA, 1, 3, SI, "kN/mm2"),
    Unit("ksi", PSI_PA * KILO, 1, 3, POUND_FORCE),
    Unit("mbar", Ratio(100), 1, 2, SI, "hPa, mbar g, hPa g"),
    Unit("kgf/cm2", GRAVITY_M_S2 * Ratio(10**4), 2, 4, KILOGRAM_FORCE, "kg/cm2"),
    Unit("Pa", ONE, 0, 2, SI, "pascal, pascals"),
)


def _above_vacuum(name: str, factor: Ratio, decimals: int, source: str) -> tuple[Unit, Unit]:
    """The gauge and the absolute form of a unit of pressure; gauge counts from the standard atmosphere."""
    gauge, absolute = (", ".join(f"{name} {word}" for word in words) for words in (_GAUGE, _ABSOLUTE))
    from_atmosphere = f"{source}; zero at the standard atmosphere"
    return (
        Unit(f"{name} g", factor, decimals, decimals + 2, from_atmosphere, gauge, offset=ATMOSPHERE_PA),
        Unit(f"{name} a", factor, decimals, decimals + 2, source, absolute),
    )


PRESSURE = (
    *_above_vacuum("bar", KILO * Ratio(100), 2, SI),
    *_above_vacuum("psi", PSI_PA, 1, POUND_FORCE),
    *_above_vacuum("kPa", KILO, 1, SI),
    *_above_vacuum("mbar", Ratio(100), 1, SI),
    *_above_vacuum("hPa", Ratio(100), 1, SI),
    *_above_vacuum("MPa", MEGA, 3, SI),
    *_above_vacuum("Pa", ONE, 0, SI),
)
SPEED = (
    Unit("rpm", Ratio(2, 60), 0, 2, ONE_TURN, "r/min, rev/min, revs/min, 1/min, min-1, min^-1", times_pi=True),
    Unit("rad/s", ONE, 1, 3, SI, "radians/s, rad s-1"),
)
MASS = (
    Unit("g", MILLI, 2, 4, SI, "gram, grams, gramme, grammes, gm"),
    Unit("kg", ONE, 3, 6, SI, "kilo, kilos, kilogram, kilograms"),
    Unit("lb", POUND_KG, 3, 5, POUND, "lbs, pound, pounds"),
    Unit("oz", POUND_KG / Ratio(16), 3, 5, f"{POUND}; 16 oz", "ounce, ounces"),
)
ANGLE = (
    Unit("deg", Ratio(1, 180), 1, 4, SI, "°, degree, degrees", times_pi=True),
    Unit("rad", ONE, 4, 6, SI, "radian, radians"),
)
POWER = (
    Unit("kW", KILO, 1, 3, SI, "kilowatt, kilowatts"),
    Unit("hp", Ratio(550) * FOOT_M * POUND_FORCE_N, 1, 3, "NIST: 550 ft lbf/s", "bhp, horse power, mechanical hp"),
    Unit("PS", Ratio(75) * GRAVITY_M_S2, 1, 3, "NIST: 75 kgf m/s", "metric hp, hp metric, metric horse power"),
    Unit("W", ONE, 0, 2, SI, "watt, watts"),
)
VOLUME = (
    Unit("cc", MICRO, 1, 3, SI, "ccm, cm3, cm^3, cu cm, ml, millilitre, millilitres, milliliter, milliliters"),
    Unit("L", MILLI, 3, 6, SI, "l, litre, litres, liter, liters, dm3"),
    Unit("cu in", INCH_M * INCH_M * INCH_M, 2, 4, INCH, "in3, in^3, cubic inch, cubic inches, cid, ci"),
    Unit("m3", ONE, 9, 10, SI, "m^3"),
)
RATIO = (
    Unit("", ONE, 4, 7, SI, "mm/mm, in/in, in per in, mm per mm, :1"),
    Unit("%", Ratio(1, 100), 2, 5, SI, "percent, per cent"),
    Unit("thou/in", MILLI, 2, 4, INCH, "thou per in, thou per inch, thou/inch"),
    Unit("um/mm", MILLI, 2, 4, SI, "um per mm"),
)
EXPANSION = (
    Unit("um/m/K", MICRO, 2, 4, SI, "um/m K, um/m °C, um/m/°C, um/m/C, ppm/K, ppm/°C, ppm/C, ppm per K"),
    Unit("1/K", ONE, 8, 10, SI, "/K, per K, K-1, K^-1, 1/°C, /°C, /C, mm/mm/K, m/m/K, m/m K, per °C"),
    Unit("uin/in/°F", PER_FAHRENHEIT * MICRO, 2, 4, NIST_FAHRENHEIT, "uin/in/F, uin/in °F, uin/in F, ppm/°F, ppm/F"),
    Unit("1/°F", PER_FAHRENHEIT, 8, 10, NIST_FAHRENHEIT, "/°F, /F, per °F, in/in/°F, in/in/F, in/in °F, in/in F"),
)
FORCE = (
    Unit("N", ONE, 1, 3, SI, "newton, newtons"),
    Unit("kN", KILO, 2, 4, SI, "kilonewton, kilonewtons"),
    Unit("lbf", POUND_FORCE_N, 1, 3, POUND_FORCE, "lb, lbs, pound, pounds, lb force"),
    Unit("kgf", GRAVITY_M_S2, 2, 4, KILOGRAM_FORCE),
)
DURATION = (
    Unit("s", ONE, 1, 3, SI, "sec, secs, second, seconds"),
    Unit("min", Ratio(60), 2, 4, SI, "mins, minute, minutes"),
    Unit("h", Ratio(3600), 3, 5, SI, "hr, hrs, hour, hours"),
)
VISCOSITY = (
    Unit("mPa s", MILLI, 2, 4, SI, "cP, centipoise, mPa*s"),
    Unit("Pa s", ONE, 5, 7, SI, "Pa*s, pascal seconds"),
)
KINEMATIC = (
    Unit("mm2/s", MICRO, 2, 4, SI, "mm^2/s, cSt, centistokes"),
    Unit("m2/s", ONE, 8, 10, SI, "m^2/s"),
)
AREA = (
    Unit("mm2", MICRO, 2, 5, SI, "mm^2, sq mm, square mm"),
    Unit("cm2", Ratio(1, 10**4), 3, 6, SI, "cm^2, sq cm, square cm"),
    Unit("sq in", INCH_M * INCH_M, 4, 6, INCH, "in2, in^2, square inch, square inches"),
    Unit("m2", ONE, 6, 10, SI, "m^2"),
)
TRAVEL = (
    Unit("m/s", ONE, 2, 4, SI, "metres per second, meters per second"),
    Unit("ft/min", FOOT_M / Ratio(60), 0, 2, f"{INCH}; a foot of 12 in", "fpm, feet/min, feet per minute"),
    Unit("ft/s", FOOT_M, 2, 4, f"{INCH}; a foot of 12 in", "feet/s, feet per second"),
)
DENSITY = (
    Unit("kg/m3", ONE, 1, 3, SI, "kg/m^3"),
    Unit("g/cm3", KILO, 4, 6, SI, "g/cm^3, g/cc, g/ml, kg/L, kg/dm3"),
)

UNITS: dict[Kind, tuple[Unit, ...]] = {
    Kind.LENGTH: LENGTH,
    Kind.TEMPERATURE: TEMPERATURE,
    Kind.TEMPERATURE_STEP: TEMPERATURE_STEP,
    Kind.TORQUE: TORQUE,
    Kind.PRESSURE: PRESSURE,
    Kind.PRESSURE_STEP: PRESSURE_STEP,
    Kind.SPEED: SPEED,
    Kind.MASS: MASS,
    Kind.ANGLE: ANGLE,
    Kind.POWER: POWER,
    Kind.VOLUME: VOLUME,
    Kind.RATIO: RATIO,
    Kind.EXPANSION: EXPANSION,
    Kind.FORCE: FORCE,
    Kind.DURATION: DURATION,
    Kind.ROUGHNESS: ROUGHNESS,
    Kind.VISCOSITY: VISCOSITY,
    Kind.KINEMATIC: KINEMATIC,
    Kind.AREA: AREA,
    Kind.TRAVEL: TRAVEL,
    Kind.DENSITY: DENSITY,
}
