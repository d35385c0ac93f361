"""The gas in the cylinder as an ideal one of fixed composition: heat capacities, their ratio, and internal energy with temperature.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| R | r_j_kg_k | gas constant of the mixture | J/(kg K) |
| T | temperature_k | temperature | K |
| cv | – | heat capacity at constant volume | J/(kg K) |
| g | – | ratio of heat capacities cp/cv | – |
| u | – | internal energy above that at 298.15 K | J/kg |

Frozen: no dissociation, which above 2200 K lowers the true temperature of burnt gas by some tens of kelvin and more.

References
----------
Polynomials of heat capacity: see `materials/gases.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np

from blockwright.physics.guards import Numbers, keep_within

UNIVERSAL_J_MOL_K = 8.314462618
JOINT_K = 1000.0
COLDEST_K, HOTTEST_K = 200.0, 5000.0
ZERO_K = 298.15
"""Internal energy is counted from here, as heats of combustion are."""


@dataclass(frozen=True)
class Gas:
    """A mixture: its gas constant, and the coefficients of cv / R below and above 1000 K."""

    r_j_kg_k: float
    low: tuple[float, ...]
    high: tuple[float, ...]
    step: float
    zero: float

    def cv_j_kg_k(self, temperature_k: Numbers) -> Numbers:
        """Heat capacity at constant volume, J/(kg K)."""
        return self.r_j_kg_k * _either(temperature_k, _poly(self.low, temperature_k), _poly(self.high, temperature_k))

    def gamma(self, temperature_k: Numbers) -> Numbers:
        """Ratio of heat capacities. Raises ValueError outside 200 to 5000 K."""
        keep_within("gas temperature", temperature_k, COLDEST_K, HOTTEST_K, "K")
        return 1.0 + self.r_j_kg_k / self.cv_j_kg_k(temperature_k)

    def energy_j_kg(self, temperature_k: Numbers) -> Numbers:
        """Internal energy above that at 298.15 K, J/kg: the exact integral of cv."""
        low = _integral(self.low, temperature_k)
        high = _integral(self.high, temperature_k) + self.step
        return self.r_j_kg_k * (_either(temperature_k, low, high) - self.zero)


@cache
def mixture(parts: tuple[tuple[str, float], ...]) -> Gas:
    """The mixture of species by mole: `(("O2", 1.0), ("N2", 3.76))`. Raises KeyError for a species that is not held.

    Example
    -------
    >>> f"{mixture((('O2', 0.21), ('N2', 0.79))).gamma(300.0):.4f}"
    '1.3992'
    """
    held = _species()
    moles = sum(share for _, share in parts)
    mass = sum(share * held[name]["molar_mass"] for name, share in parts) / moles * 1e-3

    def mixed(span: str) -> tuple[float, ...]:
        columns = np.array([[share / moles * a for a in held[name][span]] for name, share in parts]).sum(axis=0)
        columns[0] -= 1.0  # cv = cp - R
        return tuple(float(a) for a in columns)

    low, high = mixed("low"), mixed("high")
    step = float(_integral(low, JOINT_K) - _integral(high, JOINT_K))
    return Gas(UNIVERSAL_J_MOL_K / mass, low, high, step, float(_integral(low, ZERO_K)))


AIR = (("O2", 0.21), ("N2", 0.79))
BURNT = (("CO2", 8.0), ("H2O", 9.0), ("N2", 47.0))
"""Burnt with just enough air: a fuel of about C8H18."""


def _either(temperature_k: Numbers, low: Numbers, high: Numbers) -> Numbers:
    return np.where(np.less(temperature_k, JOINT_K), low, high)


def _poly(a: tuple[float, ...], t: Numbers) -> Numbers:
    return a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4])))


def _integral(a: tuple[float, ...], t: Numbers) -> Numbers:
    return t * (a[0] + t * (a[1] / 2 + t * (a[2] / 3 + t * (a[3] / 4 + t * a[4] / 5))))


@cache
def _species() -> Mapping[str, dict[str, Any]]:
    return tomllib.loads(resources.files("blockwright.materials").joinpath("gases.toml").read_text(encoding="utf-8"))
