"""Oils by grade, and the reference oils of the viscosity index, from `oils.toml`, where the source of each value is stated."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from blockwright.problems import BlockwrightError, Problem, excerpt

WRITTEN = re.compile(r"(?:SAE\s*)?(?:(\d{1,2})\s*W(?:\s*-?\s*(\d{1,2}))?|(\d{1,2}))", re.IGNORECASE)
HEAVY_WINTER = 15


@dataclass(frozen=True)
class Grade:
    """What a grade promises: kinematic viscosity at 100 °C (m²/s, from and below), least viscosity under shear at 150 °C (Pa s)."""

    name: str
    least_100_m2_s: float
    most_100_m2_s: float
    hths_pa_s: float

    @property
    def middle_100_m2_s(self) -> float:
        """The middle of the span at 100 °C, m²/s."""
        return 0.5 * (self.least_100_m2_s + self.most_100_m2_s)


def grade(written: str) -> Grade:
    """The grade meant by `10W-40`, `SAE 30` or `5W30`: that of the hot oil. Raises BlockwrightError where it is none that is known."""
    found = WRITTEN.fullmatch(written.strip())
    name = (found[2] or found[3] or "") if found else ""
    row = _table("grade").get(name)
    if found is None or row is None:
        known = ", ".join(_table("grade"))
        what = f"'{excerpt(written)}' is no oil grade that is known here."
        raise BlockwrightError(Problem("oil-grade", what, f"Write it as 10W-40, or SAE 30. Known when hot: {known}."))
    heavy = not found[1] or int(found[1]) >= HEAVY_WINTER
    least, below = row["kinematic_100"]
    hths = row.get("hths_heavy", row["hths"]) if heavy else row["hths"]
    return Grade(name, least * 1e-6, below * 1e-6, hths * 1e-3)


def grade_names() -> tuple[str, ...]:
    """The hot grades, thin to thick."""
    return tuple(_table("grade"))


@cache
def reference_oils() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    """Viscosity at 100 °C, and L and H at 40 °C, of the reference oils, all in mm²/s."""
    held = _loaded()["viscosity_index"]
    return tuple(held["kinematic_100"]), tuple(held["low"]), tuple(held["high"])


@cache
def _table(name: str) -> dict[str, dict[str, Any]]:
    return {row["name"]: row for row in _loaded()[name]}


@cache
def _loaded() -> dict[str, Any]:
    return tomllib.loads(resources.files("blockwright.materials").joinpath("oils.toml").read_text(encoding="utf-8"))
