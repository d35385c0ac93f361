"""Repeatability study of a gauge: several parts, measured several times over by one hand or more. How much of the spread is the gauge?

The quantities are defined in `study_readings`, the two methods in `study_methods`; here they are set side by side, with what a reader
must be told. Where the two methods differ, both are shown and the difference is said; the register's repeatability comes from the
analysis of variance, which uses every reading and has exact degrees of freedom.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import chdtri

from blockwright.metrology.study_methods import (
    Anova,
    AnovaRow,
    analysis_of_variance,
    average_and_range,
    mean_range_m,
    range_limit_m,
    wide_cells,
)
from blockwright.metrology.study_readings import Breakdown, Cell, Method, StudyReadings
from blockwright.problems import BlockwrightError, Problem

__all__ = [
    "Anova",
    "AnovaRow",
    "Breakdown",
    "Cell",
    "Grade",
    "Method",
    "Repeatability",
    "StudyReadings",
    "StudyResult",
    "assess_study",
    "grade",
    "headline",
]

SIGMAS_IN_TOLERANCE = 6
"""A tolerance's width is compared with this many standard deviations (AIAG MSA 4th ed., chapter III B, from memory)."""

ENOUGH_CLASSES = 5
"""Classes from which a gauge is good for choosing parts (AIAG MSA 4th ed., chapter II D, from memory)."""

ALIKE = 0.005
"""Two methods whose spreads agree within this share are said to agree."""

FEW_DOF = 10
MANY_STILL_CELLS = 0.25
"""With more than this share of cells without any spread the gauge's step is called too coarse (common practice, no source)."""

SMALL_BELOW, LARGE_ABOVE = 10.0, 30.0
"""Percentages of all that is seen, or of the tolerance, that part the grades (AIAG MSA 4th ed., chapter II D, from memory)."""

SIGNIFICANT_P = 0.05
"""Only a chance below this is called a sign that hands and parts do not go together."""
FEW_PARTS = 5
"""Fewer parts than this say little of how parts differ (common practice is ten; assumed)."""
WORDS = {"av_m": "hand to hand", "interaction_m": "hand on part", "pv_m": "part to part"}


class Grade(StrEnum):
    """How large the gauge's own spread is beside what it is to show."""

    SMALL = "small enough"
    MIDDLING = "use with care"
    LARGE = "too large"


@dataclass(frozen=True)
class Repeatability:
    """What the gauge register wants: standard deviation of one reading by one hand, m, and its degrees of freedom."""

    s_m: float
    dof: int

    @property
    def bounds_m(self) -> tuple[float, float]:
        """Where the true standard deviation lies with 95 % confidence, m; chi-square, for normal readings."""
        low, high = (self.s_m * math.sqrt(self.dof / float(chdtri(self.dof, tail))) for tail in (0.025, 0.975))
        return low, high


@dataclass(frozen=True, eq=False, kw_only=True)
class StudyResult:
    """What a study tells by both methods. `range_limit_m` is None where there are too few cells for one to stand out."""

    readings: StudyReadings
    ranges: Breakdown
    anova: Anova
    mean_range_m: float
    range_limit_m: float | None
    flagged: tuple[Cell, ...]
    tolerance_m: float | None
    notes: tuple[str, ...]

    @property
    def repeatability(self) -> Repeatability:
        """For the gauge register, from the analysis of variance."""
        return Repeatability(self.anova.spread.ev_m, self.anova.ev_dof)

    def percent_of_tolerance(self, spread_m: float | None) -> float | None:
        """Six standard deviations as a percentage of the tolerance; None without one."""
        if spread_m is None or self.tolerance_m is None:
            return None
        return 100 * SIGMAS_IN_TOLERANCE * spread_m / self.tolerance_m


def assess_study(readings: StudyReadings, *, tolerance_m: float | None = None) -> StudyResult:
    """Work a study out by both methods.

    Parameters
    ----------
    readings : balanced readings; one appraiser alone gives no AV, one part alone no PV
    tolerance_m : full width of the tolerance that the gauge is to serve, if there is one

    Raises BlockwrightError for a tolerance that is not wider than nil.
    """
    if tolerance_m is not None and not 0 < tolerance_m < math.inf:
        what = "A tolerance must be wider than nil."
        raise BlockwrightError(Problem("study-tolerance", what, "Give its full width, for example 0.02 mm."))
    ranges, anova = average_and_range(readings), analysis_of_variance(readings)
    return StudyResult(
        readings=readings,
        ranges=ranges,
        anova=anova,
        mean_range_m=mean_range_m(readings),
        range_limit_m=range_limit_m(readings),
        flagged=wide_cells(readings),
        tolerance_m=tolerance_m,
        notes=tuple(_notes(readings, ranges, anova)),
    )


def grade(percent: float) -> Grade:
    """The grade of a percentage of all that is seen, or of the tolerance."""
    return Grade.SMALL if percent < SMALL_BELOW else Grade.LARGE if percent > LARGE_ABOVE else Grade.MIDDLING


def headline(result: StudyResult) -> str:
    """The study in a sentence or two of plain words, from the analysis of variance."""
    spread = result.anova.spread
    share = spread.percent(spread.grr_m)
    if spread.pv_m is None:
        said = "One part only: this shows how the gauge repeats, not how well it tells parts apart."
    elif share is None:
        said = "Every reading is the same: the gauge's step is too coarse to show its own spread."
    elif not spread.grr_m:
        said = "The gauge shows no spread of its own: its step is too coarse to show it."
    else:
        said = f"The gauge's own spread is {share:.0f} % of all the spread you see: {grade(share)}. {_sorting(spread.classes or 0)}"
    taken = result.percent_of_tolerance(spread.grr_m)
    return said if taken is None else f"{said} It takes up {taken:.0f} % of the tolerance: {grade(taken)}."


def _sorting(classes: int) -> str:
    if classes < 2:
        return "It cannot tell these parts apart."
    if classes == 2:
        return "It tells big parts from small ones, no finer."
    verdict = "good for choosing parts" if classes >= ENOUGH_CLASSES else "too few to choose parts by"
    return f"It sorts these parts into {classes} classes: {verdict}."


def _notes(readings: StudyReadings, ranges: Breakdown, anova: Anova) -> Iterator[str]:
    yield from _comparison(ranges, anova.spread)
    yield from _interaction(anova)
    for name in anova.nil:
        yield f"The spread {WORDS[name]} came out below nil, which happens when the repeats hide it: set to nil."
    if ranges.av_m is None:
        yield "One hand only: nothing shows how hands differ. What it says holds for that hand."
    elif ranges.av_m == 0 < ranges.ev_m and "av_m" not in anova.nil:
        yield "By average and range the spread hand to hand is hidden by the repeats: set to nil."
    if ranges.pv_m is None:
        yield "One part only: nothing shows how parts differ, so there are no percentages and no classes."
    elif len(readings.parts) < FEW_PARTS:
        yield (
            f"{len(readings.parts)} parts only: they say little of how parts differ, so the percentages and classes are rough. "
            f"{FEW_PARTS} or more are usual."
        )
    still = float((readings.ranges_m == 0).mean())
    if still > MANY_STILL_CELLS:
        yield f"In {100 * still:.0f} % of the cells all trials read the same: the step is too coarse for this study, and the true spread is larger."
    if anova.ev_dof < FEW_DOF:
        yield f"Few repeats: {anova.ev_dof} degrees of freedom. The bounds of the repeatability are wide; more repeats narrow them."


def _interaction(anova: Anova) -> Iterator[str]:
    both = anova.row("appraiser x part")
    if both is None or both.p is None:
        return
    chance = f"p = {both.p:.2g}"
    if anova.pooled:
        yield f"No sign that some hands read some parts otherwise ({chance}): that part is pooled with the repeats."
    elif both.p > SIGNIFICANT_P:
        yield (
            f"Whether some hands read some parts otherwise cannot be told ({chance}): "
            "that part is kept apart, and counted with the gauge, to be on the safe side. Average and range cannot see it."
        )
    else:
        yield (
            f"Some hands read some parts otherwise ({chance}): kept apart, and counted with the gauge. "
            "Average and range cannot see it."
        )


def _comparison(ranges: Breakdown, anova: Breakdown) -> Iterator[str]:
    pairs = {
        "the gauge in all": (ranges.grr_m, anova.grr_m),
        "part to part": (ranges.pv_m, anova.pv_m),
    }
    parted = {
        name: abs(a - b) / max(a, b)
        for name, (a, b) in pairs.items()
        if a is not None and b is not None and max(a, b) > 0
    }
    said = [f"{name} by {100 * difference:.2g} %" for name, difference in parted.items() if difference > ALIKE]
    if ranges.classes != anova.classes:
        said.append(f"classes {ranges.classes} by average and range, {anova.classes} by analysis of variance")
    if said:
        yield (
            f"The two methods differ: {', '.join(said)}. "
            "Ranges use only the two ends of each set of trials, the analysis of variance uses all of them."
        )
    elif parted:
        yield "The two methods agree within half a per cent."
