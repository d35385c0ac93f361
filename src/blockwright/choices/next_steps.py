"""Everything there is to do, in the order in which a builder should do it.

First what makes other readings worth nothing (a wrong state, a doubtful repeat), then what the gauges cannot tell, then what is out, parts
before assembly and hard sides before soft ones, then what is still to read. Nothing is cut before it is known to need it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

from blockwright.choices.settle import settle
from blockwright.fits.assessment import Assessment, FitResult, Standing

DOUBTS = (
    "wrong-state",
    "improbable-repeat",
    "spot-apart",
    "readings-apart",
    "gauge-overdue",
    "gauge-range",
    "ring-not-cool",
    "gauges-disagree",
    "ring-moved",
    "taken-twice",
)
"""Flags that make readings doubtful: they come before everything else."""
GROUPS = ("bores", "crank", "pins", "bearings", "rings", "turning")


class Rank(IntEnum):
    """Why a step stands where it does."""

    READ_AGAIN = 1
    SETTLE = 2
    CORRECT = 3
    WEIGH = 4
    READ = 5


@dataclass(frozen=True)
class NextStep:
    """One thing to do: `what` in a few words, `how` with numbers, and the fits that it serves."""

    rank: Rank
    what: str
    how: str
    fits: tuple[FitResult, ...] = ()


def next_steps(assessment: Assessment) -> tuple[NextStep, ...]:
    """What to do next, first things first."""
    steps = [*_again(assessment), *_settle(assessment), *_correct(assessment), *_read(assessment)]
    return tuple(sorted(steps, key=lambda step: step.rank))


def _again(assessment: Assessment) -> Iterator[NextStep]:
    for flag in assessment.flags:
        if flag.code in DOUBTS:
            resting = tuple(result for result in assessment.results if _rests_on(result, flag.readings))
            yield NextStep(Rank.READ_AGAIN, flag.text[:1].upper() + flag.text[1:], flag.mend, resting)
    for result in assessment.results:
        for note in result.found.notes if result.found else ():
            if "find out why" in note:
                yield NextStep(Rank.READ_AGAIN, f"{_name(result)}: {note}.", "", (result,))


def _rests_on(result: FitResult, readings: tuple[str, ...]) -> bool:
    """Whether a fit's value comes from any of these readings."""
    sizes = result.found.sizes if result.found else ()
    return any(reading.id in readings for _, size in sizes for reading in size.readings)


def _settle(assessment: Assessment) -> Iterator[NextStep]:
    for result in assessment.results:
        if result.standing is Standing.UNDECIDED and result.record is None:
            if result.limits.empty:
                yield NextStep(
                    Rank.SETTLE,
                    f"{_name(result)}: {result.limits.notes[-1]}.",
                    "Decide which source holds, and strike the other.",
                    (result,),
                )
            else:
                yield NextStep(
                    Rank.SETTLE, f"{_name(result)} cannot be told.", settle(assessment.job, result), (result,)
                )


def _correct(assessment: Assessment) -> Iterator[NextStep]:
    """One step for all that is out at one position of one group, and what would put each right."""
    together: defaultdict[tuple[int, int, tuple[int, int, str]], list[FitResult]] = defaultdict(list)
    for result in assessment.out:
        rank = Rank.CORRECT if result.hard else Rank.WEIGH
        together[(rank, GROUPS.index(result.fit.group), result.position.sort_key)].append(result)
    for (order, _, _), results in sorted(together.items(), key=lambda item: item[0]):
        first, *others = results
        too = f" ({' and '.join(other.fit.name for other in others)} with it)" if others else ""
        yield NextStep(
            Rank(order),
            f"{_name(first)} is {too_what(first)}{too}.",
            _remedies(first, others),
            tuple(results),
        )


def _remedies(first: FitResult, others: Sequence[FitResult]) -> str:
    """The first fit's remedy, and by name that of each other fit which wants another."""
    told = {first.remedy}
    parts = [f"{first.remedy[:1].upper()}{first.remedy[1:]}."]
    for other in others:
        if other.remedy and other.remedy not in told:
            told.add(other.remedy)
            but = "" if other.side == first.side else f", which is {too_what(other)}"
            parts.append(f"For {other.fit.name}{but}: {other.remedy}.")
    beware = dict.fromkeys(words for result in (first, *others) for words in result.beware)
    return " ".join([*parts, *(f"{words[:1].upper()}{words[1:]}." for words in beware)])


def _read(assessment: Assessment) -> Iterator[NextStep]:
    """What is still to read: a step for each thing to measure, with the fits that wait for it."""
    spots: defaultdict[str, list[str]] = defaultdict(list)
    waiting: defaultdict[str, list[FitResult]] = defaultdict(list)
    for result in assessment.results:
        if result.standing is Standing.OPEN:
            for missing in result.missing:
                thing, spot = missing.thing, missing.spot
                if spot and spot not in spots[thing]:
                    spots[thing].append(spot)
                if result not in waiting[thing]:
                    waiting[thing].append(result)
    for thing, results in waiting.items():
        where = f": {', '.join(spots[thing])}" if spots[thing] else ""
        fits = ", ".join(dict.fromkeys(result.fit.name for result in results))
        yield NextStep(
            Rank.READ, f"{thing[:1].upper()}{thing[1:]}{where}.", f"Then {fits} can be judged.", tuple(results)
        )


def _name(result: FitResult) -> str:
    name = f"{result.fit.name}, {result.position}" if result.position.label else result.fit.name
    return name[:1].upper() + name[1:]


def too_what(result: FitResult) -> str:
    """`too small` or `too large`, in the words of the fit."""
    return "too small" if result.side == "low" else "too large"
