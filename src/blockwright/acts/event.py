"""An act as it is recorded: what was done, by whom, when, and a digest that ties it to the one before.

An event's body holds words as they were typed or chosen, never a computed number, so that its digest does not depend on a machine. The digest
is SHA-256 over the digest of the event before and the event's own cells (`jobfile.sealing.seal_of`).
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from blockwright.jobfile.sealing import seal_of
from blockwright.problems import BlockwrightError, Problem

Body = Mapping[str, Any]
"""JSON: texts, whole numbers, yes and no, lists and tables of them."""


@dataclass(frozen=True)
class Event:
    """One act on record. `key` is the sender's own mark of it: an act that is sent twice is recorded once."""

    number: int
    kind: str
    at: dt.datetime
    by: str
    key: str
    body: Body
    before: str
    digest: str

    @property
    def cells(self) -> tuple[str, ...]:
        """The event's own cells, as they are sealed and written to a file."""
        return (str(self.number), self.kind, self.at.isoformat(), self.by, self.key, canonical(self.body))

    @property
    def sound(self) -> bool:
        """Whether the digest is that of what the event says."""
        return self.digest == seal_of(self.cells, self.before)


def sealed(number: int, kind: str, body: Body, *, at: dt.datetime, by: str, key: str, before: str) -> Event:
    """An event with its digest. `at` must bear its zone."""
    assert at.tzinfo is not None
    plain = Event(number, kind, at, by, key, json.loads(canonical(body)), before, "")
    return Event(**{**plain.__dict__, "digest": seal_of(plain.cells, before)})


def canonical(body: Body) -> str:
    """The body as JSON text, always the same for the same body."""
    return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)


def check_chain(events: Iterable[Event]) -> tuple[Problem, ...]:
    """What is wrong with a row of events: altered, missing, out of order or struck from the middle. Empty where all is well."""
    problems = []
    number, before = 0, ""
    for event in events:
        number += 1
        if event.number != number:
            problems.append(_broken(event, f"event {number} is missing or out of its order"))
            number = event.number
        elif event.before != before:
            problems.append(
                _broken(event, "it does not follow the event before it: one was altered, put in or taken out")
            )
        if not event.sound:
            problems.append(_broken(event, "it was altered after it was recorded: its digest does not fit"))
        before = event.digest
    return tuple(problems)


def event_line(event: Event) -> str:
    """The event as one line of a file."""
    return canonical({"number": event.number, "kind": event.kind, "at": event.at.isoformat(), "by": event.by, "key": event.key,
                      "body": event.body, "before": event.before, "digest": event.digest})  # fmt: skip


def event_from(line: str) -> Event:
    """The event in a line of a file. Raises BlockwrightError where it is none."""
    try:
        said = json.loads(line)
        return Event(int(said["number"]), str(said["kind"]), dt.datetime.fromisoformat(said["at"]), str(said["by"]),
                     str(said["key"]), dict(said["body"]), str(said["before"]), str(said["digest"]))  # fmt: skip
    except (ValueError, KeyError, TypeError) as fault:
        what = f"a line of the events cannot be read ({type(fault).__name__})."
        raise BlockwrightError(Problem("event-line", what, "Take the file from the export again.")) from None


def _broken(event: Event, what: str) -> Problem:
    return Problem("event-chain", f"event {event.number} ({event.kind}): {what}.", "Put back the last good backup.")
