"""What goes into a repeatability study and what comes out of one method: balanced readings, and the spreads they split into.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| EV | ev_m | standard deviation of one hand repeating on one part (equipment) | m |
| AV | av_m | standard deviation from hand to hand (appraisers) | m |
| INT | interaction_m | what some hands do on some parts only | m |
| GRR | grr_m | the gauge in all: EV, AV and INT together | m |
| PV | pv_m | standard deviation from part to part | m |
| TV | tv_m | all that is seen: GRR and PV together | m |
| ndc | classes | classes into which the gauge can sort these parts | 1 |

Symbols, layout and the reckoning of classes are those of AIAG, Measurement Systems Analysis, 4th ed., 2010, chapter III B.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from blockwright.problems import BlockwrightError, Problem


class Method(StrEnum):
    """How the spreads were worked out."""

    RANGES = "average and range"
    ANOVA = "analysis of variance"


class Cell(NamedTuple):
    """One appraiser on one part, by name."""

    appraiser: str
    part: str


@dataclass(frozen=True, eq=False)
class StudyReadings:
    """The readings of a study: values in metres, shape (appraisers, parts, trials).

    Raises BlockwrightError when names and shape disagree, names repeat, a value is no number, or a cell holds fewer than two trials.
    """

    appraisers: tuple[str, ...]
    parts: tuple[str, ...]
    values_m: NDArray[np.float64]

    def __post_init__(self) -> None:
        values = np.array(self.values_m, dtype=np.float64)
        values.flags.writeable = False
        object.__setattr__(self, "values_m", values)
        problems = tuple(self._problems())
        if problems:
            raise BlockwrightError(problems)

    def _problems(self) -> Iterator[Problem]:
        named, shape = (len(self.appraisers), len(self.parts)), self.values_m.shape
        if 0 in named or len(shape) != 3 or shape[:2] != named:
            what = f"{named[0]} appraisers and {named[1]} parts do not go with values of shape {shape}."
            yield Problem("study-shape", what, "Let every appraiser measure every part the same number of times.")
            return
        if shape[2] < 2:
            what = "Each part was measured only once, so nothing shows how the gauge repeats."
            yield Problem("study-one-trial", what, "Measure every part twice or more.")
        for label, names in (("appraiser", self.appraisers), ("part", self.parts)):
            if len(set(names)) < len(names):
                yield Problem("study-name-twice", f"Two {label}s have the same name.", "Give each its own.")
        if not np.isfinite(self.values_m).all():
            yield Problem("study-not-a-number", "A value is not a number.", "Take that reading again.")

    @property
    def trials(self) -> int:
        """Readings in one cell."""
        return int(self.values_m.shape[2])

    @property
    def rounding_m(self) -> float:
        """Differences of up to this come from the binary form of the numbers, not from the gauge, m."""
        return 8 * float(np.finfo(np.float64).eps * np.abs(self.values_m).max())

    @property
    def ranges_m(self) -> NDArray[np.float64]:
        """Largest less smallest reading of every cell, m, shape (appraisers, parts); mere rounding counts as nil."""
        ranges = np.ptp(self.values_m, axis=2)
        return np.where(ranges <= self.rounding_m, 0.0, ranges)


@dataclass(frozen=True, kw_only=True)
class Breakdown:
    """The spreads by one method: standard deviations, m, which add as squares. None: this study or method cannot tell."""

    method: Method
    ev_m: float
    av_m: float | None
    interaction_m: float | None
    pv_m: float | None

    @property
    def grr_m(self) -> float:
        """The gauge in all, m."""
        return math.hypot(self.ev_m, self.av_m or 0.0, self.interaction_m or 0.0)

    @property
    def tv_m(self) -> float | None:
        """All that is seen, m; None with one part."""
        return None if self.pv_m is None else math.hypot(self.grr_m, self.pv_m)

    @property
    def classes(self) -> int | None:
        """The ndc: int(1.41 PV/GRR). None with one part, or where the gauge shows no spread of its own."""
        return None if self.pv_m is None or not self.grr_m else int(1.41 * self.pv_m / self.grr_m)

    def percent(self, spread_m: float | None) -> float | None:
        """A spread as a percentage of all that is seen; None where either is not known or nothing varies."""
        return None if spread_m is None or not self.tv_m else 100 * spread_m / self.tv_m
