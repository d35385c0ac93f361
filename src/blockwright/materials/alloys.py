"""Alloys by name: thermal expansion and modulus, from `alloys.toml`, where the source of each value is stated."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np

from blockwright.problems import BlockwrightError, Problem, excerpt

REFERENCE_C = 20.0
"""Sizes are stated at 20 °C: ISO 1:2022, "Standard reference temperature for the specification of geometrical ... properties"."""


@dataclass(frozen=True)
class Alloy:
    """Mean expansion coefficient from 20 °C to 100 °C with its standard uncertainty (1/K), and Young's modulus (Pa).

    `expansion_to`: temperatures (°C, rising) with the mean coefficient from 20 °C up to each (1/K); empty where only the one is known.
    """

    name: str
    words: str
    expansion_per_k: float
    expansion_u_per_k: float
    modulus_pa: float
    expansion_to: tuple[tuple[float, float], ...] = ()

    def mean_expansion_per_k(self, temperature_c: float) -> float:
        """Mean coefficient from 20 °C to a temperature: straight lines between those known, the nearest beyond them."""
        if not self.expansion_to:
            return self.expansion_per_k
        up_to_c, per_k = np.array(self.expansion_to).T
        return float(np.interp(temperature_c, up_to_c, per_k))


def alloy(name: str) -> Alloy:
    """The alloy of that name; an error that names the nearest one where it is not listed."""
    try:
        return _listed()[name]
    except KeyError:
        near = difflib.get_close_matches(name, _listed(), n=1, cutoff=0.4)
        mend = f"Did you mean '{near[0]}'?" if near else ""
        listed = f"Known: {', '.join(alloy_names())}."
        raise BlockwrightError(
            Problem("alloy-unknown", f"'{excerpt(name)}' is not in the materials list.", f"{mend} {listed}".strip())
        ) from None


def alloy_names() -> tuple[str, ...]:
    """Names of all alloys, in the order of the file."""
    return tuple(_listed())


@cache
def _listed() -> dict[str, Alloy]:
    text = resources.files("blockwright.materials").joinpath("alloys.toml").read_text(encoding="utf-8")
    rows = tomllib.loads(text)["alloy"]
    return {
        row["name"]: Alloy(
            row["name"],
            row["words"],
            row["expansion"] * 1e-6,
            row["expansion_u"] * 1e-6,
            row["modulus"] * 1e9,
            tuple((float(up_to_c), per_k * 1e-6) for up_to_c, per_k in row.get("expansion_to", ())),
        )
        for row in rows
    }
