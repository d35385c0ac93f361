"""Rings into the bore: how far each must close, when its ends butt, and what to do when it goes wrong.

A ring that lies free is as wide open as its free opening; in its bore it is closed to its fitted gap. On the way it must not stand open further than
the bore allows, or it catches at the deck, nor be squeezed until its ends butt, or the piston will not leave the compressor. A gap changes by pi
times what the ring's diameter changes: that is plain geometry. What to do is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from blockwright.choices.ring_bench import RingId
from blockwright.engine.assembly import PistonWay
from blockwright.engine.job import Job
from blockwright.fits.sizes import Lacking, Sizes
from blockwright.fits.words import length

STEP_M = 0.1e-3
"""How much wider than the bore a sleeve is taken for the example."""
ESCAPES = (
    "Too loose, a ring escapes: a click, a sudden stop, and it stands between sleeve and bore. Stop at once; never push on. Take the piston out, "
    "look at the ring for a chip or a twist and at the land. Press the sleeve flat on the deck, tighten it a little, begin again."
)
STUCK = (
    "Too tight, the piston will not leave: the band grips the skirt, or ring ends butt. Do not drive it. Loosen the band by a touch, set it square, "
    "look that no gap has closed, then press with the wooden handle. If it is a sleeve, its small end is too small."
)


@dataclass(frozen=True)
class RingEntry:
    """How one ring goes in. Metres.

    `free_m` between its ends when it lies free, `gap_m` in its bore; `None` where not read. `closes_m` is how far the ends come together;
    `butts_under_m` how much smaller than the bore the compressor may squeeze the ring before its ends butt.
    """

    ring: RingId
    free_m: float | None = None
    gap_m: float | None = None

    @property
    def closes_m(self) -> float | None:
        """How far the ends must come together."""
        return None if self.free_m is None or self.gap_m is None else self.free_m - self.gap_m

    @property
    def butts_under_m(self) -> float | None:
        """How much smaller than the bore the ring's diameter is when its ends butt."""
        return None if self.gap_m is None else self.gap_m / math.pi


def ring_entries(sizes: Sizes, rings: Sequence[RingId]) -> tuple[RingEntry, ...]:
    """How each of these rings goes into its bore, as far as it was read."""
    return tuple(
        RingEntry(
            ring, _read(sizes, ring, "free opening") if ring.ring in ("top", "second") else None, _gap(sizes, ring)
        )
        for ring in rings
    )


def entry_words(sizes: Sizes, rings: Sequence[RingId]) -> tuple[str, ...]:
    """What to do, line by line, in the shop's unit."""
    return tuple(_words(sizes.job, ring_entries(sizes, rings)))


def _words(job: Job, entries: Sequence[RingEntry]) -> Iterator[str]:
    way = job.sheet.assembly.of(job.engine).pistons_enter
    foot = way in (PistonWay.BELOW, PistonWay.BARREL)
    lead = "the lead-in at the foot of the bore" if foot else "the deck"
    yield f"Rings into the bore: a band compressor or, better, a sleeve that tapers to the bore's size. Square on {lead}; no burr on the bore's edge."
    for entry in entries:
        if entry.closes_m is not None and entry.free_m is not None and entry.gap_m is not None:
            free, gap, by = (length(job, each) for each in (entry.free_m, entry.gap_m, entry.closes_m))
            yield f"{entry.ring.ring.capitalize()} ring: closes by {by} between its ends, from {free} lying free to {gap} in the bore."
    gaps = [entry.butts_under_m for entry in entries if entry.butts_under_m is not None]
    if gaps:
        yield f"Squeezed to {length(job, min(gaps))} under the bore, on the diameter, the tightest of these rings butts."
    step, proud, wider = length(job, STEP_M), length(job, 0.5 * STEP_M), length(job, math.pi * STEP_M)
    yield f"A sleeve {step} wider than the bore leaves a ring {proud} proud all round, its gap {wider} wider: the lead-in must be more than that."
    yield "Push with a wooden handle, never a hammer blow. One ring after the other; feel each one go."
    yield ESCAPES
    yield STUCK


def _read(sizes: Sizes, ring: RingId, what: str) -> float | None:
    try:
        return sizes.one(ring.rings, f"{ring.ring} ring {what}").estimate.value
    except Lacking:
        return None


def _gap(sizes: Sizes, ring: RingId) -> float | None:
    try:
        return sizes.one(ring.rings, f"{ring.ring} gap", ring.at, sizes.job.engine.bore_state).estimate.value
    except Lacking:
        return None
