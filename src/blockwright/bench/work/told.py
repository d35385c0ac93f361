"""The page of an engine at work: the one sentence, what is under way, and the result with its pictures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from blockwright.bench.drawn import inline, mark
from blockwright.bench.links import link
from blockwright.bench.standing import Say
from blockwright.bench.state import Seen
from blockwright.bench.tones import OF, Tone
from blockwright.bench.work.held import Result, result_of
from blockwright.bench.work.running import State, runner
from blockwright.fits.assessment import Standing
from blockwright.ledger.models import Book
from blockwright.report.work.hot import HotBlock, HotRow
from blockwright.report.work.told import WorkTold, in_doubt, out_of, work_told

WHAT_IT_IS = (
    "From the clearances as measured and the duty: pressure in the cylinder, temperatures, every clearance when hot, oil films, gas past the rings. "
    "It takes a minute or two, beside everything else."
)
PARTS: Mapping[str, tuple[str, ...]] = {
    "fits": ("work-hot",),
    "bearings": ("work-orbits", "work-films", "work-clearance"),
    "rings": ("work-rings", "work-gap-map"),
    "loads": ("work-thrust", "work-balance"),
    "heat": ("work-heat",),
}
"""Parts of the page by how the names of their pictures begin; the others stand at the cycle."""
OLDER = "Readings or facts have changed since: this is of event {number}, and the engine stands at {now}."


@dataclass(frozen=True)
class HotLine:
    """One hot fit as a page shows it."""

    row: HotRow
    tone: Tone
    mark: SafeString
    to: str


@dataclass(frozen=True)
class Drawn:
    """The pictures of one part of the page: the first stands open, the others are folded."""

    first: SafeString
    more: tuple[SafeString, ...]


@dataclass(frozen=True)
class HotTable:
    """One kind of hot fit."""

    block: HotBlock
    lines: tuple[HotLine, ...]

    @property
    def quiet(self) -> bool:
        """Whether nothing in it asks for attention."""
        return all(line.tone in (Tone.GOOD, Tone.PLAIN) for line in self.lines)


def page(book: Book, seen: Seen) -> dict[str, Any]:
    """The context of the page."""
    state, result = runner.state(book.pk), result_of(book.pk, seen.kept)
    told = work_told(seen.job, result.work) if result is not None else None
    return {
        "say": say(state, result, told, seen.number),
        "state": state,
        "result": result,
        "told": told,
        "tables": [_table(book, block) for block in told.fits] if told else [],
        "pictures": pictures(result, told) if result and told else {},
        "offer": offer(state, result),
    }


def say(state: State | None, result: Result | None, told: WorkTold | None, number: int) -> Say:
    """The one sentence."""
    if state is not None and state.under_way:
        return Say(
            Tone.OPEN,
            "The engine is being worked out.",
            "You may go on measuring meanwhile; the result comes by itself.",
        )
    if state is not None:
        return Say(Tone.OUT, "It could not be worked out.", " ".join(state.failed))
    if result is None or told is None:
        return Say(Tone.PLAIN, "The engine at work has not been worked out for these readings.", WHAT_IT_IS)
    if not result.current:
        return Say(Tone.OPEN, told.headline, OLDER.format(number=result.number, now=number))
    tone = Tone.OUT if out_of(result.work) else Tone.DOUBT if in_doubt(result.work) else Tone.GOOD
    return Say(tone, told.headline, f"{told.duty}; {told.draws}.")


def offer(state: State | None, result: Result | None) -> str:
    """The words on the button; nothing while it is under way or where the result is of the readings as they stand."""
    if state is not None and state.under_way:
        return ""
    if result is None or not result.current:
        return "Work it out" if result is None else "Work it out again"
    return "" if state is None else "Try again"


def _table(book: Book, block: HotBlock) -> HotTable:
    return HotTable(block, tuple(_line(book, row) for row in block.rows))


def _line(book: Book, row: HotRow) -> HotLine:
    drawn = mark(row.mark, f"{row.fit} when hot, {row.at}: {row.words}") if row.limits else mark(None)
    to = link("fit", book=book.slug, fit=row.fit, position=row.at)
    return HotLine(row, OF.get(Standing(row.standing), Tone.PLAIN), drawn, to)


def pictures(result: Result, told: WorkTold) -> Mapping[str, Drawn]:
    """Every picture by the part of the page that it stands in; drawn once for a result."""
    unit = told.shop.clearance
    if unit not in result.drawn:
        result.drawn[unit] = _drawn(result, unit)
    found: Mapping[str, Drawn] = result.drawn[unit]
    return found


def _drawn(result: Result, unit: str) -> Mapping[str, Drawn]:
    from blockwright.report.pictures.at_work.every import work_pictures

    held: dict[str, list[SafeString]] = {}
    for name, svg in work_pictures(result.work, unit=unit):
        held.setdefault(_part(name), []).append(inline(svg))
    return {part: Drawn(drawn[0], tuple(drawn[1:])) for part, drawn in held.items()}


def _part(name: str) -> str:
    return next((part for part, heads in PARTS.items() if name.startswith(heads)), "cycle")
