"""Which gauges of a shop can read the gap of a ring, and why others cannot."""

from __future__ import annotations

from blockwright.engine.features import FEATURES, GaugeKind
from blockwright.engine.job import Job
from blockwright.metrology.gauges import Gauge, Sense
from blockwright.quantities import Kind
from blockwright.quantities.errors import with_article

USUAL_GAP_M = 0.4e-3
"""A gauge for gaps takes this."""
TOO_STOUT = ("micrometer", "micrometre", "caliper", "vernier")
"""Words in the name of a gauge that does not go into one."""


def gap_gauges(job: Job) -> tuple[Gauge, ...]:
    """Gauges that can read a gap, blades first."""
    fit = [each for each in job.gauges.values() if not unfit_for_gaps(job, each)]
    return tuple(sorted(fit, key=lambda each: each.sense is not Sense.BLADES))


def unfit_for_gaps(job: Job, gauge: Gauge) -> str:
    """Why a gauge cannot read a gap, as far as the register and its rows in this job tell; an empty text where it can."""
    if gauge.measures is not Kind.LENGTH:
        return f"measures {gauge.measures}, and a gap is a length"
    if gauge.sense is Sense.BLADES:
        return ""
    if gauge.sense.compares:
        return "shows differences from a setting, and a gap is read as it is"
    if not gauge.takes(USUAL_GAP_M):
        return f"does not take {1e3 * USUAL_GAP_M:g} mm, the size of a gap"
    read = {FEATURES[each.feature] for each in job.readings if each.gauge == gauge.id and each.feature in FEATURES}
    in_gaps = any(each.gauge is GaugeKind.BLADES for each in read)
    if not in_gaps and any(word in gauge.name.lower() for word in TOO_STOUT):
        return f"is {with_article(gauge.name)}, and cannot go into a gap"
    if read and not in_gaps:
        return f"reads {', '.join(sorted(each.name for each in read)[:2])} in this job, and cannot go into a gap"
    return ""
