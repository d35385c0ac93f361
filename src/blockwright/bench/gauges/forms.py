"""The forms of the register: a gauge, new or again with what is now known of it, and a setting of a comparator."""

from __future__ import annotations

from typing import Any

from blockwright.bench.act_fields import ActField, Option, fields_of, length_units
from blockwright.engine.job import Job
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.toml_write import plain
from blockwright.metrology.gauges import Gauge, Setting

GAUGE_FIRST = ("id", "name", "sense", "measures", "resolution", "certificate", "coverage", "due")
GAUGE_MORE = ("repeatability", "repeatability_dof", "low", "high", "expansion")
SETTING_KEYS = ("id", "gauge", "size", "master", "master_temp", "repeatability")


def forms(job: Job, again: str) -> dict[str, Any]:
    """The context of the forms; `again` is the mark of a gauge that is entered again."""
    known = job.gauges.get(again)
    values = plain(known) if known is not None else {}
    return {
        "again": again if known is not None else "",
        "first_fields": fields_of(Gauge, "gauge", GAUGE_FIRST, values),
        "more_fields": fields_of(Gauge, "gauge", GAUGE_MORE, values),
        "setting_fields": setting_fields(job),
    }


def setting_fields(job: Job) -> tuple[ActField, ...]:
    """Fields for a setting; none where no gauge of the register is set on anything."""
    comparators: list[Option] = [(each.id, _named(each)) for each in job.gauge_sheet.gauge if each.sense.compares]
    masters: list[Option] = [(each.id, _named(each)) for each in job.gauge_sheet.gauge if not each.sense.compares]
    if not comparators:
        return ()
    units = length_units(Setting, unit_of(job, Scale.SIZE)) | {"master_temp": ""}
    return fields_of(
        Setting, "setting", SETTING_KEYS, {"id": free_mark(job)}, {"gauge": comparators, "master": masters}, units
    )


def free_mark(job: Job) -> str:
    """A mark for the next setting that none has: `S4`."""
    taken = set(job.settings)
    return next(mark for number in range(1, len(taken) + 2) if (mark := f"S{number}") not in taken)


def _named(gauge: Gauge) -> str:
    return f"{gauge.id}, {gauge.name}" if gauge.name else gauge.id
