"""What a plan says of one position: the worst verdict of all its fits, and which fits those are.

| look | when | drawn |
| --- | --- | --- |
| out | a fit is nonconforming, nobody signed | barred |
| undecided | a fit cannot be told, nobody signed | hatched |
| not measured | no fit there has its readings | dashed |
| partly measured | some lack readings, none of the others is out or undecided | dashed, filled as far as fits are measured |
| under concession | the worst is an accepted nonconformance | a ring in a ring, C |
| on judgement | the worst is an accepted doubt | a ring in a ring, J |
| no limit given | all is read, nobody limits it | a thin outline |
| conforms | everything else | filled |
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from blockwright.engine.positions import Position
from blockwright.engine.rules import Accepted
from blockwright.fits.assessment import Assessment, FitResult, Standing

MOST_NAMED = 6


class Look(StrEnum):
    """How a position is filled, worst first; the value is the word that stands beside it."""

    OUT = "out"
    UNDECIDED = "undecided"
    UNREAD = "not measured"
    PARTLY = "partly measured"
    CONCESSION = "under concession"
    JUDGEMENT = "on judgement"
    CONFORMS = "conforms"
    UNLIMITED = "no limit given"


MEANING = {
    Look.OUT: "barred: out",
    Look.UNDECIDED: "hatched: undecided",
    Look.UNREAD: "dashed: not measured",
    Look.PARTLY: "dashed, part filled: measured so far, nothing out",
    Look.CONCESSION: "ring in ring, C: out, under concession",
    Look.JUDGEMENT: "ring in ring, J: undecided, on judgement",
    Look.CONFORMS: "filled: conforms",
    Look.UNLIMITED: "thin: measured, no limit given",
}


@dataclass(frozen=True)
class Seen:
    """One position: its look, the part of its fits that is measured (0 to 1), and its fits by the look of each."""

    look: Look
    measured: float = 0.0
    fits: Mapping[Look, tuple[str, ...]] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """`out: wall clearance; undecided: top end gap`; only the word itself where there is nothing to name."""
        if self.look is Look.UNREAD:
            return str(self.look)
        told = [f"{look}: {_named(names)}" for look, names in self.fits.items() if look in _TOLD]
        if told:
            return "; ".join(told)
        return str(self.look)


_TOLD = (Look.OUT, Look.UNDECIDED, Look.UNREAD, Look.CONCESSION, Look.JUDGEMENT)


def seen(assessment: Assessment) -> dict[Position, Seen]:
    """What there is to say of every position of the engine that has a fit."""
    by_position: dict[Position, list[FitResult]] = {}
    for result in assessment.results:
        by_position.setdefault(result.position, []).append(result)
    return {position: summed_up(results) for position, results in by_position.items()}


def summed_up(results: Iterable[FitResult]) -> Seen:
    """The worst of some fits."""
    found: dict[Look, list[str]] = {look: [] for look in Look}
    for result in results:
        found[look_of(result)].append(result.fit.name)
    fits = {look: tuple(names) for look, names in found.items() if names}
    count = sum(map(len, fits.values()))
    measured = 1.0 - len(fits.get(Look.UNREAD, ())) / count if count else 0.0
    return Seen(_worst(fits), measured, fits)


def look_of(result: FitResult) -> Look:
    """How one fit by itself looks."""
    if result.record is not None and result.standing in (Standing.NONCONFORMING, Standing.UNDECIDED):
        return Look.CONCESSION if result.record.event is Accepted.CONCESSION else Look.JUDGEMENT
    return PLAIN_LOOK[result.standing]


PLAIN_LOOK = {
    Standing.NONCONFORMING: Look.OUT,
    Standing.UNDECIDED: Look.UNDECIDED,
    Standing.OPEN: Look.UNREAD,
    Standing.CONFORMS: Look.CONFORMS,
    Standing.UNLIMITED: Look.UNLIMITED,
}


def _worst(fits: Mapping[Look, tuple[str, ...]]) -> Look:
    worst = next(iter(fits), Look.UNREAD)
    return Look.PARTLY if worst is Look.UNREAD and len(fits) > 1 else worst


def _named(names: tuple[str, ...]) -> str:
    shown = ", ".join(names[:MOST_NAMED])
    more = len(names) - MOST_NAMED
    return f"{shown} and {more} more" if more > 0 else shown
