"""One act of the command line on a job folder: a problem names no word, since each word was an option or an answer."""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from blockwright.acts.event import Event
from blockwright.acts.kept import Kept
from blockwright.acts.store import FolderStore
from blockwright.problems import BlockwrightError, Place


def act(
    store: FolderStore, kept: Kept, kind: str, words: Mapping[str, Any], *, by: str, at: dt.datetime | None = None
) -> Event:
    """Do one act on the job as it was read, now where no time is given. Raises BlockwrightError where it is refused."""
    when = at or dt.datetime.now().astimezone()
    try:
        return store.keep_on(kept, kind, words, by=by, at=when, key=secrets.token_hex(8))
    except BlockwrightError as error:
        raise BlockwrightError(
            each if each.place.file else replace(each, place=Place()) for each in error.problems
        ) from None
