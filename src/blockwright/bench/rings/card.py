"""One ring at the bench: which stage of its ritual it is at, what is said of it, and what the page must know to go on without the bench."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

from blockwright.acts.roles import Role
from blockwright.bench.drawn import inline
from blockwright.bench.rings.held import RingsSeen
from blockwright.bench.rings.listing import ring_link, shown_row, stage_tone
from blockwright.bench.rings.past import entries
from blockwright.bench.rings.path import path_of, path_svg
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.choices.filing.model import Reason
from blockwright.choices.gap_gauges import gap_gauges
from blockwright.choices.ring_bench import RingBench, RingState
from blockwright.engine.filing import GAP
from blockwright.engine.job import Job
from blockwright.fits.words import Scale, unit_of
from blockwright.ledger.models import Book
from blockwright.metrology.gauges import Sense
from blockwright.report.ring_words import (
    CAUTION,
    advice_words,
    coming_words,
    heat_words,
    rate_words,
    risk_words,
    ritual,
    shows_words,
    surprise_words,
    took_words,
    units_text,
    why_not_more,
)
from blockwright.report.rows import authority_text
from blockwright.running.ring_heat import ring_heat


class Stage(StrEnum):
    """What a hand at the bench does with a ring next."""

    TAKE = "take"
    READ = "read"
    DONE = "done"
    STOP = "stop"
    BLOCKED = "blocked"


@dataclass(frozen=True)
class GapGauge:
    """A gauge that reads a gap; `blades` where what goes and what does not is typed."""

    id: str
    said: str
    blades: bool


@dataclass(frozen=True)
class RingCard:
    """What the page of a ring must know.

    `advised` units of `counted_in`; `waiting` units whose gap is not read; `entries` that can be withdrawn, each with its words; `next_*` the ring
    to go to after it.
    """

    number: int
    key: str
    name: str
    rings: str
    ring: str
    at: str
    stage: Stage
    advised: float
    waiting: float
    disagree: bool
    counted_in: str
    counted_one: str
    whole: bool
    smallest: float
    wheel: str
    unit: str
    depth: str
    gauges: tuple[GapGauge, ...]
    ritual: tuple[str, ...]
    reading_ritual: tuple[str, ...]
    may: bool
    entries: tuple[tuple[str, str], ...]
    next_to: str
    next_name: str

    def as_json(self) -> dict[str, Any]:
        """For the page."""
        return asdict(self)


def card(book: Book, seen: RingsSeen, state: RingState, role: Role | None) -> RingCard:
    """The card of one ring for somebody of this role."""
    job, ring = seen.job, state.ring
    grinder = job.sheet.grinder
    after = next_after(seen.bench, state)
    gauges = tuple(
        GapGauge(g.id, f"{g.id}, {g.name}" if g.name else g.id, g.sense is Sense.BLADES) for g in gap_gauges(job)
    )
    return RingCard(
        number=seen.number, key=ring.name, name=str(ring), rings=ring.rings, ring=ring.ring, at=str(ring.at), stage=stage_of(state),
        advised=state.advice.units if state.advice is not None else 0.0, waiting=state.waiting, disagree=state.disagree,
        counted_in=grinder.counted_in, counted_one=units_text(1.0, grinder.counted_in).partition(" ")[2], whole=grinder.whole,
        smallest=grinder.smallest, wheel=grinder.wheel, unit=unit_of(job, Scale.CLEARANCE), depth=last_depth(job), gauges=gauges,
        ritual=ritual(job, filed=True), reading_ritual=ritual(job, filed=False), may=role is not None and role >= Role.MEASURER,
        entries=tuple((each.id, each.told) for each in entries(job, state) if each.id and not each.why),
        next_to=ring_link(book, after.ring) if after else "", next_name=str(after.ring) if after else "",
    )  # fmt: skip


def last_depth(job: Job) -> str:
    """The depth that was written down last for a ring in its bore; blank where none was."""
    said = [each.cells.get("depth", "") for each in job.passes]
    said += [each.cells.get("depth", "") for each in job.readings if each.feature.endswith(GAP)]
    return next((text for text in reversed(said) if text), "")


def stage_of(state: RingState) -> Stage:
    """Which stage a ring is at."""
    if state.blocked:
        return Stage.BLOCKED
    if state.advice is None or state.read_again:
        return Stage.READ
    if state.advice.units > 0.0:
        return Stage.TAKE
    return Stage.DONE if state.advice.reason is Reason.CONFORMS and not state.short_of_proof else Stage.STOP


def next_after(bench: RingBench, state: RingState) -> RingState | None:
    """The ring to go to from this one: the next of the bench, unless it is this one itself; then the first open one after it."""
    open_ones = [each for each in bench.rings if not each.done and not each.blocked and each.ring != state.ring]
    here = [each.ring for each in bench.rings].index(state.ring)
    later = [each for each in open_ones if [other.ring for other in bench.rings].index(each.ring) > here]
    return next(iter(later or open_ones), None)


def ring_words(book: Book, seen: RingsSeen, state: RingState) -> dict[str, Any]:
    """What the two parts of the page say that the bench draws: the one sentence with its reasons, and all facts of the ring."""
    job = seen.job
    shown, limits = shown_row(job, state)
    parts = job.in_cylinder(state.ring.at.number)
    told = entries(job, state)
    return {
        "seen": seen, "state": state, "say": say(book, seen, state), "why": why(job, state),
        "why_not_more": not_more(seen.bench, state), "row": shown, "limits": limits,
        "authority": authority_text(state.result.limits), "piston": parts.piston, "took": took_words(job, state), "entries": told,
        "drawn": inline(path_svg(job, path_of(job, state), str(state.ring))),
        "place": [each.ring for each in seen.bench.rings].index(state.ring) + 1, "count": len(seen.bench.rings),
        "wheel": job.sheet.grinder.wheel, "heat": heat(job, state), "rate": rate_words(seen.bench).get(state.ring.ring, ""), "caution": CAUTION,
        "book": book, "ring_name": state.ring.ring, "stage": stage_of(state),
    }  # fmt: skip


def say(book: Book, seen: RingsSeen, state: RingState) -> Say:
    """What to do with the ring now, in one sentence."""
    job, stage = seen.job, stage_of(state)
    how = advice_words(job, state)
    head, _, rest = how.partition(". ")
    if stage is Stage.TAKE:
        coming = f"{coming_words(job, state)}{shows_words(job, state)} {risk_words(job, state)}"
        return Say(stage_tone(state), f"{how.partition(': ')[0]}.", f"{coming[:1].upper()}{coming[1:]}")
    if stage is Stage.READ and state.waiting:
        return Say(
            stage_tone(state), f"{units_text(state.waiting, job.sheet.grinder.counted_in)} off: read the gap now.", ""
        )
    if stage is Stage.DONE:
        after = next_after(seen.bench, state)
        return Say(Tone.GOOD, f"This ring is done. {f'Next: {after.ring}.' if after else 'It was the last one.'}", how)
    return Say(stage_tone(state), head if head.endswith(".") else f"{head}.", rest)


def why(job: Job, state: RingState) -> tuple[str, ...]:
    """What was odd of the last pass; where the ring was read before."""
    said = ["Withdraw the one that was a slip, below, if you know which."] if state.disagree else []
    if state.surprise is not None:
        told = "The last pass was hard to believe; read more than once, and alike, it is taken as it is. The rate does not learn from it."
        said.append(surprise_words(job, state.surprise) if state.read_again else told)
    if state.moved_from:
        said.append(f"It was read in {state.moved_from} before. A gap belongs to its bore: read it anew in this one.")
    return tuple(said)


def heat(job: Job, state: RingState) -> str:
    """What heat does to the gap of a ring that was read."""
    found = ring_heat(job, state.result.fit.name, state.ring.at)
    return heat_words(job, found, found.chance_of_touching(state.result.estimate)) if state.result.found else ""


def not_more(bench: RingBench, state: RingState) -> str:
    """Why not one step more than advised; blank where nothing is."""
    more = bench.one_more(state) if stage_of(state) is Stage.TAKE else None
    return why_not_more(bench.job, state, more) if more is not None else ""
