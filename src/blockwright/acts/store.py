"""Where the acts of a job are kept: what every store does, and the store that is a job folder on the disk."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Protocol

from blockwright.acts.event import Event, sealed
from blockwright.acts.kept import Kept, apply_event
from blockwright.acts.kinds import Who, kind_named
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.write import folder_texts, write_folder


class Store(Protocol):
    """A job and the one way to change it."""

    def kept(self) -> Kept:
        """The job as it is now."""

    def keep(self, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime, key: str) -> Event:
        """Do one act, whole or not at all; the same key again gives the earlier event. Raises BlockwrightError where it is refused."""


def proposed(
    kept: Kept, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime, key: str
) -> tuple[Event, Kept]:
    """The event that an act would be, and the job after it. `at` bears its zone. Raises BlockwrightError where the act is refused."""
    who = Who(by.strip(), at, key)
    body = kind_named(kind).draft(kept.job, words, who)
    event = sealed(kept.number + 1, kind, body, at=at, by=who.by, key=key, before=kept.digest)
    return event, apply_event(kept, event)


class FolderStore:
    """A job folder on the disk, read anew for each act. Its events are numbered from when the store was made, and not kept."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._events: dict[str, Event] = {}
        self._last: Event | None = None

    def kept(self) -> Kept:
        """The job as its files are now. Raises BlockwrightError where they make no job."""
        folder = read_folder(self.path)
        if self._last is None:
            return Kept(folder.job, folder)
        return Kept(folder.job, folder, self._last.number, self._last.digest)

    def keep(self, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime, key: str) -> Event:
        """Do one act and write the folder. Raises BlockwrightError where it is refused, or the disk refuses."""
        if key in self._events:
            return self._events[key]
        return self.keep_on(self.kept(), kind, words, by=by, at=at, key=key)

    def keep_on(
        self, before: Kept, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime, key: str
    ) -> Event:
        """Do one act on the job as it was read. Raises BlockwrightError where the files were changed since, too."""
        event, after = proposed(before, kind, words, by=by, at=at, key=key)
        write_folder(self.path, folder_texts(after.job, after.base), before.base.texts)
        self._events[key] = self._last = event
        return event
