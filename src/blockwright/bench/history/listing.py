"""The record of an engine: every event in words, the newest first, by part, person and kind, a page at a time; and whether the chain is whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.urls import reverse
from django.utils import timezone

from blockwright.acts.event import Event, check_chain
from blockwright.acts.kinds import KINDS
from blockwright.bench.links import link
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.ledger.models import Book, EventRow
from blockwright.ledger.rows import event_of
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.event_words import Told, told

A_PAGE = 60
SOUND = (
    "Each is sealed to the one before; this page has just gone through all of them. "
    "Nothing is ever struck from it: what was withdrawn stays, crossed out."
)
FILTERS = ("part", "by", "kind")


@dataclass(frozen=True)
class Line:
    """One event as shown; `to` is the page it is about, blank where there is none."""

    told: Told
    at: str
    day: str
    to: str
    photo: str


@dataclass(frozen=True)
class Choice:
    """One filter: its name, what it is called, what is chosen and what there is."""

    name: str
    label: str
    chosen: str
    options: tuple[str, ...]


def listing(book: Book, asked: Mapping[str, str]) -> dict[str, Any]:
    """The context of the page; `asked` are the words of the address: part, by, kind, page."""
    events, problems = _events(book)
    everything = told(events)
    chosen = {name: asked.get(name, "") for name in FILTERS}
    kept = [each for each in reversed(everything) if _wanted(each, chosen)]
    page = Paginator(kept, A_PAGE).get_page(asked.get("page"))
    return {
        "say": say(len(events), problems),
        "faults": problems[:20],
        "page": page,
        "lines": [_line(book, each) for each in page],
        "found": len(kept),
        "count": len(events),
        "filters": choices(everything, chosen),
        "filtered": any(chosen.values()),
        "query": urlencode({name: value for name, value in chosen.items() if value}),
        "digest": book.head_digest,
    }


def say(count: int, problems: Sequence[Problem]) -> Say:
    """Whether the record is whole."""
    if problems:
        return Say(
            Tone.OUT,
            "The record is not whole.",
            f"{problems[0].what[:1].upper()}{problems[0].what[1:]} {problems[0].mend}",
        )
    events = f"{count} event{'' if count == 1 else 's'}"
    return Say(Tone.GOOD, f"The record is whole: {events}.", SOUND)


def choices(everything: Sequence[Told], chosen: Mapping[str, str]) -> list[Choice]:
    """The filters with what there is to choose."""
    parts = sorted({part for each in everything for part in each.said.parts}, key=_by_number)
    people = sorted({each.event.by for each in everything})
    known = {each.event.kind for each in everything}
    kinds = tuple(kind for kind in KINDS if kind in known)
    return [
        Choice("part", "Part", chosen["part"], tuple(parts)),
        Choice("by", "Who", chosen["by"], tuple(people)),
        Choice("kind", "What was done", chosen["kind"], kinds),
    ]


def _by_number(mark: str) -> tuple[str, int]:
    head = mark.rstrip("0123456789")
    return head, int(mark[len(head) :][:9] or 0)


def _events(book: Book) -> tuple[list[Event], list[Problem]]:
    """Every event of a book, and what is wrong with the row of them; one that cannot be read is told and left out."""
    events: list[Event] = []
    problems: list[Problem] = []
    for row in EventRow.objects.filter(book=book.pk, number__lte=book.head_number).order_by("number"):
        try:
            events.append(event_of(row))
        except BlockwrightError as error:
            problems += error.problems
    problems += check_chain(events)
    last = (events[-1].number, events[-1].digest) if events else (0, "")
    if not problems and last != (book.head_number, book.head_digest):
        what = f"the last event is not number {book.head_number}, which the book notes as its last."
        problems.append(Problem("event-end", what, "Put back the last good backup."))
    return events, problems


def _wanted(each: Told, chosen: Mapping[str, str]) -> bool:
    part, by, kind = (chosen[name] for name in FILTERS)
    return (not part or part in each.said.parts) and by in ("", each.event.by) and kind in ("", each.event.kind)


def _line(book: Book, each: Told) -> Line:
    at = timezone.localtime(each.event.at)
    return Line(each, f"{at:%H:%M}", f"{at.day} {at:%B %Y}", _to(book, each), _photo(book, each))


def _to(book: Book, each: Told) -> str:
    """The page that an event is about."""
    kind, body = each.event.kind, each.event.body
    if kind in ("reading taken", "reading withdrawn"):
        return link("measure-spot", book=book.slug, spot=each.said.row)
    if kind in ("concession", "judgement", "limit set"):
        table = body.get("limit") or body.get("cells") or {}
        fit, at = table.get("fit", ""), table.get("at", "")
        return link("fit", book=book.slug, fit=fit, position=at) if fit and at else ""
    pages = {"part registered": "parts", "part assigned": "parts", "gauge registered": "gauges", "setting made": "gauges",
             "pass filed": "rings", "gap read": "rings", "step signed": "route", "step undone": "route"}  # fmt: skip
    return link(pages[kind], book=book.slug) if kind in pages else ""


def _photo(book: Book, each: Told) -> str:
    name = each.event.body.get("photo") if each.event.kind == "photo attached" else None
    return reverse("photo", kwargs={"book": book.slug, "name": name}) if isinstance(name, str) else ""
