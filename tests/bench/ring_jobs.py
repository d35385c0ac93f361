"""Jobs for the tests of the ring bench: the invented four with the top ring of cylinder 4 still to be filed."""

from __future__ import annotations

from blockwright.demos import demo_texts

RING = "rings/4/top/"
NOW = "rings-now/4/top/"
WHICH = {"rings": "R4", "ring": "top", "at": "cylinder 4"}
GAP = {**WHICH, "gauge": "FB1", "depth": "30 mm", "ring_temp": "21 °C", "bore_temp": "21 °C"}


def to_file() -> dict[str, str]:
    """The demonstration before its last passes: top and second of cylinder 4 were read and not filed."""
    texts = dict(demo_texts("harbour"))
    lines = texts["passes.csv"].splitlines(keepends=True)
    texts["passes.csv"] = "".join(line for line in lines if not line.startswith(("p2,", "p3,", "p5,")))
    return texts
