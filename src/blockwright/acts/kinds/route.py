"""Steps of the route signed and undone. What a signature relies on is worked out by `choices.route` and kept in the signature itself."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, kind, of_words, refusal
from blockwright.acts.roles import Role
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.progress import Progress, sign, undo, with_signing
from blockwright.choices.route.whole import route_progress
from blockwright.engine.job import Job
from blockwright.engine.steps import Given, Look, Signing
from blockwright.jobfile.attachments import FROM, KEPT
from blockwright.jobfile.route_csv import COLUMNS, cells_of, look_from, seal, signings_from
from blockwright.jobfile.table import Row
from blockwright.problems import BlockwrightError, Problem, excerpt

FIELDS = {
    "sign-count": "counts", "sign-photo": "photos", "sign-eyes": "eyes", "sign-paint": "paint", "sign-look": "looks", "undo-why": "why",
}  # fmt: skip
MOST_COUNTED = 6
"""Digits of a count."""


def _signed(job: Job, words: Words, who: Who) -> Body:
    given = Given(
        _counts(words.get("counts", []), "counts"), _photos(words.get("photos", [])), words.get("eyes", ""),
        _counts(words.get("paint", []), "paint"), _looks(words.get("looks", [])),
    )  # fmt: skip
    note = words.get("note", "")
    return _made(job, words, lambda p, key: sign(p, key, given, by=who.by, when=_when(who), note=note))


def _undone(job: Job, words: Words, who: Who) -> Body:
    return _made(job, words, lambda p, key: undo(p, key, by=who.by, when=_when(who), why=words.get("why", "")))


def _made(job: Job, words: Words, make: Callable[[Progress, str], Signing]) -> Body:
    try:
        progress = route_progress(job)
        signing = make(progress, step_meant(words["step"], list(progress.states)))
    except BlockwrightError as error:
        raise of_words(error, FIELDS, "step") from None
    signing = replace(signing, digest=seal(signing, job.signings[-1].digest if job.signings else ""))
    cells = cells_of(signing)
    return {"cells": {name: cells[name] for name in COLUMNS}}


def _put(job: Job, body: Body) -> Job:
    row = Row({**dict.fromkeys(COLUMNS, ""), **body["cells"]}, 0)
    return with_signing(job, signings_from([row], [])[0])


def _when(who: Who) -> dt.datetime:
    return who.at.replace(microsecond=0)


def _counts(texts: Sequence[str], field: str) -> tuple[int, ...]:
    wrong = next((text for text in texts if not text.isdecimal() or len(text) > MOST_COUNTED), None)
    if wrong is not None:
        raise refusal(
            field, Problem("signing-count", f"'{excerpt(wrong)}' is no count.", "Write whole numbers: 2, 14.")
        )
    return tuple(map(int, texts))


def _photos(texts: Sequence[str]) -> tuple[str, ...]:
    wrong = next((text for text in texts if not KEPT.fullmatch(text.partition(FROM)[0])), None)
    if wrong is not None:
        what = f"photo '{excerpt(wrong)}' is not among the attachments."
        raise refusal(
            "photos", Problem("sign-photo", what, "Keep the photo first, then sign with the name that it is kept by.")
        )
    return tuple(texts)


def _looks(texts: Sequence[str]) -> tuple[Look, ...]:
    looks = [(text, look_from(text)) for text in texts]
    problems: list[Problem] = [
        Problem("signing-look", f"'{excerpt(text)}' does not say which fit was looked at and why it may stay so.",
                   "Write: turning torque, stage main 3: the reason.").at(field="looks")
        for text, look in looks if look is None
    ]  # fmt: skip
    if problems:
        raise BlockwrightError(problems)
    return tuple(look for _, look in looks if look is not None)


STEP = Word("step", "key of the step, whole or shortened as far as it stays clear", required=True)

KINDS = (
    kind(
        "step signed",
        "A step of the route was done, and signed with its evidence.",
        (
            STEP,
            Word("counts", "counts, in the order in which the step asks for them", shape=Shape.LIST),
            Word(
                "photos",
                "photos, each by the name under which it is kept: 0123456789abcdef.jpg from clips.jpg",
                shape=Shape.LIST,
            ),
            Word("eyes", "name of the second pair of eyes"),
            Word("paint", "paint marks, in the order in which the step asks for them", shape=Shape.LIST),
            Word(
                "looks",
                "fits without a limit that were looked at, each with the reason: turning torque, stage main 3: the reason",
                shape=Shape.LIST,
            ),
            Word("note", "anything worth knowing of it"),
        ),
        role=Role.BUILDER,
        draft=_signed,
        apply=_put,
    ),
    kind(
        "step undone",
        "A signed step was undone: what stands on it is open again.",
        (STEP, Word("why", "the reason")),
        role=Role.BUILDER,
        draft=_undone,
        apply=_put,
    ),
)
