"""An engine at work as JSON: SI numbers with their unit in the name, nothing rounded, curves and all; what is not finite is null."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from blockwright import __version__
from blockwright.report.work.hot import hot_of
from blockwright.running.work.result import Work

FORMAT = "blockwright work 1"


def work_json(work: Work) -> dict[str, Any]:
    """All of it."""
    told: dict[str, Any] = _finite(asdict(work))
    return {"format": FORMAT, "program": f"blockwright {__version__}", **told}


CURVES = ("orbit", "film_over_m", "load_n", "tried_m", "tried_film_m", "tried_c")
"""What of a bearing is left out beside one fit."""


def at_work_json(work: Work, fit: str, position: str) -> dict[str, Any]:
    """What the engine at work says of one fit at one position: the fit when hot, and a bearing's numbers without its curves."""
    bearings = [_finite(asdict(each)) for each in work.bearings if (each.fit, each.position) == (fit, position)]
    return {
        "digest": work.digest,
        "samples": work.samples,
        "hot": [_finite(asdict(each)) for each in hot_of(work, fit, position)],
        "bearings": [{name: value for name, value in each.items() if name not in CURVES} for each in bearings],
    }


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {name: _finite(each) for name, each in value.items()}
    return [_finite(each) for each in value] if isinstance(value, list | tuple) else value
