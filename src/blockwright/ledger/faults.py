"""What a database says when it cannot do its work, in plain words. Django is imported where a fault is looked at, not before."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from blockwright.problems import BlockwrightError, Problem

KNOWN: tuple[tuple[tuple[str, ...], str, str], ...] = (
    (("locked", "busy", "lock timeout", "deadlock"), "another program holds the ledger", "Try again in a moment."),
    (("readonly", "read-only"), "it may not be written to", "Give yourself the right to write to the data folder."),
    (("disk is full", "no space left", "disk full"), "the disk is full", "Make room, then try again."),
    (("disk i/o", "could not extend", "could not write", "could not read"), "the disk does not do its work",
     "Is it there and sound? Then try again."),
    (("malformed", "not a database", "corrupt"), "its file is damaged", "Put back the last good backup."),
    (("unable to open",), "its file cannot be opened", "Is the data folder there, and may you write to it?"),
    (("authentication", "password", "role", "permission denied"), "the database does not let this user in",
     "Check name and password in the address of the database."),
    (("refused", "could not connect", "connection failed", "couldn't get a connection", "closed", "terminat", "timeout",
      "translate host", "resolve", "does not exist"),
     "the database cannot be reached", "Is it running, and is its address right? Then try again."),
)  # fmt: skip
"""Words of a fault, what they mean, and the mend; the first that fits counts. From the messages of SQLite and PostgreSQL themselves."""


LEDGER = "ledger-database"
"""Code of every such problem: what was sent is not at fault, and may be sent again."""


@contextlib.contextmanager
def told(lead: str, undone: str = "") -> Iterator[None]:
    """What the database refuses within becomes a BlockwrightError that begins with `lead` and ends with `undone`."""
    from django.db import Error

    try:
        yield
    except Error as fault:
        raise BlockwrightError(problem_of(fault, lead, undone)) from fault


def problem_of(fault: Exception, lead: str, undone: str) -> Problem:
    """The fault in plain words; what is not known is quoted."""
    said = " ".join(str(fault).split())
    why, mend = next(
        ((why, mend) for words, why, mend in KNOWN if any(word in said.lower() for word in words)),
        (f"the database says '{said[:160]}'", "Try again; if it stays so, put back the last good backup."),
    )
    return Problem(LEDGER, f"{lead}. What is wrong: {why}.", f"{undone} {mend}".strip())
