"""The shop's side of a sheet: work ordered, signatures, what was noticed, gauges and settings, how it was judged."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from blockwright.engine.job import Job
from blockwright.fits.assessment import Assessment, Standing
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.metrology.verdict import Acceptance
from blockwright.quantities import Kind, show
from blockwright.report.rows import came_back_text, ordered_text
from blockwright.report.sheet.engine_part import Fact

FINE = {Kind.LENGTH: ("mm", 1e-6), Kind.ROUGHNESS: ("um", 1e-8), Kind.TORQUE: ("Nm", 0.01), Kind.MASS: ("g", 1e-5)}
"""Unit and fineness (SI) in which a gauge's figures are shown where they were not typed."""


@dataclass(frozen=True)
class Back:
    """What came back of ordered work at one place."""

    text: str
    standing: str


@dataclass(frozen=True)
class Order:
    """Work ordered, and what came back."""

    text: str
    shop: str
    back: tuple[Back, ...]


@dataclass(frozen=True)
class Signed:
    """One concession or judgement."""

    number: str
    event: str
    what: str
    value: str
    by: str
    when: str
    why: str
    sealed: bool
    holds: bool


@dataclass(frozen=True)
class GaugeLine:
    """One gauge of the register."""

    mark: str
    name: str
    certificate: str
    repeats: str
    due: str
    used: str


@dataclass(frozen=True)
class SettingLine:
    """What a comparator was set on."""

    mark: str
    gauge: str
    size: str
    master: str
    when: str


def orders(assessment: Assessment) -> tuple[Order, ...]:
    """Work ordered from the machine shop against what came back."""
    job = assessment.job
    return tuple(
        Order(
            ordered_text(job, order),
            order.shop,
            tuple(Back(" ".join(came_back_text(job, each).split()), str(each.standing)) for each in results),
        )
        for order, results in groupby(assessment.orders, key=lambda result: result.order)
    )


def signed(assessment: Assessment) -> tuple[Signed, ...]:
    """Every concession and judgement, with whether the fit still rests on it."""
    resting = {result.record.number for result in assessment.results if result.record is not None}
    return tuple(
        Signed(
            str(record.number), str(record.event), f"{record.fit}, {record.at}", record.value_text, record.by,
            str(record.when or ""), record.why, bool(record.digest), record.number in resting,
        )
        for record in assessment.job.records
    )  # fmt: skip


def gauges(job: Job) -> tuple[GaugeLine, ...]:
    """The gauges, with their certificates and how many readings rest on each."""
    used: dict[str, int] = {}
    for reading in (*job.readings, *(each.reading for each in job.passes)):
        if reading.taken:
            used[reading.gauge] = used.get(reading.gauge, 0) + 1
    return tuple(_gauge(gauge, used.get(gauge.id, 0)) for gauge in job.gauge_sheet.gauge)


def _gauge(gauge: Gauge, used: int) -> GaugeLine:
    certificate = "none"
    if gauge.certificate_si is not None:
        certificate = f"U = {_figure(gauge, 'certificate', gauge.certificate_si)} (k = {gauge.coverage:g})"
    repeats = (
        "not studied" if gauge.repeatability_si is None else _figure(gauge, "repeatability", gauge.repeatability_si)
    )
    return GaugeLine(gauge.id, gauge.name, certificate, repeats, str(gauge.due or "no date"), str(used or "–"))


def _figure(record: Gauge | Setting, key: str, value: float) -> str:
    """A figure as it was typed, else in a fitting unit."""
    kind = record.measures if isinstance(record, Gauge) else Kind.LENGTH
    unit, fineness = FINE.get(kind, FINE[Kind.LENGTH])
    return record.as_typed(key, value) or show(value, kind, unit, u=fineness)


def settings(job: Job) -> tuple[SettingLine, ...]:
    """What the comparators were set on."""
    return tuple(_setting(setting) for setting in job.gauge_sheet.setting)


def _setting(setting: Setting) -> SettingLine:
    warm = f" at {setting.master_temp_c:g} °C" if setting.master_temp_c is not None else ""
    by = f", {setting.by}" if setting.by else ""
    size = _figure(setting, "size", setting.size_m)
    return SettingLine(
        setting.id, setting.gauge, size, f"{setting.master}{warm}", f"{setting.when or ''}{by}".strip(", ")
    )


def how_judged(job: Job) -> tuple[Fact, ...]:
    """The shop's rule, in words."""
    rules = job.rules
    guarded = rules.acceptance is Acceptance.GUARDED
    rule = "guarded: proof either way, else it cannot be told" if guarded else "plain: each reading at its word"
    return (
        Fact("rule", rule),
        Fact("level", f"{100.0 * rules.level:g} % sure before anything is called in or out"),
        Fact("temperature", f"all sizes brought to 20 °C; the thermometer is good to ±{rules.thermometer_k:g} K"),
        Fact("ends of a ring touching hot", f"put up with at a chance of {100.0 * rules.touch:g} %"),
    )


def days(job: Job) -> tuple[str, str]:
    """The first and the last day on which anything was read, taken or signed; empty where nothing is dated."""
    dated = sorted(
        str(when)
        for when in (
            *(reading.when for reading in job.readings),
            *(each.reading.when for each in job.passes),
            *(record.when for record in job.records),
        )
        if when is not None
    )
    return (dated[0], dated[-1]) if dated else ("", "")


def readers(job: Job) -> str:
    """Who read."""
    return ", ".join(sorted({reading.by for reading in job.readings if reading.taken and reading.by}))


def spans(job: Job) -> str:
    """How many readings, how many of them to be taken still."""
    taken = sum(reading.taken for reading in job.readings)
    left = sum(reading.low_si is None and not reading.withdrawn for reading in job.readings)
    return f"{taken} readings" + (f", {left} still to take" if left else "")


def headline(assessment: Assessment) -> tuple[str, str]:
    """The one sentence that matters, and how it stands: `out`, `unsettled` or `sound`."""
    out = len(assessment.out)
    undecided = sum(each.standing is Standing.UNDECIDED and each.record is None for each in assessment.results)
    unread = assessment.count(Standing.OPEN)
    rest = [
        text
        for count, text in ((undecided, f"{undecided} cannot be told"), (unread, f"{unread} wait for readings"))
        if count
    ]
    if out:
        also = f"; {' and '.join(rest)}" if rest else ""
        return f"Not to be run as it stands: {out} {'fit is' if out == 1 else 'fits are'} out{also}.", "out"
    if rest:
        return f"Not finished: {' and '.join(rest)}.", "unsettled"
    if not assessment.results:
        return "Nothing is to be judged yet.", "unsettled"
    accepted = sum(result.record is not None for result in assessment.results)
    also = f", {accepted} of them under a signature" if accepted else ""
    return f"Every fit that has limits lies inside them or is signed for{also}.", "sound"
