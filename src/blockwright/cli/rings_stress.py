"""`blockwright rings stress`: each ring as a spring, and what putting it on asks of it."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.mounting import Mounting, mountings
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.fits.words import Scale, say
from blockwright.jobfile.folder import read_folder
from blockwright.report.ring_words import length

NOTE = (
    "Tension and pressure: curved beam of constant pressure. Opening: true shape of the ring pulled apart at its tips; the stop by the "
    "small-displacement formula, which is on the safe side. Winding on by hand twists a ring for good; the trade winds on thin rails only "
    "(common practice, no source)."
)


def show_stress(path: Path) -> None:
    """Print tension, pressure, opening and winding of every ring that can be worked out, and what the others lack."""
    job = read_folder(path).job
    out = console()
    found = list(mountings(job))
    if not found:
        out.print("No ring set is assigned to a cylinder.")
        return
    for each in found:
        _print(out, job, each)
    out.print()
    paragraph(out, NOTE, style="dim")


def _print(out: Console, job: Job, each: Mounting) -> None:
    out.print(Text(str(each.ring), style="bold"))
    if each.needed is None or each.wound is None:
        more = f" and {len(each.missing) - 2} more" if len(each.missing) > 2 else ""
        paragraph(out, f"still to read: {'; '.join(each.missing[:2])}{more}.", indent=2, style="dim")
        return
    pressure = say(job, each.pressure_pa, Scale.PRESSURE)
    paragraph(
        out,
        f"tension {each.tension_n:.1f} N, {pressure} on the wall, {each.closing_stress_pa / 1e6:.0f} N/mm² in its bore",
        indent=2,
    )
    needed = each.needed
    safe = "within" if each.safe else "PAST"
    paragraph(
        out,
        f"passes over the piston at {length(job, needed.gap_m)} between its ends ({needed.stress_pa / 1e6:.0f} N/mm²); set the stop of the pliers to "
        f"{length(job, each.stop_gap_m)} at most ({each.allowed_pa / 1e6:.0f} N/mm² allowed): {safe} it",
        indent=2,
    )
    why = (
        "thin enough, and it bears the twist"
        if each.wound.allowed
        else "too thick"
        if not each.wound.rail
        else "it would be strained for good"
    )
    paragraph(out, f"winding it on by hand: {'may be done' if each.wound.allowed else 'no'}, {why}", indent=2)
