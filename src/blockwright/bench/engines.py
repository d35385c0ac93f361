"""The engines that somebody has a seat at, a line each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.bench.access import Actor
from blockwright.bench.drawn import inline
from blockwright.bench.links import link
from blockwright.bench.standing import TONE, Count, Say, kind_words, tally
from blockwright.bench.state import Seen, held
from blockwright.bench.tones import Tone
from blockwright.ledger.models import Book
from blockwright.report.pictures.engine_plan import plan_alone
from blockwright.report.pictures.standing import seen as seen_at

MOST_LISTED = 200


@dataclass(frozen=True)
class EngineLine:
    """One engine: its plan, how many fits stand how, and what is next. `judged` is false where that is still to be worked out."""

    book: Book
    tone: Tone = Tone.PLAIN
    tally: tuple[Count, ...] = ()
    next: str = ""
    engine: str = ""
    plan: str = ""
    invented: bool = False
    judged: bool = False


def engines_of(actor: Actor) -> tuple[EngineLine, ...]:
    """The engines of an actor, the newest first; what is judged already is told at once."""
    books = Book.objects.filter(archived=False)
    if actor.everywhere is None:
        books = books.filter(pk__in=list(actor.seats))
    return tuple(_line(book) for book in books[:MOST_LISTED])


def _line(book: Book) -> EngineLine:
    known = held(book)
    return line_of(book, known) if known is not None else EngineLine(book)


def line_of(book: Book, seen: Seen) -> EngineLine:
    """One engine's line."""
    first = seen.steps[0] if seen.steps else None
    tone = TONE[first.rank] if first else Tone.GOOD
    what = first.what if first else "it can go together."
    engine = seen.job.engine
    plan = inline(plan_alone(engine, seen_at(seen.assessment), words=False, name=f"plan-{book.slug}"))
    named = ", ".join(filter(None, (engine.name, kind_words(engine))))
    return EngineLine(
        book, tone, tally(seen.assessment.results), what, named, plan, seen.job.sheet.invented, judged=True
    )


def greeting(engines: Sequence[EngineLine]) -> Say:
    """What the first page says: where there are engines, the newest one that is not finished."""
    if not engines:
        return Say(
            Tone.PLAIN,
            "No engine is on this bench yet.",
            "Try an invented one, start your own, or bring in a job that you have as files.",
        )
    first = engines[0].book
    count = f"{len(engines)} engines are on this bench." if len(engines) > 1 else "One engine is on this bench."
    how = f"{first.title} came in last." if len(engines) > 1 else ""
    return Say(Tone.PLAIN, count, how, link("engine", book=first.slug), f"Open {first.title}")
