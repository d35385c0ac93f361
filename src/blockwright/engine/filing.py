"""Filing of rings: every pass of the grinder with the gap read after it. Nothing can be put back, so nothing is forgotten."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from blockwright.metrology.readings import Reading
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity

GAP = " gap"
RINGS = ("top", "second", "upper rail", "lower rail")


@dataclass(frozen=True, kw_only=True)
class Grinder(Written):
    """The ring grinder and what the shop will risk with it."""

    counted_in: str = entry("what it counts: turns, strokes, or infeed", default="turns")
    whole: bool = entry("whether only whole ones can be taken", default=True)
    smallest: float = entry("smallest step that can be taken, in what it counts", default=1.0)
    wheel: str = entry("mark of the wheel that is on; a new wheel cuts at its own rate", default="")
    guess_m: float = quantity(
        Kind.LENGTH,
        "about how much one of them opens a gap, until it is known",
        span=("0.1 um", "0.5 mm"),
        default=10e-6,
    )
    risk: float = quantity(
        Kind.RATIO,
        "chance of passing the upper limit that is put up with, for each finished ring",
        span=("0.0001", "0.2"),
        default=0.01,
    )


@dataclass(frozen=True)
class Pass:
    """One entry at the ring grinder: `units` taken since the entry before (0 for the first), then the gap as read.

    `unit` is what the grinder counts: turns, strokes, or an infeed that is dialled. A new `wheel` cuts at a rate of its own. What is taken is
    written down before the gap is read: until then the entry has no gap, and what it took is off all the same.
    """

    reading: Reading
    units: float
    unit: str
    wheel: str = ""
    cells: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    @property
    def rings(self) -> str:
        """Mark of the ring set."""
        return self.reading.part

    @property
    def ring(self) -> str:
        """Which ring of the set: top, second, upper rail, lower rail."""
        return self.reading.feature.removesuffix(GAP)

    @property
    def at(self) -> str:
        """The cylinder in whose bore it was read."""
        return self.reading.at

    @property
    def counts(self) -> bool:
        """Whether the entry was not withdrawn."""
        return not self.reading.withdrawn

    @property
    def waits(self) -> bool:
        """Whether something was taken and the gap is not read yet."""
        return self.units > 0.0 and self.counts and self.reading.low_si is None


def shown_after_filing(readings: Sequence[Reading], passes: Sequence[Pass]) -> tuple[Reading, ...]:
    """Readings that show the parts as they are now: a gap that was read before its ring was filed shows it no longer."""
    if not passes:
        return tuple(readings)
    entries: defaultdict[tuple[str, str], list[Pass]] = defaultdict(list)
    for each in passes:
        entries[(each.rings, each.reading.feature)].append(each)
    kept = [reading for reading in readings if still_shows(reading, entries.get((reading.part, reading.feature), ()))]
    return (*kept, *(each.reading for listed in entries.values() for each in since_last_filing(tuple(listed))))


def still_shows(reading: Reading, passes: Sequence[Pass]) -> bool:
    """Whether a plain reading shows a ring as it is now, beside all entries of that ring.

    Once something was taken off, only one that is dated after the last pass does. Until then each does, but an entry in the same bore
    takes its place: it is most often the same reading, written twice.
    """
    filed = [each.reading.when for each in passes if each.units > 0.0]
    if not filed:
        return not any(each.counts and each.at == reading.at for each in passes)
    return reading.when is not None and all(when is not None and reading.when > when for when in filed)


def before_filing(reading: Reading, passes: Sequence[Pass]) -> bool:
    """Whether a plain reading shows a ring as it was before anything was taken off; one of the day of the first pass does."""
    first = next((index for index, each in enumerate(passes) if each.units > 0.0), len(passes))
    if any(each.counts and each.at == reading.at for each in passes[:first]):
        return False
    day = passes[first].reading.when if first < len(passes) else None
    return day is None or reading.when is None or reading.when <= day


def since_last_filing(passes: tuple[Pass, ...]) -> tuple[Pass, ...]:
    """Entries that show the gap as it is now: the last one that took something off, and every re-reading after it.

    What a withdrawn entry took off, or one whose gap was not read, is off all the same: until the ring is read again, nothing shows its gap.
    """
    last = max((index for index, each in enumerate(passes) if each.units > 0.0), default=0)
    return tuple(each for each in passes[last:] if each.counts and each.reading.low_si is not None)


def taken_unread(passes: Sequence[Pass]) -> float:
    """Units taken since an entry of this ring last had a gap that counts."""
    read = max((index for index, each in enumerate(passes) if each.reading.taken), default=-1)
    return sum(each.units for each in passes[read + 1 :])
