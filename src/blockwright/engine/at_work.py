"""What the engine at work rests on beside its clearances: compression, cooling, bearings, oil, burning. What is blank is assumed, and said to be."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class LinerKind(StrEnum):
    """How the running surface sits in its housing."""

    PARENT = "bored in the block"
    DRY = "dry liner"
    WET = "wet liner"
    FINNED = "finned barrel"


class MainGroove(StrEnum):
    """Where the main shells carry an oil groove."""

    UPPER = "upper shell only"
    ROUND = "all the way round"
    NONE = "none"


WIDTH = ("8 mm", "90 mm")


@dataclass(frozen=True, kw_only=True)
class AtWork(Written):
    """Facts of the engine at work, each where it is known."""

    compression_ratio: float | None = quantity(Kind.RATIO, "compression ratio", span=("5", "25"), default=None)
    liner: LinerKind | None = entry(
        "bored in the block, dry liner, wet liner or finned barrel; by cooling and alloys where not given", default=None
    )
    oil_jets: bool = entry("whether oil jets play on the pistons from below", default=False)
    intake_closes_rad: float | None = quantity(
        Kind.ANGLE, "intake closing, after bottom dead centre", unit="deg", span=("10 deg", "110 deg"), default=None
    )
    exhaust_opens_rad: float | None = quantity(
        Kind.ANGLE, "exhaust opening, before bottom dead centre", unit="deg", span=("10 deg", "110 deg"), default=None
    )
    half_burnt_rad: float | None = quantity(
        Kind.ANGLE, "half of the charge burnt, after top dead centre", unit="deg", signed=True,
        span=("-5 deg", "40 deg"), default=None,
    )  # fmt: skip
    burn_span_rad: float | None = quantity(
        Kind.ANGLE, "crank angle from spark to the end of burning", unit="deg", span=("15 deg", "120 deg"), default=None
    )
    charge_c: float | None = quantity(
        Kind.TEMPERATURE,
        "temperature of the charge in the manifold",
        unit="°C",
        span=("-30 °C", "200 °C"),
        default=None,
    )
    piston_mass_kg: float | None = quantity(
        Kind.MASS, "piston with pin, rings and clips", unit="g", span=("50 g", "8 kg"), default=None
    )
    rod_mass_kg: float | None = quantity(
        Kind.MASS, "rod with its bolts and shells", unit="g", span=("50 g", "12 kg"), default=None
    )
    rod_big_mass_kg: float | None = quantity(
        Kind.MASS, "big end of the rod, weighed with the small end hung", unit="g", span=("30 g", "10 kg"), default=None
    )
    rod_cap_mass_kg: float | None = quantity(
        Kind.MASS, "cap of the rod with its bolts and shell", unit="g", span=("15 g", "5 kg"), default=None
    )
    counterweight: float | None = quantity(
        Kind.RATIO, "share of the mass turning on each throw that its counterweights balance", span=("0", "1.5"), default=None
    )  # fmt: skip
    rod_bearing_width_m: float | None = quantity(Kind.LENGTH, "width of a rod shell", span=WIDTH, default=None)
    main_bearing_width_m: float | None = quantity(Kind.LENGTH, "width of a main shell", span=WIDTH, default=None)
    main_groove: MainGroove = entry(
        "oil groove of the main shells: upper shell only, all the way round, none", default=MainGroove.UPPER
    )
    main_groove_width_m: float | None = quantity(
        Kind.LENGTH, "width of the groove where it goes all the way round", span=("1 mm", "15 mm"), default=None
    )
    oil_hole_m: float | None = quantity(Kind.LENGTH, "diameter of the oil holes", span=("2 mm", "20 mm"), default=None)
    rod_alloy: str = entry("alloy of the rods where no rod says its own: a name of the materials list", default="")
    oil_pressure_pa: float | None = quantity(
        Kind.PRESSURE_STEP, "oil pressure at the bearings, hot, at that speed", unit="bar", span=("0.5 bar", "15 bar"), default=None
    )  # fmt: skip
    oil_40_m2_s: float | None = quantity(
        Kind.KINEMATIC, "the oil's viscosity at 40 °C, from its sheet", unit="mm2/s", span=("10 mm2/s", "500 mm2/s"), default=None
    )  # fmt: skip
    oil_100_m2_s: float | None = quantity(
        Kind.KINEMATIC, "the oil's viscosity at 100 °C, from its sheet", unit="mm2/s", span=("3 mm2/s", "40 mm2/s"), default=None
    )  # fmt: skip
    oil_hths_pa_s: float | None = quantity(
        Kind.VISCOSITY, "the oil's viscosity under shear at 150 °C (HTHS), from its sheet", unit="mPa s",
        span=("1 mPa s", "10 mPa s"), default=None,
    )  # fmt: skip
