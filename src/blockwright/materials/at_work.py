"""What is taken for an engine at work where its builder says nothing, and the ways of heat: from `at_work.toml` and `heat_paths.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any


@dataclass(frozen=True)
class Assumed:
    """One input: what it is, its value and standard uncertainty in `unit`, or that as a `share` of the value, and the ground for it."""

    name: str
    words: str
    unit: str
    value: float
    u: float
    share: float
    ground: str


@dataclass(frozen=True)
class HeatLaw:
    """One way of heat: between which places, how its conductance grows with the engine, its coefficient and the spread of its logarithm."""

    name: str
    between: tuple[str, str]
    law: str
    value: float
    spread: float
    when: str
    source: str


@dataclass(frozen=True)
class Rubbing:
    """Share of the engine's friction that piston and rings make, its spread, and how it is dealt out."""

    of_friction: float
    spread: float
    dealt: Mapping[str, float]
    source: str


def assumed(name: str) -> Assumed:
    """The assumption of that name. Raises KeyError where there is none."""
    return assumptions()[name]


@cache
def assumptions() -> Mapping[str, Assumed]:
    """Every assumption by name, in the order of the file."""
    return {
        name: Assumed(
            name, row["words"], row["unit"], row.get("value", 0.0), row.get("u", 0.0), row.get("share", 0.0), row["ground"]
        )
        for name, row in _loaded("at_work").items()
    }  # fmt: skip


@cache
def heat_laws() -> tuple[HeatLaw, ...]:
    """Every way of heat, in the order of the file."""
    return tuple(
        HeatLaw(
            row["name"], (row["between"][0], row["between"][1]), row["law"], row.get("value", 0.0), row["spread"],
            row.get("when", ""), row["source"],
        )
        for row in _loaded("heat_paths")["path"]
    )  # fmt: skip


@cache
def rubbing() -> Rubbing:
    """What piston and rings rub."""
    row = _loaded("heat_paths")["rubbing"]
    dealt = {name: share for name, share in row.items() if name not in ("of_friction", "spread", "source")}
    return Rubbing(row["of_friction"], row["spread"], dealt, row["source"])


def liner_resistance_m2_k_w(kind: str) -> float:
    """What a kind of liner adds to the way from bore to coolant, m² K/W."""
    return liner_resistances()[kind]


def conductivity_w_m_k(alloy: str) -> float:
    """Thermal conductivity of an alloy by the metal in its name, W/(m K): rounded handbook values from memory."""
    table = conductivities()
    return float(next((value for metal, value in table.items() if metal in alloy), table["other"]))


def conductivities() -> Mapping[str, float]:
    """Conductivity by metal, W/(m K)."""
    return {name: value for name, value in _loaded("heat_paths")["conductivity"].items() if name != "spread"}


def liner_resistances() -> Mapping[str, float]:
    """What each kind of liner adds, m² K/W."""
    return {name: value for name, value in _loaded("heat_paths")["liner"].items() if name != "source"}


def conductivity_spread() -> float:
    """Spread of the logarithm of a conductivity."""
    return float(_loaded("heat_paths")["conductivity"]["spread"])


@cache
def _loaded(name: str) -> Mapping[str, Any]:
    return tomllib.loads(resources.files("blockwright.materials").joinpath(f"{name}.toml").read_text(encoding="utf-8"))
