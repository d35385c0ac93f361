"""What would settle an undecided fit, in words: how many repeats, a new setting, a gauge of the register that could tell.

Honest about what each can do: repeats shrink the repeatability share alone, and a gauge is only named where the fit, judged again as if it had
been read with that gauge, is decided.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from blockwright.engine.features import FEATURES
from blockwright.engine.job import Job
from blockwright.fits.assess import READ_AGAIN
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.words import say
from blockwright.metrology.deciding import OF_THE_GAUGE
from blockwright.metrology.estimate import Cause
from blockwright.metrology.evaluate import Size
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.metrology.readings import Reading
from blockwright.metrology.verdict import Rule, Verdict, decide
from blockwright.running.assess import judge

WORTH_NAMING = 3
MOST_REPEATS = 20
"""More repeats than this are not advised: another gauge is quicker."""
TEMPERATURES = (Cause.GAUGE_TEMPERATURE, Cause.PART_TEMPERATURE)


def settle(job: Job, result: FitResult) -> str:
    """One or two sentences; empty where the fit is not undecided."""
    decider = result.decider
    if decider is None:
        doubtful = result.standing is Standing.UNDECIDED and result.remedy == READ_AGAIN
        return (
            "Its readings disagree: read it again, and withdraw the slip. Nothing is decided on their mean."
            if doubtful
            else ""
        )
    if decider.repeats is None and _assumed_of(job, result) is not None:
        return f"Repeats alone cannot settle it: {_heaviest(job, result)}"
    if decider.repeats is None and decider.best_possible is not None and decider.best_possible < job.rules.level:
        return (
            f"With these readings nothing could be proven inside limits so narrow (at best {decider.best_possible:.0%}). "
            + _better_gauge(job, result)
        )
    if decider.repeats is not None and decider.repeats <= MOST_REPEATS:
        return f"Read each of its spots {decider.repeats} times in all: if the value stays, that settles it."
    alone = "Repeats alone cannot settle it" if decider.repeats is None else f"It would take {decider.repeats} repeats"
    return f"{alone}: {_heaviest(job, result)}"


def _assumed_of(job: Job, result: FitResult) -> Gauge | None:
    """The gauge whose certificate weighs most in the doubt and is not written down: one step of its scale is assumed for its error."""
    source = result.decider.largest if result.decider else None
    gauge = job.gauges.get(source.owner) if source is not None and source.cause is Cause.CALIBRATION else None
    return gauge if gauge is not None and gauge.certificate_si is None else None


def _heaviest(job: Job, result: FitResult) -> str:
    source = result.decider.largest if result.decider else None
    if source is None:
        return _better_gauge(job, result)
    assumed = _assumed_of(job, result)
    if assumed is not None:
        return (
            f"what is assumed of {assumed.id}, which has no certificate, weighs most. Write its certificate into gauges.toml first, "
            "or have it calibrated: nothing is cut or signed on assumed figures."
        )
    owner = source.owner.split("/")[-1] or source.owner
    match source.cause:
        case Cause.SETTING:
            return f"setting {source.owner} weighs most. Set the gauge again, give that setting its own mark, and read once more."
        case Cause.GAUGE_TEMPERATURE | Cause.PART_TEMPERATURE:
            if not _decided_without(job, result, *TEMPERATURES):
                return f"temperature weighs most ({owner}), but without its share too it could not be told. {_better_gauge(job, result)}"
            return f"temperature weighs most ({owner}). Let gauge and part lie together, write down both temperatures, and read again."
        case Cause.INTERVAL:
            what = "the step between two blades"
        case Cause.CALIBRATION:
            what = f"the certificate of {source.owner}"
        case Cause.RESOLUTION:
            what = "the scale's step"
        case _:
            what = str(source.cause)
    return f"{what} weighs most. {_better_gauge(job, result)}"


def _decided_without(job: Job, result: FitResult, *causes: Cause) -> bool:
    """Whether the fit would be decided if these causes added nothing."""
    rule = Rule(job.rules.level, job.rules.acceptance)
    bare = result.estimate.with_scaled(0.0, *causes)
    return decide(bare, result.limits.low_value, result.limits.high_value, rule) is not Verdict.UNDECIDED


def _better_gauge(job: Job, result: FitResult) -> str:
    factor = result.decider.gauge_factor if result.decider else None
    if factor is None or result.found is None:
        return "No gauge alone could tell: it lies too near the limit. Work it to its aim, or sign a judgement."
    better = list(_could_tell(job, result))[:WORTH_NAMING]
    if better:
        return f"{' or '.join(better)} could tell, if the value stays."
    now = 2.0 * result.estimate.u * math.sqrt(result.estimate.share_of(*OF_THE_GAUGE))
    said = [say(job, half, result.fit.scale, u=now * factor / 10.0) for half in (now, now * factor)]
    return f"No one gauge of the register could tell: what the gauges add must come down from ±{said[0]} to ±{said[1]}."


def _could_tell(job: Job, result: FitResult) -> Iterator[str]:
    """Gauges of the register that, in place of one that was used, would decide the fit."""
    assert result.found is not None
    for mark in sorted({reading.gauge for _, size in result.found.sizes for reading in size.readings}):
        used = job.gauges[mark]
        sizes = [size for _, size in result.found.sizes if any(reading.gauge == mark for reading in size.readings)]
        for other in job.gauges.values():
            fit_for_it = gauge_u(other) < gauge_u(used) and all(_serves_as(job, other, used, size) for size in sizes)
            if fit_for_it and read_with(job, result, used, other).standing is not Standing.UNDECIDED:
                yield f"{other.id} in place of {used.id}"


def read_with(job: Job, result: FitResult, used: Gauge, other: Gauge) -> FitResult:
    """The fit judged again, as if what was read with one gauge had been read with another, the value unchanged."""
    assert result.found is not None
    turned = Sense.BACKWARDS in (used.sense, other.sense) and used.sense is not other.sense
    moved = {reading.id for _, size in result.found.sizes for reading in size.readings if reading.gauge == used.id}

    def move(reading: Reading) -> Reading:
        if reading.id not in moved or reading.low_si is None or reading.high_si is None:
            return reading
        low, high = (-reading.high_si, -reading.low_si) if turned else (reading.low_si, reading.high_si)
        return replace(reading, gauge=other.id, low_si=low, high_si=high)

    return judge(replace(job, readings=tuple(move(each) for each in job.readings)), result.fit, result.position)


def _serves_as(job: Job, other: Gauge, used: Gauge, size: Size) -> bool:
    """Whether a gauge does the work of another on a size: the same sense, in range, its figures known, and of the same kind as far as is known.

    The register does not say what kind a gauge is. It is taken for the same kind where this job has read such a feature with it, or where it
    is not used yet and its range is stated.
    """
    feature = FEATURES[size.readings[0].feature]
    read_so = {
        FEATURES[reading.feature].gauge for reading in job.readings if reading.taken and reading.gauge == other.id
    }
    known_kind = feature.gauge in read_so or (not read_so and other.low_si is not None and other.high_si is not None)
    senses = [(gauge.sense.compares, gauge.sense is Sense.BLADES) for gauge in (other, used)]
    known = other.certificate_si is not None and (other.repeatability_si is not None or other.sense is Sense.BLADES)
    return (
        known
        and known_kind
        and senses[0] == senses[1]
        and other.measures is used.measures
        and other.takes(size.estimate.value)
    )


def gauge_u(gauge: Gauge) -> float:
    """Standard uncertainty of one reading with a gauge: repeatability, scale and certificate together."""
    repeat = gauge.resolution_si if gauge.repeatability_si is None else gauge.repeatability_si
    certificate = gauge.resolution_si if gauge.certificate_si is None else gauge.certificate_si / gauge.coverage
    return math.hypot(repeat, gauge.resolution_si / math.sqrt(12.0), certificate)
