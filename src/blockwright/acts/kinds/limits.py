"""Limits of a fit, with who says so."""

from __future__ import annotations

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, kind, refusal
from blockwright.acts.kinds.tables import check_whole, put, table_of, with_sheet
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.engine.rules import Authority, LimitRule
from blockwright.jobfile.records import read_alone
from blockwright.problems import Problem, excerpt

SAME = ("fit", "at", "authority")
"""A limit takes the place of the one that has these in common with it; of several, of the one with the same source."""


def _set(job: Job, words: Words, who: Who) -> Body:
    table = table_of(words, "limit")
    if table.get("authority") == Authority.BUILDER and who.by:
        table = {"by": who.by} | table
    body = {"limit": table, "struck": words.get("struck", False)}
    rule = read_alone(LimitRule, table)
    there = _there(job, rule)
    if body["struck"]:
        if there is None:
            what = f"there is no limit of {excerpt(rule.fit)} by '{rule.authority}' to strike out."
            raise refusal(
                "limit", Problem("limit-unknown", what, "Name fit, at, authority and source as they stand there.")
            )
        return body
    number = len(job.sheet.limit) if there is None else there
    check_whole(_put(job, body), f"limit {number + 1}", "limit")
    return body


def _there(job: Job, rule: LimitRule) -> int | None:
    same = [
        at
        for at, each in enumerate(job.sheet.limit)
        if all(getattr(each, name) == getattr(rule, name) for name in SAME)
    ]
    of_source = [at for at in same if job.sheet.limit[at].source == rule.source]
    return (same if len(same) == 1 else [*of_source, None])[0]


def _put(job: Job, body: Body) -> Job:
    rule = read_alone(LimitRule, body["limit"])
    there, limits = _there(job, rule), job.sheet.limit
    if body["struck"] and there is not None:
        return with_sheet(job, limit=(*limits[:there], *limits[there + 1 :]))
    return with_sheet(job, limit=put(limits, rule, there))


KINDS = (
    kind(
        "limit set",
        "A limit of a fit was written down with who says so: a new one, in place of the one by the same source, or struck out.",
        (
            Word(
                "limit",
                "its table as in [[limit]] of job.toml: fit, at, authority, source, low, aim, high, ...",
                required=True,
                shape=Shape.TABLE,
            ),
            Word("struck", "yes: the limit of this fit, place, authority and source is struck out", shape=Shape.YES),
        ),
        role=Role.BUILDER,
        draft=_set,
        apply=_put,
    ),
)
