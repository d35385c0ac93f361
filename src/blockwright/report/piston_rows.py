"""Two pistons side by side in one bore, as rows of text: the one form that terminal and pages show."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import dataclass

from blockwright.choices.pistons import PistonIn, piston_in, pistons_of
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.engine.rules import Authority
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.words import Scale, say
from blockwright.metrology.verdict import expanded
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.fineness import limits_fineness
from blockwright.report.rows import limits_text, wanted_unit

ALWAYS = ("wall clearance, bare",)
"""Rows that are shown even where nothing of them is read."""
NOT_READ = "not read"
NOTE = (
    "Hot clearances grow the sizes as measured to assumed or given temperatures, at the skirt's gauge height; a negative one is a warning, "
    "not proof of seizure, since the skirt flexes. Land safety: hot fatigue strength (from memory, low to high) over stress at peak pressure; "
    "under 1 it breaks in time. Neither is validated on a measured engine."
)


@dataclass(frozen=True)
class PistonRow:
    """One thing of both pistons; `name` begins with two blanks where it belongs to the row before."""

    name: str
    cells: tuple[str, str]


def piston_rows(job: Job, first: str, second: str, number: int) -> tuple[PistonRow, ...]:
    """Two pistons of a job in the bore of a cylinder. Raises BlockwrightError where there is no such piston or cylinder."""
    _check(job, first, second, number)
    both = (piston_in(job, first, number), piston_in(job, second, number))
    told = ((name, (text(job, both[0]), text(job, both[1]))) for name, text in ROWS)
    return tuple(
        PistonRow(name, (cells[0] or NOT_READ, cells[1] or NOT_READ))
        for name, cells in told
        if any(cells) or name in ALWAYS
    )


def _check(job: Job, first: str, second: str, number: int) -> None:
    for field, mark in (("first", first), ("second", second)):
        if mark not in pistons_of(job):
            near = difflib.get_close_matches(mark, pistons_of(job), n=1)
            mend = f"Did you mean '{near[0]}'?" if near else f"There are: {', '.join(pistons_of(job))}."
            what = f"no piston bears the mark '{excerpt(mark)}'."
            raise BlockwrightError(Problem("piston-unknown", what, mend).at(field=field))
    if first == second:
        what = f"{first} is compared with itself."
        raise BlockwrightError(Problem("piston-twice", what, "Name another piston.").at(field="second"))
    known = [place.number for place in job.engine.positions(Place.CYLINDER)]
    if number not in known:
        what = f"this engine has no cylinder {number}."
        raise BlockwrightError(Problem("at-unknown", what, f"It has {known[0]} to {known[-1]}.").at(field="at"))


def _cold(fit: str) -> Callable[[Job, PistonIn], str]:
    def text(job: Job, piston: PistonIn) -> str:
        result = piston.fits[fit]
        if result.found is None:
            return ""
        scale = result.fit.scale
        value = say(job, result.estimate.value, scale, u=result.estimate.u)
        return f"{value}, {_verdict(result)}"

    return text


def _verdict(result: FitResult) -> str:
    """The standing, with the side where it is out."""
    if result.standing is Standing.NONCONFORMING:
        return "under the low limit" if result.side == "low" else "over the high limit"
    return "cannot be told" if result.standing is Standing.UNDECIDED else result.words


def _needs(fit: str) -> Callable[[Job, PistonIn], str]:
    """What puts a piston right in this bore, where it is out."""

    def text(job: Job, piston: PistonIn) -> str:
        result = piston.fits[fit]
        return result.remedy if result.standing is Standing.NONCONFORMING else ""

    return text


def _hot(fit: str) -> Callable[[Job, PistonIn], str]:
    def text(job: Job, piston: PistonIn) -> str:
        hot = piston.hot.get(fit)
        if hot is None:
            return ""
        u = hot.clearance.u
        return f"{say(job, hot.clearance.value, Scale.CLEARANCE, u=u)} ± {say(job, expanded(hot.clearance), Scale.CLEARANCE, u=u).split()[0]}"

    return text


def _wants(fit: str) -> Callable[[Job, PistonIn], str]:
    def text(job: Job, piston: PistonIn) -> str:
        result = piston.fits[fit]
        unit = wanted_unit(job, result.fit)
        return limits_text(result.limits, result.fit, unit, limits_fineness([result], unit)).split(", aim")[0]

    return text


def _usual(fit: str) -> Callable[[Job, PistonIn], str]:
    """What common practice says for a piston of its alloy, whatever a sheet of this job says."""

    def text(job: Job, piston: PistonIn) -> str:
        result = piston.fits[fit]
        usual = [offer for offer in result.limits.offers if offer.authority is Authority.PRACTICE]
        if not usual or usual[0].low is None or usual[0].high is None:
            return ""
        low, high = (say(job, value, Scale.CLEARANCE) for value in (usual[0].low, usual[0].high))
        return f"{low.split()[0]} to {high}"

    return text


def _safety(fit: str) -> Callable[[Job, PistonIn], str]:
    def text(job: Job, piston: PistonIn) -> str:
        found = piston.safety.get(fit)
        return f"{found[0]:.1f} to {found[1]:.1f}" if found else ""

    return text


def _mass(job: Job, piston: PistonIn) -> str:
    return f"{1e3 * piston.part.mass_kg:.1f} g" if piston.part.mass_kg is not None else ""


def _area(job: Job, piston: PistonIn) -> str:
    return f"{1e4 * piston.skirt_area_m2:.1f} cm²" if piston.skirt_area_m2 is not None else ""


ROWS: tuple[tuple[str, Callable[[Job, PistonIn], str]], ...] = (
    ("alloy", lambda job, piston: piston.part.alloy or "aluminium 2618 (assumed)"),
    ("coating", lambda job, piston: piston.part.coating or "none"),
    ("mass", _mass),
    ("skirt faces", _area),
    ("wall clearance, bare", _cold("wall clearance")),
    ("  what it needs", _needs("wall clearance")),
    ("  wanted in this job", _wants("wall clearance")),
    ("  usual for its alloy", _usual("wall clearance")),
    ("  hot", _hot("wall clearance")),
    ("wall clearance, coated", _cold("coated wall clearance")),
    ("  hot", _hot("coated wall clearance")),
    ("side clearance, top", _cold("top side clearance")),
    ("side clearance, second", _cold("second side clearance")),
    ("second land, under the top", _cold("second land stress")),
    ("  safety", _safety("second land stress")),
    ("third land, under the second", _cold("third land stress")),
    ("  safety", _safety("third land stress")),
)
