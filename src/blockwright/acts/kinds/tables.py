"""Entries of the two sheets as typed, and the check of a job whose sheet was changed: the reader's own, on the files that it would be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from blockwright.acts.kinds.kind import Words, refusal
from blockwright.engine.job import Job
from blockwright.jobfile.folder import GAUGE_FILE, JOB_FILE, read_texts
from blockwright.jobfile.table import read_table
from blockwright.jobfile.write import folder_texts
from blockwright.problems import BlockwrightError, Place, Problem
from blockwright.quantities.declared import Written

W = TypeVar("W", bound=Written)
MOST_TOLD = 20


def table_of(words: Words, name: str) -> dict[str, Any]:
    """The table that stands for a word. Raises BlockwrightError where a list stands there."""
    table = words[name]
    if not isinstance(table, dict):
        raise refusal(
            name,
            Problem(
                "word-shape", f"a list stands for '{name}'; one table is wanted.", "Give each in an act of its own."
            ),
        )
    return table


def with_sheet(job: Job, **fields: Any) -> Job:
    """The job with these fields of `job.toml` changed."""
    return replace(job, sheet=changed(job.sheet, **fields))


def with_gauges(job: Job, **fields: Any) -> Job:
    """The job with these fields of `gauges.toml` changed."""
    return replace(job, gauge_sheet=changed(job.gauge_sheet, **fields))


def changed(record: W, **fields: Any) -> W:
    """A record with other values in some fields; what was typed for those is forgotten. Their names are also their keys."""
    entered = {key: typed for key, typed in record.entered.items() if key not in fields}
    return replace(record, entered=entered, **fields)


def check_whole(job: Job, own: str, otherwise: str) -> None:
    """Have the reader check a job whose sheet was changed. Raises BlockwrightError with its problems.

    `own` is what the reader calls the changed place: `part 3`, `engine`; the problems there name the field within it. All others belong to the
    word `otherwise`, and say where they are.
    """
    texts = folder_texts(job)
    try:
        read_texts("", texts)
    except BlockwrightError as error:
        raise BlockwrightError(_named(error.problems[:MOST_TOLD], texts, own, otherwise)) from None


def _named(problems: Sequence[Problem], texts: Mapping[str, str], own: str, otherwise: str) -> Iterator[Problem]:
    for each in problems:
        place = each.place
        if place.file in (JOB_FILE, GAUGE_FILE) and (place.field == own or place.field.startswith(f"{own}, ")):
            field = place.field.removeprefix(own).removeprefix(", ")
            yield Problem(each.code, each.what, each.mend, Place(field=field or otherwise))
        else:
            where = ", ".join(filter(None, (place.file, _row(place, texts), place.field)))
            yield Problem(each.code, f"{where}: {each.what}", each.mend, Place(field=otherwise))


def _row(place: Place, texts: Mapping[str, str]) -> str:
    """Which row of a table: by its first cell, since lines are those of a file that nobody has."""
    if not place.file.endswith(".csv") or not place.line:
        return ""
    head, _, _ = texts[place.file].partition("\n")
    columns = head.split(",")
    rows, _ = read_table(texts[place.file], place.file, columns, (), [])
    found = next((row for row in rows if row.line == place.line), None)
    return f"row {found.cells[columns[0]]}" if found is not None else ""


def index_of(records: Sequence[Written], **wanted: Any) -> int | None:
    """Where in a list the record is that has these values; `None` where there is none."""
    return next(
        (at for at, each in enumerate(records) if all(getattr(each, name) == value for name, value in wanted.items())),
        None,
    )


def put(records: tuple[W, ...], record: W, at: int | None) -> tuple[W, ...]:
    """A list with a record in place of the one that was there, or at its end."""
    return (*records, record) if at is None else (*records[:at], record, *records[at + 1 :])
