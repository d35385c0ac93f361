"""A fit as a line of text and a mark: the one form that terminal, sheet and pages show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from blockwright.engine.job import Job
from blockwright.engine.parts import WorkOrder
from blockwright.engine.positions import Place
from blockwright.fits.assessment import Assessment, FitResult, OrderResult, Standing
from blockwright.fits.fit import Fit
from blockwright.fits.limits import Limits
from blockwright.fits.words import KIND, Scale, say, unit_of
from blockwright.metrology.verdict import expanded
from blockwright.quantities import show
from blockwright.report.fineness import limits_fineness, value_fineness
from blockwright.report.slot import Mark


@dataclass(frozen=True)
class Row:
    """One fit at one position, as shown. `value` carries its expanded uncertainty and no unit; `unit` goes above."""

    result: FitResult
    at: str
    value: str
    unit: str
    mark: Mark | None
    words: str


@dataclass(frozen=True)
class Block:
    """One kind of fit with its positions: the limits stand above where all positions share them."""

    fit: Fit
    unit: str
    limits: str
    rows: tuple[Row, ...]

    @property
    def quiet(self) -> bool:
        """Whether nothing in it asks for attention."""
        return all(row.result.standing in (Standing.CONFORMS, Standing.UNLIMITED) for row in self.rows)


def blocks(assessment: Assessment, unit: str = "") -> tuple[Block, ...]:
    """All fits of an assessment, a block a kind, in the order of the registry. `unit` is wanted for clearances."""
    grouped = groupby(assessment.results, key=lambda result: result.fit.name)
    return tuple(_block(assessment.job, list(results), unit) for _, results in grouped)


def _block(job: Job, results: list[FitResult], unit: str) -> Block:
    fit = results[0].fit
    shown = wanted_unit(job, fit, unit)
    fineness = limits_fineness(results, shown)
    rows = tuple(row(result, shown, fineness) for result in results)
    limits = {limits_text(result.limits, fit, shown, fineness) for result in results}
    text = limits.pop() if len(limits) == 1 else "limits by position"
    return Block(fit, shown, text, rows)


def wanted_unit(job: Job, fit: Fit, unit: str = "") -> str:
    """The unit to show a fit in: `unit` where it is a length and a clearance, else the shop's."""
    return unit if unit and fit.scale in (Scale.CLEARANCE, Scale.SIZE) else unit_of(job, fit.scale)


def row(result: FitResult, unit: str, limits_si: float) -> Row:
    """One result as a row under limits that are shown to `limits_si`."""
    at = result.position.label if result.position.place is Place.STAGE else str(result.position)
    if result.found is None:
        return Row(result, at, "", unit, None, str(result.standing))
    half = expanded(result.estimate)
    return Row(result, at, value_text(result, unit, limits_si, half), unit, mark_of(result, half), short_words(result))


def short_words(result: FitResult) -> str:
    """The verdict, as it is said everywhere; short enough for a table."""
    return result.words


def value_text(result: FitResult, unit: str, limits_si: float, half: float) -> str:
    """`0.094 ± 0.005`: value and half-width, with the digits that the uncertainty allows, or that the verdict beside these limits asks for."""
    kind = KIND[result.fit.scale]
    fineness = value_fineness(result, unit, limits_si)
    value = show(result.estimate.value, kind, unit, u=fineness, with_unit=False)
    return f"{value} ± {show(half, kind, unit, u=fineness, with_unit=False)}"


def value_alone(result: FitResult, unit: str) -> str:
    """`0.094 ± 0.005 mm`, as it is shown with no other row beside it."""
    return f"{value_text(result, unit, limits_fineness([result], unit), expanded(result.estimate))} {unit}"


def limits_text(limits: Limits, fit: Fit, unit: str, limits_si: float) -> str:
    """`0.112 to 0.141 mm, aim 0.122`, shown to `limits_si`, open sides in words; empty where there is no limit."""
    if not limits.known:
        return ""

    def text(value: float) -> str:
        return show(value, KIND[fit.scale], unit, u=limits_si, with_unit=False)

    low, high = limits.low_value, limits.high_value
    if low is None and high is not None:
        span = f"up to {text(high)} {unit}"
    elif high is None and low is not None:
        span = f"at least {text(low)} {unit}"
    else:
        assert low is not None and high is not None
        span = f"{text(low)} to {text(high)} {unit}"
    two = low is not None and limits.aim is not None
    return f"{span}, aim {text(limits.aim)}" if two and limits.aim is not None else span


def authority_text(limits: Limits) -> str:
    """Who decides: `part maker`, or `part maker / common practice` for the two sides."""
    bounds = [bound for bound in (limits.low, limits.high) if bound is not None]
    return " / ".join(dict.fromkeys(str(bound.authority) for bound in bounds))


def mark_of(result: FitResult, half: float) -> Mark:
    """The slot-and-pin mark of a result that has a value; its pin is twice `half` wide."""
    accepted = result.record is not None
    standing = "accepted" if accepted else str(result.standing)
    limits = result.limits
    return Mark(limits.low_value, limits.high_value, limits.aim, result.estimate.value, half, standing)


def ordered_text(job: Job, order: WorkOrder) -> str:
    """What was ordered, as a line."""
    sizes = [say(job, value, Scale.SIZE) for value in (order.low_si, order.high_si) if value is not None]
    where = f"{order.feature} of {order.part}{', ' + order.at if order.at else ''}"
    return f"{where}, {' to '.join(sizes)}{': ' + order.work if order.work else ''}"


def came_back_text(job: Job, result: OrderResult) -> str:
    """What came back at one position, as a line."""
    at = result.at or result.order.part
    if result.estimate is None:
        return f"{at:<12} not read yet ({len(result.missing)} spots)"
    came = say(job, result.estimate.value, Scale.SIZE, u=result.estimate.u)
    words = {
        Standing.CONFORMS: "as ordered",
        Standing.NONCONFORMING: "not as ordered",
        Standing.UNDECIDED: "too near the limit to tell",
        Standing.UNLIMITED: "no size was ordered",
    }[result.standing]
    spot = f" at {result.spot}" if result.spot and result.standing is not Standing.CONFORMS else ""
    return f"{at:<12} {came}{spot}: {words}"


def counts_text(assessment: Assessment) -> str:
    """`92 conform, 4 out, 7 cannot be told, 4 open`, only what there is."""
    accepted = sum(result.record is not None for result in assessment.results)
    undecided = sum(r.standing is Standing.UNDECIDED and r.record is None for r in assessment.results)
    named: Iterable[tuple[int, str]] = (
        (assessment.count(Standing.CONFORMS), "conform"),
        (len(assessment.out), "out"),
        (accepted, "accepted and signed"),
        (undecided, "cannot be told"),
        (assessment.count(Standing.OPEN), "open"),
        (assessment.count(Standing.UNLIMITED), "without a limit"),
    )
    return ", ".join(f"{count} {word}" for count, word in named if count)
