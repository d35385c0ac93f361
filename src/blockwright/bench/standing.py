"""An engine as its page shows it: the one sentence, what to do next, fits by group, counts, parts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from blockwright.bench.drawn import inline
from blockwright.bench.links import link, step_link
from blockwright.bench.state import Seen
from blockwright.bench.tones import Tone, tone_of
from blockwright.choices.next_steps import DOUBTS, NextStep, Rank
from blockwright.engine.job import Job
from blockwright.engine.layout import Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Position
from blockwright.fits.assessment import FitResult
from blockwright.ledger.models import Book
from blockwright.report.noticed import noticed
from blockwright.report.pictures.engine_plan import layout_words, looks_used, plan_alone
from blockwright.report.pictures.standing import MEANING, Look
from blockwright.report.pictures.standing import seen as seen_at
from blockwright.report.rows import Block

SHOWN = 6
"""Things to do that are shown at once."""
TONE = {
    Rank.READ_AGAIN: Tone.DOUBT, Rank.SETTLE: Tone.DOUBT, Rank.CORRECT: Tone.OUT, Rank.WEIGH: Tone.OUT, Rank.READ: Tone.OPEN,
}  # fmt: skip
LABEL = {
    Rank.READ_AGAIN: "Measure again", Rank.SETTLE: "See what would settle it",
    Rank.CORRECT: "See the fit", Rank.WEIGH: "See the fit", Rank.READ: "Measure",
}  # fmt: skip
LOOK_TONE = {
    Look.OUT: Tone.OUT, Look.UNDECIDED: Tone.DOUBT, Look.UNREAD: Tone.OPEN, Look.PARTLY: Tone.PARTLY, Look.CONCESSION: Tone.SIGNED,
    Look.JUDGEMENT: Tone.SIGNED, Look.CONFORMS: Tone.GOOD, Look.UNLIMITED: Tone.PLAIN,
}  # fmt: skip
COUNTED = {
    Tone.OUT: "out", Tone.DOUBT: "cannot be told", Tone.OPEN: "open", Tone.SIGNED: "signed for", Tone.PLAIN: "without a limit", Tone.GOOD: "in",
}  # fmt: skip
IN_COUNTS = {
    Tone.OUT: "out", Tone.DOUBT: "cannot be told", Tone.OPEN: "open", Tone.SIGNED: "signed for", Tone.PLAIN: "without a limit", Tone.GOOD: "conform",
}  # fmt: skip


@dataclass(frozen=True)
class Say:
    """The one sentence of a page, and its one main button."""

    tone: Tone
    what: str
    how: str = ""
    to: str = ""
    label: str = ""


@dataclass(frozen=True)
class ToDo:
    """One thing to do, with where it is done."""

    step: NextStep
    tone: Tone
    to: str


@dataclass(frozen=True)
class Count:
    """How many fits stand so."""

    tone: Tone
    count: int
    word: str


@dataclass(frozen=True)
class Group:
    """Fits of one group of the engine; `loud` where one asks for attention."""

    name: str
    blocks: tuple[Block, ...]
    counts: str
    loud: bool


@dataclass(frozen=True)
class Keyed:
    """What one filling of the plan means."""

    tone: Tone
    words: str


@dataclass(frozen=True)
class Carried:
    """One part by its mark, and where it goes."""

    mark: str
    at: str


@dataclass(frozen=True)
class PartGroup:
    """Parts of one kind."""

    name: str
    parts: tuple[Carried, ...]


def standing(book: Book, seen: Seen) -> dict[str, Any]:
    """The context of `bench/_standing.html`."""
    todo = [ToDo(step, TONE[step.rank], step_link(book, step)) for step in seen.steps]
    engine, verdicts = seen.job.engine, seen_at(seen.assessment)
    return {
        "seen": seen,
        "say": say(book, seen),
        "plan": inline(plan_alone(engine, verdicts)),
        "key": [Keyed(LOOK_TONE[look], MEANING[look]) for look in looks_used(engine, verdicts)],
        "engine": engine,
        "engine_words": kind_words(engine),
        "then": todo[1 : SHOWN + 1],
        "more": todo[SHOWN + 1 :],
        "flags": noticed(seen.assessment, DOUBTS),
        "tally": tally(seen.assessment.results),
        "groups": groups(seen.blocks),
        "more_count": len(todo[SHOWN + 1 :]),
        "parts": parts(seen.job),
        "part_count": len(seen.job.sheet.part),
    }


def kind_words(engine: Engine) -> str:
    """`inline four`; nothing where the engine's name says it already."""
    words = layout_words(engine)
    return "" if words.lower() in engine.name.lower() else words


def say(book: Book, seen: Seen) -> Say:
    """What matters now at this engine."""
    if not seen.steps:
        to = link("route", book=book.slug) or link("papers", book=book.slug)
        return Say(Tone.GOOD, "Every fit is in or signed for.", "It can go together.", to, "Go to the route")
    step = seen.steps[0]
    return Say(TONE[step.rank], step.what, step.how, step_link(book, step), LABEL[step.rank])


def tally(results: Iterable[FitResult]) -> tuple[Count, ...]:
    """How many fits stand how, worst first; only what there is."""
    counts = Counter(map(tone_of, results))
    return tuple(Count(tone, counts[tone], COUNTED[tone]) for tone in Tone if counts[tone])


def counts_words(results: Iterable[FitResult]) -> str:
    """`1 out, 2 open, 15 conform`."""
    counts = Counter(map(tone_of, results))
    return ", ".join(f"{counts[tone]} {IN_COUNTS[tone]}" for tone in Tone if counts[tone])


def groups(blocks: Iterable[Block]) -> tuple[Group, ...]:
    """Fits by the group they are declared in."""
    return tuple(_group(name, tuple(held)) for name, held in groupby(blocks, key=lambda block: block.fit.group))


def _group(name: str, blocks: tuple[Block, ...]) -> Group:
    results = [row.result for block in blocks for row in block.rows]
    loud = any(tone_of(result) in (Tone.OUT, Tone.DOUBT) for result in results)
    return Group(name, blocks, counts_words(results), loud)


def parts(job: Job) -> tuple[PartGroup, ...]:
    """Every part by kind, with where it goes."""
    kinds = [kind for kind in PartKind if kind is not PartKind.ENGINE]
    found = ((kind, tuple(Carried(mark, _at(at)) for mark, at in job.carriers(kind))) for kind in kinds)
    return tuple(PartGroup(_several(kind, len(held)), held) for kind, held in found if held)


def _at(position: Position | None) -> str:
    return str(position) if position is not None else ""


def _several(kind: PartKind, count: int) -> str:
    return str(kind) if count == 1 else f"{kind}s"
