"""The two methods of a repeatability study: average and range, and analysis of variance.

Average and range: EV = Rbar K1, AV = sqrt((xdiff K2)^2 - EV^2/(n r)), PV = Rp K3, with Rbar the mean range of the cells, xdiff the
range of the appraisers' averages, Rp the range of the parts' averages, n parts and r trials; AIAG, Measurement Systems Analysis,
4th ed., 2010, chapter III B. It cannot see an interaction of appraiser and part.

Analysis of variance: two crossed factors, both random, with interaction; mean squares after D. C. Montgomery, Design and Analysis of
Experiments, chapter on random effects (from memory), and AIAG, appendix A. The interaction is pooled with the repeats when its p is
above 0.25. Appraisers and parts are tested against the interaction, or against the pooled repeats where it was pooled.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc

from blockwright.metrology.range_factors import RangeFactors, limit_per_range, range_factors
from blockwright.metrology.study_readings import Breakdown, Cell, Method, StudyReadings

POOL_ABOVE = 0.25
"""The interaction is pooled with the repeats when its p lies above this."""


@dataclass(frozen=True)
class AnovaRow:
    """One line of the analysis of variance: sum of squares and mean square in m^2; F and p where the line has a test."""

    source: str
    ss_m2: float
    dof: int
    f: float | None = None
    p: float | None = None

    @property
    def ms_m2(self) -> float:
        """Mean square, m^2."""
        return self.ss_m2 / self.dof if self.dof else 0.0


@dataclass(frozen=True, kw_only=True)
class Anova:
    """An analysis of variance.

    `pooled` is None where there is no interaction (one appraiser or one part); `nil` names the spreads that came out as the root of a
    negative number and were set to nil; `ev_dof` are the degrees of freedom of `spread.ev_m`.
    """

    rows: tuple[AnovaRow, ...]
    spread: Breakdown
    pooled: bool | None
    nil: tuple[str, ...]
    ev_dof: int

    def row(self, source: str) -> AnovaRow | None:
        """The line of this name: appraisers, parts, appraiser x part, repeats, pooled repeats, total."""
        return next((row for row in self.rows if row.source == source), None)


def average_and_range(readings: StudyReadings, factors: RangeFactors | None = None) -> Breakdown:
    """The spreads by average and range. `factors` replaces the computed K1, K2, K3 by printed ones."""
    values = readings.values_m
    k = factors or range_factors(*values.shape)
    ev = mean_range_m(readings) * k.k1
    between_hands = float(np.ptp(values.mean(axis=(1, 2))))
    between_parts = float(np.ptp(values.mean(axis=(0, 2))))
    av = None
    if k.k2 is not None:
        av = math.sqrt(max(0.0, (between_hands * k.k2) ** 2 - ev**2 / (len(readings.parts) * readings.trials)))
    pv = None if k.k3 is None else between_parts * k.k3
    return Breakdown(method=Method.RANGES, ev_m=ev, av_m=av, interaction_m=None, pv_m=pv)


def mean_range_m(readings: StudyReadings) -> float:
    """Mean of the ranges of all cells, m."""
    return float(readings.ranges_m.mean())


def range_limit_m(readings: StudyReadings) -> float | None:
    """UCL_R: the range of one cell that chance alone seldom passes, m; None where so few cells could never pass it."""
    d4 = limit_per_range(readings.trials)
    return None if readings.ranges_m.size <= d4 else d4 * mean_range_m(readings)


def wide_cells(readings: StudyReadings) -> tuple[Cell, ...]:
    """The cells whose range passes the limit, in the order of the readings."""
    limit = range_limit_m(readings)
    if limit is None:
        return ()
    found = np.argwhere(readings.ranges_m > limit + readings.rounding_m)
    return tuple(Cell(readings.appraisers[i], readings.parts[j]) for i, j in found)


def analysis_of_variance(readings: StudyReadings) -> Anova:
    """Analysis of variance of balanced readings, its spreads, and what was pooled or set to nil."""
    appraisers, parts, trials = readings.values_m.shape
    plain = {row.source: row for row in _plain_rows(readings)}
    hands, items, repeats = plain["appraisers"], plain["parts"], plain["repeats"]
    both = _tested(plain["appraiser x part"], repeats)
    pooled = None if not both.dof else both.p is None or both.p > POOL_ABOVE
    within = AnovaRow("pooled repeats", both.ss_m2 + repeats.ss_m2, both.dof + repeats.dof) if pooled else repeats
    beside = both if pooled is False else within
    squares = {
        "av_m": (hands.ms_m2 - beside.ms_m2) / (parts * trials) if appraisers > 1 else None,
        "interaction_m": None if pooled is None else 0.0 if pooled else (both.ms_m2 - repeats.ms_m2) / trials,
        "pv_m": (items.ms_m2 - beside.ms_m2) / (appraisers * trials) if parts > 1 else None,
    }
    rows = (
        _tested(hands, beside),
        _tested(items, beside),
        both,
        repeats,
        *([within] if pooled else []),
        plain["total"],
    )
    return Anova(
        rows=tuple(row for row in rows if row.dof),
        spread=Breakdown(
            method=Method.ANOVA,
            ev_m=math.sqrt(within.ms_m2),
            **{name: None if square is None else math.sqrt(max(0.0, square)) for name, square in squares.items()},
        ),
        pooled=pooled,
        nil=tuple(name for name, square in squares.items() if square is not None and square < 0),
        ev_dof=within.dof,
    )


def _plain_rows(readings: StudyReadings) -> Iterator[AnovaRow]:
    """Sums of squares and degrees of freedom, untested. Values are taken from each cell's first trial, so that equal ones cancel."""
    values = readings.values_m
    a, n, r = values.shape
    first = values[:, :, :1]
    cells = (values - first).mean(axis=2) + first[:, :, 0] - values[0, 0, 0]
    hand, part, grand = cells.mean(axis=1), cells.mean(axis=0), cells.mean()
    mixed = cells - hand[:, None] - part[None, :] + grand
    within = values - first - (values - first).mean(axis=2, keepdims=True)
    noise = values.size * readings.rounding_m**2

    def square(deviations_m: np.ndarray, times: int) -> float:
        total = times * float((deviations_m**2).sum())
        return 0.0 if total <= noise else total

    sums = (square(hand - grand, n * r), square(part - grand, a * r), square(mixed, r), square(within, 1))
    names = ("appraisers", "parts", "appraiser x part", "repeats")
    for name, total, dof in zip(names, sums, (a - 1, n - 1, (a - 1) * (n - 1), a * n * (r - 1)), strict=True):
        yield AnovaRow(name, total if dof else 0.0, dof)
    yield AnovaRow("total", sum(sums), values.size - 1)


def _tested(row: AnovaRow, against: AnovaRow) -> AnovaRow:
    """The row with its F and p against another row; without them where both are nil or the row is empty."""
    if not row.dof or not (row.ms_m2 or against.ms_m2):
        return row
    f = row.ms_m2 / against.ms_m2 if against.ms_m2 else math.inf
    p = float(fdtrc(row.dof, against.dof, f)) if math.isfinite(f) else 0.0
    return AnovaRow(row.source, row.ss_m2, row.dof, f, p)
