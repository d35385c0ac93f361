"""An act as a page or a tablet's outbox sends it: {kind, words, key, at}, checked for its form before anybody looks at the job."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from blockwright.acts.kinds import KINDS, Kind
from blockwright.jobfile.near import nearest
from blockwright.problems import BlockwrightError, Place, Problem, excerpt

KEY = re.compile(r"[A-Za-z0-9._:-]{8,80}")
AHEAD = dt.timedelta(minutes=2)
"""How far a tablet's clock may run ahead before the bench's own time is taken."""


@dataclass(frozen=True)
class Said:
    """One act: its kind, its words, when it was done by the sender's clock, and the sender's own mark of it.

    `pin` proves a second pair of eyes that the words name; it is never kept.
    """

    kind: Kind
    words: Mapping[str, Any]
    key: str
    at: dt.datetime
    pin: str = field(default="", repr=False)


def said_from(body: bytes) -> Said:
    """The act in a request's body. Raises BlockwrightError with the field at fault."""
    try:
        told = json.loads(body)
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict):
        raise _fault("act-form", "this is no act.", "Send {kind, words, key, at} as JSON.", "")
    words = told.get("words", {})
    if not isinstance(words, dict):
        raise _fault("act-words", "the words of an act are a table.", "Send them as {name: value}.", "words")
    pin = told.get("pin", "")
    return Said(
        _kind(told.get("kind")),
        words,
        key_of(told.get("key")),
        when(told.get("at")),
        pin if isinstance(pin, str) else "",
    )


def _kind(text: Any) -> Kind:
    if not isinstance(text, str) or text not in KINDS:
        near = nearest(text, KINDS) if isinstance(text, str) else ""
        mend = f"Did you mean '{near}'?" if near else f"Known: {', '.join(KINDS)}."
        raise _fault("act-kind", f"there is no act '{excerpt(str(text))}'.", mend, "kind")
    return KINDS[text]


def key_of(text: Any) -> str:
    """The sender's own mark of an act. Raises BlockwrightError where it will not do for one."""
    if not isinstance(text, str) or not KEY.fullmatch(text):
        mend = "Send 8 to 80 letters, digits or . _ : - that you use for no other act."
        raise _fault(
            "act-key",
            "every act needs a key of its own, so that it is kept once however often it is sent.",
            mend,
            "key",
        )
    return text


def when(text: Any) -> dt.datetime:
    """The sender's time with its zone, to the second; the bench's own where he gives none or his clock runs ahead."""
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    if text is None or text == "":
        return now
    try:
        at = dt.datetime.fromisoformat(text)
    except (TypeError, ValueError):
        at = None
    if at is None or at.tzinfo is None:
        raise _fault(
            "act-time",
            f"'{excerpt(str(text))}' is no time with its zone.",
            "Write it so: 2031-05-04T09:30:00+00:00.",
            "at",
        )
    return now if at > now + AHEAD else at.replace(microsecond=0)


def _fault(code: str, what: str, mend: str, field: str) -> BlockwrightError:
    return BlockwrightError(Problem(code, what, mend, Place(field=field)))
