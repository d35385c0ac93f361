"""A fit's whole story: readings, corrections, budget, limits and who says so, formula, verdict. One form for terminal, sheet and pages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from blockwright.choices.settle import settle
from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.limits import Limits, Offer
from blockwright.fits.words import KIND, PLAIN_U_SI, Scale, say, unit_of
from blockwright.metrology.estimate import Cause
from blockwright.metrology.evaluate import Size
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind, show
from blockwright.report.chances import sides
from blockwright.report.fineness import limits_fineness
from blockwright.report.formulas.of_fit import Behind, behind
from blockwright.report.rows import limits_text, value_alone, wanted_unit
from blockwright.report.work.films import film_stories
from blockwright.report.work.hot import HotStory, hot_stories
from blockwright.report.work.numbers import shop_of
from blockwright.running.work.result import Work

NO_CLEARANCE_M = 3e-3
"""A length beyond this is shown as a size, not as a clearance."""
CAUSE_WORDS = {
    Cause.REPEATABILITY: "repeats",
    Cause.RESOLUTION: "scale step",
    Cause.INTERVAL: "between two blades",
    Cause.CALIBRATION: "certificate",
    Cause.SETTING: "act of setting",
    Cause.PART_TEMPERATURE: "temperature of the part",
    Cause.GAUGE_TEMPERATURE: "temperature of the gauge",
    Cause.EXPANSION: "expansion coefficient",
    Cause.MODEL: "model",
    Cause.DISAGREEMENT: "readings that disagree",
}


BUDGET_UNIT = {
    Kind.LENGTH: ("um", 1e-7),
    Kind.ROUGHNESS: ("um", 1e-7),
    Kind.TORQUE: ("Nm", 0.05),
    Kind.PRESSURE_STEP: ("MPa", 1e4),
}
"""Unit of a budget's lines, and how finely they are shown (SI)."""


@dataclass(frozen=True)
class BudgetLine:
    """One line of the uncertainty budget: its cause, whose, its standard uncertainty, and its share of the whole."""

    cause: str
    owner: str
    u: str
    share: float


@dataclass(frozen=True)
class SizeLine:
    """One size that went into the fit: its role, its value at 20 °C, the correction, and its readings in words."""

    role: str
    value: str
    correction: str
    readings: tuple[str, ...]


@dataclass(frozen=True)
class Story:
    """Everything that stands behind one fit at one position, as text ready to show."""

    title: str
    what: str
    verdict: str
    value: str
    chances: str
    formula: str
    governing: str
    sizes: tuple[SizeLine, ...]
    budget: tuple[BudgetLine, ...]
    dof: str
    limits: str
    sources: tuple[tuple[str, bool], ...]
    hurts: str
    remedy: str
    settle: str
    notes: tuple[str, ...]
    missing: tuple[str, ...]
    signed: str
    formulas: tuple[Behind, ...] = ()
    at_work: tuple[HotStory, ...] = ()
    """What the engine at work makes of it, where that was worked out."""


SMALL_SHARE = 0.01
"""Lines of a budget with a smaller share are told together."""


def taken_alike(readings: Sequence[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Readings in a row that were taken with the same gauge, in the same state: how they were taken, and each without it."""
    for how, group in groupby(readings, key=lambda reading: reading.rpartition(" (")[2].removesuffix(")")):
        yield how, tuple(reading.rpartition(" (")[0] for reading in group)


def weighty(budget: Sequence[BudgetLine]) -> tuple[tuple[BudgetLine, ...], str]:
    """The lines of a budget that matter, and the rest of it in words."""
    shown = tuple(line for line in budget if line.share >= SMALL_SHARE)
    rest = [line.share for line in budget if line.share < SMALL_SHARE]
    share = "under 0.1 %" if sum(rest) < 0.001 else f"{100.0 * sum(rest):.1f} %"
    return shown, f"the rest: {len(rest)} more, {share} in all" if rest else ""


def story_of(job: Job, result: FitResult, unit: str = "", work: Work | None = None) -> Story:
    """The story of a result, lengths in `unit` or in the shop's; `work`: the engine at work, where that was worked out."""
    fit, limits = result.fit, result.limits
    shown = wanted_unit(job, fit, unit)
    found = result.found
    fineness = limits_fineness([result], shown)
    return Story(
        title=f"{fit.name}, {result.position}" if result.position.label else fit.name,
        what=fit.what,
        verdict=result.words,
        value=value_alone(result, shown) if found else "",
        chances=_chances(result, job.rules.level),
        formula=fit.formula,
        governing=found.governs if found and found.governs else fit.governing,
        sizes=tuple(_size_line(job, role, size, shown, fit.scale) for role, size in found.sizes) if found else (),
        budget=_budget(result) if found else (),
        dof=_dof(result) if found else "",
        limits=limits_text(limits, fit, shown, fineness),
        sources=tuple((_source(job, offer, fit.scale, shown), _decides(limits, offer)) for offer in limits.offers),
        hurts=_hurts(result),
        remedy=result.mend if result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED) else "",
        settle=settle(job, result),
        notes=(*result.notes, *(found.notes if found else ())),
        missing=result.missing,
        signed=_signed(result),
        formulas=behind(job, result),
        at_work=_at_work(job, result, work, unit),
    )  # fmt: skip


def _at_work(job: Job, result: FitResult, work: Work | None, unit: str) -> tuple[HotStory, ...]:
    if work is None:
        return ()
    here = result.fit.name, str(result.position)
    return (*hot_stories(job, work, *here, unit), *film_stories(work, *here, shop_of(job, unit)))


def _decides(limits: Limits, offer: Offer) -> bool:
    """Whether an offer is the one that a side was taken from."""
    sides = ((limits.low, offer.low), (limits.high, offer.high))
    said = (offer.authority, offer.source)
    return any(
        bound is not None and (bound.authority, bound.source) == said and bound.value == value for bound, value in sides
    )


def _chances(result: FitResult, level: float) -> str:
    if result.chances is None:
        return ""
    low, high = result.limits.low is not None, result.limits.high is not None
    return sides(result.chances, low=low, high=high, level=level)


def _size_line(job: Job, role: str, size: Size, unit: str, scale: Scale) -> SizeLine:
    kind = FEATURES[size.readings[0].feature].kind
    large = scale is Scale.CLEARANCE and abs(size.estimate.value) > NO_CLEARANCE_M
    size_unit = unit_of(job, Scale.SIZE) if large or kind is not KIND[scale] else unit
    u = max(size.estimate.u, 1e-12)
    value = f"{show(size.estimate.value, kind, size_unit, u=u)} ± {show(expanded(size.estimate), kind, size_unit, u=u, with_unit=False)}"
    moved = sum(correction.amount for correction in size.corrections) / max(len(size.corrections), 1)
    correction = ""
    if size.corrections and abs(moved) >= 5e-8:
        correction = f"{show(moved, kind, 'um', u=1e-7, signed=True)} to 20 °C"
    return SizeLine(role, value, correction, tuple(_reading(job, size)))


def _reading(job: Job, size: Size) -> list[str]:
    lines = []
    for reading in size.readings:
        unit = reading.unit if reading.unit and reading.unit not in reading.text else ""
        gauge = f"{reading.gauge} on {reading.setting}" if reading.setting else reading.gauge
        setting = job.settings.get(reading.setting)
        base = (
            f" from {setting.as_typed('size', setting.size_m) or say(job, setting.size_m, Scale.SIZE)}"
            if setting
            else ""
        )
        temperature = f", {reading.part_temp_c:g} °C" if reading.part_temp_c is not None else ""
        state = f", {show_state(reading.state)}" if reading.state else ""
        lines.append(f"{reading.id}: {reading.text} {unit}".rstrip() + f"{base} ({gauge}{temperature}{state})")
    return lines


def _budget(result: FitResult) -> tuple[BudgetLine, ...]:
    estimate = result.estimate
    kind = KIND[result.fit.scale]
    unit, fineness = BUDGET_UNIT[kind]
    return tuple(
        BudgetLine(
            CAUSE_WORDS[source.cause],
            _owner(source.owner),
            show(abs(share.u), kind, unit, u=fineness),
            (share.u / estimate.u) ** 2,
        )
        for source, share in estimate.budget
        if estimate.u
    )


def _owner(owner: str) -> str:
    """`P1/skirt//bare/M1/` -> `P1 skirt bare M1`."""
    return " ".join(part for part in owner.split("/") if part)


def _dof(result: FitResult) -> str:
    dof = result.estimate.dof
    return "" if dof > 200 else f"{dof:.0f} degrees of freedom"


def _source(job: Job, offer: Offer, scale: Scale, unit: str) -> str:
    def text(value: float) -> str:
        return show(value, KIND[scale], unit, u=PLAIN_U_SI[scale], with_unit=False)

    named = [
        f"{word} {text(value)}"
        for word, value in (("low", offer.low), ("aim", offer.aim), ("high", offer.high))
        if value is not None
    ]
    return f"{offer.authority}: {', '.join(named)} {unit}. {offer.source}".rstrip()


def _hurts(result: FitResult) -> str:
    fit = result.fit
    if result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED):
        words = fit.when_low if result.side == "low" else fit.when_high
        severity = "hard" if result.hard else "soft"
        return f"{words} ({severity} side)" if words else ""
    return "; ".join(f"{side}: {words}" for side, words in (("low", fit.when_low), ("high", fit.when_high)) if words)


def _signed(result: FitResult) -> str:
    record = result.record
    if record is None:
        return ""
    when = f" on {record.when}" if record.when else ""
    sealed = "" if record.digest else " (not sealed)"
    return f"{record.event} by {record.by}{when} at {record.value_text}: {record.why}{sealed}"
