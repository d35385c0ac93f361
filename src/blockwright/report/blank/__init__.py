"""The readings that are still to take, as a paper form in the order of `readings.csv`: what, where, with which gauge, and boxes to write in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from blockwright.engine.job import ENGINE_MARK, Job
from blockwright.engine.states import show_state
from blockwright.fits.words import Scale, say
from blockwright.metrology.readings import Reading
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.paper import paper as named_paper
from blockwright.report.typeset import typeset


def blank_pdf(job: Job, paper: str = "A4", *, every: bool = False) -> bytes:
    """The form. `every` lists readings that are taken too. Raises BlockwrightError where nothing is left to take."""
    rows = [each for each in job.readings if not each.withdrawn and (every or not each.taken)]
    if not rows:
        what = "no reading is left to take."
        mend = "Say --all for a form of every reading." if job.readings else "Add rows to readings.csv."
        raise BlockwrightError(Problem("blank-none", what, mend))
    data = {
        "title": f"Readings to take, {job.sheet.job}", "job": job.sheet.job, "engine": job.engine.name, "count": len(rows),
        "invented": job.sheet.invented, "paper": named_paper(paper), "groups": list(_groups(job, rows)),
    }  # fmt: skip
    return typeset("blank/blank.typ", data)


def _groups(job: Job, rows: Sequence[Reading]) -> Iterator[dict[str, Any]]:
    """Rows that follow each other with one gauge on one setting, on parts in one state."""
    for (gauge, setting, state), listed in groupby(rows, key=lambda each: (each.gauge, each.setting, each.state)):
        yield {
            "gauge": _gauge(job, gauge), "setting": _setting(job, setting), "state": show_state(state or frozenset()),
            "rows": [
                {"id": each.id, "what": _what(each), "at": each.at, "spot": each.spot, "unit": each.unit, "signed": _signed(job, each)}
                for each in listed
            ],
        }  # fmt: skip


def _signed(job: Job, reading: Reading) -> bool:
    """Whether the gauge shows a deviation, which wants its sign written."""
    gauge = job.gauges.get(reading.gauge)
    return gauge is not None and gauge.sense.compares


def _what(reading: Reading) -> str:
    return reading.feature if reading.part == ENGINE_MARK else f"{reading.feature} of {reading.part}"


def _gauge(job: Job, mark: str) -> str:
    known = job.gauges.get(mark)
    if not mark:
        return "gauge: write it in"
    return f"{mark}, {known.name}" if known and known.name else mark


def _setting(job: Job, mark: str) -> str:
    known = job.settings.get(mark)
    if known is None:
        return mark
    size = known.as_typed("size", known.size_m) or say(job, known.size_m, Scale.SIZE)
    return f"set {mark}: to {size} on {known.master}"
