"""A fit's whole story: every reading, every share, every source, and none of it rounded into another verdict."""

from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.choices.settle import settle
from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder
from blockwright.engine.rules import Accepted, Authority, LimitRule, Record
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.fit import Found
from blockwright.fits.limits import Bound, Limits
from blockwright.fits.registry import REGISTRY
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.evaluate import Size
from blockwright.metrology.verdict import Rule, Verdict, chances, decide
from blockwright.quantities import Kind, parse
from blockwright.report.story import CAUSE_WORDS, Story, story_of
from blockwright.running.assess import assess, judge

WALL = REGISTRY["wall clearance"]
MADE = {
    Verdict.CONFORMS: Standing.CONFORMS,
    Verdict.UNDECIDED: Standing.UNDECIDED,
    Verdict.NONCONFORMING: Standing.NONCONFORMING,
}


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


HARBOUR = demo("harbour")
RESULTS = assess(HARBOUR).results
FOUND = [result for result in RESULTS if result.found]


def told(result: FitResult, unit: str = "") -> Story:
    return story_of(HARBOUR, result, unit)


def one(fit: str, at: str) -> FitResult:
    [found] = [result for result in RESULTS if (result.fit.name, str(result.position)) == (fit, at)]
    return found


def made(value: float, low: float, high: float, u: float = 2e-6, hard: bool = True) -> FitResult:
    """A wall clearance judged from a value alone."""
    estimate = Estimate(value, {Source(Cause.CALIBRATION, "M1"): Share(u)})
    limits = Limits(Bound(low, Authority.MAKER, "sheet", hard), Bound(high, Authority.MAKER, "sheet", hard))
    standing = MADE[decide(estimate, low, high, Rule())]
    return FitResult(
        WALL, cylinder(1), limits, standing, Found(estimate, ()), chances=chances(estimate, low, high), remedy="hone it"
    )


def test_every_reading_behind_a_fit_is_told_with_its_gauge() -> None:
    for result in FOUND:
        assert result.found is not None
        story = told(result)
        assert [line.role for line in story.sizes] == [role for role, _ in result.found.sizes]
        for line, (_, size) in zip(story.sizes, result.found.sizes, strict=True):
            assert len(line.readings) == len(size.readings)
            for text, reading in zip(line.readings, size.readings, strict=True):
                assert text.startswith(f"{reading.id}: {reading.text}")
                assert reading.gauge in text
                assert not reading.setting or f"on {reading.setting}" in text


def test_the_budget_is_whole() -> None:
    """Shares of the variance add up to one, largest first."""
    for result in FOUND:
        budget = told(result).budget
        if result.estimate.u:
            assert sum(line.share for line in budget) == pytest.approx(1.0, rel=1e-9)
        assert [line.share for line in budget] == sorted((line.share for line in budget), reverse=True)
        assert all(line.owner for line in budget)


def test_every_cause_has_words() -> None:
    assert set(CAUSE_WORDS) == set(Cause)
    assert len(set(CAUSE_WORDS.values())) == len(Cause)


def test_every_source_is_told_and_those_that_decide_are_marked() -> None:
    for result in RESULTS:
        sources = told(result).sources
        assert len(sources) == len(result.limits.offers)
        deciding = {bound.authority for bound in (result.limits.low, result.limits.high) if bound}
        marked = {offer.authority for offer, (_, decides) in zip(result.limits.offers, sources, strict=True) if decides}
        assert marked == deciding
        for offer, (text, _) in zip(result.limits.offers, sources, strict=True):
            assert text.startswith(f"{offer.authority}: ")
            assert offer.source in text


def test_a_source_without_a_name_is_not_taken_for_another() -> None:
    """Two rules that name no source: only the builder's decides, and only it is marked."""
    rules = (LimitRule(fit=WALL.name, authority=Authority.MAKER, low_si=100e-6, high_si=150e-6),
             LimitRule(fit=WALL.name, authority=Authority.BUILDER, low_si=110e-6, high_si=140e-6))  # fmt: skip
    job = replace(HARBOUR, sheet=replace(HARBOUR.sheet, limit=rules))
    story = story_of(job, judge(job, WALL, cylinder(2)))
    assert [(text.partition(":")[0], decides) for text, decides in story.sources][:2] == [
        ("builder", True),
        ("part maker", False),
    ]


def test_what_is_well_needs_neither_remedy_nor_settling() -> None:
    for result in RESULTS:
        story = told(result)
        asks = result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED)
        assert bool(story.remedy) <= asks
        assert bool(story.settle) <= (result.standing is Standing.UNDECIDED)
        assert story.settle == settle(HARBOUR, result)


def test_an_open_fit_tells_what_is_missing_and_invents_nothing() -> None:
    story = told(one("wall clearance", "cylinder 1"))
    assert story.missing
    assert (story.value, story.chances, story.sizes, story.budget, story.dof) == ("", "", (), (), "")
    assert story.limits


def test_harm_is_told_of_the_side_that_is_passed() -> None:
    small, large = made(90e-6, 100e-6, 150e-6), made(160e-6, 100e-6, 150e-6, hard=False)
    assert told(small).hurts == f"{WALL.when_low} (hard side)"
    assert told(large).hurts == f"{WALL.when_high} (soft side)"
    well = told(made(125e-6, 100e-6, 150e-6)).hurts
    assert WALL.when_low in well
    assert WALL.when_high in well


@given(value=st.floats(60e-6, 190e-6), u=st.floats(0.2e-6, 20e-6))
def test_chances_are_never_rounded_over_the_level(value: float, u: float) -> None:
    """`95 % inside` is only said of a fit that conforms at 95 %."""
    result = made(value, 100e-6, 150e-6, u)
    assert result.chances is not None
    parts = {words: text for text, words in (part.split(" % ") for part in told(result).chances.split(", "))}
    known = {
        "under the low limit": result.chances.below,
        "inside": result.chances.inside,
        "over the high limit": result.chances.above,
    }
    for words, chance in known.items():
        text = parts[words]
        if text.startswith("under "):
            assert chance < 0.001
        elif text.startswith("over "):
            assert chance > 0.999
        else:
            assert (float(text) >= 95.0) == (chance >= 0.95), text
            assert float(text) == pytest.approx(100.0 * chance, abs=0.06)


def test_a_chance_just_under_the_level_shows_its_digits() -> None:
    """1.6445 standard uncertainties over the limit: 94.996 % by the normal's table (1.6449 gives 95 %)."""
    result = made(100e-6 + 1.6445 * 2e-6, 100e-6, 200e-6)
    assert result.standing is Standing.UNDECIDED
    assert ", 95.0 % inside" not in f", {told(result).chances}"
    assert "95 % inside" not in told(result).chances
    assert " 94.996 % inside" in told(result).chances


def test_temperature_corrections_are_told_where_they_are_felt() -> None:
    for result in FOUND:
        assert result.found is not None
        for line, (_, size) in zip(told(result).sizes, result.found.sizes, strict=True):
            moved = _mean_correction(size)
            assert bool(line.correction) == (abs(moved) >= 0.05e-6)
            if line.correction:
                said = parse(line.correction.removesuffix(" to 20 °C"), Kind.LENGTH, signed=True).si
                assert said == pytest.approx(moved, abs=0.006e-6)


def _mean_correction(size: Size) -> float:
    amounts = [correction.amount for correction in size.corrections]
    return sum(amounts) / len(amounts) if amounts else 0.0


def test_few_degrees_of_freedom_are_said_and_many_are_not() -> None:
    result = made(120e-6, 100e-6, 150e-6)
    few = replace(result, found=Found(Estimate(120e-6, {Source(Cause.REPEATABILITY, "x"): Share(2e-6, 4.0)}), ()))
    assert told(few).dof == "4 degrees of freedom"
    assert told(result).dof == ""


def test_a_signature_is_told_with_its_date_and_whether_it_is_sealed() -> None:
    known = one("rod side", "throw 3")
    assert known.record is not None
    text = told(known).signed
    for part in (
        str(known.record.event),
        known.record.by,
        str(known.record.when),
        known.record.value_text,
        known.record.why,
    ):
        assert part in text
    assert "not sealed" not in text
    by_hand = Record(1, Accepted.CONCESSION, WALL.name, "cylinder 1", 9e-5, "0.090 mm", "Ann", None, "so")
    assert (
        told(replace(made(90e-6, 100e-6, 150e-6), record=by_hand)).signed
        == "concession by Ann at 0.090 mm: so (not sealed)"
    )


@pytest.mark.parametrize("unit", ["um", "thou", "in"])
def test_another_unit_changes_only_what_lengths_look_like(unit: str) -> None:
    for result in FOUND:
        plain, other = told(result), told(result, unit)
        assert (plain.verdict, plain.chances, plain.formula, plain.notes, plain.dof) == (
            other.verdict, other.chances, other.formula, other.notes, other.dof
        )  # fmt: skip
        if result.fit.kind is Kind.LENGTH:
            assert other.value.endswith(f" {unit}")
            seen = parse(other.value.partition(" ±")[0], Kind.LENGTH, unit=unit, signed=True).si
            assert seen == pytest.approx(result.estimate.value, abs=max(0.5 * result.estimate.u, 0.6e-6))
