"""The entries of one ring in words, the newest first: what was taken, the gap that was read after it, by whom; and what was withdrawn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blockwright.choices.ring_bench import RingState
from blockwright.engine.filing import GAP, Pass
from blockwright.engine.job import Job
from blockwright.metrology.readings import Reading
from blockwright.report.ring_words import units_text


@dataclass(frozen=True)
class Entry:
    """One entry. `id` names it where it can be withdrawn, `why` says why it was; `told` is the entry in one line."""

    id: str
    took: str
    gap: str
    by: str
    when: str
    how: str
    why: str = ""

    @property
    def told(self) -> str:
        """`6 turns off, 24 to 25 thou`."""
        return ", ".join(text for text in (self.took, self.gap) if text)


def entries(job: Job, state: RingState) -> tuple[Entry, ...]:
    """Every entry of a ring at the grinder, then its readings from before."""
    return (*(_entry(each, state) for each in reversed(state.passes)), *_before(job, state))


def _entry(each: Pass, state: RingState) -> Entry:
    took = (
        f"{units_text(each.units, each.unit)} off"
        if each.units
        else "read again"
        if each is not state.passes[0]
        else "first reading"
    )
    at = f"in {each.at}" if each.at != str(state.ring.at) else ""
    how = ", ".join(
        text
        for text in (at, f"wheel {each.wheel}" if each.wheel else "", each.reading.gauge, each.reading.note)
        if text
    )
    return Entry(
        each.reading.id,
        took,
        gap_words(each.reading) or "gap not read",
        each.reading.by,
        _when(each.reading),
        how,
        each.reading.withdrawn,
    )


def _before(job: Job, state: RingState) -> Iterator[Entry]:
    ring = state.ring
    for each in job.readings:
        if (each.part, each.feature, each.at) == (ring.rings, ring.ring + GAP, str(ring.at)) and each.text:
            yield Entry("", "measured", gap_words(each), each.by, _when(each), each.gauge, each.withdrawn)


def gap_words(reading: Reading) -> str:
    """`0.40 to 0.45 mm`, as it was typed."""
    return f"{reading.text} {reading.unit}".strip() if reading.text else ""


def _when(reading: Reading) -> str:
    return reading.when.isoformat() if reading.when else ""
