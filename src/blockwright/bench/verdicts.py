"""What a reading gets back: the fits that it touches, the worst of them said first, in one sentence and with what would mend it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.bench.tones import Tone, tone_of
from blockwright.choices.settle import settle
from blockwright.engine.job import Job
from blockwright.fits.assessment import FitResult
from blockwright.report.fineness import limits_fineness
from blockwright.report.rows import Row, limits_text, row, value_alone, wanted_unit


@dataclass(frozen=True)
class Line:
    """One fit that was touched: its row, its name and its limits in words."""

    row: Row
    name: str
    limits: str


@dataclass(frozen=True)
class Verdict:
    """`say` is the one sentence, `how` what to do about it, `tone` the class of the page."""

    tone: Tone
    say: str
    how: str
    lines: tuple[Line, ...]


SAID = {
    Tone.OUT: "Out: {what}, {value}",
    Tone.DOUBT: "Too close to call: {what}, {value}",
    Tone.SIGNED: "Signed for: {what}, {value}",
    Tone.GOOD: "In: {what}, {value}",
    Tone.PLAIN: "Kept: {what}, {value}; nobody gives a limit",
}
WORST_FIRST = tuple(Tone)


def verdict(job: Job, touched: Sequence[FitResult]) -> Verdict:
    """The verdict on the fits that a reading touches; open fits come last, since nothing can be said of them yet."""
    told = sorted(touched, key=lambda result: (tone_of(result) is Tone.OPEN, WORST_FIRST.index(tone_of(result))))
    lines = tuple(_line(job, result) for result in told)
    if not told:
        return Verdict(Tone.PLAIN, "Kept.", "", lines)
    first = told[0]
    tone = tone_of(first)
    if tone is Tone.OPEN:
        waits = "; ".join(dict.fromkeys(str(missing) for missing in first.missing[:3]))
        return Verdict(tone, f"Kept. {name_of(first)} waits for {waits}.", "", lines)
    say = SAID[tone].format(what=name_of(first), value=value_alone(first, wanted_unit(job, first.fit)))
    return Verdict(tone, say, _how(job, first, tone), lines)


def name_of(result: FitResult) -> str:
    """`wall clearance, cylinder 3`."""
    return f"{result.fit.name}, {result.position}" if result.position.label else result.fit.name


def _how(job: Job, result: FitResult, tone: Tone) -> str:
    words = (
        {Tone.OUT: result.mend, Tone.DOUBT: settle(job, result)}.get(tone, "") if tone in (Tone.OUT, Tone.DOUBT) else ""
    )
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}" if words else ""


def _line(job: Job, result: FitResult) -> Line:
    unit = wanted_unit(job, result.fit)
    fineness = limits_fineness([result], unit)
    return Line(row(result, unit, fineness), name_of(result), limits_text(result.limits, result.fit, unit, fineness))
