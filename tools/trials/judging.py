"""What became of the readings of one trial: each that was acknowledged must be there once, and each that was not, once after it was sent again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass

from .clients import Sent
from .looking import Looked

READING = "reading taken"


@dataclass(frozen=True)
class Outcome:
    """One trial, in counts. `late`: in the ledger, though the sender was told nothing or no; `back_s`: until the bench worked again."""

    fault: str
    sent: int
    acknowledged: int
    unanswered: int
    refused: int
    well_told: int
    late: int
    lost: tuple[str, ...]
    twice: tuple[str, ...]
    strays: tuple[str, ...]
    chain: tuple[str, ...]
    badly_told: tuple[str, ...] = ()
    back_s: float = 0.0
    slowest_no_s: float = 0.0

    @property
    def harmed(self) -> bool:
        """Whether anything was lost, kept twice or altered."""
        return bool(self.lost or self.twice or self.strays or self.chain)


def outcome(
    fault: str,
    sent: Sequence[Sent],
    before: set[str],
    at_once: Looked,
    looked: Looked,
    back_s: float = 0.0,
    earlier: Set[str] = frozenset(),
) -> Outcome:
    """`before`: the keys that nobody had acknowledged when the fault was over; `at_once`: the book then; `looked`: after they were sent again.
    `earlier`: keys of earlier trials with this book, which must all be there still.
    """
    answers = [answer for each in sent for answer in each.answers]
    no = [each for each in answers if each.status and not each.kept]
    known = {each.key for each in sent} | earlier | {key for key, rows in looked.events.items() if rows[0].number == 1}
    return Outcome(
        fault=fault,
        sent=len(sent),
        acknowledged=sum(each.key not in before for each in sent),
        unanswered=sum(each.status == 0 for each in answers),
        refused=len(no),
        well_told=sum(each.well_told for each in no),
        late=len(before & at_once.events.keys()),
        lost=(*_lost(sent, before, at_once, looked), *sorted(earlier - looked.events.keys())),
        twice=tuple(_twice(looked)),
        strays=tuple(sorted(looked.events.keys() - known)),
        chain=(*at_once.problems, *looked.problems),
        badly_told=tuple(sorted({f"{each.status}: {each.said}" for each in no if not each.well_told})),
        back_s=back_s,
        slowest_no_s=max((each.took_s for each in no), default=0.0),
    )


def _lost(sent: Iterable[Sent], before: set[str], at_once: Looked, looked: Looked) -> Iterable[str]:
    """Acknowledged and not there as it was acknowledged, at once or at the end; or never kept, however often it was sent."""
    for each in sent:
        told = [answer for answer in each.answers if answer.kept]
        rows = looked.events.get(each.key, [])
        same = (
            any((row.kind, row.number, row.digest) == (READING, told[0].number, told[0].digest) for row in rows)
            if told
            else False
        )
        noted = any(each.key in row.note and row.readings == 1 for row in rows)
        gone = each.key not in before and each.key not in at_once.events
        if gone or not (same and noted) or len({(answer.number, answer.digest) for answer in told}) != 1:
            yield each.key


def _twice(looked: Looked) -> Iterable[str]:
    """Keys that stand twice, and rows that are twice among the readings."""
    yield from (key for key, rows in looked.events.items() if len(rows) > 1 or any(row.readings > 1 for row in rows))
    notes = [row.note for rows in looked.events.values() for row in rows if row.kind == READING]
    yield from sorted({note for note in notes if notes.count(note) > 1})
