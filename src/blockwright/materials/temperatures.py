"""Assumed metal temperatures by duty and cooling, from `temperatures.toml`, where the ground for each is stated."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib import resources

ZONES = ("top_ring", "second_ring", "oil_ring", "bore", "skirt")


def assumed_temperatures(steps: Iterable[str]) -> tuple[Mapping[str, float], float]:
    """Temperature of each zone (°C) and their standard uncertainty (K): the base and the steps that apply.

    Parameters
    ----------
    steps : names of `temperatures.toml`: boosted, hard_worked, not_water_cooled
    """
    tables = [_tables()["base"], *(_tables()[step] for step in steps)]
    zones = {zone: sum(table[zone] for table in tables) for zone in ZONES}
    return zones, sum(table["spread"] for table in tables)


@cache
def _tables() -> dict[str, dict[str, float]]:
    text = resources.files("blockwright.materials").joinpath("temperatures.toml").read_text(encoding="utf-8")
    return {name: {key: float(value) for key, value in table.items()} for name, table in tomllib.loads(text).items()}
