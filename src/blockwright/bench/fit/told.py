"""A fit's story for a page: the words of `report.story`, each reading with the place where it is read, the budget as bars, the mark large."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString

from blockwright.bench.drawn import inline, mark
from blockwright.bench.links import fit_link, link
from blockwright.bench.reckon.forms import linked
from blockwright.bench.standing import Say
from blockwright.bench.state import Seen
from blockwright.bench.tones import OF, Tone, tone_of
from blockwright.bench.verdicts import name_of
from blockwright.bench.work.held import result_of
from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.asking import asked
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.sizes import Missing
from blockwright.fits.words import Scale
from blockwright.ledger.models import Book
from blockwright.metrology.evaluate import Size
from blockwright.metrology.verdict import expanded
from blockwright.report.fineness import limits_fineness
from blockwright.report.rows import limits_text, mark_of, wanted_unit
from blockwright.report.slot import svg_mark
from blockwright.report.story import BudgetLine, SizeLine, Story, story_of, taken_alike, weighty
from blockwright.report.work.hot import WORKED, HotStory
from blockwright.running.assess import judge

WIDE, TALL = 640, 78
UNITS = ("mm", "um", "in", "thou")
"""Units that a clearance can be looked at in."""
WORDED = {
    Tone.OUT: "Out", Tone.DOUBT: "Cannot be told", Tone.OPEN: "Not read yet", Tone.PLAIN: "Read; nobody gives a limit", Tone.SIGNED: "Signed for",
    Tone.GOOD: "In",
}  # fmt: skip


@dataclass(frozen=True)
class Linked:
    """Words, and the page that they lead to; blank where there is none."""

    words: str
    to: str


@dataclass(frozen=True)
class TakenAlike:
    """Readings of one spot that were taken the same way."""

    how: str
    readings: tuple[Linked, ...]


@dataclass(frozen=True)
class SizeTold:
    """One size that went in, with its readings."""

    line: SizeLine
    taken: tuple[TakenAlike, ...]


@dataclass(frozen=True)
class Bar:
    """One line of the budget; `wide` is its share in hundredths."""

    line: BudgetLine
    percent: str
    wide: float


@dataclass(frozen=True)
class HotTold:
    """What the engine at work makes of the fit, with its mark."""

    story: HotStory
    mark: SafeString

    @property
    def tone(self) -> Tone:
        """The tone of its verdict; plain where it has none."""
        return OF[Standing(self.story.standing)] if self.story.standing else Tone.PLAIN


@dataclass(frozen=True)
class Beside:
    """The same fit at another position."""

    at: str
    to: str
    tone: Tone
    here: bool


def result_at(seen: Seen, fit_name: str, position_text: str) -> FitResult:
    """The fit that is meant, judged. Raises BlockwrightError where this engine has no such fit or place."""
    fit, position = asked(seen.job, fit_name, position_text)
    return seen.results.get((fit.name, position)) or judge(seen.job, fit, position)


def told(book: Book, seen: Seen, result: FitResult, unit: str = "") -> dict[str, Any]:
    """The context of the fit's page, but for its forms."""
    job, asked_for = seen.job, unit if unit in UNITS else ""
    worked = result_of(book.pk, seen.kept)
    current = worked.work if worked is not None and worked.current else None
    story = story_of(job, result, asked_for, current)
    lines, rest = weighty(story.budget)
    shown = wanted_unit(job, result.fit, asked_for)
    return {
        "say": say(result, story, where_read(book, job, result.missing[0]) if result.missing else ""),
        "result": result,
        "story": story,
        "name": name_of(result),
        "mark": large_mark(result),
        "ends": ends(job, result, shown),
        "sizes": _sizes(book, job, result, story),
        "bars": [_bar(line) for line in lines],
        "rest": rest,
        "missing": [Linked(str(each), where_read(book, job, each)) for each in result.missing],
        "beside": _beside(book, seen, result),
        "at_work": [HotTold(each, _hot_mark(each)) for each in story.at_work],
        "not_worked": link("work", book=book.slug) if current is None and result.fit.name in WORKED else "",
        "units": _units(book, result, shown),
        "formulas": linked(story.formulas),
        "readings_to": link("measure", book=book.slug),
    }


def say(result: FitResult, story: Story, to_read: str) -> Say:
    """The one sentence: where the fit stands, what would mend or decide it; `to_read` is where its first missing reading is taken."""
    tone = tone_of(result)
    what = f"{WORDED[tone]}: {story.title}{f', {story.value}' if story.value else ''}"
    how = {Tone.OUT: story.remedy, Tone.DOUBT: story.settle, Tone.SIGNED: story.signed}.get(tone, "")
    if to_read:
        return Say(tone, f"{what}.", f"It waits for {story.missing[0]}.", to_read, "Measure")
    return Say(tone, what, f"{how[:1].upper()}{how[1:]}." if how and not how.endswith(".") else how)


def large_mark(result: FitResult) -> SafeString | str:
    """The slot-and-pin mark across the page; nothing where nothing is read."""
    if result.found is None:
        return ""
    title = f"{name_of(result)}: {result.words}"
    return inline(svg_mark(mark_of(result, expanded(result.estimate)), WIDE, TALL, title))


def _hot_mark(told: HotStory) -> SafeString:
    return mark(told.mark, f"{told.title}: {told.words}")


def ends(job: Job, result: FitResult, unit: str) -> Mapping[str, str]:
    """Low limit, aim and high limit in words, for under the mark; blank where nobody gives one."""
    limits, fineness = result.limits, limits_fineness([result], unit)
    text = limits_text(limits, result.fit, unit, fineness)
    span, _, aim = text.partition(", aim ")
    low, _, high = span.removesuffix(f" {unit}").partition(" to ")
    if limits.low is None or limits.high is None:
        alone = span.removeprefix("up to ").removeprefix("at least ").removesuffix(f" {unit}")
        low, high = ("", alone) if limits.low is None else (alone, "")
    return {"low": low, "aim": aim, "high": high, "unit": unit} if limits.known else {}


def _sizes(book: Book, job: Job, result: FitResult, story: Story) -> list[SizeTold]:
    if result.found is None:
        return []
    pairs = zip(story.sizes, result.found.sizes, strict=True)
    return [SizeTold(line, tuple(_taken(book, job, line, size))) for line, (_, size) in pairs]


def _taken(book: Book, job: Job, line: SizeLine, size: Size) -> Sequence[TakenAlike]:
    of_job = {reading.id for reading in job.readings}
    to = {
        reading.id: link("measure-spot", book=book.slug, spot=reading.id)
        if reading.id in of_job
        else link("rings", book=book.slug)
        for reading in size.readings
    }
    return [
        TakenAlike(how, tuple(Linked(text, to.get(text.partition(":")[0], "")) for text in texts))
        for how, texts in taken_alike(line.readings)
    ]


def _bar(line: BudgetLine) -> Bar:
    return Bar(line, f"{line.share:.0%}", round(100.0 * line.share, 2))


def where_read(book: Book, job: Job, missing: Missing) -> str:
    """The spot at which a missing reading is taken; the measuring page where it is not planned."""
    for reading in job.readings:
        named = f"{reading.feature} of {reading.part}" in missing.thing and reading.at in missing.thing
        if named and not reading.taken and missing.spot in ("", reading.spot):
            return link("measure-spot", book=book.slug, spot=reading.id)
    return link("measure", book=book.slug)


def _beside(book: Book, seen: Seen, result: FitResult) -> list[Beside]:
    same = [each for each in seen.assessment.results if each.fit.name == result.fit.name]
    return [
        Beside(_short(each.position), fit_link(book, each), tone_of(each), each.position == result.position)
        for each in same
        if len(same) > 1
    ]


def _short(position: Position) -> str:
    return str(position)


def _units(book: Book, result: FitResult, shown: str) -> list[tuple[str, str, bool]]:
    if result.fit.scale not in (Scale.CLEARANCE, Scale.SIZE):
        return []
    return [(unit, f"{fit_link(book, result)}?unit={unit}", unit == shown) for unit in UNITS]
