"""Rings at work as rows and sentences: hot gaps, blow-by, gas between the rings, and whether a looser second ring is all right here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.fits.words import runs
from blockwright.quantities import Kind
from blockwright.report.work.numbers import Shop, plainly, sentence, spread
from blockwright.running.work.result import RingsTold, Spread, Work

A_LITRE_M3 = 1e-3
SENTENCES = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")
"""Where one sentence ends and the next begins."""


@dataclass(frozen=True)
class RingRow:
    """The ring pack of one cylinder. Gaps bear no unit, then percent, L/min and bar (absolute, highest)."""

    at: str
    top: str
    second: str
    share: str
    blow_by: str
    under_top: str
    under_second: str


@dataclass(frozen=True)
class RingGas:
    """All packs, and what is to be said of them."""

    rows: tuple[RingRow, ...]
    looser: tuple[str, ...]
    """The answer to: is a looser second ring all right here?"""
    sayings: tuple[str, ...]


def ring_gas(work: Work, shop: Shop) -> RingGas:
    """Every cylinder's pack."""
    unsettled = [told.position for told in work.rings if not told.settled]
    sayings = (f"The gas had not come to rest when it was stopped: {runs(unsettled)}.",) if unsettled else ()
    return RingGas(tuple(_row(told, shop) for told in work.rings), _looser(work.rings), sayings)


def _looser(rings: Sequence[RingsTold]) -> tuple[str, ...]:
    """The answers, each once with where it holds; what all of them end in is said once, at the end."""
    answers: dict[str, list[str]] = {}
    for told in rings:
        if told.looser:
            answers.setdefault(sentence(told.looser), []).append(told.position)
    if len(answers) < 2:
        return tuple(answers)
    parts = [SENTENCES.split(words) for words in answers]
    shared = 0
    while shared < min(map(len, parts)) - 1 and len({tuple(part[-shared - 1 :]) for part in parts}) == 1:
        shared += 1
    heads = [" ".join(part[: len(part) - shared]) for part in parts]
    told_once = (" ".join(parts[0][len(parts[0]) - shared :]),) if shared else ()
    return (*(f"{runs(at)}: {head}" for at, head in zip(answers.values(), heads, strict=True)), *told_once)


def _row(told: RingsTold, shop: Shop) -> RingRow:
    return RingRow(
        at=told.position,
        top=spread(told.top_gap_m, Kind.LENGTH, shop.clearance, with_unit=False),
        second=spread(told.second_gap_m, Kind.LENGTH, shop.clearance, with_unit=False) if told.under_second_pa or told.second_gap_m.value else "",
        share=spread(told.blow_by_share, Kind.RATIO, "%", with_unit=False),
        blow_by=spread(_of_litres(told.blow_by_l_min), Kind.VOLUME, "L", with_unit=False),
        under_top=_highest(told.under_top_pa),
        under_second=_highest(told.under_second_pa),
    )  # fmt: skip


def _highest(pressures_pa: tuple[float, ...]) -> str:
    return plainly(max(pressures_pa), Kind.PRESSURE_STEP, "bar", with_unit=False) if pressures_pa else ""


def _of_litres(told: Spread) -> Spread:
    return Spread(*(A_LITRE_M3 * each for each in (told.value, told.sd, told.low, told.high, told.error)))
