"""Hot fatigue strength of piston alloys, from `fatigue.toml`, where the ground for each value is stated: all are from memory, with a spread."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from blockwright.problems import BlockwrightError, Problem, excerpt


@dataclass(frozen=True)
class FatigueTable:
    """Amplitude of alternating bending borne (Pa), low and high, at rising temperatures (°C)."""

    name: str
    words: str
    temperatures_c: tuple[float, ...]
    low_pa: tuple[float, ...]
    high_pa: tuple[float, ...]


def fatigue_table(name: str) -> FatigueTable:
    """The table of an alloy by its name in the materials list; an error that names the nearest one where it has none."""
    try:
        return _listed()[name]
    except KeyError:
        near = difflib.get_close_matches(name, _listed(), n=1, cutoff=0.4)
        mend = f"Did you mean '{near[0]}'?" if near else ""
        known = f"Known: {', '.join(_listed())}."
        raise BlockwrightError(
            Problem(
                "alloy-no-fatigue",
                f"No hot fatigue strength is listed for '{excerpt(name)}'.",
                f"{mend} {known}".strip(),
            )
        ) from None


@cache
def _listed() -> dict[str, FatigueTable]:
    text = resources.files("blockwright.materials").joinpath("fatigue.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    temperatures = tuple(float(each) for each in table["temperatures"])
    return {
        row["name"]: FatigueTable(
            row["name"],
            row["words"],
            temperatures,
            tuple(1e6 * each for each in row["low"]),
            tuple(1e6 * each for each in row["high"]),
        )
        for row in table["alloy"]
    }
