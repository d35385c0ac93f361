"""`record.csv` <-> signed acceptances, each sealed by a digest to the one before, so that a later change shows.

The digest of a row is SHA-256 over the digest of the row before (nothing for the first) and the row's own cells, joined by line feeds. A row
written by hand may leave it blank: it counts, and is said to be unsealed.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping, Sequence

from blockwright.engine.rules import Accepted, Record
from blockwright.fits.registry import REGISTRY, nearest
from blockwright.jobfile.table import Form, Row
from blockwright.problems import Place, Problem
from blockwright.quantities import QuantityError, parse

FILE = "record.csv"
COLUMNS = ("number", "event", "fit", "at", "value", "by", "when", "why", "digest")
REQUIRED = ("number", "event", "fit", "at", "value", "by", "why")
FORM = Form(",", "\n", COLUMNS)


def records_from(rows: Sequence[Row], problems: list[Problem]) -> tuple[Record, ...]:
    """Acceptances of all rows that can be read, the chain of digests checked."""
    records = []
    before = ""
    for row in rows:
        record = _record(row, problems)
        if record is not None:
            _check_seal(record, before, problems)
            records.append(record)
        before = row.cells.get("digest", "")
    return tuple(records)


def cells_of(record: Record) -> Mapping[str, str]:
    """An acceptance as a row."""
    return {
        "number": str(record.number), "event": record.event, "fit": record.fit, "at": record.at,
        "value": record.value_text, "by": record.by, "when": record.when.isoformat() if record.when else "",
        "why": record.why, "digest": record.digest,
    }  # fmt: skip


def seal(record: Record, before: str) -> str:
    """Digest of a record that follows one with the digest `before`."""
    cells = cells_of(record)
    text = "\n".join([before, *(cells[name] for name in COLUMNS if name != "digest")])
    return hashlib.sha256(text.encode()).hexdigest()


def _check_seal(record: Record, before: str, problems: list[Problem]) -> None:
    if record.digest and record.digest != seal(record, before):
        what = f"row {record.number} or the one before it was changed after it was signed: its digest does not fit."
        mend = "Put the row back as it was, or strike it and sign again."
        problems.append(Problem("record-seal", what, mend, record.place))


def _record(row: Row, problems: list[Problem]) -> Record | None:
    cells, place = row.cells, Place(FILE, row.line)

    def say(field: str, code: str, what: str, mend: str = "") -> None:
        problems.append(Problem(code, what, mend, Place(FILE, row.line, field)))

    before = len(problems)
    for name in ("by", "why"):
        if not cells[name]:
            say(name, "record-unsigned", f"an acceptance needs '{name}'.", "Write who accepted it and why.")
    if cells["event"] not in tuple(Accepted):
        say("event", "record-event", f"'{cells['event'][:40]}' is no event here.", "Possible: concession, judgement.")
    if not cells["number"].isdigit():
        say("number", "record-number", "the number is no whole number.")
    fit = REGISTRY.get(cells["fit"])
    if fit is None:
        near = nearest(cells["fit"])
        say("fit", "fit-unknown", f"there is no fit '{cells['fit'][:40]}'.", f"Did you mean '{near}'?" if near else "")
        return None
    value = when = None
    try:
        value = parse(cells["value"], fit.kind, signed=True).si
    except QuantityError as error:
        problems.append(error.problems[0].at(file=FILE, line=row.line, field="value"))
    try:
        when = dt.date.fromisoformat(cells.get("when", "")) if cells.get("when") else None
    except ValueError:
        say("when", "date", f"'{cells['when'][:40]}' is no date.", "Write it as 2026-03-31.")
    if len(problems) > before or value is None:
        return None
    return Record(
        int(cells["number"]), Accepted(cells["event"]), cells["fit"], cells["at"], value, cells["value"], cells["by"],
        when, cells["why"], cells.get("digest", ""), place,
    )  # fmt: skip
