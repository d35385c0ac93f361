"""A whole folder brought in: the beginning of every job, and what another program did to its files."""

from __future__ import annotations

from blockwright.acts.event import Body
from blockwright.acts.kinds.kind import Shape, Who, Word, Words, kind, refusal
from blockwright.acts.roles import Role
from blockwright.engine.job import Job
from blockwright.jobfile.folder import FILES, read_texts
from blockwright.problems import BlockwrightError, Problem

BROUGHT = "folder brought in"


def _brought(job: Job, words: Words, who: Who) -> Body:
    name, texts = words["name"], words["texts"]
    strangers = [file for file in texts if file not in FILES]
    if strangers:
        what = f"'{strangers[0]}' is no file of a job."
        raise refusal("texts", Problem("folder-file", what, f"The files are: {', '.join(FILES)}."))
    try:
        read_texts(name, texts)
    except BlockwrightError as error:
        raise BlockwrightError(each.at(field="texts") for each in error.problems) from None
    return {"name": name, "texts": texts}


def _put_brought(job: Job, body: Body) -> Job:
    return read_texts(body["name"], body["texts"]).job


KINDS = (
    kind(
        BROUGHT,
        "The files of a job folder were brought in as they are.",
        (
            Word("name", "name of the folder", required=True),
            Word("texts", "the text of each file, by the file's name", required=True, shape=Shape.LONG_TEXTS),
        ),
        role=Role.BUILDER,
        draft=_brought,
        apply=_put_brought,
    ),
)
