"""`route.csv` <-> signatures under the steps of the route, each row sealed to the one before (`sealing`).

A cell that holds several things parts them by semicolons; within `relied` the words of one thing are parted by upright strokes. A backslash
stands before a sign that parts nothing.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from blockwright.engine.steps import Given, Leaned, Look, Relied, Signed, Signing
from blockwright.jobfile.sealing import chained, is_number, seal_of
from blockwright.jobfile.table import Form, Row
from blockwright.problems import Place, Problem
from blockwright.quantities.errors import excerpt

FILE = "route.csv"
COLUMNS = (
    "number",
    "event",
    "step",
    "by",
    "when",
    "counts",
    "photos",
    "eyes",
    "paint",
    "looks",
    "note",
    "relied",
    "digest",
)
REQUIRED = ("number", "event", "step", "by", "when")
LATER = ("looks",)
"""Columns that files of earlier versions do not have."""
FORM = Form(",", "\n", COLUMNS)
WHOLE = re.compile(r"\d{1,6}")
PIECE = re.compile(r"\\.|.", re.DOTALL)
"""One sign, with the backslash before it if there is one."""

Say = Callable[[str, Problem], None]


def signings_from(rows: Sequence[Row], problems: list[Problem]) -> tuple[Signing, ...]:
    """Signatures of all rows that can be read, the chain of digests and their numbers checked."""
    return chained(rows, FILE, _signing, seal, problems)


def cells_of(signing: Signing) -> Mapping[str, str]:
    """A signature as a row."""
    given = signing.given
    return {
        "number": str(signing.number), "event": signing.event, "step": signing.step, "by": signing.by,
        "when": signing.when.isoformat(sep=" "), "counts": _listed(map(str, given.counts)), "photos": _listed(given.photos),
        "eyes": given.eyes, "paint": _listed(map(str, given.paint)),
        "looks": _listed(f"{each.what}: {each.why}" for each in given.looks), "note": signing.note,
        "relied": "; ".join("|".join(_escaped(word, "|") for word in _relied_words(each)) for each in signing.relied),
        "digest": signing.digest,
    }  # fmt: skip


def seal(signing: Signing, before: str) -> str:
    """Digest of a signature that follows one with the digest `before`; a blank cell of a column that came later adds nothing to it."""
    cells = cells_of(signing)
    return seal_of((cells[name] for name in COLUMNS if name != "digest" and (cells[name] or name not in LATER)), before)


def _signing(row: Row, problems: list[Problem]) -> Signing | None:
    cells = {**dict.fromkeys(COLUMNS, ""), **row.cells}
    before = len(problems)

    def say(column: str, problem: Problem) -> None:
        problems.append(problem.at(file=FILE, line=row.line, field=column))

    for name, what in (("step", "the row names no step."), ("by", "nobody signed the row.")):
        if not cells[name]:
            say(name, Problem(f"signing-{name}", what, "Write it in."))
    if cells["event"] not in tuple(Signed):
        what = f"'{excerpt(cells['event'])}' is nothing that is signed."
        say("event", Problem("signing-event", what, f"Possible: {', '.join(Signed)}."))
    elif cells["event"] == Signed.UNDONE and not cells["note"]:
        say("note", Problem("signing-note", "a step is undone for a reason.", "Write it in."))
    if not is_number(cells["number"]):
        say("number", Problem("record-number", f"'{excerpt(cells['number'])}' is no row's number.", "Write 1, 2, 3."))
    when = _when(cells["when"], say)
    given = Given(
        _counts(cells, "counts", say), _parted(cells["photos"]), cells["eyes"], _counts(cells, "paint", say), _looks(cells["looks"], say),
    )  # fmt: skip
    relied = _relied(cells["relied"], say)
    if len(problems) > before or when is None:
        return None
    return Signing(
        int(cells["number"]), Signed(cells["event"]), cells["step"], cells["by"], when, given, cells["note"], relied,
        cells["digest"], Place(FILE, row.line),
    )  # fmt: skip


def _when(text: str, say: Say) -> dt.datetime | None:
    try:
        when = dt.datetime.fromisoformat(text)
    except ValueError:
        when = None
    if when is None or when.tzinfo is None:
        what = f"'{excerpt(text)}' does not say day, time and time zone."
        say("when", Problem("signing-when", what, "Write it as 2026-03-31 14:05:00+01:00."))
        return None
    return when


def _counts(cells: Mapping[str, str], column: str, say: Say) -> tuple[int, ...]:
    words = _parted(cells[column])
    wrong = next((word for word in words if not WHOLE.fullmatch(word)), None)
    if wrong is not None:
        say(column, Problem("signing-count", f"'{excerpt(wrong)}' is no count.", "Write whole numbers: 2; 14"))
        return ()
    return tuple(map(int, words))


def _looks(text: str, say: Say) -> tuple[Look, ...]:
    looks = tuple(look_from(piece) for piece in _parted(text))
    if any(look is None for look in looks):
        what = f"'{excerpt(text)}' does not say which fit was looked at and why it was accepted."
        say("looks", Problem("signing-look", what, "Write: turning torque, stage main 3: the reason."))
    return tuple(look for look in looks if look is not None)


def look_from(text: str) -> Look | None:
    """`turning torque, stage main 3: as its neighbours` -> what was looked at and why; `None` where one of the two is missing."""
    what, _, why = (each.strip() for each in text.partition(":"))
    return Look(what, why) if what and why else None


def _relied_words(each: Relied) -> Iterable[str]:
    marks = [f"{mark}={digest}" for mark, digest in each.digests]
    if each.kind is Leaned.PART:
        return (each.kind, each.name, *marks)
    value = "" if each.value_si is None else repr(each.value_si)
    return (each.kind, each.name, each.at, value, each.standing, *marks)


def _relied(text: str, say: Say) -> tuple[Relied, ...]:
    found = []
    for piece in _split(text, ";") if text else ():
        each = _relied_from([_plain(word) for word in _split(piece.strip(), "|")])
        if each is None:
            what = f"'{excerpt(piece)}' does not say what the signature relied on."
            say("relied", Problem("signing-relied", what, "Put it back as it was; or clear the cell and the digest."))
            return ()
        found.append(each)
    return tuple(found)


def _relied_from(words: Sequence[str]) -> Relied | None:
    kind, *rest = words
    if kind == Leaned.PART and rest:
        return Relied(Leaned.PART, rest[0], digests=_digests(rest[1:]))
    if kind != Leaned.FIT or len(rest) < 4:
        return None
    name, at, value, standing, *marks = rest
    try:
        value_si = float(value) if value else None
    except ValueError:
        return None
    if value_si is not None and not math.isfinite(value_si):
        return None
    return Relied(Leaned.FIT, name, at, value_si, standing, _digests(marks))


def _digests(words: Sequence[str]) -> tuple[tuple[str, str], ...]:
    return tuple((mark, digest) for mark, _, digest in (word.rpartition("=") for word in words))


def _listed(items: Iterable[str]) -> str:
    """Several things in one cell."""
    return "; ".join(_escaped(item) for item in items)


def _parted(text: str) -> tuple[str, ...]:
    """The several things of a cell."""
    return tuple(_plain(piece.strip()) for piece in _split(text, ";")) if text else ()


def _escaped(text: str, also: str = "") -> str:
    return "".join(f"\\{sign}" if sign in ("\\", ";", also) else sign for sign in text)


def _plain(text: str) -> str:
    return "".join(piece[-1] for piece in PIECE.findall(text))


def _split(text: str, sign: str) -> list[str]:
    """The text parted at a sign that no backslash stands before; the backslashes stay."""
    pieces = [""]
    for piece in PIECE.findall(text):
        if piece == sign:
            pieces.append("")
        else:
            pieces[-1] += piece
    return pieces
