"""Strength classes of bolts, from `bolts.toml`, where their source is stated."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from blockwright.problems import BlockwrightError, Problem, excerpt


@dataclass(frozen=True)
class BoltClass:
    """Least tensile strength, least yield and proof stress of a strength class, Pa, for threads up to a diameter, m, where it has a bound."""

    name: str
    up_to_m: float | None
    tensile_pa: float
    yield_pa: float
    proof_pa: float


def bolt_class(name: str, diameter_m: float) -> BoltClass:
    """The figures of a class such as `10.9` for a thread; BlockwrightError where there is no such class, or none of that size."""
    rows = [row for row in _listed() if row.name == name.strip()]
    found = next((row for row in rows if row.up_to_m is None or diameter_m <= row.up_to_m), None)
    if found is not None:
        return found
    if rows and rows[-1].up_to_m is not None:
        what = f"class {rows[-1].name} is made up to {1e3 * rows[-1].up_to_m:g} mm only."
        raise BlockwrightError(Problem("bolt-class-size", what, "Take the maker's strength, or another class."))
    what = f"'{excerpt(name)}' is no strength class that is known here."
    mend = f"Known: {', '.join(bolt_class_names())}. A stronger bolt goes by its maker's yield."
    raise BlockwrightError(Problem("bolt-class", what, mend))


def bolt_class_names() -> tuple[str, ...]:
    """Names of the classes, weak to strong."""
    return tuple(dict.fromkeys(row.name for row in _listed()))


@cache
def _listed() -> tuple[BoltClass, ...]:
    text = resources.files("blockwright.materials").joinpath("bolts.toml").read_text(encoding="utf-8")
    return tuple(
        BoltClass(
            row["name"],
            row["up_to"] * 1e-3 if "up_to" in row else None,
            row["tensile"] * 1e6,
            row["yield"] * 1e6,
            row["proof"] * 1e6,
        )
        for row in tomllib.loads(text)["class"]
    )
