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

    `unit` is what the grinder counts: turns, strokes, or an infeed that is dialled. A new `wheel` cuts at a rate of its own.
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


def shown_after_filing(readings: Sequence[Reading], passes: Sequence[Pass]) -> tuple[Reading, ...]:
    """Readings that show the parts as they are now.

    A gap read before its ring was filed shows it no longer: in the bore where it was filed every plain reading is taken over by
    the entries, in another bore those that are not dated after the last pass are left out.
    """
    if not passes:
        return tuple(readings)
    entries: defaultdict[tuple[str, str], list[Pass]] = defaultdict(list)
    for each in passes:
        entries[(each.rings, each.reading.feature)].append(each)
    kept = [
        reading for reading in readings if not _filed_since(reading, entries.get((reading.part, reading.feature), []))
    ]
    return (*kept, *(each.reading for listed in entries.values() for each in since_last_filing(tuple(listed))))


def _filed_since(reading: Reading, entries: Sequence[Pass]) -> bool:
    if not entries:
        return False
    if any(each.at == reading.at for each in entries):
        return True
    last = max((each.reading.when for each in entries if each.units > 0.0 and each.reading.when), default=None)
    return any(each.units > 0.0 for each in entries) and (reading.when is None or last is None or reading.when <= last)


def since_last_filing(passes: tuple[Pass, ...]) -> tuple[Pass, ...]:
    """Entries that show the gap as it is now: the last one that took something off, and every re-reading after it.

    What a withdrawn entry took off is off all the same: until the ring is read again, nothing shows its gap.
    """
    last = max((index for index, each in enumerate(passes) if each.units > 0.0), default=0)
    return tuple(each for each in passes[last:] if each.counts)
