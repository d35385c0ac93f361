"""Signing for a fit that is not proven inside: a concession for one that is out, a judgement for one that cannot be told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Kind, Who, Word, Words, kind, of_words
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.engine.rules import Accepted, Record
from blockwright.fits.asking import asked
from blockwright.fits.assess import EVENT_FOR
from blockwright.fits.assessment import FitResult
from blockwright.fits.words import say
from blockwright.jobfile.record_csv import COLUMNS, cells_of, record_from, seal
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.assess import judge

FIELDS = {"fit-unknown": "fit", "fit-elsewhere": "fit", "at-unknown": "at", "accept-unsigned": "why"}


def acceptance(job: Job, fit_name: str, position_text: str) -> Accepted:
    """How a fit would be signed for as it stands. Raises BlockwrightError where there is nothing to sign for."""
    return EVENT_FOR[_asked(job, fit_name, position_text).standing]


def _asked(job: Job, fit_name: str, position_text: str) -> FitResult:
    fit, position = asked(job, fit_name, position_text)
    result = judge(job, fit, position)
    if result.standing not in EVENT_FOR:
        raise BlockwrightError(
            Problem("accept-needless", f"{fit.name}, {position}: {result.words}. There is nothing to sign for.")
        )
    if result.record is not None:
        known = result.record
        what = f"{fit.name}, {position}: already signed by {known.by}{f' on {known.when}' if known.when else ''}; nothing has changed since."
        raise BlockwrightError(Problem("accept-twice", what, "There is nothing more to sign for."))
    return result


def _drafted(event: Accepted) -> Callable[[Job, Words, Who], Body]:
    def draft(job: Job, words: Words, who: Who) -> Body:
        try:
            result = _asked(job, words.get("fit", ""), words.get("at", ""))
            _check(result, event, words, who)
        except BlockwrightError as error:
            raise of_words(error, FIELDS, "fit") from None
        cells = cells_of(_record(job, result, who, words["why"]))
        return {"cells": {name: cells[name] for name in COLUMNS}}

    return draft


def _check(result: FitResult, event: Accepted, words: Words, who: Who) -> None:
    if EVENT_FOR[result.standing] is not event:
        what = f"{result.fit.name}, {result.position}: {result.words}. That is signed for as a {EVENT_FOR[result.standing]}."
        raise BlockwrightError(Problem("accept-other", what, "Look at the fit once more, then sign."))
    if not who.by or "why" not in words:
        raise BlockwrightError(
            Problem("accept-unsigned", "an acceptance is signed, with a reason.", "Add --by 'name' --why 'reason'.")
        )


def _record(job: Job, result: FitResult, who: Who, why: str) -> Record:
    value = result.estimate.value
    record = Record(
        max((known.number for known in job.records), default=0) + 1, EVENT_FOR[result.standing], result.fit.name,
        str(result.position), value, say(job, value, result.fit.scale, u=result.estimate.u, signed=False), who.by, who.at.date(), why,
    )  # fmt: skip
    return replace(record, digest=seal(record, job.records[-1].digest if job.records else ""))


def _put(job: Job, body: Body) -> Job:
    return replace(job, records=(*job.records, record_from(body["cells"])))


def _signed(event: Accepted, doc: str) -> Kind:
    return kind(
        str(event), doc,
        (Word("fit", "name of the fit", required=True), Word("at", "position: cylinder 3", required=False), Word("why", "the reason")),
        role=Role.BUILDER, draft=_drafted(event), apply=_put,
    )  # fmt: skip


KINDS = (
    _signed(Accepted.CONCESSION, "A fit that is out was accepted, signed with a reason."),
    _signed(
        Accepted.JUDGEMENT, "A fit that cannot be told was accepted on the builder's judgement, signed with a reason."
    ),
)
