"""What common practice says, by the engine's materials and duty: starting values where no maker speaks.

Common practice, no source, from memory. They vary between makers, so every one is a starting value. They are keyed on the material of
piston, housing and running surface, on boost and on sustained load, not on named uses.

| name | meaning |
| --- | --- |
| per mm | millimetres of clearance for each millimetre of bore or journal |
"""

from __future__ import annotations

from blockwright.engine.job import Job
from blockwright.engine.layout import Engine
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority
from blockwright.fits.limits import Offer

NO_SOURCE = "common practice, no source, from memory"
WALL_PER_MM = {"aluminium 4032": (0.0006, 0.0010), "aluminium 2618": (0.0010, 0.0013)}
WALL_CAST_PER_MM = (0.0002, 0.0006)
WALL_HARD_WORK_PER_MM = (0.0002, 0.0004)
GAP_AIM_M, GAP_UPPER_M = 38e-6, 225e-6
FILM_IRON_PER_MM = (0.00075, 0.0010)
FILM_LIGHT_PER_MM = (0.0003, 0.0007)
FRESH_BORE_FORM_M = 13e-6
JOURNAL_FORM_M = 8e-6


def practice(words: str, low: float | None = None, high: float | None = None, aim: float | None = None) -> Offer:
    """An offer of common practice; the aim is the middle where both sides are given."""
    middle = 0.5 * (low + high) if aim is None and low is not None and high is not None else aim
    return Offer(Authority.PRACTICE, f"{words} ({NO_SOURCE})", low, middle, high)


def wall(job: Job, position: Position) -> Offer:
    """Wall clearance by piston alloy and work."""
    alloy = piston_alloy(job, position)
    low, high = WALL_PER_MM.get(alloy, WALL_CAST_PER_MM)
    words = f"{alloy} piston"
    if job.duty.boosted or job.duty.hard_worked:
        low, high = low + WALL_HARD_WORK_PER_MM[0], high + WALL_HARD_WORK_PER_MM[1]
        words += ", boosted or under sustained load"
    bore = job.engine.bore_m
    return practice(f"{words}: {low:.4f} to {high:.4f} per mm of bore", low * bore, high * bore)


def piston_alloy(job: Job, position: Position) -> str:
    """Alloy of the piston in a cylinder; forged 2618 where none is assigned or said."""
    part = job.parts.get(job.in_cylinder(position.number).piston)
    return part.alloy if part and part.alloy else "aluminium 2618"


def forged(job: Job, position: Position) -> bool:
    """Whether the piston is forged."""
    return piston_alloy(job, position) in WALL_PER_MM


def gap_per_mm(job: Job) -> tuple[float, str]:
    """Least top end gap per mm of bore, and the reason in words."""
    if job.duty.nitrous:
        return 0.0070, "nitrous"
    if job.duty.boosted and job.duty.hard_worked:
        return 0.0063, "boosted, hard worked"
    if job.duty.hard_worked:
        return 0.0060, "full load for long spells"
    if job.duty.boosted:
        return 0.0050, "boosted"
    return 0.0040, "unboosted"


def top_gap(job: Job, position: Position) -> Offer:
    """Top end gap: a minimum, an aim a little above it, a soft upper side."""
    per_mm, why = gap_per_mm(job)
    low = per_mm * job.engine.bore_m
    return practice(f"{why}: at least {per_mm:.4f} per mm of bore", low, low + GAP_UPPER_M, low + GAP_AIM_M)


def second_gap(job: Job, position: Position) -> Offer:
    """Second end gap: no less than the top's, soft upper side at about twice that."""
    top = top_gap(job, position)
    assert top.low is not None and top.aim is not None
    return practice("no less than the top gap, up to about twice", top.low, 2.0 * top.low, top.aim + GAP_AIM_M)


def rail_gap(job: Job, position: Position) -> Offer:
    """Oil rail gap: 0.38 mm for file-fit packs, 0.15 mm for others."""
    rings = job.parts.get(job.in_cylinder(position.number).rings)
    file_fit = rings is None or rings.file_fit is not False
    return practice("file-fit pack" if file_fit else "pack not made for filing", 0.38e-3 if file_fit else 0.15e-3)


def side(job: Job, position: Position) -> Offer:
    """Axial clearance of a ring in its groove."""
    rings = job.parts.get(job.in_cylinder(position.number).rings)
    if rings is not None and rings.thin:
        return practice("thin or gas-ported", 13e-6, 40e-6)
    return practice("ordinary ring height", 25e-6, 75e-6)


def film(journal_m: float | None, engine: Engine, what: str) -> Offer | None:
    """Film clearance by housing material. An opening housing is judged hot, so its figure is weak."""
    if journal_m is None:
        return None
    light = engine.housing_material.startswith(("aluminium", "magnesium")) and what == "main"
    low, high = FILM_LIGHT_PER_MM if light else FILM_IRON_PER_MM
    housing = (
        f"{engine.housing_material} housing, which opens on heating: judge it hot"
        if light
        else "housing of iron or steel"
    )
    return practice(f"{housing}: {low:.5f} to {high:.5f} per mm of journal", low * journal_m, high * journal_m)


def rod_side(job: Job, position: Position) -> Offer:
    """Rod side clearance: one rod, or a pair on one throw."""
    pair = position.place is Place.THROW and len(job.engine.throws[position.number - 1]) > 1
    return practice("pair on a throw", 0.25e-3, 0.50e-3) if pair else practice("one rod on a throw", 0.10e-3, 0.35e-3)
