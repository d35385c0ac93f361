"""Acts of measuring: a reading taken, one withdrawn, and how the parts of a sitting stand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, in_words, kind, refusal
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.jobfile.near import meant
from blockwright.jobfile.readings_csv import COLUMNS, NUMBERS, plain_cells, row_of
from blockwright.jobfile.rows_put import check_rows, free_row_id, with_rows
from blockwright.jobfile.table import with_point
from blockwright.metrology.readings import TWICE, Reading
from blockwright.problems import BlockwrightError, Problem, excerpt

GIVEN = (
    "part",
    "feature",
    "at",
    "spot",
    "depth",
    "gauge",
    "setting",
    "sitting",
    "state",
    "part_temp",
    "gauge_temp",
    "bore_temp",
    "note",
)
"""Columns that a planned row may say already."""
STATED = ("state", "part_temp", "gauge_temp", "bore_temp", "gauge", "setting", "sitting")
DOCS = {
    "part": "mark of the part",
    "feature": "what is measured on it: bore, skirt, main journal",
    "at": "position, where the part has several: cylinder 3, main 2",
    "spot": "spot, where the feature has several: top thrust",
    "depth": "depth at which it was read, with its unit",
    "gauge": "mark of the gauge",
    "setting": "mark of the setting that a comparator was on",
    "sitting": "mark of the sitting: rows of one sitting share state and temperatures",
    "state": "how the part stood: plate on; caps torqued; shells in",
    "part_temp": "temperature of the part",
    "gauge_temp": "temperature of the gauge",
    "bore_temp": "a gap: temperature of the bore",
    "note": "anything worth knowing of it",
}


def _taken(job: Job, words: Words, who: Who) -> Body:
    planned = _row(job, words["row"], "row") if "row" in words else None
    cells = _planned(planned) | {name: words[name] for name in (*GIVEN, "value", "unit") if name in words}
    fresh = planned is None or bool(planned.text or planned.withdrawn)
    if planned is not None and planned.text and not planned.withdrawn:
        cells["note"] = f"{cells['note']}; {TWICE}" if cells.get("note") else TWICE
    mark = free_row_id(job) if planned is None or fresh else planned.id
    return {"row": mark, "cells": _checked(job, {mark: cells | {"id": mark, "by": who.by, "when": who.day}})[mark]}


def _planned(row: Reading | None) -> dict[str, str]:
    """What the row says already; the note of a row that holds a reading is that reading's."""
    if row is None:
        return {}
    typed = row_of(row)
    cells = plain_cells(typed.cells, typed.decimal_comma)
    return {name: cells[name] for name in (*GIVEN, "unit") if cells.get(name) and not (name == "note" and row.text)}


def _checked(job: Job, rows: Mapping[str, Mapping[str, str]], gauge_too: bool = False) -> dict[str, dict[str, str]]:
    """The rows with all their columns and decimal points. Raises BlockwrightError where the job could not bear one."""
    try:
        check_rows(job, rows, gauge_too)
    except BlockwrightError as error:
        raise in_words(error.problems) from None
    whole = {mark: {name: cells.get(name, "") for name in COLUMNS} for mark, cells in rows.items()}
    return {mark: cells | {name: with_point(cells[name]) for name in NUMBERS} for mark, cells in whole.items()}


def _put_taken(job: Job, body: Body) -> Job:
    return with_rows(job, {body["row"]: body["cells"]})


TAKEN = kind(
    "reading taken",
    "A reading of one spot was taken: into its planned row, or into a new one.",
    (
        Word("row", "id of the planned row that it is for; a new row where not given"),
        *(Word(name, doc) for name, doc in DOCS.items()),
        Word("value", "what the gauge showed, as typed: 97.250 mm, +0.02, .40 to .45 mm", required=True),
        Word("unit", "unit of a value typed without one"),
        Word("seen", "number of the last act that the sender knew of", shape=Shape.COUNT),
    ),
    role=Role.MEASURER,
    draft=_taken,
    apply=_put_taken,
)


def _withdrawn(job: Job, words: Words, who: Who) -> Body:
    row = _row(job, words["row"], "row")
    if row.withdrawn:
        what = f"row {excerpt(row.id)} is withdrawn already: {excerpt(row.withdrawn)}."
        raise refusal("row", Problem("row-withdrawn", what, "There is nothing to withdraw."))
    if not row.text:
        raise refusal(
            "row", Problem("row-empty", f"row {excerpt(row.id)} holds no reading yet.", "There is nothing to withdraw.")
        )
    return {"row": row.id, "why": words["why"]}


def _put_withdrawn(job: Job, body: Body) -> Job:
    row = next(each for each in job.readings if each.id == body["row"])
    typed = row_of(row)
    cells = {
        name: with_point(cell) if typed.decimal_comma and name in NUMBERS else cell
        for name, cell in typed.cells.items()
    }
    return with_rows(job, {row.id: {**cells, "withdrawn": body["why"]}})


WITHDRAWN = kind(
    "reading withdrawn",
    "A reading was a slip: it stays on record with the reason, and counts no longer.",
    (Word("row", "id of its row", required=True), Word("why", "the reason", required=True)),
    role=Role.MEASURER,
    draft=_withdrawn,
    apply=_put_withdrawn,
)


def _stated(job: Job, words: Words, who: Who) -> Body:
    stated = {name: words[name] for name in STATED if name in words}
    if not stated:
        raise refusal(
            "state",
            Problem(
                "state-nothing", "nothing is said of the rows.", "Give a state, a temperature, a gauge or a setting."
            ),
        )
    rows = {}
    for mark in words["rows"]:
        row = _row(job, mark, "rows")
        if row.text:
            what = f"row {excerpt(mark)} holds a reading already."
            raise refusal(
                "rows",
                Problem(
                    "row-taken",
                    what,
                    "How a part stood is said before it is read; withdraw the reading and take it again.",
                ),
            )
        typed = row_of(row)
        rows[mark] = {**plain_cells(typed.cells, typed.decimal_comma), **stated}
    checked = _checked(job, rows, gauge_too="gauge" in stated or "setting" in stated)
    return {"rows": list(rows), "cells": {name: next(iter(checked.values()))[name] for name in stated}}


def _put_stated(job: Job, body: Body) -> Job:
    wanted = set(body["rows"])
    rows: dict[str, dict[str, Any]] = {}
    for each in job.readings:
        if each.id in wanted:
            typed = row_of(each)
            rows[each.id] = {**plain_cells(typed.cells, typed.decimal_comma), **body["cells"]}
    return with_rows(job, rows)


STATED_KIND = kind(
    "state set",
    "Said of planned rows before they are read: how the part stands, its temperatures, gauge, setting and sitting.",
    (
        Word("rows", "ids of planned rows", required=True, shape=Shape.LIST),
        *(Word(name, DOCS[name]) for name in STATED),
    ),
    role=Role.MEASURER,
    draft=_stated,
    apply=_put_stated,
)


def _row(job: Job, mark: str, field: str) -> Reading:
    found = next((each for each in job.readings if each.id == mark), None)
    if found is None:
        mend = meant(mark, [each.id for each in job.readings]) or "Look at the plan again: it may have changed."
        raise refusal(field, Problem("row-unknown", f"there is no row '{excerpt(mark)}' of readings.", mend))
    return found


KINDS = (TAKEN, WITHDRAWN, STATED_KIND)
