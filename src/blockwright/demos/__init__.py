"""Invented jobs to try the tool on. Every engine, maker, number and problem in them is made up.

| folder | job |
| --- | --- |
| `harbour` | a boosted inline four of a harbour rescue boat, with one real problem of each kind |
| `hillclimb` | an unboosted closed-case flat six for hill climbs, all well but for one end float |
"""

from __future__ import annotations

from importlib import resources

NAMES = ("harbour", "hillclimb")


def demo_texts(name: str) -> dict[str, str]:
    """The files of a demonstration job, by name. `name` is one of NAMES."""
    assert name in NAMES
    folder = resources.files("blockwright.demos") / name
    return {
        item.name: item.read_text(encoding="utf-8")
        for item in folder.iterdir()
        if item.name.endswith((".toml", ".csv"))
    }
