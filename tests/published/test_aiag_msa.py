"""AIAG, Measurement Systems Analysis, 4th edition, 2010: the worked study of ten parts, three appraisers and three trials.

Data and results: chapter III, section B (average and range: figures of the data sheet and of the report) and the analysis of
variance of the same data. The data were typed from the source. The printed results of average and range were worked out there from
rounded averages; they are met to 5e-4 of themselves. "Unrounded" are the same formulae with the printed factors K1, K2, K3, computed
independently from the data; the program derives its factors, which differ from the printed ones in the fifth digit.

Skipped: the printed F of appraisers (34.44) and parts (213.52), because they are formed against the repeats alone; here they are
formed against the pooled repeats, from which the spreads come as well. The source's unit is not stated and taken as metre.
"""

import numpy as np
import pytest

from blockwright.metrology.range_factors import RangeFactors, limit_per_range, sd_per_range
from blockwright.metrology.study import Cell, StudyReadings, assess_study
from blockwright.metrology.study_methods import average_and_range

pytestmark = pytest.mark.published

APPRAISERS = ("A", "B", "C")
PARTS = tuple(str(number) for number in range(1, 11))
PRINTED = {
    "A": (
        (0.29, -0.56, 1.34, 0.47, -0.80, 0.02, 0.59, -0.31, 2.26, -1.36),
        (0.41, -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25),
        (0.64, -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31),
    ),
    "B": (
        (0.08, -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68),
        (0.25, -1.22, 0.94, 1.03, -1.20, 0.22, 0.55, 0.08, 2.12, -1.62),
        (0.07, -0.68, 1.34, 0.20, -1.28, 0.06, 0.83, -0.34, 2.19, -1.50),
    ),
    "C": (
        (0.04, -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49),
        (-0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77),
        (-0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16),
    ),
}
READINGS = StudyReadings(APPRAISERS, PARTS, np.array([np.transpose(PRINTED[name]) for name in APPRAISERS]))
RESULT = assess_study(READINGS)


@pytest.mark.parametrize(
    ("size", "printed"),
    [
        (2, 0.7071),
        (3, 0.5231),
        (4, 0.4467),
        (5, 0.4030),
        (6, 0.3742),
        (7, 0.3534),
        (8, 0.3375),
        (9, 0.3249),
        (10, 0.3146),
    ],
)
def test_k2_and_k3_by_appraisers_and_parts(size: int, printed: float) -> None:
    assert sd_per_range(size) == pytest.approx(printed, abs=5e-5)


@pytest.mark.parametrize(("trials", "printed"), [(2, 0.8862), (3, 0.5908)])
def test_k1_by_trials(trials: int, printed: float) -> None:
    assert sd_per_range(trials, ranges=30) == pytest.approx(printed, abs=5e-5)


def test_d4_for_three_trials() -> None:
    """Printed 2.574, cut off rather than rounded: the value is 2.5746."""
    assert limit_per_range(3) == pytest.approx(2.574, abs=1e-3)


@pytest.mark.parametrize(
    ("name", "printed"),
    [("ev_m", 0.20188), ("av_m", 0.22963), ("grr_m", 0.30575), ("pv_m", 1.10456), ("tv_m", 1.14610)],
)
def test_average_and_range_as_printed(name: str, printed: float) -> None:
    assert getattr(RESULT.ranges, name) == pytest.approx(printed, rel=5e-4)


@pytest.mark.parametrize(
    ("name", "unrounded"),
    [("ev_m", 0.201857), ("av_m", 0.229667), ("grr_m", 0.305766), ("pv_m", 1.104596), ("tv_m", 1.146135)],
)
def test_average_and_range_unrounded_with_the_printed_factors(name: str, unrounded: float) -> None:
    printed_factors = RangeFactors(k1=0.5908, k2=0.5231, k3=0.3146, d4=2.574)
    assert getattr(average_and_range(READINGS, printed_factors), name) == pytest.approx(unrounded, rel=5e-6)


@pytest.mark.parametrize(("name", "printed"), [("ev_m", 17.62), ("av_m", 20.04), ("grr_m", 26.68), ("pv_m", 96.38)])
def test_percentages_as_printed(name: str, printed: float) -> None:
    assert RESULT.ranges.percent(getattr(RESULT.ranges, name)) == pytest.approx(printed, rel=5e-4)


def test_five_classes_by_average_and_range() -> None:
    assert RESULT.ranges.classes == 5


def test_range_limit_and_the_cell_that_passes_it() -> None:
    assert RESULT.range_limit_m == pytest.approx(0.8795, rel=5e-4)
    assert RESULT.flagged == (Cell("B", "4"),)


@pytest.mark.parametrize(
    ("name", "value"),
    [("ev_m", 0.199933), ("av_m", 0.226838), ("grr_m", 0.302373), ("pv_m", 1.042327), ("tv_m", 1.0853)],
)
def test_analysis_of_variance(name: str, value: float) -> None:
    """Computed independently from the data; the print is the same, from memory."""
    assert getattr(RESULT.anova.spread, name) == pytest.approx(value, rel=5e-6)


@pytest.mark.parametrize(
    ("source", "squares", "dof"),
    [
        ("appraisers", 3.1673, 2),
        ("parts", 88.3619, 9),
        ("appraiser x part", 0.3590, 18),
        ("repeats", 2.7589, 60),
        ("total", 94.6471, 89),
    ],
)
def test_table_of_the_analysis_of_variance(source: str, squares: float, dof: int) -> None:
    """Printed sums of squares, from memory, to their last digit."""
    row = RESULT.anova.row(source)
    assert row is not None
    assert row.ss_m2 == pytest.approx(squares, abs=5e-5)
    assert row.dof == dof


def test_interaction_is_pooled() -> None:
    row = RESULT.anova.row("appraiser x part")
    assert row is not None
    assert row.f == pytest.approx(0.434, abs=5e-4)
    assert RESULT.anova.pooled is True
    assert RESULT.repeatability.dof == 78


def test_the_two_methods_differ_and_the_result_says_so() -> None:
    assert RESULT.anova.spread.classes == 4
    [said] = [note for note in RESULT.notes if "differ" in note]
    assert "classes 5 by average and range, 4 by analysis of variance" in said
