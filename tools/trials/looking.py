"""A program beside the bench that opens books and looks through the ledger; between two questions it holds no connection to it.

Run as a child: `python looking.py DATA DATABASE`; each line of standard input is a question, each line of standard output its answer, as JSON.
"""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

DEMO = "harbour"
TOLD = (
    "part", "feature", "at", "spot", "depth", "value", "unit", "gauge", "setting", "sitting", "state", "part_temp", "gauge_temp", "bore_temp",
)  # fmt: skip


@dataclass(frozen=True)
class Kept:
    """One event of a book as it lies in the database, and how often its row is among the job's readings."""

    number: int
    digest: str
    kind: str
    note: str
    readings: int


@dataclass(frozen=True)
class Looked:
    """A book: its events by key (each key is a list, as none may stand twice), and what `verify` finds wrong."""

    events: Mapping[str, list[Kept]]
    problems: list[str]


class Looker:
    """The child and its questions."""

    def __init__(self, data: Path, database: str, environment: Mapping[str, str]) -> None:
        asked = [sys.executable, __file__, str(data), database]
        self.child = subprocess.Popen(
            asked, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=dict(environment)
        )

    def ask(self, **question: Any) -> Any:
        assert self.child.stdin is not None
        assert self.child.stdout is not None
        self.child.stdin.write(json.dumps(question) + "\n")
        self.child.stdin.flush()
        line = self.child.stdout.readline()
        if not line:
            raise RuntimeError("the ledger cannot be looked through: the looker ended")
        return json.loads(line)

    def open_books(self, count: int) -> list[str]:
        return list(self.ask(do="open", count=count))

    def words(self, slug: str) -> list[dict[str, str]]:
        """Readings that this book takes once more."""
        return list(self.ask(do="words", slug=slug))

    def look(self, slug: str) -> Looked:
        told = self.ask(do="look", slug=slug)
        return Looked({key: [Kept(**each) for each in rows] for key, rows in told["events"].items()}, told["problems"])

    def verify(self) -> list[str]:
        """What is wrong with the whole ledger."""
        return list(self.ask(do="verify"))

    def close(self) -> None:
        with self.child:
            if self.child.stdin is not None:
                self.child.stdin.close()


def answer(question: Mapping[str, Any]) -> Any:
    if question["do"] == "open":
        return _open(question["count"])
    if question["do"] == "words":
        return _words(question["slug"])
    if question["do"] == "look":
        return _look(question["slug"])
    from blockwright.ledger.verify import verify

    found = verify()
    return [str(each) for each in (*found.problems, *(one for book in found.books for one in book.problems))]


def _open(count: int) -> list[str]:
    from blockwright.demos import demo_texts
    from blockwright.ledger.books import open_book

    return [open_book(demo_texts(DEMO), "A. Hand", name=DEMO).slug for _ in range(count)]


def _words(slug: str) -> list[dict[str, str]]:
    import datetime as dt

    from blockwright.acts.kinds import KINDS, Who
    from blockwright.demos import demo_texts
    from blockwright.ledger.models import Book
    from blockwright.ledger.store import LedgerStore
    from blockwright.problems import BlockwrightError

    job, who = (
        LedgerStore(Book.objects.get(slug=slug)).kept().job,
        Who("A. Hand", dt.datetime.now(dt.UTC), "looking-00"),
    )
    taken = []
    for row in csv.DictReader(io.StringIO(demo_texts(DEMO)["readings.csv"])):
        words = {name: row[name] for name in TOLD if row.get(name)}
        try:
            KINDS["reading taken"].draft(job, words, who)
        except BlockwrightError:
            continue
        if row.get("value"):
            taken.append(words)
    return taken


def _look(slug: str) -> dict[str, Any]:
    from blockwright.acts.kept import fold
    from blockwright.ledger.models import Book, EventRow
    from blockwright.ledger.rows import event_of
    from blockwright.ledger.verify import verify

    book = Book.objects.get(slug=slug)
    found = verify(book)
    events = [event_of(row) for row in EventRow.objects.filter(book=book).order_by("number")]
    times = Counter(each.id for each in fold(events).job.readings)
    by_key: dict[str, list[dict[str, Any]]] = {}
    for event in events:
        note = event.body.get("cells", {}).get("note", "")
        kept = Kept(event.number, event.digest, event.kind, note, times[event.body.get("row", "")])
        by_key.setdefault(event.key, []).append(vars(kept))
    return {
        "events": by_key,
        "problems": [str(each) for each in (*found.problems, *(one for each in found.books for one in each.problems))],
    }


def main() -> None:
    from blockwright.ledger.start import start

    start(Path(sys.argv[1]), sys.argv[2])
    from blockwright.bench.server import close_connections
    from blockwright.ledger import cache

    for line in sys.stdin:
        told = answer(json.loads(line))
        close_connections()
        with cache._lock:
            cache._held.clear()
        print(json.dumps(told), flush=True)


if __name__ == "__main__":
    main()
