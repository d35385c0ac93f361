"""Fits, readings, parts and gauges as tables of texts and numbers. A number is unrounded, in the unit that its row names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright import __version__
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.fits.assessment import Assessment, FitResult
from blockwright.fits.limits import Bound
from blockwright.fits.registry import REGISTRY
from blockwright.fits.words import KIND, Scale, unit_of
from blockwright.metrology.verdict import expanded
from blockwright.quantities import Kind
from blockwright.quantities.lookup import find_unit
from blockwright.report.rows import counts_text, wanted_unit
from blockwright.running.work.result import HotFit, Work

Cell = str | float | None
DIGITS = 12
"""Digits of a converted number: enough to lose nothing that was read, few enough to leave off the noise of conversion."""
UNIT_OF_KIND = {Kind.LENGTH: "mm", Kind.ROUGHNESS: "um", Kind.TORQUE: "Nm", Kind.MASS: "g"}


@dataclass(frozen=True)
class Table:
    """A table: its name, the heads of its columns, and its rows."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def tables_of(assessment: Assessment, work: Work | None = None) -> tuple[Table, ...]:
    """Every table of a job, the fits first; what its engine does at work after them, where that is worked out."""
    job = assessment.job
    working = (_at_work(job, work), _bearings(job, work)) if work is not None else ()
    return (
        _fits(assessment), *working, _readings(job), _parts(job), _gauges(job), _noticed(assessment), _about(assessment),
    )  # fmt: skip


def _fits(assessment: Assessment) -> Table:
    columns = (
        "group", "fit", "position", "value", "expanded uncertainty (95 %)", "unit", "low", "low says", "aim", "high", "high says",
        "verdict", "chance below", "chance inside", "chance above", "remedy", "signed by", "reason", "readings",
    )  # fmt: skip
    return Table("Fits", columns, tuple(_fit(assessment.job, result) for result in assessment.results))


def _fit(job: Job, result: FitResult) -> tuple[Cell, ...]:
    unit, limits, chances, record = wanted_unit(job, result.fit), result.limits, result.chances, result.record
    kind = KIND[result.fit.scale]
    value = half = None
    readings: tuple[str, ...] = ()
    if result.found is not None:
        value, half = result.estimate.value, expanded(result.estimate)
        readings = tuple(sorted({reading.id for _, size in result.found.sizes for reading in size.readings}))
    return (
        result.fit.group, result.fit.name, str(result.position),
        *(_number(each, kind, unit) for each in (value, half)), unit,
        _number(limits.low_value, kind, unit), _who(limits.low), _number(limits.aim, kind, unit),
        _number(limits.high_value, kind, unit), _who(limits.high), result.words,
        *(_rounded(getattr(chances, side, None)) for side in ("below", "inside", "above")),
        result.mend, record.by if record else "", record.why if record else "", " ".join(readings),
    )  # fmt: skip


def _at_work(job: Job, work: Work) -> Table:
    """Every fit when hot; the span is what holds 95 % of the draws."""
    columns = (
        "fit", "position", "what", "cold", "hot", "hot from", "hot to", "unit", "low", "high", "says", "verdict", "chance below", "chance inside",
        "chance above",
    )  # fmt: skip
    return Table("At work", columns, tuple(_hot(job, fit) for fit in work.fits))


def _hot(job: Job, fit: HotFit) -> tuple[Cell, ...]:
    known = REGISTRY.get(fit.fit)
    scale = known.scale if known is not None else Scale.CLEARANCE
    kind, unit = KIND[scale], unit_of(job, scale)
    span = (fit.hot.low, fit.hot.high) if fit.hot.drawn else (None, None)
    return (
        fit.fit, fit.position, fit.words, *(_number(each, kind, unit) for each in (fit.cold.value, fit.hot.value, *span)), unit,
        _number(fit.low, kind, unit), _number(fit.high, kind, unit), fit.authority, fit.said or fit.standing,
        *(_rounded(each) for each in (fit.below, fit.inside, fit.above)),
    )  # fmt: skip


def _bearings(job: Job, work: Work) -> Table:
    """Every bearing at work."""
    unit = unit_of(job, Scale.CLEARANCE)
    columns = (
        "bearing", "measured", f"clearance cold {unit}", f"clearance hot {unit}", "thinnest film um", "at crank deg", "peak pressure MPa", "loss W",
        "oil L/min", "film temperature °C",
    )  # fmt: skip
    rows = tuple(
        (
            each.name, "yes" if each.read else "no", _number(each.cold_m.value, Kind.LENGTH, unit), _number(each.hot_m.value, Kind.LENGTH, unit),
            _number(each.film_m.value, Kind.LENGTH, "um"), _rounded(each.film_at_deg), _number(each.peak_pa.value, Kind.PRESSURE_STEP, "MPa"),
            _rounded(each.loss_w.value), _number(60.0 * each.flow_m3_s.value, Kind.VOLUME, "L"), _rounded(each.temperature_c.value),
        )
        for each in work.bearings
    )  # fmt: skip
    return Table("Bearings at work", columns, rows)


def _readings(job: Job) -> Table:
    columns = (
        "id", "part", "feature", "position", "spot", "as written", "from", "to", "unit", "gauge", "setting", "state", "part °C",
        "gauge °C", "by", "when", "withdrawn", "note",
    )  # fmt: skip
    rows = []
    for each in (*job.readings, *(entry.reading for entry in job.passes)):
        gauge = job.gauges.get(each.gauge)
        kind = gauge.measures if gauge else Kind.LENGTH
        unit = UNIT_OF_KIND.get(kind, "")
        ends = [_number(value, kind, unit) if unit else None for value in (each.low_si, each.high_si)]
        rows.append((
            each.id, each.part, each.feature, each.at, each.spot, each.text, *ends, unit, each.gauge, each.setting,
            show_state(each.state or frozenset()), each.part_temp_c, each.gauge_temp_c, each.by,
            each.when.isoformat() if each.when else "", each.withdrawn, each.note,
        ))  # fmt: skip
    return Table("Readings", columns, tuple(rows))


def _parts(job: Job) -> Table:
    columns = ("mark", "kind", "goes to", "maker", "batch", "alloy", "coating", "mass g", "note")
    rows = tuple(
        (
            part.mark, str(part.kind), str(job.home(part.mark) or ""), part.maker, part.batch, part.alloy, part.coating,
            _number(part.mass_kg, Kind.MASS, "g"), part.note,
        )
        for part in job.sheet.part
    )  # fmt: skip
    return Table("Parts", columns, rows)


def _gauges(job: Job) -> Table:
    columns = ("mark", "name", "measures", "sense", "one step", "certificate U", "unit", "k", "certificate runs out")
    rows = []
    for gauge in job.gauge_sheet.gauge:
        unit = UNIT_OF_KIND.get(gauge.measures, "")
        sizes = [
            _number(size, gauge.measures, unit) if unit else size
            for size in (gauge.resolution_si, gauge.certificate_si)
        ]
        due = gauge.due.isoformat() if gauge.due else ""
        rows.append((gauge.id, gauge.name, str(gauge.measures), str(gauge.sense), *sizes, unit, gauge.coverage, due))
    return Table("Gauges", columns, tuple(rows))


def _noticed(assessment: Assessment) -> Table:
    rows = tuple((flag.text, flag.mend, " ".join(flag.readings)) for flag in assessment.flags)
    return Table("Noticed", ("what", "mend", "readings"), rows)


def _about(assessment: Assessment) -> Table:
    job = assessment.job
    rows: Sequence[tuple[str, Cell]] = (
        ("job", job.sheet.job),
        ("engine", job.engine.name),
        ("data", "INVENTED, for demonstration" if job.sheet.invented else "as entered"),
        ("in short", counts_text(assessment)),
        ("probability wanted for a verdict", job.rules.level),
        ("acceptance", str(job.rules.acceptance)),
        ("program", f"blockwright {__version__}"),
        (
            "mind",
            "No substitute for the part maker's instructions, local codes or licensed practice; not for certified engines.",
        ),
    )
    return Table("About", ("what", "says"), tuple(rows))


def _number(value: float | None, kind: Kind, unit: str) -> float | None:
    return None if value is None else _rounded(find_unit(kind, unit).number(value))


def _rounded(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.{DIGITS}g}")


def _who(bound: Bound | None) -> str:
    if bound is None:
        return ""
    return f"{bound.authority} ({bound.source})" if bound.source else str(bound.authority)
