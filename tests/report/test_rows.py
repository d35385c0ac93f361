"""A fit as a line of text: what is shown never tells another verdict than the one that was given."""

from collections.abc import Iterator
from dataclasses import replace
from importlib import resources
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blockwright.engine.job import Job
from blockwright.engine.positions import cylinder
from blockwright.engine.rules import Accepted, Authority, Record
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.fit import Found
from blockwright.fits.limits import Bound, Limits
from blockwright.fits.registry import REGISTRY
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.estimate import Cause, Estimate, Share, Source
from blockwright.metrology.verdict import Acceptance, Rule, Verdict, decide, expanded
from blockwright.quantities import Kind, parse
from blockwright.report.fineness import limits_fineness
from blockwright.report.rows import (
    authority_text,
    blocks,
    counts_text,
    limits_text,
    mark_of,
    row,
    short_words,
    value_text,
    wanted_unit,
)
from blockwright.report.slot import Mark
from blockwright.running.assess import assess

WALL = REGISTRY["wall clearance"]
PROOF = Rule()
UNITS = ("mm", "um", "thou", "in", "tenths", "uin")
MADE = {
    Verdict.CONFORMS: Standing.CONFORMS,
    Verdict.UNDECIDED: Standing.UNDECIDED,
    Verdict.NONCONFORMING: Standing.NONCONFORMING,
}
LEAST_STEP_M = {"mm": 1e-8, "um": 1e-8, "thou": 2.54e-8, "in": 2.54e-8, "tenths": 2.54e-8, "uin": 2.54e-9}
"""One unit of the last decimal that each unit is ever shown with, from the list of units."""


def demo(name: str) -> Job:
    with resources.as_file(resources.files("blockwright.demos") / name) as folder:
        return read_folder(Path(folder)).job


@pytest.fixture(scope="module")
def harbour() -> Job:
    return demo("harbour")


def result(
    value: float, u: float, low: float | None, high: float | None, rule: Rule = PROOF, **more: object
) -> FitResult:
    """A wall clearance with this value, uncertainty and these limits, judged."""
    estimate = Estimate(value, {Source(Cause.CALIBRATION, "M1"): Share(u)} if u else {})
    bounds = [None if side is None else Bound(side, Authority.MAKER, "sheet", True) for side in (low, high)]
    limits = Limits(*bounds, aim=None if low is None or high is None else 0.5 * (low + high))
    standing = MADE[decide(estimate, low, high, rule)]
    return FitResult(WALL, cylinder(1), limits, standing, Found(estimate, ()), **more)


def shown(text: str, unit: str) -> float:
    return parse(text.strip(), Kind.LENGTH, unit=unit, signed=True).si


def marked(each: FitResult) -> Mark:
    return mark_of(each, expanded(each.estimate))


def texts(each: FitResult, unit: str) -> tuple[str, str]:
    fineness = limits_fineness([each], unit)
    return value_text(each, unit, fineness, expanded(each.estimate)), limits_text(each.limits, WALL, unit, fineness)


def sides(text: str, unit: str) -> Iterator[tuple[str, float]]:
    """The limits as a reader takes them from the text."""
    span = text.partition(",")[0].removesuffix(f" {unit}")
    if span.startswith("up to "):
        yield "high", shown(span.removeprefix("up to "), unit)
    elif span.startswith("at least "):
        yield "low", shown(span.removeprefix("at least "), unit)
    elif span:
        low, _, high = span.partition(" to ")
        yield "low", shown(low, unit)
        yield "high", shown(high, unit)


def read_as_inside(each: FitResult, unit: str) -> bool:
    """What a reader makes of value and limits as they are shown."""
    value, limits = texts(each, unit)
    seen = shown(value.partition(" ±")[0], unit)
    slack = 1e-9 * abs(seen)
    return all(seen >= bound - slack if side == "low" else seen <= bound + slack for side, bound in sides(limits, unit))


MICRONS = st.floats(0.0, 500.0)


@given(low=MICRONS, wide=st.floats(1.0, 200.0), off=st.floats(-60.0, 260.0), u=st.floats(0.01, 30.0), unit=st.sampled_from(UNITS),
       acceptance=st.sampled_from(Acceptance), open_side=st.sampled_from(["neither", "low", "high"]))  # fmt: skip
def test_what_is_shown_agrees_with_the_verdict(
    low: float, wide: float, off: float, u: float, unit: str, acceptance: Acceptance, open_side: str
) -> None:
    low_m = None if open_side == "low" else low * 1e-6
    high_m = None if open_side == "high" else (low + wide) * 1e-6
    value_m = (low + off) * 1e-6
    each = result(value_m, u * 1e-6, low_m, high_m, Rule(0.95, acceptance))
    nearest = min(abs(value_m - bound) for bound in (low_m, high_m) if bound is not None)
    if each.standing is Standing.UNDECIDED or nearest < 2.0 * LEAST_STEP_M[unit]:
        return
    assert read_as_inside(each, unit) == (each.standing is Standing.CONFORMS), texts(each, unit)


@given(low=MICRONS, off=st.floats(-3.0, 3.0), u=st.floats(0.5, 30.0), unit=st.sampled_from(UNITS))
def test_an_undecided_value_is_not_shown_on_the_other_side_of_its_limit(
    low: float, off: float, u: float, unit: str
) -> None:
    """On the limit it may be shown; a limit is not shown coarser than the value beside it for that."""
    value_m = (low + off * u) * 1e-6
    each = result(value_m, u * 1e-6, low * 1e-6, None)
    if each.standing is Standing.UNDECIDED and abs(off * u) * 1e-6 > 2.0 * LEAST_STEP_M[unit]:
        value, limits = texts(each, unit)
        [(_, bound)] = sides(limits, unit)
        apart = shown(value.partition(" ±")[0], unit) - bound
        assert apart * off >= -1e-12, (value, limits)


@pytest.mark.parametrize(("value_um", "low_um", "standing"), [
    (111.6, 111.5, Standing.CONFORMS),
    (112.2, 112.4, Standing.NONCONFORMING),
])  # fmt: skip
def test_a_limit_is_shown_finer_where_rounding_would_hide_the_verdict(
    value_um: float, low_um: float, standing: Standing
) -> None:
    """Both limits are 0.112 to three decimals: 0.1116 that conforms would lie under it, 0.1122 that does not would lie over it."""
    each = result(value_um * 1e-6, 0.04e-6, low_um * 1e-6, None)
    assert each.standing is standing
    value, limits = texts(each, "mm")
    assert value.startswith(f"{value_um / 1000:.4f}")
    assert limits.startswith(f"at least {low_um / 1000:.4f}")


def test_nothing_is_shown_finer_than_it_need_be() -> None:
    assert texts(result(94e-6, 2.4e-6, 112e-6, 142e-6), "mm") == ("0.0940 ± 0.0047", "0.112 to 0.142 mm, aim 0.127")
    assert texts(result(120e-6, 4e-6, 100e-6, None), "um") == ("120 ± 8", "at least 100 um")


def test_a_value_without_uncertainty_is_shown_as_plainly_as_its_limits() -> None:
    assert texts(result(0.0, 0.0, None, 13e-6), "mm") == ("0.000 ± 0.000", "up to 0.013 mm")


def test_rows_of_one_block_share_limits_that_suit_them_all(harbour: Job) -> None:
    """One row needs the limit to four decimals, so the limit above them all is shown so, and every row still agrees with it."""
    assessment = assess(harbour)
    near, far = result(111.6e-6, 0.04e-6, 111.5e-6, None), result(150e-6, 4e-6, 111.5e-6, None)
    [block] = blocks(replace(assessment, results=(far, near)), "mm")
    assert block.limits == "at least 0.11150 mm"
    assert [each.value.partition(" ±")[0] for each in block.rows] == ["0.150", "0.11160"]


@given(unit=st.sampled_from(["", *UNITS]))
def test_every_row_of_the_demonstrations_agrees_with_its_verdict(unit: str) -> None:
    for name in ("harbour", "hillclimb"):
        assessment = assess(demo(name))
        for each in assessment.results:
            if each.found and each.limits.known and each.fit.kind is Kind.LENGTH:
                in_unit = wanted_unit(assessment.job, each.fit, unit)
                inside = read_as_inside(each, in_unit)
                assert inside or each.standing is not Standing.CONFORMS, texts(each, in_unit)
                assert not inside or each.standing is not Standing.NONCONFORMING, texts(each, in_unit)


def test_open_sides_are_said_in_words() -> None:
    assert [limits_text(result(1e-4, 1e-6, low, high).limits, WALL, "mm", 8e-6) for low, high in (
        (50e-6, 150e-6), (50e-6, None), (None, 150e-6),
    )] == ["0.050 to 0.150 mm, aim 0.100", "at least 0.050 mm", "up to 0.150 mm"]  # fmt: skip
    assert limits_text(Limits(), WALL, "mm", 8e-6) == ""


def test_the_shops_unit_unless_another_is_wanted_for_a_length(harbour: Job) -> None:
    torque, wall = REGISTRY["turning torque"], WALL
    assert wanted_unit(harbour, wall) == unit_of(harbour, Scale.CLEARANCE) == "mm"
    assert wanted_unit(harbour, wall, "thou") == "thou"
    assert wanted_unit(harbour, torque, "thou") == "Nm"
    assert wanted_unit(harbour, REGISTRY["bore finish"], "thou") == "um"


def test_blocks_hold_every_result_once_in_the_registrys_order(harbour: Job) -> None:
    assessment = assess(harbour)
    listed = blocks(assessment)
    assert [each.result for block in listed for each in block.rows] == list(assessment.results)
    names = [block.fit.name for block in listed]
    assert names == [name for name in REGISTRY if name in names]


def test_a_block_is_quiet_only_where_nothing_asks_for_attention(harbour: Job) -> None:
    for block in blocks(assess(harbour)):
        asks = {each.result.standing for each in block.rows} & {
            Standing.OPEN,
            Standing.UNDECIDED,
            Standing.NONCONFORMING,
        }
        assert block.quiet == (not asks)


def test_limits_that_differ_by_position_are_not_shown_above(harbour: Job) -> None:
    pair = (result(1e-4, 1e-6, 50e-6, None), result(1e-4, 1e-6, 60e-6, None))
    [block] = blocks(replace(assess(harbour), results=pair))
    assert block.limits == "limits by position"


def test_an_open_fit_has_neither_value_nor_mark() -> None:
    bare = FitResult(WALL, cylinder(1), Limits(), Standing.OPEN, missing=("skirt of P1",))
    shown_row = row(bare, "mm", 8e-6)
    assert (shown_row.value, shown_row.mark, shown_row.words, shown_row.at) == ("", None, "open", "cylinder 1")


def test_a_signed_fit_says_so_and_bears_its_mark() -> None:
    def signed(event: Accepted, value: float) -> FitResult:
        record = Record(1, event, WALL.name, "cylinder 1", value, "", "Ann", None, "why")
        return result(value, 2e-6, 100e-6, None, record=record)

    conceded, judged = signed(Accepted.CONCESSION, 90e-6), signed(Accepted.JUDGEMENT, 100e-6)
    assert (short_words(conceded), short_words(judged)) == ("out, under concession", "accepted on judgement")
    assert marked(conceded).standing == marked(judged).standing == "accepted"
    assert marked(result(90e-6, 2e-6, 100e-6, None)).standing == "nonconforming"


def test_the_mark_is_drawn_from_the_same_numbers() -> None:
    each = result(120e-6, 2e-6, 100e-6, 150e-6)
    mark = marked(each)
    assert (mark.low, mark.high, mark.aim, mark.value) == (100e-6, 150e-6, each.limits.aim, 120e-6)
    assert mark.half == pytest.approx(1.959964 * 2e-6, rel=1e-6)  # the normal's 97.5 % point, any table


def test_counts_say_only_what_there_is_and_add_up(harbour: Job) -> None:
    assessment = assess(harbour)
    parts = counts_text(assessment).split(", ")
    assert sum(int(part.split()[0]) for part in parts) == len(assessment.results)
    assert counts_text(replace(assessment, results=())) == ""


def test_authority_names_both_sides_where_they_differ() -> None:
    one = Bound(1e-4, Authority.MAKER, "", True)
    other = replace(one, value=2e-4, authority=Authority.PRACTICE)
    assert authority_text(Limits(one, replace(one, value=2e-4))) == "part maker"
    assert authority_text(Limits(one, other)) == "part maker / common practice"
    assert authority_text(Limits()) == ""
