"""What would settle an undecided fit, in words: how many repeats, a new setting, a gauge of the register that could tell.

Honest about what repeats can do: they shrink the repeatability share alone.
"""

from __future__ import annotations

import math

from blockwright.engine.job import Job
from blockwright.fits.assessment import FitResult
from blockwright.fits.words import say
from blockwright.metrology.estimate import Cause
from blockwright.metrology.gauges import Gauge
from blockwright.metrology.verdict import Rule

WORTH_NAMING = 3
MOST_REPEATS = 20
"""More repeats than this are not advised: another gauge is quicker."""


def settle(job: Job, result: FitResult) -> str:
    """One or two sentences; empty where the fit is not undecided."""
    decider = result.decider
    if decider is None:
        return ""
    level = Rule(job.rules.level).level
    if decider.repeats is None and decider.best_possible is not None and decider.best_possible < level:
        return (
            f"With these readings nothing could be proven inside limits so narrow (at best {decider.best_possible:.0%}). "
            + _better_gauge(job, result)
        )
    if decider.repeats is not None and decider.repeats <= MOST_REPEATS:
        return f"Read each of its spots {decider.repeats} times in all: if the value stays, that settles it."
    alone = "Repeats alone cannot settle it" if decider.repeats is None else f"It would take {decider.repeats} repeats"
    return f"{alone}: {_heaviest(job, result)}"


def _heaviest(job: Job, result: FitResult) -> str:
    source = result.decider.largest if result.decider else None
    if source is None:
        return _better_gauge(job, result)
    owner = source.owner.split("/")[-1] or source.owner
    match source.cause:
        case Cause.SETTING:
            return f"setting {source.owner} weighs most. Set the gauge again, give that setting its own mark, and read once more."
        case Cause.GAUGE_TEMPERATURE | Cause.PART_TEMPERATURE:
            return f"temperature weighs most ({owner}). Let gauge and part lie together, write down both temperatures, and read again."
        case Cause.INTERVAL:
            return f"the step between two blades weighs most. {_better_gauge(job, result)}"
        case Cause.CALIBRATION:
            return f"the certificate of {source.owner} weighs most. {_better_gauge(job, result)}"
        case Cause.RESOLUTION:
            return f"the scale's step weighs most. {_better_gauge(job, result)}"
        case _:
            return f"{source.cause} weighs most. {_better_gauge(job, result)}"


def _better_gauge(job: Job, result: FitResult) -> str:
    factor = result.decider.gauge_factor if result.decider else None
    if factor is None or result.found is None:
        return "No gauge alone could tell: it lies too near the limit. Work it to its aim, or sign a judgement."
    used = {size.readings[0].gauge for _, size in result.found.sizes if size.readings}
    known = [job.gauges[mark] for mark in sorted(used)]
    wanted_u = factor * max(gauge_u(gauge) for gauge in known)
    wanted = say(job, 2.0 * wanted_u, result.fit.scale)
    better = [
        gauge.id
        for gauge in job.gauges.values()
        if gauge.id not in used
        and gauge.measures is known[0].measures
        and gauge_u(gauge) <= wanted_u
        and all(gauge.takes(size.estimate.value) for _, size in result.found.sizes)
    ][:WORTH_NAMING]
    if better:
        return f"{' or '.join(better)} could tell (a gauge good to about ±{wanted})."
    return f"No gauge of the register could tell; one good to about ±{wanted} could."


def gauge_u(gauge: Gauge) -> float:
    """Standard uncertainty of one reading with a gauge: repeatability, scale and certificate together."""
    repeat = gauge.resolution_si if gauge.repeatability_si is None else gauge.repeatability_si
    certificate = gauge.resolution_si if gauge.certificate_si is None else gauge.certificate_si / gauge.coverage
    return math.hypot(repeat, gauge.resolution_si / math.sqrt(12.0), certificate)
