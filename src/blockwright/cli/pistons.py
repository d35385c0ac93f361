"""`blockwright pistons`: two pistons side by side in one bore."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from itertools import zip_longest
from pathlib import Path
from textwrap import wrap

from rich.console import Console
from rich.text import Text

from blockwright.choices.pistons import PistonIn, piston_in, pistons_of
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.engine.positions import Place
from blockwright.engine.rules import Authority
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.words import Scale, say
from blockwright.jobfile.folder import read_folder
from blockwright.metrology.verdict import expanded
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.fineness import limits_fineness
from blockwright.report.ring_words import PISTON_CAUTION
from blockwright.report.rows import limits_text, wanted_unit

WIDE = 24
ALWAYS = ("wall clearance, bare",)
"""Rows that are shown even where nothing of them is read."""
NOTE = (
    "Hot clearances grow the sizes as measured to assumed or given temperatures, at the skirt's gauge height; a negative one is a warning, "
    "not proof of seizure, since the skirt flexes. Land safety: hot fatigue strength (from memory, low to high) over stress at peak pressure; "
    "under 1 it breaks in time. Neither is validated on a measured engine."
)


def compare(path: Path, first: str, second: str, number: int) -> None:
    """Print two pistons of a job side by side in the bore of a cylinder."""
    job = read_folder(path).job
    for mark in (first, second):
        if mark not in pistons_of(job):
            near = difflib.get_close_matches(mark, pistons_of(job), n=1)
            mend = f"Did you mean '{near[0]}'?" if near else f"There are: {', '.join(pistons_of(job))}."
            what = f"no piston bears the mark '{excerpt(mark)}'."
            raise BlockwrightError(Problem("piston-unknown", what, mend))
    if first == second:
        raise BlockwrightError(Problem("piston-twice", f"{first} is compared with itself.", "Name another piston."))
    known = [place.number for place in job.engine.positions(Place.CYLINDER)]
    if number not in known:
        raise BlockwrightError(
            Problem("at-unknown", f"this engine has no cylinder {number}.", f"It has {known[0]} to {known[-1]}.")
        )
    both = (piston_in(job, first, number), piston_in(job, second, number))
    out = console()
    paragraph(out, PISTON_CAUTION, style="bold")
    out.print(Text(f"In cylinder {number}".ljust(30) + first.ljust(WIDE) + second, style="bold"))
    for name, text in ROWS:
        cells = [text(job, each) for each in both]
        if any(cells) or name in ALWAYS:
            _print_row(out, name, [cell or "not read" for cell in cells])
    out.print()
    paragraph(out, NOTE, style="dim")


def _print_row(out: Console, name: str, cells: Sequence[str]) -> None:
    """A row of two columns; what does not fit goes on below."""
    lines = zip_longest(*(wrap(spelled(cell), WIDE - 1, break_on_hyphens=False) for cell in cells), fillvalue="")
    for number, line in enumerate(lines):
        out.print(Text(f"  {name if number == 0 else '':<28}{''.join(f'{part:<{WIDE}}' for part in line).rstrip()}"))


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
