"""A job as its events make it, and the folding of events: the same events give the same job and the same files, on any machine.

Beside the job goes the folder that it was last brought in as: the layout of its files, which acts change as they would on the disk.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from blockwright.acts.event import Event, check_chain, event_from
from blockwright.acts.kinds import KINDS
from blockwright.acts.kinds.whole import BROUGHT
from blockwright.engine.job import Job
from blockwright.jobfile.folder import JobFolder, marked_texts, read_texts
from blockwright.jobfile.write import folder_texts, follow_sheets, lacks_columns
from blockwright.problems import BlockwrightError, Problem, excerpt

EVENTS_FILE = "events.jsonl"
"""Beside the files of a job that was taken out of a ledger: one event a line."""


@dataclass(frozen=True)
class Kept:
    """A job after its event `number`, whose digest is `digest`; `base` is the layout of its files."""

    job: Job
    base: JobFolder
    number: int = 0
    digest: str = ""

    def folder(self) -> JobFolder:
        """The job with its files as a job folder would hold them now."""
        return self._folder

    def texts(self) -> dict[str, str]:
        """The files to be taken out, byte-order marks where they had one."""
        return marked_texts(self._folder.texts, self.base.marked)

    @cached_property
    def _folder(self) -> JobFolder:
        return replace(self.base, job=self.job, texts=folder_texts(self.job, self.base))


def start(name: str, texts: Mapping[str, str]) -> Kept:
    """A job from the texts of its files, before any event. Raises BlockwrightError where they make no job."""
    base = read_texts(name, texts)
    return Kept(base.job, base)


def fold(events: Iterable[Event], kept: Kept | None = None) -> Kept:
    """The job after these events, which follow those of `kept`. The first of all is that a folder was brought in.

    Raises BlockwrightError where they do not follow one another.
    """
    for event in events:
        kept = apply_event(kept, event)
    if kept is None:
        raise BlockwrightError(
            Problem("event-none", "there is no event.", "A job begins with a folder that is brought in.")
        )
    return kept


def apply_event(kept: Kept | None, event: Event) -> Kept:
    """The job after one more event. Raises BlockwrightError where the event does not follow, or its file cannot take the change."""
    _check_follows(kept, event)
    if event.kind == BROUGHT:
        base = read_texts(event.body["name"], event.body["texts"])
        return Kept(base.job, base, event.number, event.digest)
    assert kept is not None
    job = KINDS[event.kind].apply(kept.job, event.body)
    base = follow_sheets(job, kept.base)
    if lacks_columns(job, kept.job, base):
        base = read_texts(str(base.path), marked_texts(folder_texts(job, base), base.marked))
        job = base.job
    return Kept(job, base, event.number, event.digest)


def events_of_folder(texts: Mapping[str, str]) -> tuple[Event, ...]:
    """The events that lie beside the files of a job; none where there are none. Raises BlockwrightError where the chain is broken."""
    lines = [line for line in texts.get(EVENTS_FILE, "").split("\n") if line.strip()]
    events = tuple(event_from(line) for line in lines)
    problems = check_chain(events)
    if problems:
        raise BlockwrightError(problems)
    return events


def _check_follows(kept: Kept | None, event: Event) -> None:
    number, before = (kept.number, kept.digest) if kept is not None else (0, "")
    if event.number != number + 1 or event.before != before:
        what = f"event {event.number} ({excerpt(event.kind)}) does not follow event {number}."
        raise BlockwrightError(Problem("event-chain", what, "Put back the last good backup."))
    if event.kind not in KINDS:
        what = f"event {event.number} is a '{excerpt(event.kind)}', which this version does not know."
        raise BlockwrightError(Problem("act-unknown", what, "Use the version that wrote it, or a later one."))
    if kept is None and event.kind != BROUGHT:
        raise BlockwrightError(Problem("event-none", "no folder was brought in before the first act."))
