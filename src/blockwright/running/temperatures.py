"""How hot rings, bore and skirt run: the builder's own figures where he gives them, else assumed from the duty, each with its spread.

A cycle analysis, once there is one, gives the same thing: a temperature with its uncertainty and where it comes from.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.engine.duty import Cooling
from blockwright.engine.job import Job
from blockwright.materials.temperatures import assumed_temperatures


@dataclass(frozen=True)
class Temperature:
    """A temperature (°C) with its standard uncertainty (K) and where it comes from, in words."""

    value_c: float
    u_k: float
    origin: str

    @property
    def given(self) -> bool:
        """Whether somebody knows it, instead of assuming it."""
        return not self.origin.startswith("assumed")


def temperature(job: Job, zone: str) -> Temperature:
    """Temperature of a zone: top_ring, second_ring, oil_ring, bore or skirt."""
    known = job.sheet.temperatures
    given = getattr(known, f"{zone}_c")
    if given is not None:
        return Temperature(given, known.give_k, f"given: {known.source}" if known.source else "given")
    zones, spread_k = assumed_temperatures(_steps(job))
    return Temperature(zones[zone], spread_k, f"assumed for {', '.join(_words(job))}")


def _steps(job: Job) -> list[str]:
    duty = job.duty
    named = (
        ("boosted", duty.boosted),
        ("hard_worked", duty.hard_worked),
        ("not_water_cooled", duty.cooling is not Cooling.WATER),
    )
    return [name for name, applies in named if applies]


def _words(job: Job) -> list[str]:
    duty = job.duty
    return [
        f"{duty.cooling} cooling",
        "boost" if duty.boosted else "no boost",
        *(["full load for long spells"] if duty.hard_worked else []),
    ]
