"""A pytest plugin that notes what the published checks compare: how many numbers, and the worst of them against its tolerance.

It stands between the checks and `pytest.approx`, changes no outcome, and writes what it saw to the file that PUBLISHED_SEEN names. A
comparison that is made in another way than by `pytest.approx` passes or fails all the same, and is not counted.
"""

from __future__ import annotations

import json
import math
import os
from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest

SEEN: dict[str, dict[str, Any]] = defaultdict(lambda: {"outcome": "", "compared": 0, "worst": 0.0})
NOW = {"test": ""}
APPROX = pytest.approx


class Watched:
    """An `approx` that notes how near a number came to it: 0 is exact, 1 is the whole tolerance."""

    __hash__ = None  # type: ignore[assignment]
    __array_ufunc__ = None  # an array asks us, and not itself element by element

    def __init__(self, expected: Any, rel: float | None = None, abs: float | None = None, nan_ok: bool = False) -> None:
        self.expected, self.rel, self.abs = expected, rel, abs
        self.asked = APPROX(expected, rel=rel, abs=abs, nan_ok=nan_ok)

    def __repr__(self) -> str:
        return repr(self.asked)

    def __eq__(self, actual: object) -> bool:
        for found, wanted in _pairs(actual, self.expected):
            seen = SEEN[NOW["test"]]
            seen["compared"] += 1
            seen["worst"] = max(seen["worst"], _share(found, wanted, self._tolerance(wanted)))
        return bool(actual == self.asked)

    def _tolerance(self, wanted: float) -> float:
        """As pytest documents it: the larger of both, and with `abs` alone no relative one."""
        if self.abs is not None and self.rel is None:
            return self.abs
        return max((1e-6 if self.rel is None else self.rel) * abs(wanted), 1e-12 if self.abs is None else self.abs)


def _pairs(actual: Any, expected: Any) -> list[tuple[float, float]]:
    if isinstance(expected, dict):
        return [pair for key in expected for pair in _pairs(actual[key], expected[key])]
    actual, expected = (each.tolist() if hasattr(each, "tolist") else each for each in (actual, expected))
    if hasattr(expected, "__len__") and hasattr(actual, "__len__") and len(actual) == len(expected):
        return [pair for one, other in zip(actual, expected, strict=True) for pair in _pairs(one, other)]
    return [(float(actual), float(expected))] if isinstance(expected, int | float) else []


def _share(found: float, wanted: float, tolerance: float) -> float:
    if found == wanted:
        return 0.0
    return abs(found - wanted) / tolerance if tolerance else math.inf


def pytest_configure(config: pytest.Config) -> None:
    pytest.approx = Watched  # type: ignore[assignment,misc]


def pytest_runtest_setup(item: pytest.Item) -> None:
    NOW["test"] = item.nodeid


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.when == "call" or report.outcome != "passed":
        SEEN[report.nodeid]["outcome"] = report.outcome


def pytest_sessionfinish(session: pytest.Session) -> None:
    Path(os.environ["PUBLISHED_SEEN"]).write_text(json.dumps(SEEN), encoding="utf-8")
