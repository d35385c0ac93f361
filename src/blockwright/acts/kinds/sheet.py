"""One table of `job.toml` changed: the engine, its duty, its temperatures, how the shop decides, the grinder, the assembly, the job's own words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, kind, refusal
from blockwright.acts.kinds.tables import check_whole, with_sheet
from blockwright.acts.roles import Role
from blockwright.engine.assembly import Assembly
from blockwright.engine.at_work import AtWork
from blockwright.engine.duty import Duty
from blockwright.engine.fasteners import Fastener
from blockwright.engine.filing import Grinder
from blockwright.engine.heat import Temperatures
from blockwright.engine.job import Job, JobSheet
from blockwright.engine.layout import Engine
from blockwright.engine.pack import Clocking
from blockwright.engine.parts import WorkOrder
from blockwright.engine.rules import ShopRules
from blockwright.engine.steps import StepChange
from blockwright.jobfile.near import meant_or_listed
from blockwright.jobfile.records import check_field, read_alone
from blockwright.jobfile.toml_write import plain
from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.quantities.declared import Written

TABLES: Mapping[str, type[Written]] = {
    "engine": Engine, "duty": Duty, "temperatures": Temperatures, "at_work": AtWork, "rules": ShopRules, "grinder": Grinder, "assembly": Assembly,
}  # fmt: skip
LISTS: Mapping[str, type[Written]] = {
    "clocking": Clocking,
    "order": WorkOrder,
    "fastener": Fastener,
    "step": StepChange,
}
JOB = "job"
OF_JOB = ("job", "customer", "invented")
CHANGEABLE = (*TABLES, *LISTS, JOB)


def _changed(job: Job, words: Words, who: Who) -> Body:
    table, values = words["table"].lower(), words["values"]
    if table not in CHANGEABLE:
        what = f"'{excerpt(table)}' is no table that is changed so."
        raise refusal("table", Problem("sheet-table", what, meant_or_listed(table, CHANGEABLE, "Possible")))
    _check_shape(table, values)
    if "was" in words:
        _check_was(job, table, words["was"])
    body = {"table": table, "values": values}
    after = _put(job, body)
    if plain(after.sheet) == plain(job.sheet):
        raise refusal("values", Problem("sheet-same", "nothing of it has changed.", "There is nothing to write down."))
    check_whole(after, table if table != JOB else "", "values")
    return body


def _check_was(job: Job, table: str, was: Any) -> None:
    """A list is sent whole: where somebody changed it after the sender looked, his list would strike that out unseen."""
    if table not in LISTS:
        raise refusal(
            "was", Problem("word-unknown", f"'{table}' is no list.", "Leave 'was' out: only what has changed is sent.")
        )
    now = _bare(plain(job.sheet).get(table, []))
    if now != _bare(was):
        count = f"{len(now)} {'entry' if len(now) == 1 else 'entries'}"
        what = f"the list was changed by somebody after you looked at it: it has {count} now."
        raise refusal(
            "values", Problem("sheet-since", what, "Nothing was written. Look at it as it is now, then do it again.")
        )


def _bare(value: Any) -> Any:
    """A table as it compares, whichever way it came: texts without gaps around them, every sequence a list."""
    if isinstance(value, Mapping):
        return {str(key): _bare(item) for key, item in value.items() if item is not None}
    if isinstance(value, list | tuple):
        return [_bare(item) for item in value]
    return value.strip() if isinstance(value, str) else value


def _check_shape(table: str, values: Any) -> None:
    if table in LISTS:
        if not isinstance(values, list) or not all(isinstance(item, Mapping) for item in values):
            raise refusal(
                "values", Problem("word-shape", f"'{table}' is a list of tables.", "Give the whole list, a table each.")
            )
        return
    if not isinstance(values, Mapping):
        raise refusal(
            "values", Problem("word-shape", f"'{table}' is a table of names and values.", "Give what has changed.")
        )
    if table != JOB:
        return
    for key, value in values.items():
        if key not in OF_JOB:
            raise refusal(
                key,
                Problem(
                    "toml-unknown", f"the name '{excerpt(key)}' is not known here.", f"Possible: {', '.join(OF_JOB)}."
                ),
            )
        fault = check_field(JobSheet, key, value)
        if fault is not None:
            raise BlockwrightError(fault.at(field=key))


def _put(job: Job, body: Body) -> Job:
    table, values = body["table"], body["values"]
    if table == JOB:
        return with_sheet(job, **values)
    if table in LISTS:
        return with_sheet(job, **{table: _list(table, values)})
    merged = {**plain(job.sheet).get(table, {}), **values}
    kept = {key: value for key, value in merged.items() if value != ""}
    return with_sheet(job, **{table: read_alone(TABLES[table], kept)})


def _list(table: str, values: list[Mapping[str, Any]]) -> tuple[Written, ...]:
    """The records of a list of tables. Raises BlockwrightError with the problems of all, each with its number."""
    records, problems = [], []
    for number, item in enumerate(values, 1):
        try:
            records.append(read_alone(LISTS[table], item))
        except BlockwrightError as error:
            problems += [
                Problem(each.code, each.what, each.mend, Place(field=f"{table} {number}, {each.place.field}"))
                for each in error.problems
            ]
    if problems:
        raise BlockwrightError(problems)
    return tuple(records)


KINDS = (
    kind(
        "sheet changed",
        "One table of job.toml was changed.",
        (
            Word("table", f"which: {', '.join(CHANGEABLE)}", required=True),
            Word(
                "values",
                "what has changed, by name, as typed; a blank strikes a name out; of a list the whole list",
                required=True,
                shape=Shape.TABLE,
            ),
            Word(
                "was",
                "of a list: all of it as it was when you looked; refused where somebody has changed it since",
                shape=Shape.TABLE,
            ),
        ),
        role=Role.BUILDER,
        draft=_changed,
        apply=_put,
    ),
)
