"""Repeatability studies: the range factors by other routes, the analysis of variance by least squares, and what must not matter."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from blockwright.metrology.range_factors import limit_per_range, range_moments, sd_per_range
from blockwright.metrology.study import Grade, StudyReadings, assess_study, grade, headline
from blockwright.metrology.study_methods import analysis_of_variance, average_and_range, range_limit_m
from blockwright.problems import BlockwrightError

MICRON = 1e-6


def readings(values_m: np.ndarray) -> StudyReadings:
    hands, parts = np.shape(values_m)[:2]
    return StudyReadings(tuple(f"hand {i}" for i in range(hands)), tuple(f"P{j}" for j in range(parts)), values_m)


def drawn(seed: int, shape: tuple[int, int, int], *, hand=2.0, part=5.0, both=0.0, repeat=1.0) -> StudyReadings:
    """Normal readings about 86 mm with these spreads in microns."""
    rng = np.random.default_rng(seed)
    hands, parts, _ = shape
    microns = (
        hand * rng.normal(size=(hands, 1, 1))
        + part * rng.normal(size=(1, parts, 1))
        + both * rng.normal(size=(hands, parts, 1))
        + repeat * rng.normal(size=shape)
    )
    return readings(0.086 + MICRON * microns)


class TestRangeFactors:
    @pytest.mark.parametrize(
        ("size", "mean"),
        [
            (2, 2 / math.sqrt(math.pi)),
            (3, 3 / math.sqrt(math.pi)),
            (4, 3 / math.sqrt(math.pi) * (1 + 2 / math.pi * math.asin(1 / 3))),
            (5, 5 / math.sqrt(math.pi) * (0.5 + 3 / math.pi * math.asin(1 / 3))),
        ],
    )
    def test_mean_range_in_closed_form(self, size: int, mean: float) -> None:
        assert range_moments(size).mean == pytest.approx(mean, rel=1e-10)

    @pytest.mark.parametrize(("size", "square"), [(2, 2.0), (3, 2 + 3 * math.sqrt(3) / math.pi)])
    def test_mean_square_range_in_closed_form(self, size: int, square: float) -> None:
        moments = range_moments(size)
        assert moments.mean**2 + moments.sd**2 == pytest.approx(square, rel=1e-10)

    @pytest.mark.parametrize("size", [2, 3, 6, 10, 25])
    def test_moments_by_tippetts_integrals(self, size: int) -> None:
        """E R from the two extremes, E R^2 from their joint distribution: neither uses the distribution of the range."""
        below = stats.norm.cdf
        mean, _ = integrate.quad(lambda x: 1 - below(x) ** size - below(-x) ** size, -10, 10)
        x = np.linspace(-9, 9, 1801)
        low, high = np.meshgrid(x, x, indexing="ij")
        joint = 1 - below(high) ** size - below(-low) ** size + (below(high) - below(low)) ** size
        weight = np.where(high > low, 1.0, np.where(high == low, 0.5, 0.0))
        square = 2 * float((joint * weight).sum()) * (x[1] - x[0]) ** 2
        assert range_moments(size).mean == pytest.approx(mean, rel=1e-8)
        assert range_moments(size).mean ** 2 + range_moments(size).sd ** 2 == pytest.approx(square, rel=2e-5)

    def test_the_factor_falls_to_that_of_the_mean_range(self) -> None:
        one, few, many = (sd_per_range(3, ranges) for ranges in (1, 15, 16))
        assert one < few < many == sd_per_range(3, 1000)
        assert many / few - 1 < 0.01

    def test_rough_limits_of_d4(self) -> None:
        limits = [limit_per_range(size) for size in (2, 3, 5, 10, 25)]
        assert limits == sorted(limits, reverse=True)
        assert limits[0] == pytest.approx(1 + 3 * math.sqrt(math.pi / 2 - 1), rel=1e-9)

    def test_one_reading_has_no_range(self) -> None:
        with pytest.raises(ValueError, match="two readings"):
            range_moments(1)


def residual(columns: list[np.ndarray], values: np.ndarray) -> tuple[float, int]:
    """Residual sum of squares of a least-squares fit, and the rank of its design."""
    design = np.column_stack(columns)
    solution, _, rank, _ = np.linalg.lstsq(design, values, rcond=None)
    return float(((values - design @ solution) ** 2).sum()), int(rank)


def indicators(labels: np.ndarray) -> list[np.ndarray]:
    return [(labels == label).astype(float) for label in np.unique(labels)]


@pytest.mark.parametrize("shape", [(2, 2, 2), (3, 10, 3), (2, 5, 4), (1, 6, 3), (4, 1, 2)])
def test_sums_of_squares_by_least_squares(shape: tuple[int, int, int]) -> None:
    """Each line is what its factor takes off the residual of the fit before it."""
    study = drawn(7, shape, both=1.5)
    parts = shape[1]
    hand, part = (grid.ravel() for grid in np.indices(shape)[:2])
    values = (study.values_m.ravel() - 0.086) / MICRON
    one = [np.ones(values.size)]
    fits = {
        "nothing": residual(one, values),
        "appraisers": residual(one + indicators(hand), values),
        "parts": residual(one + indicators(part), values),
        "additive": residual(one + indicators(hand) + indicators(part), values),
        "cells": residual(one + indicators(hand * parts + part), values),
    }

    def taken(before: str, after: str) -> tuple[float, int]:
        return fits[before][0] - fits[after][0], fits[after][1] - fits[before][1]

    expected = {
        "appraisers": taken("nothing", "appraisers"),
        "parts": taken("nothing", "parts"),
        "appraiser x part": taken("additive", "cells"),
        "repeats": (fits["cells"][0], values.size - fits["cells"][1]),
        "total": (fits["nothing"][0], values.size - 1),
    }
    anova = analysis_of_variance(study)
    for source, (squares, dof) in expected.items():
        row = anova.row(source)
        if dof == 0:
            assert row is None
            continue
        assert row is not None
        assert row.dof == dof
        assert row.ss_m2 / MICRON**2 == pytest.approx(squares, rel=1e-6)


def test_f_and_p_of_a_kept_interaction() -> None:
    anova = analysis_of_variance(drawn(3, (3, 8, 3), both=3.0))
    both, repeats, hands = (anova.row(name) for name in ("appraiser x part", "repeats", "appraisers"))
    assert both is not None
    assert repeats is not None
    assert hands is not None
    assert anova.pooled is False
    assert anova.row("pooled repeats") is None
    assert both.p == pytest.approx(stats.f.sf(both.ms_m2 / repeats.ms_m2, both.dof, repeats.dof), rel=1e-9)
    assert hands.f == pytest.approx(hands.ms_m2 / both.ms_m2, rel=1e-12)
    assert anova.ev_dof == repeats.dof == 48


def test_spreads_come_out_as_they_were_put_in() -> None:
    """Mean squared spreads over many studies, against the truth, within four standard errors: all four components are unbiased."""
    truth = {"ev_m": 1.0, "av_m": 4.0, "interaction_m": 3.0, "pv_m": 6.0}
    squares: dict[str, list[float]] = {name: [] for name in truth}
    for seed in range(400):
        study = drawn(seed, (6, 8, 3), hand=4.0, part=6.0, both=3.0, repeat=1.0)
        spread = analysis_of_variance(study).spread
        for name in truth:
            squares[name].append((getattr(spread, name) / MICRON) ** 2)
    for name, sigma in truth.items():
        error = np.std(squares[name], ddof=1) / math.sqrt(len(squares[name]))
        assert abs(np.mean(squares[name]) - sigma**2) < 4 * error
        assert error < 0.05 * sigma**2


def test_ranges_give_the_repeats_as_they_were_put_in() -> None:
    found = [average_and_range(drawn(seed, (3, 6, 3))).ev_m / MICRON for seed in range(400)]
    assert np.mean(found) == pytest.approx(1.0, abs=4 * np.std(found) / 20)


microns = st.integers(-400, 400).map(lambda step: 0.1 * step)


@st.composite
def studies(draw: st.DrawFn) -> StudyReadings:
    shape = tuple(draw(st.integers(low, 4)) for low in (1, 1, 2))
    count = math.prod(shape)
    values = draw(st.lists(microns, min_size=count, max_size=count))
    return readings(0.05 + MICRON * np.array(values).reshape(shape))


def spreads(study: StudyReadings) -> np.ndarray:
    result = assess_study(study)
    names = ("ev_m", "av_m", "interaction_m", "grr_m", "pv_m", "tv_m")
    found = [getattr(method, name) for method in (result.ranges, result.anova.spread) for name in names]
    return np.array([math.nan if size is None else size for size in found])


def same(a: np.ndarray, b: np.ndarray, scale: float) -> bool:
    """Equal but for rounding. A root near nil magnifies it: the squares are compared on the scale of the largest."""
    return np.allclose(a**2, b**2, rtol=1e-6, atol=1e-7 * scale**2, equal_nan=True)


def widest(study: StudyReadings) -> float:
    return max(float(np.ptp(study.values_m)), 1e-9)


def undecided(study: StudyReadings) -> bool:
    """Whether rounding could tip the pooling either way."""
    row = analysis_of_variance(study).row("appraiser x part")
    return row is not None and row.p is not None and abs(row.p - 0.25) < 1e-6


@given(studies(), st.floats(-0.04, 0.04))
def test_another_size_changes_nothing(study: StudyReadings, offset_m: float) -> None:
    moved = StudyReadings(study.appraisers, study.parts, study.values_m + offset_m)
    assert undecided(study) or same(spreads(study), spreads(moved), widest(study))


@given(studies(), st.floats(0.5, 20))
def test_spreads_scale_with_the_readings(study: StudyReadings, factor: float) -> None:
    scaled = StudyReadings(study.appraisers, study.parts, study.values_m * factor)
    assert undecided(study) or same(spreads(study) * factor, spreads(scaled), factor * widest(study))


@given(studies(), st.randoms(use_true_random=False))
def test_the_order_of_trials_parts_and_hands_changes_nothing(study: StudyReadings, random) -> None:
    values = study.values_m.copy()
    for cell in values.reshape(-1, study.trials):
        random.shuffle(cell)
    hands, parts = (random.sample(range(n), n) for n in values.shape[:2])
    shuffled = readings(values[hands][:, parts])
    assert undecided(study) or same(spreads(study), spreads(shuffled), widest(study))


@given(studies())
def test_spreads_add_up_as_squares(study: StudyReadings) -> None:
    for method in (assess_study(study).ranges, assess_study(study).anova.spread):
        gauge = method.ev_m**2 + (method.av_m or 0) ** 2 + (method.interaction_m or 0) ** 2
        assert method.grr_m**2 == pytest.approx(gauge, rel=1e-12)
        if method.tv_m is not None and method.pv_m is not None:
            assert method.tv_m**2 == pytest.approx(gauge + method.pv_m**2, rel=1e-12)


@given(studies())
def test_lines_add_up_to_the_total(study: StudyReadings) -> None:
    rows = {row.source: row for row in analysis_of_variance(study).rows if row.source != "pooled repeats"}
    total = rows.pop("total")
    assert total.dof == sum(row.dof for row in rows.values())
    assert total.ss_m2 == pytest.approx(
        study.values_m.size * float(np.var(study.values_m)), rel=1e-6, abs=1e-14 * MICRON**2
    )


class TestSmallStudies:
    def test_one_hand_on_one_part_gives_plain_repeatability(self) -> None:
        values = 0.086 + MICRON * np.array([0.0, 1.0, -1.0, 0.4, 2.0])
        result = assess_study(readings(values.reshape(1, 1, 5)), tolerance_m=20 * MICRON)
        s = float(np.std(values, ddof=1))
        assert result.repeatability.s_m == pytest.approx(s, rel=1e-9)
        assert result.repeatability.dof == 4
        assert result.ranges.ev_m == pytest.approx(3 * MICRON * sd_per_range(5), rel=1e-9)
        for method in (result.ranges, result.anova.spread):
            assert (method.av_m, method.pv_m, method.tv_m, method.classes) == (None, None, None, None)
            assert method.percent(method.ev_m) is None
        assert result.percent_of_tolerance(result.anova.spread.grr_m) == pytest.approx(
            600 * s / (20 * MICRON), rel=1e-9
        )
        assert result.flagged == ()
        assert result.range_limit_m is None
        assert headline(result).startswith("One part only")

    def test_one_hand_has_no_spread_hand_to_hand(self) -> None:
        result = assess_study(drawn(5, (1, 6, 3)))
        assert result.ranges.av_m is result.anova.spread.av_m is result.anova.spread.interaction_m is None
        assert result.anova.pooled is None
        assert result.repeatability.dof == 12
        assert result.ranges.pv_m
        assert any(note.startswith("One hand only") for note in result.notes)

    def test_one_part_has_no_spread_part_to_part(self) -> None:
        study = drawn(5, (3, 1, 4))
        spread = assess_study(study).anova.spread
        cells = study.values_m[:, 0, :]
        within = float(cells.var(axis=1, ddof=1).mean())
        assert spread.pv_m is None
        assert spread.ev_m == pytest.approx(math.sqrt(within), rel=1e-9)
        assert spread.av_m == pytest.approx(math.sqrt(float(cells.mean(axis=1).var(ddof=1)) - within / 4), rel=1e-6)

    @pytest.mark.parametrize(("parts", "trials", "told"), [(3, 2, False), (4, 2, True), (2, 3, False), (3, 3, True)])
    def test_too_few_cells_have_no_limit(self, parts: int, trials: int, told: bool) -> None:
        """n ranges of which all but one are nil have their largest at n times their mean: it passes D4 only if n does."""
        assert (range_limit_m(drawn(1, (1, parts, trials))) is not None) is told


class TestNoSpread:
    def test_readings_all_alike(self) -> None:
        result = assess_study(readings(np.full((2, 3, 2), 0.0861)))
        for method in (result.ranges, result.anova.spread):
            assert method.grr_m == method.tv_m == 0
            assert method.classes is method.percent(method.grr_m) is None
        assert result.flagged == ()
        assert result.repeatability.s_m == 0
        assert headline(result).startswith("Every reading is the same")

    def test_parts_differ_but_the_gauge_shows_nothing(self) -> None:
        values = np.broadcast_to(np.array([0.0861, 0.0862, 0.0864])[None, :, None], (2, 3, 2))
        result = assess_study(readings(values))
        assert result.anova.spread.grr_m == 0
        assert result.anova.spread.pv_m == pytest.approx(float(np.std([0.0861, 0.0862, 0.0864], ddof=1)), rel=1e-9)
        assert result.anova.spread.classes is None
        assert "no spread of its own" in headline(result)
        assert any("too coarse" in note for note in result.notes)

    def test_rounding_of_the_numbers_is_no_spread(self) -> None:
        values = np.full((1, 4, 2), 0.0861)
        values[:, :, 1] = np.nextafter(0.0861, 1)
        result = assess_study(readings(values))
        assert result.ranges.ev_m == 0
        assert result.anova.spread.ev_m == 0

    def test_a_negative_spread_is_set_to_nil_and_said(self) -> None:
        values = np.array([[[-2.0, 2.0], [-2.0, 2.0]], [[-2.0, 2.0], [-2.0, 2.0]]])
        result = assess_study(readings(0.086 + MICRON * values))
        assert result.anova.spread.av_m == result.anova.spread.pv_m == 0
        assert set(result.anova.nil) == {"av_m", "pv_m"}
        assert sum("below nil" in note for note in result.notes) == 2
        assert "cannot tell these parts apart" in headline(result)


class TestWhatIsSaid:
    def test_an_interaction_is_kept_and_said(self) -> None:
        result = assess_study(drawn(3, (3, 8, 3), both=3.0))
        assert result.anova.spread.interaction_m
        assert any("read some parts otherwise" in note and "kept apart" in note for note in result.notes)

    def test_only_a_significant_interaction_is_called_a_sign(self) -> None:
        """Kept apart above p = 0.25 for safety; said outright only under 0.05."""
        told = {True: 0, False: 0}
        for seed in range(40):
            result = assess_study(drawn(seed, (3, 8, 3), both=0.7))
            row = result.anova.row("appraiser x part")
            assert row is not None
            assert row.p is not None
            if result.anova.pooled:
                continue
            outright = any(note.startswith("Some hands read some parts otherwise") for note in result.notes)
            assert outright == (row.p <= 0.05)
            assert outright != any("cannot be told" in note for note in result.notes)
            told[outright] += 1
        assert min(told.values()) > 0, "both cases must have come up"

    @pytest.mark.parametrize(("parts", "few"), [(2, True), (4, True), (5, False), (10, False)])
    def test_few_parts_are_said_to_tell_little(self, parts: int, few: bool) -> None:
        result = assess_study(drawn(1, (2, parts, 3)))
        assert any(note.startswith(f"{parts} parts only: they say little") for note in result.notes) == few

    def test_methods_that_agree_say_so(self) -> None:
        """Ranges in the proportion x:1 that makes both EV equal, (1 + x^2)/2 = pi/2 ((1 + x)/2)^2, and parts to match."""
        x = max(np.roots([1 - math.pi / 4, -math.pi / 2, 1 - math.pi / 4]).real)
        half = np.where(np.arange(20) % 2, 0.5, 0.5 * x)
        middle = stats.norm.ppf((np.arange(1, 19) - 0.375) / 18.25)

        def study(inner: float) -> StudyReadings:
            places = 30 * np.concatenate([[-2.2], inner * middle, [2.2]])
            return readings(0.086 + MICRON * np.stack([places - half, places + half], axis=-1)[None])

        def parted(inner: float) -> float:
            result = assess_study(study(inner))
            return result.ranges.pv_m / result.anova.spread.pv_m - 1

        agreeing = assess_study(study(optimize.brentq(parted, 0.3, 1.1)))
        assert agreeing.notes[0] == "The two methods agree within half a per cent."
        assert assess_study(study(0.3)).notes[0].startswith("The two methods differ: part to part by 34 %, ")

    @pytest.mark.parametrize(
        ("part", "words"),
        [
            (0.9, "cannot tell these parts apart"),
            (1.6, "big parts from small ones"),
            (2.6, "3 classes: too few to choose parts by"),
            (9.0, "12 classes: good for choosing parts"),
        ],
    )
    def test_classes_in_words(self, part: float, words: str) -> None:
        rng = np.random.default_rng(0)
        noise, places = rng.normal(size=(1, 40, 3)), rng.normal(size=(1, 40, 1))
        noise -= noise.mean(axis=2, keepdims=True)
        noise /= math.sqrt(float((noise**2).sum()) / 80)
        places = (places - places.mean()) / float(np.std(places, ddof=1)) * math.sqrt(part**2 + 1 / 3)
        result = assess_study(readings(0.086 + MICRON * (noise + places)))
        assert result.anova.spread.pv_m == pytest.approx(part * MICRON, rel=1e-6)
        assert words in headline(result)

    def test_grades(self) -> None:
        assert [grade(p) for p in (0, 9.99, 10, 30, 30.01, 400)] == [
            Grade.SMALL,
            Grade.SMALL,
            Grade.MIDDLING,
            Grade.MIDDLING,
            Grade.LARGE,
            Grade.LARGE,
        ]

    def test_bounds_of_the_repeatability(self) -> None:
        repeatability = assess_study(drawn(5, (1, 6, 3))).repeatability
        low, high = repeatability.bounds_m
        assert (repeatability.s_m / low) ** 2 * 12 == pytest.approx(stats.chi2.ppf(0.975, 12), rel=1e-9)
        assert (repeatability.s_m / high) ** 2 * 12 == pytest.approx(stats.chi2.ppf(0.025, 12), rel=1e-9)

    def test_bounds_hold_the_truth_as_often_as_they_say(self) -> None:
        held = 0
        for seed in range(600):
            low, high = assess_study(drawn(seed, (1, 4, 3))).repeatability.bounds_m
            held += low < MICRON < high
        assert abs(held / 600 - 0.95) < 4 * math.sqrt(0.95 * 0.05 / 600)

    def test_a_wide_cell_is_flagged(self) -> None:
        values = drawn(2, (2, 6, 3)).values_m.copy()
        values[1, 4, 0] += 30 * MICRON
        assert assess_study(readings(values)).flagged == (("hand 1", "P4"),)


def refused(**changed: object) -> list[str]:
    given = {"appraisers": ("A", "B"), "parts": ("1", "2"), "values_m": np.zeros((2, 2, 2))} | changed
    with pytest.raises(BlockwrightError) as caught:
        StudyReadings(**given)
    return [problem.code for problem in caught.value.problems]


class TestRefused:
    @pytest.mark.parametrize("shape", [(2, 2), (2, 3, 2), (0, 2, 2), (3, 2, 2)])
    def test_names_that_do_not_go_with_the_values(self, shape: tuple[int, ...]) -> None:
        assert refused(values_m=np.zeros(shape)) == ["study-shape"]

    def test_no_appraiser(self) -> None:
        assert refused(appraisers=(), values_m=np.zeros((0, 2, 2))) == ["study-shape"]

    @pytest.mark.parametrize("trials", [0, 1])
    def test_a_single_trial(self, trials: int) -> None:
        assert refused(values_m=np.zeros((2, 2, trials))) == ["study-one-trial"]

    @pytest.mark.parametrize("value", [math.nan, math.inf])
    def test_no_number(self, value: float) -> None:
        values = np.zeros((2, 2, 2))
        values[1, 0, 1] = value
        assert refused(values_m=values) == ["study-not-a-number"]

    def test_one_name_for_two_and_no_number_at_once(self) -> None:
        codes = refused(appraisers=("A", "A"), parts=("1", "1"), values_m=np.full((2, 2, 2), math.nan))
        assert codes == ["study-name-twice", "study-name-twice", "study-not-a-number"]

    @pytest.mark.parametrize("tolerance_m", [0.0, -1e-5, math.nan, math.inf])
    def test_a_tolerance_of_nothing(self, tolerance_m: float) -> None:
        with pytest.raises(BlockwrightError, match="wider than nil"):
            assess_study(drawn(1, (1, 2, 2)), tolerance_m=tolerance_m)


def test_readings_cannot_be_altered() -> None:
    mine = np.zeros((1, 2, 2))
    study = readings(mine)
    mine[0, 0, 0] = 1
    assert study.values_m.max() == 0
    with pytest.raises(ValueError, match="read-only"):
        study.values_m[0, 0, 0] = 1
