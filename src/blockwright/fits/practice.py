"""What common practice says, by the engine's materials and duty: starting values where no maker speaks.

Common practice, no source, from memory. They vary between makers, so every one is a starting value. They are keyed on the material of
piston, housing and running surface, on boost and on sustained load, not on named uses.

| name | meaning |
| --- | --- |
| per mm | millimetres of clearance for each millimetre of bore or journal |
"""

from __future__ import annotations

from blockwright.engine.job import Job
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Authority
from blockwright.fits.limits import Offer
from blockwright.fits.sizes import USUAL_ALLOY

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


def wall(job: Job, position: Position) -> Offer | None:
    """Wall clearance by piston alloy and work; nothing for an alloy that is neither forged nor cast aluminium."""
    alloy, said = piston_alloy(job, position)
    if alloy not in WALL_PER_MM and "cast" not in alloy:
        return None
    low, high = WALL_PER_MM.get(alloy, WALL_CAST_PER_MM)
    words = f"{alloy} piston" if said else f"piston of unknown alloy, taken as {alloy}"
    if job.duty.boosted or job.duty.hard_worked:
        low, high = low + WALL_HARD_WORK_PER_MM[0], high + WALL_HARD_WORK_PER_MM[1]
        words += ", boosted or under sustained load"
    bore = job.engine.bore_m
    return practice(f"{words}: {low:.4f} to {high:.4f} per mm of bore", low * bore, high * bore)


def piston_alloy(job: Job, position: Position) -> tuple[str, bool]:
    """Alloy of the piston in a cylinder and whether anyone said so; forged 2618 is taken where none is assigned or said."""
    part = job.parts.get(job.in_cylinder(position.number).piston)
    return (part.alloy, True) if part and part.alloy else (USUAL_ALLOY[PartKind.PISTON], False)


def forged(job: Job, position: Position) -> bool:
    """Whether the piston is forged."""
    return piston_alloy(job, position)[0] in WALL_PER_MM


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


def second_gap(job: Job, position: Position) -> Offer | None:
    """Second end gap: no less than the top's, soft upper side at about twice that; nothing for a gapless ring, where its maker's sheet rules."""
    rings = job.parts.get(job.in_cylinder(position.number).rings)
    if rings is not None and rings.gapless_second:
        return None
    top = top_gap(job, position)
    assert top.low is not None and top.aim is not None
    return practice("no less than the top gap, up to about twice", top.low, 2.0 * top.low, top.aim + GAP_AIM_M)


def rail_gap(job: Job, position: Position) -> Offer:
    """Oil rail gap: 0.38 mm for file-fit packs, 0.15 mm for others."""
    rings = job.parts.get(job.in_cylinder(position.number).rings)
    if rings is not None and rings.file_fit is False:
        return practice("pack not made for filing", 0.15e-3)
    said = rings is not None and rings.file_fit
    return practice("file-fit pack" if said else "taken as a file-fit pack, since nothing is said of it", 0.38e-3)


def side(job: Job, position: Position) -> Offer:
    """Axial clearance of a ring in its groove."""
    rings = job.parts.get(job.in_cylinder(position.number).rings)
    if rings is not None and rings.thin:
        return practice("thin or gas-ported", 13e-6, 40e-6)
    return practice("ordinary ring height", 25e-6, 75e-6)


def main_film(job: Job, position: Position) -> Offer | None:
    """Film of a main bearing, by the alloy of block or case."""
    return _film(job.engine.main_journal_m, job.engine.housing_material)


def rod_film(job: Job, position: Position) -> Offer | None:
    """Film of a rod bearing, by the alloy of the rod."""
    rod = job.parts.get(job.in_cylinder(position.number).rod)
    return _film(job.engine.rod_journal_m, rod.alloy if rod and rod.alloy else USUAL_ALLOY[PartKind.ROD])


def _film(journal_m: float | None, housing: str) -> Offer | None:
    """Film clearance by the alloy of the housing. One that opens on heating is judged hot, so its figure is weak."""
    if journal_m is None:
        return None
    if housing.startswith(("aluminium", "magnesium")):
        low, high = FILM_LIGHT_PER_MM
        words = f"{housing} housing, which opens on heating: judge it hot"
    elif "iron" in housing or housing.startswith("steel"):
        low, high = FILM_IRON_PER_MM
        words = "housing of iron or steel"
    else:
        return None
    return practice(f"{words}: {low:.5f} to {high:.5f} per mm of journal", low * journal_m, high * journal_m)


def short_crank(job: Job, words: str, high: float) -> Offer | None:
    """A figure for a short crank and its tunnel, of up to seven mains; nothing for a longer one."""
    return practice(f"{words} of up to seven mains", high=high) if job.engine.main_count <= 7 else None


def rod_side(job: Job, position: Position) -> Offer | None:
    """Rod side clearance: one rod, or a pair on one throw; nothing where the piston guides the rod."""
    if job.engine.side_guided_by == "piston":
        return None
    pair = position.place is Place.THROW and len(job.engine.throws[position.number - 1]) > 1
    return practice("pair on a throw", 0.25e-3, 0.50e-3) if pair else practice("one rod on a throw", 0.10e-3, 0.35e-3)
