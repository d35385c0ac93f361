"""All rings of all cylinders as a page shows them: the gap in its slot, what to do with each, and which is next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blockwright.bench.links import link
from blockwright.bench.rings.held import RingsSeen
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone, tone_of
from blockwright.choices.ring_bench import RingBench, RingId, RingState, rings_of
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.ledger.models import Book
from blockwright.report.fineness import limits_fineness
from blockwright.report.ring_words import (
    CAUTION,
    SECOND_AND_TOP,
    advice_words,
    left_alone,
    rate_words,
    stands_words,
    surprise_words,
    took_words,
    units_text,
)
from blockwright.report.rows import Row, limits_text, row, wanted_unit

NOT_FILED = "not filed: its maker delivers it to size"


@dataclass(frozen=True)
class RingLine:
    """One ring in the list. `row` is missing for one that is not filed; `todo` says what to do with it now, `odd` what is hard to believe."""

    name: str
    to: str
    tone: Tone
    todo: str
    row: Row | None = None
    limits: str = ""
    took: str = ""
    moved: str = ""
    odd: str = ""
    here: bool = False


@dataclass(frozen=True)
class CylinderCard:
    """The rings of one cylinder, with what they run on; `blocked` says why none of them is filed now."""

    number: int
    piston: str
    rings: str
    lines: tuple[RingLine, ...]
    blocked: str


def listing(book: Book, seen: RingsSeen) -> dict[str, Any]:
    """The context of the page of all rings."""
    bench = seen.bench
    grinder = seen.job.sheet.grinder
    return {
        "seen": seen,
        "say": say(book, bench),
        "cylinders": cylinders(book, bench),
        "rates": rate_words(bench),
        "caution": CAUTION,
        "soft_matter": SECOND_AND_TOP,
        "wheel": grinder.wheel,
        "counted_in": grinder.counted_in,
        "done": sum(state.done for state in bench.rings),
        "count": len(bench.rings),
    }


def ring_link(book: Book, ring: RingId) -> str:
    """The page of one ring."""
    return link("ring", book=book.slug, cyl=ring.at.number, ring=ring.ring.replace(" ", "-"))


def state_named(bench: RingBench, cylinder: int, slug: str) -> RingState | None:
    """The ring that an address means; `None` where no such ring is filed."""
    kind = slug.replace("-", " ")
    return next((each for each in bench.rings if each.ring.at.number == cylinder and each.ring.ring == kind), None)


def say(book: Book, bench: RingBench) -> Say:
    """Which ring to do next, and how."""
    if not bench.rings:
        how = "Assign a ring set to each cylinder; only sets that are made for filing come to this bench."
        return Say(
            Tone.PLAIN,
            "There are no rings to file.",
            how,
            link("clocking", book=book.slug),
            "Ring gaps round the piston",
        )
    state = bench.next
    if state is not None:
        label = "Read its gap" if not _takes(state) else "To the grinder"
        return Say(
            stage_tone(state),
            f"Next: {state.ring}.",
            advice_words(bench.job, state),
            ring_link(book, state.ring),
            label,
        )
    stopped = left_alone(bench)
    to, label = link("clocking", book=book.slug), "Ring gaps round the piston"
    if stopped:
        what = f"{sum(state.done for state in bench.rings)} of {len(bench.rings)} rings are done; the others wait for their bores or limits."
        how = " ".join(f"{names}: {reason}." for reason, names in stopped.items())
        return Say(Tone.DOUBT, what, how, link("engine", book=book.slug), "To the engine")
    return Say(Tone.GOOD, "Every ring is done.", "Lay each set with its piston, gaps as on the next page.", to, label)


def _takes(state: RingState) -> bool:
    return state.advice is not None and state.advice.units > 0.0 and not state.read_again


def stage_tone(state: RingState) -> Tone:
    """The tone of what is to be done with a ring: out only where nothing can mend it."""
    if state.blocked or state.disagree or (state.surprise is not None and state.read_again):
        return Tone.DOUBT
    if state.done:
        return tone_of(state.result)
    return Tone.OPEN


def cylinders(book: Book, bench: RingBench) -> tuple[CylinderCard, ...]:
    """Every cylinder with its rings, in the order of the pack."""
    job, current = bench.job, bench.next
    states = {state.ring: state for state in bench.rings}
    cards = []
    for place in job.engine.positions(Place.CYLINDER):
        parts = job.in_cylinder(place.number)
        mine = [ring for ring in rings_of(job) if ring.at == place]
        lines = tuple(_line(book, job, ring, states.get(ring), current) for ring in mine)
        blocked = {states[ring].blocked for ring in mine if ring in states}
        why = blocked.pop() if len(blocked) == 1 else ""
        cards.append(CylinderCard(place.number, parts.piston, parts.rings, lines, why))
    return tuple(cards)


def _line(book: Book, job: Job, ring: RingId, state: RingState | None, current: RingState | None) -> RingLine:
    if state is None:
        return RingLine(ring.ring, "", Tone.PLAIN, NOT_FILED)
    shown, limits = shown_row(job, state)
    moved = f"read in {state.moved_from} before: read it anew in this bore" if state.moved_from else ""
    odd = surprise_words(job, state.surprise) if state.surprise is not None and state.read_again else ""
    here = current is not None and state.ring == current.ring
    tone = Tone.OPEN if state.blocked else stage_tone(state)
    return RingLine(
        ring.ring, ring_link(book, ring), tone, todo_words(job, state), shown, limits, took_words(job, state), moved, odd, here
    )  # fmt: skip


def shown_row(job: Job, state: RingState) -> tuple[Row, str]:
    """Gap, mark and verdict of a ring, and its limits in words."""
    result = state.result
    unit = wanted_unit(job, result.fit)
    fineness = limits_fineness([result], unit)
    return row(result, unit, fineness), limits_text(result.limits, result.fit, unit, fineness)


def todo_words(job: Job, state: RingState) -> str:
    """What to do with a ring, in a few words."""
    counted = job.sheet.grinder.counted_in
    if state.blocked:
        return "waits for its bore or limits"
    if state.waiting:
        return f"{units_text(state.waiting, counted)} off: read the gap"
    if state.advice is None or state.read_again:
        return "read it again" if state.advice is not None else "read its gap"
    if state.advice.units > 0.0:
        return f"take {units_text(state.advice.units, counted)}"
    return "done" if stands_words(state) == "conforms" else f"done, {stands_words(state)}"
