"""Acts at the ring grinder: what was taken off, the gap read after it, a slip withdrawn, another wheel.

What is taken is written down before its gap is read: nothing can be put back. A gap goes into the entry that waits for it, where that was made on
the same day by the same hand, else into an entry of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Who, Word, Words, in_words, kind, refusal
from blockwright.acts.roles import Role
from blockwright.engine.filing import Pass
from blockwright.engine.job import Job
from blockwright.engine.states import show_state
from blockwright.fits.words import Scale, unit_of
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.new_entry import entry_from, free_id
from blockwright.jobfile.passes_csv import COLUMNS, NUMBERS, cells_of, passes_from
from blockwright.jobfile.table import Row, with_point
from blockwright.metrology.readings import TWICE
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

CONDITIONS = ("depth", "ring_temp", "bore_temp", "note")
WHICH = (
    Word("rings", "mark of the ring set"),
    Word("ring", "which ring of the set: top, second, upper rail, lower rail"),
    Word("at", "the cylinder in whose bore it is read; the one that the set is for where not given"),
)
HOW = (
    Word("gauge", "mark of the gauge, most often blades"),
    Word("depth", "depth of the ring in its bore, with its unit"),
    Word("ring_temp", "temperature of the ring"),
    Word("bore_temp", "temperature of the bore"),
    Word("note", "anything worth knowing of it"),
)


def _filed(job: Job, words: Words, who: Who) -> Body:
    grinder = job.sheet.grinder
    cells = _of_ring(job, words, who) | {
        "id": free_id(job), "wheel": grinder.wheel, "counted_in": grinder.counted_in, "taken": words["taken"], "note": words.get("note", ""),
    }  # fmt: skip
    return _checked(job, cells)


def _of_ring(job: Job, words: Words, who: Who) -> dict[str, str]:
    """Cells that say which ring, read by whom, with what."""
    home = job.home(words.get("rings", ""))
    at = words.get("at") or (str(home) if home is not None else "")
    return {name: words.get(name, "") for name in ("rings", "ring", "gauge")} | {
        "at": at,
        "by": who.by,
        "when": who.day,
    }


def _checked(job: Job, cells: Mapping[str, str], usual_unit: str = "") -> Body:
    """The entry as all its cells. Raises BlockwrightError where the job could not bear it."""
    try:
        entry = entry_from(job, cells, usual_unit)
    except BlockwrightError as error:
        raise in_words(error.problems) from None
    whole = {name: entry.cells.get(name, "") for name in COLUMNS}
    return {"cells": whole | {name: with_point(whole[name]) for name in NUMBERS}}


def _put(job: Job, body: Body) -> Job:
    entry = passes_from([Row({**dict.fromkeys(COLUMNS, ""), **body["cells"]}, 0)], job.gauges, [])[0].entry
    there = any(each.reading.id == entry.reading.id for each in job.passes)
    put = (entry if each.reading.id == entry.reading.id else each for each in job.passes)
    return replace(job, passes=tuple(put) if there else (*job.passes, entry))


FILED = kind(
    "pass filed",
    "Something was taken off a ring; its gap is still to be read.",
    (
        *WHICH,
        Word("taken", "how much was taken, in what the grinder counts", required=True),
        HOW[0],
        HOW[-1],
    ),
    role=Role.MEASURER,
    draft=_filed,
    apply=_put,
)


def _read(job: Job, words: Words, who: Who) -> Body:
    named = _entry(job, words["pass"]) if "pass" in words else None
    cells = _of_ring(job, _named(named) | dict(words), who)
    waiting = named if named is not None and named.waits else None
    if named is None:
        waiting = _waiting(job, cells, who)
    grinder = job.sheet.grinder
    if waiting is None:
        cells |= {"id": free_id(job), "wheel": grinder.wheel, "taken": "0", "counted_in": grinder.counted_in}
        cells["note"] = TWICE if named is not None and named.reading.taken else ""
    else:
        cells |= {name: cells_of(waiting)[name] for name in ("id", "wheel", "counted_in", "note")}
        cells["taken"] = with_point(cells_of(waiting)["taken"])
    given = {name: words[name] for name in (*CONDITIONS, "unit", "state") if name in words}
    state = show_state(job.engine.bore_state)
    cells |= {"state": state, "gap": words["gap"], **given, "note": _joined(cells["note"], given.get("note", ""))}
    return _checked(job, cells, words.get("usual_unit") or unit_of(job, Scale.CLEARANCE))


def _named(each: Pass | None) -> dict[str, str]:
    return {} if each is None else {"rings": each.rings, "ring": each.ring, "at": each.at, "gauge": each.reading.gauge}


def _joined(first: str, then: str) -> str:
    return "; ".join(dict.fromkeys(text for text in (first, then) if text))


def _waiting(job: Job, cells: Mapping[str, str], who: Who) -> Pass | None:
    """The last entry of a ring, where it waits for its gap and is of this day and hand."""
    ring = (cells["rings"], cells["ring"])
    last = next((each for each in reversed(job.passes) if (each.rings, each.ring) == ring), None)
    if last is None or not last.waits or last.at != cells["at"]:
        return None
    when = last.reading.when.isoformat() if last.reading.when else ""
    return last if (last.reading.by, when) == (who.by, who.day) else None


READ = kind(
    "gap read",
    "The gap of a ring was read in its bore, after a pass or as a first reading.",
    (
        Word("pass", "id of the entry that waits for it; found by hand and day where not given"),
        *WHICH,
        Word("gap", "the gap as typed; with blades what goes to what does not: 0.40 to 0.45 mm", required=True),
        Word("unit", "unit of the gap, for the column of that name"),
        Word("usual_unit", "unit of a gap typed without one; the shop's own where not given"),
        *HOW,
        Word("state", "how the bore stood; as this engine's bores are measured where not given"),
    ),
    role=Role.MEASURER,
    draft=_read,
    apply=_put,
)


def _withdrawn(job: Job, words: Words, who: Who) -> Body:
    each = _entry(job, words["pass"])
    if not each.counts:
        what = f"entry {excerpt(each.reading.id)} is withdrawn already: {excerpt(each.reading.withdrawn)}."
        raise refusal("pass", Problem("row-withdrawn", what, "There is nothing to withdraw."))
    return {"pass": each.reading.id, "why": words["why"]}


def _put_withdrawn(job: Job, body: Body) -> Job:
    def told(each: Pass) -> Pass:
        if each.reading.id != body["pass"]:
            return each
        return replace(each, reading=replace(each.reading, withdrawn=body["why"], place=Place(each.reading.place.file)))

    return replace(job, passes=tuple(told(each) for each in job.passes))


WITHDRAWN = kind(
    "pass withdrawn",
    "An entry at the grinder was a slip: it stays on record with the reason; what it took off is off all the same.",
    (Word("pass", "id of the entry", required=True), Word("why", "the reason", required=True)),
    role=Role.MEASURER,
    draft=_withdrawn,
    apply=_put_withdrawn,
)


def _put_on(job: Job, words: Words, who: Who) -> Body:
    if words["wheel"] == job.sheet.grinder.wheel:
        raise refusal(
            "wheel",
            Problem("wheel-same", f"wheel {excerpt(words['wheel'])} is on already.", "There is nothing to change."),
        )
    return {"wheel": words["wheel"]}


def _put_wheel(job: Job, body: Body) -> Job:
    return replace(job, sheet=replace(job.sheet, grinder=replace(job.sheet.grinder, wheel=body["wheel"])))


WHEEL = kind(
    "wheel put on",
    "Another wheel is on the ring grinder from now on: it cuts at a rate of its own.",
    (Word("wheel", "mark of the wheel", required=True),),
    role=Role.MEASURER,
    draft=_put_on,
    apply=_put_wheel,
)


def _entry(job: Job, mark: str) -> Pass:
    found = next((each for each in job.passes if each.reading.id == mark), None)
    if found is None:
        mend = meant_or_listed(mark, [each.reading.id for each in job.passes], "There are")
        raise refusal("pass", Problem("row-unknown", f"there is no entry '{excerpt(mark)}' at the grinder.", mend))
    return found


KINDS = (FILED, READ, WITHDRAWN, WHEEL)
