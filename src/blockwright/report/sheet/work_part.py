"""The engine at work on a sheet: only a result that was worked out for exactly this job, never one that is worked out for the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from blockwright.engine.job import Job
from blockwright.report.sheet.fit_part import MARK_HEIGHT, MARK_WIDTH
from blockwright.report.sheet.picture_part import Shown, as_shown
from blockwright.report.slot import standing_said, svg_mark

if TYPE_CHECKING:  # only a sheet that has the part pays for them
    from blockwright.report.work.films import Films
    from blockwright.report.work.heat import Line, Temperature
    from blockwright.report.work.hot import HotBlock, HotRow
    from blockwright.report.work.inputs import FactRow
    from blockwright.report.work.ring_gas import RingGas
    from blockwright.report.work.told import BetterRow, WorkTold
    from blockwright.running.work.result import Work

NONE_KEPT = "Not worked out for this job as it is now. 'blockwright work JOB' does that, and the next sheet has it."
WIDE_MM, TALLEST_MM = 86.0, 122.0
"""So wide and tall that four pictures stand on one page."""
CHOSEN = ("work-pressure", "work-thrust", "work-hot-top-end-gap", "work-orbits", "work-films", "work-rings")
"""Beginnings of the names of pictures that are printed, one of each, in this order."""


@dataclass(frozen=True)
class HotLine:
    """One fit when hot. `picture` names its mark, `says` what the mark shows."""

    at: str
    cold: str
    value: str
    picture: str
    says: str
    words: str
    standing: str
    limits: str


@dataclass(frozen=True)
class HotTable:
    """One kind of fit when hot; `before` and `after` are what its two numbers are called."""

    name: str
    what: str
    before: str
    after: str
    unit: str
    limits: str
    who: str
    weighs: str
    rows: tuple[HotLine, ...]


@dataclass(frozen=True)
class AtWork:
    """The part of the sheet."""

    headline: str
    duty: str
    draws: str
    spread_words: str
    clearance_unit: str
    film_unit: str
    fits: tuple[HotTable, ...]
    films: tuple[Films, ...]
    ring_gas: RingGas
    better: tuple[BetterRow, ...]
    cycle: tuple[Line, ...]
    loads: tuple[Line, ...]
    temperatures: tuple[Temperature, ...]
    inputs: tuple[FactRow, ...]
    missing: tuple[str, ...]
    cautions: tuple[str, ...]
    not_validated: tuple[str, ...]
    pictures: tuple[Shown, ...]


def at_work(job: Job, work: Work | None) -> tuple[AtWork | None, Mapping[str, str]]:
    """The part, and the pictures that it asks for by name; nothing where nothing was worked out."""
    if work is None:
        return None, {}
    from blockwright.report.pictures.at_work.every import work_pictures
    from blockwright.report.work.told import work_told

    told = work_told(job, work)
    drawn = _chosen(dict(work_pictures(work, unit=told.shop.clearance)))
    marks = {
        name: svg_mark(row.mark, MARK_WIDTH, MARK_HEIGHT)
        for block in told.fits
        for row in block.rows
        if (name := _mark_name(row))
    }
    pictures = tuple(as_shown(name, svg, WIDE_MM, TALLEST_MM) for name, svg in drawn.items())
    return _part(told, pictures), {**drawn, **marks}


def _chosen(every: Mapping[str, str]) -> dict[str, str]:
    firsts = (next((name for name in every if name.startswith(chosen)), "") for chosen in CHOSEN)
    return {f"drawn/{name}": every[name] for name in firsts if name}


def _part(told: WorkTold, pictures: tuple[Shown, ...]) -> AtWork:
    return AtWork(
        headline=told.headline,
        duty=told.duty,
        draws=told.draws,
        spread_words=told.spread_words,
        clearance_unit=told.shop.clearance,
        film_unit=told.shop.film,
        fits=tuple(_table(block) for block in told.fits),
        films=told.films,
        ring_gas=told.rings,
        better=told.better,
        cycle=told.cycle,
        loads=told.loads,
        temperatures=told.temperatures,
        inputs=told.inputs,
        missing=told.missing,
        cautions=told.cautions,
        not_validated=told.not_validated,
        pictures=pictures,
    )


def _table(block: HotBlock) -> HotTable:
    rows = tuple(_line(row, shared=bool(block.authority)) for row in block.rows)
    return HotTable(
        block.name,
        block.what,
        *("clearance", "film") if block.film else ("cold", "hot"),
        block.unit,
        block.limits,
        block.authority,
        block.weighs,
        rows,
    )


def _line(row: HotRow, *, shared: bool) -> HotLine:
    name = _mark_name(row)
    own = "" if shared or not row.limits else f"{row.limits} ({row.authority})"
    says = standing_said(row.mark) if name else ""
    return HotLine(row.at, row.cold, row.value, name, says, row.words, row.standing, own)


def _mark_name(row: HotRow) -> str:
    """The name of a hot fit's picture; empty where it has no limits."""
    return f"hot/{row.fit}/{row.at}" if row.limits else ""
