"""Faults of `gauges.toml` in itself: gauges and settings that contradict each other or could not be reckoned with."""

from __future__ import annotations

from collections.abc import Iterator

from blockwright.engine.job import GaugeSheet
from blockwright.jobfile.checks_sheet import report_marks
from blockwright.jobfile.known import Known
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.readings_csv import ROOM_C
from blockwright.jobfile.spans import doubt, figure_span
from blockwright.jobfile.where import Where
from blockwright.metrology.gauges import STEEL_PER_K, Gauge, Setting
from blockwright.quantities import Kind
from blockwright.quantities.errors import excerpt

LARGEST_PER_K = 100e-6
"""Thermal expansion that no gauge reaches (assumed; a plastic has about this much)."""
LARGEST_COVERAGE = 10.0
SMALLEST_COVERAGE = 0.5


def mark_problems(sheet: GaugeSheet, where: Where) -> None:
    """Gauges and settings whose marks are blank or there twice."""
    report_marks("gauge", [gauge.id for gauge in sheet.gauge], where.at("gauge"), "id")
    report_marks("setting", [setting.id for setting in sheet.setting], where.at("setting"), "id")


def gauge_problems(known: Known, where: Where) -> None:
    """Faults of `gauges.toml`, put down at its places."""
    sheet = known.job.gauge_sheet
    for index, gauge in enumerate(sheet.gauge):
        here = where.at("gauge", index)
        _put(here, _gauge(gauge))
        _figures(gauge, here)
    for index, setting in enumerate(sheet.setting):
        here = where.at("setting", index)
        _put(here, _setting(known, setting))
        for field in ("gauge", "master"):
            _registered(known, here.at(field), getattr(setting, field))


Found = Iterator[tuple[str, str, str]]
"""Field, what is wrong with it, and the mend."""


def _put(here: Where, found: Found) -> None:
    for field, what, mend in found:
        if here.at(field).sound:
            here.at(field).say(f"gauge-{field}", what, mend)


def _gauge(gauge: Gauge) -> Found:
    if not SMALLEST_COVERAGE <= gauge.coverage <= LARGEST_COVERAGE:
        yield "coverage", f"a coverage factor of {gauge.coverage:g}: about 2 is usual.", "Copy k from the certificate."
    if gauge.repeatability_dof < 0:
        yield "repeatability_dof", "degrees of freedom are not below 0.", "Copy them from the study; 0 where not known."
    if gauge.expansion_per_k > LARGEST_PER_K:
        mend = f"Steel has {STEEL_PER_K * 1e6:g} um/m/K. Leave it out for a steel gauge."
        yield "expansion", "no gauge expands so much.", mend
    if gauge.low_si is not None and gauge.high_si is not None and gauge.low_si >= gauge.high_si:
        yield "low", "the gauge's smallest size is not below its largest.", "Exchange low and high, or mend one."


def _figures(gauge: Gauge, here: Where) -> None:
    """Ask about a certificate of 2 mm."""
    if not here.at("measures").sound:
        return
    for key in ("certificate", "repeatability"):
        asked = doubt(gauge, key, gauge.measures, figure_span(gauge.measures), key)
        if asked is not None and here.at(key).sound:
            here.at(key).put(asked)


def _setting(known: Known, setting: Setting) -> Found:
    gauge, master = known.gauges.get(setting.gauge), known.gauges.get(setting.master)
    if gauge is not None and known.gauges.sound(setting.gauge, "sense") and not gauge.sense.compares:
        what = f"gauge '{excerpt(setting.gauge)}' shows sizes by itself; only a comparator is set on something."
        yield "gauge", what, "Write its sense as deviation, or name another gauge."
    for field, mark, named in (("gauge", setting.gauge, gauge), ("master", setting.master, master)):
        if named is not None and known.gauges.sound(mark, "measures") and named.measures is not Kind.LENGTH:
            yield (
                field,
                f"gauge '{excerpt(mark)}' measures {named.measures}; a setting is a length.",
                "Name another gauge.",
            )
    if master is not None and known.gauges.sound(setting.master, "sense") and master.sense.compares:
        what = f"the master '{excerpt(setting.master)}' is itself a comparator and has no size of its own."
        yield "master", what, "Name the micrometer or ring that it was set on."
    if setting.size_m <= 0.0:
        yield "size", "a setting has a size.", "Write the size that the master showed."
    if setting.master_temp_c is not None and not ROOM_C[0] <= setting.master_temp_c <= ROOM_C[1]:
        what = f"a master at {setting.master_temp_c:.0f} °C: {ROOM_C[0]:.0f} to {ROOM_C[1]:.0f} °C is expected."
        yield "master_temp", what, "Is it in °F? Then write so: 70 °F."


def _registered(known: Known, here: Where, mark: str) -> None:
    if here.sound and known.gauges.lacks(mark):
        mend = meant_or_listed(mark, known.gauges.marks, "The gauges are")
        here.say("gauge-unknown", f"there is no gauge '{excerpt(mark)}' in this file.", mend)
