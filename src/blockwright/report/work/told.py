"""The engine at work, all of it as text ready to show: what terminal, sheet and pages lay out."""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.engine.job import Job
from blockwright.fits.assessment import Standing
from blockwright.quantities import Kind
from blockwright.report.work.films import CLEARANCE_U_M, Films, films
from blockwright.report.work.heat import (
    Line,
    Resistance,
    Temperature,
    cycle_lines,
    load_lines,
    resistances,
    temperatures,
)
from blockwright.report.work.hot import HotBlock, hot_blocks, limits_words
from blockwright.report.work.inputs import FactRow, fact_rows
from blockwright.report.work.numbers import Shop, plainly, sentence, shop_of
from blockwright.report.work.ring_gas import RingGas, ring_gas
from blockwright.running.work.result import Better, Work

SPREAD_WORDS = "A number stands with half of the span that holds 95 % of the draws."
NO_SPREAD = "Worked out once, at the best values: how sure any of it is was not asked. Draws tell that."
HOW_TO_HAVE = "blockwright work {job}"


@dataclass(frozen=True)
class BetterRow:
    """A clearance that would do better: of what, now, the clearance that is meant, and why."""

    what: str
    now: str
    wanted: str
    words: str


@dataclass(frozen=True)
class WorkTold:
    """Everything that is shown of an engine at work. `draws` says how the spread was had, `spread_words` how it is shown."""

    headline: str
    duty: str
    draws: str
    spread_words: str
    shop: Shop
    cycle: tuple[Line, ...]
    temperatures: tuple[Temperature, ...]
    loads: tuple[Line, ...]
    fits: tuple[HotBlock, ...]
    films: tuple[Films, ...]
    rings: RingGas
    better: tuple[BetterRow, ...]
    inputs: tuple[FactRow, ...]
    resistances: tuple[Resistance, ...]
    missing: tuple[str, ...]
    cautions: tuple[str, ...]
    not_validated: tuple[str, ...]

    @property
    def assumed(self) -> tuple[FactRow, ...]:
        """The inputs that nobody gave."""
        return tuple(each for each in self.inputs if each.assumed)


def work_told(job: Job, work: Work, unit: str = "") -> WorkTold:
    """An engine at work in words, clearances in `unit` or in the shop's."""
    shop = shop_of(job, unit)
    return WorkTold(
        headline=sentence(work.headline),
        duty=work.duty,
        draws=draws_words(work),
        spread_words=spread_words(work),
        shop=shop,
        cycle=cycle_lines(work.cycle),
        temperatures=temperatures(work),
        loads=load_lines(work.forces),
        fits=hot_blocks(job, work, unit),
        films=films(work, shop),
        rings=ring_gas(work, shop),
        better=tuple(_better(each, shop) for each in work.better),
        inputs=fact_rows(work, shop),
        resistances=resistances(work),
        missing=tuple(map(sentence, work.missing)),
        cautions=tuple(map(sentence, work.cautions)),
        not_validated=not_validated(work),
    )


def draws_words(work: Work) -> str:
    """`2000 draws, seed 6`."""
    return f"{work.samples} draws, seed {work.seed}" if work.samples else "no draws"


def spread_words(work: Work) -> str:
    """What stands behind a ±, and how far more draws would still move the middle of it: the largest standard error as a share of what is shown."""
    if not work.samples:
        return NO_SPREAD
    drawn = (
        *(fit.hot for fit in work.fits), *(bearing.film_m for bearing in work.bearings), *(ring.blow_by_share for ring in work.rings),
    )  # fmt: skip
    shares = [2.0 * each.error / (each.high - each.low) for each in drawn if each.high > each.low and each.error]
    if not shares:
        return SPREAD_WORDS
    most = max(1, round(100.0 * max(shares)))
    return f"{SPREAD_WORDS} More draws would move the middle by some {most} % of that half, no more (standard error)."


def not_validated(work: Work) -> tuple[str, ...]:
    """What none of it was ever held against, each thing once."""
    said = (*work.not_validated, *(fit.validated for fit in work.fits))
    return tuple(dict.fromkeys(sentence(each) for each in said if each))


def out_of(work: Work) -> int:
    """How many hot fits are nonconforming."""
    return sum(fit.standing == Standing.NONCONFORMING for fit in work.fits)


def in_doubt(work: Work) -> int:
    """How many hot fits cannot be told."""
    return sum(fit.standing == Standing.UNDECIDED for fit in work.fits)


def _better(each: Better, shop: Shop) -> BetterRow:
    wanted = limits_words(each.low_m, each.high_m, Kind.LENGTH, shop.clearance, CLEARANCE_U_M)
    what = f"{each.fit}, {each.position}" if each.position else each.fit
    return BetterRow(
        what, plainly(each.now_m, Kind.LENGTH, shop.clearance, u=CLEARANCE_U_M), wanted, sentence(each.words)
    )
