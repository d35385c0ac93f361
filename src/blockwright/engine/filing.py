"""Filing of rings: every pass of the grinder with the gap read after it. Nothing can be put back, so nothing is forgotten."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from blockwright.metrology.readings import Reading

GAP = " gap"
RINGS = ("top", "second", "upper rail", "lower rail")


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


def since_last_filing(passes: tuple[Pass, ...]) -> tuple[Pass, ...]:
    """Entries that show the gap as it is now: the last one that took something off, and every re-reading after it."""
    kept = [each for each in passes if each.counts]
    last = max((index for index, each in enumerate(kept) if each.units > 0.0), default=0)
    return tuple(kept[last:])
