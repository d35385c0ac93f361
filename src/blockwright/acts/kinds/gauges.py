"""Gauges registered and settings made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Apply, Draft, Kind, Shape, Who, Word, Words, kind, refusal
from blockwright.acts.kinds.tables import check_whole, index_of, put, table_of, with_gauges
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.jobfile.records import read_alone
from blockwright.metrology.gauges import Gauge, Setting
from blockwright.problems import Problem, excerpt

CLASSES: dict[str, type[Gauge] | type[Setting]] = {"gauge": Gauge, "setting": Setting}


def _put(what: str) -> Apply:
    def apply(job: Job, body: Body) -> Job:
        record: Any = read_alone(CLASSES[what], body[what])
        records = getattr(job.gauge_sheet, what)
        at = index_of(records, id=record.id) if body["again"] else None
        return with_gauges(job, **{what: put(records, record, at)})

    return apply


def _drafted(what: str, default: Callable[[dict[str, Any], Who], dict[str, Any]]) -> Draft:
    def draft(job: Job, words: Words, who: Who) -> Body:
        table = default(table_of(words, what), who)
        body = {what: table, "again": words.get("again", False)}
        records = getattr(job.gauge_sheet, what)
        mark = table.get("id", "")
        there = index_of(records, id=mark)
        if body["again"] and there is None:
            raise refusal(
                "id",
                Problem(f"{what}-unknown", f"there is no {what} '{excerpt(str(mark))}'.", "Enter it as a new one."),
            )
        number = there if body["again"] and there is not None else len(records)
        check_whole(_put(what)(job, body), f"{what} {number + 1}", what)
        return body

    return draft


def _as_typed(table: dict[str, Any], who: Who) -> dict[str, Any]:
    return table


def _signed(table: dict[str, Any], who: Who) -> dict[str, Any]:
    """A setting is made now, by whoever says so, where nothing else is said."""
    return {"when": who.day} | ({"by": who.by} if who.by else {}) | table


def _kind(name: str, doc: str, what: str, default: Callable[[dict[str, Any], Who], dict[str, Any]], role: Role) -> Kind:
    return kind(
        name, doc,
        (
            Word(what, f"its table as in [[{what}]] of gauges.toml", required=True, shape=Shape.TABLE),
            Word("again", f"yes: in place of what was said of the {what} with this mark", shape=Shape.YES),
        ),
        role=role, draft=_drafted(what, default), apply=_put(what),
    )  # fmt: skip


KINDS = (
    _kind(
        "gauge registered",
        "A gauge was entered with its certificate; or again, when its certificate was renewed.",
        "gauge",
        _as_typed,
        Role.BUILDER,
    ),
    _kind(
        "setting made",
        "A comparator was set on something: readings on one setting share its error.",
        "setting",
        _signed,
        Role.MEASURER,
    ),
)
