"""Temperatures that the builder knows or has measured; what he leaves blank is assumed from the duty, with a wider spread."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity

METAL = ("0 °C", "500 °C")


@dataclass(frozen=True, kw_only=True)
class Temperatures(Written):
    """Metal temperatures at full load, each where it is known, and what they may be off."""

    top_ring_c: float | None = quantity(Kind.TEMPERATURE, "top ring", unit="°C", span=METAL, default=None)
    second_ring_c: float | None = quantity(Kind.TEMPERATURE, "second ring", unit="°C", span=METAL, default=None)
    oil_ring_c: float | None = quantity(Kind.TEMPERATURE, "oil ring", unit="°C", span=METAL, default=None)
    bore_c: float | None = quantity(Kind.TEMPERATURE, "bore where the rings run", unit="°C", span=METAL, default=None)
    skirt_c: float | None = quantity(Kind.TEMPERATURE, "piston skirt", unit="°C", span=METAL, default=None)
    crown_c: float | None = quantity(Kind.TEMPERATURE, "piston crown", unit="°C", span=METAL, default=None)
    liner_top_c: float | None = quantity(
        Kind.TEMPERATURE, "bore at the top of the rings' travel", unit="°C", span=METAL, default=None
    )
    belt_c: float | None = quantity(
        Kind.TEMPERATURE, "piston about the top groove", unit="°C", span=METAL, default=None
    )
    head_c: float | None = quantity(
        Kind.TEMPERATURE, "wall of the chamber in the head", unit="°C", span=METAL, default=None
    )
    liner_middle_c: float | None = quantity(
        Kind.TEMPERATURE, "bore at the middle of the rings' travel", unit="°C", span=METAL, default=None
    )
    liner_bottom_c: float | None = quantity(
        Kind.TEMPERATURE, "bore at the bottom of the rings' travel", unit="°C", span=METAL, default=None
    )
    journal_c: float | None = quantity(Kind.TEMPERATURE, "crank journals", unit="°C", span=METAL, default=None)
    pin_c: float | None = quantity(Kind.TEMPERATURE, "piston pin and bosses", unit="°C", span=METAL, default=None)
    main_housing_c: float | None = quantity(
        Kind.TEMPERATURE, "metal round the main bearings", unit="°C", span=METAL, default=None
    )
    big_end_c: float | None = quantity(Kind.TEMPERATURE, "metal of the big ends", unit="°C", span=METAL, default=None)
    give_k: float = quantity(
        Kind.TEMPERATURE_STEP,
        "standard uncertainty of the temperatures given here",
        unit="K",
        span=("0 K", "60 K"),
        default=10.0,
    )
    source: str = entry("where they come from: 'thermocouples on the test bed'", default="")
