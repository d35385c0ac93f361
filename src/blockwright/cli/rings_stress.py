"""`blockwright rings stress`: each ring as a spring, and what putting it on asks of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.mounting import Mounting, mountings
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.fits.sizes import Missing
from blockwright.fits.words import Scale, say
from blockwright.jobfile import readings_csv
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.quantities import Kind
from blockwright.report.ring_words import MOUNTING_CAUTION, opening

NOTE = (
    "Tension and pressure: curved beam of constant pressure. Opening: true shape of the ring pulled apart at its tips; the stop by the "
    "small-displacement formula, which is on the safe side. Winding on by hand twists a ring for good; the trade winds on thin rails only "
    "(common practice, no source)."
)


STRESS_STEP_PA = 5e6


def show_stress(path: Path) -> None:
    """Print tension, pressure, opening and winding of every ring that can be worked out, and what the others lack."""
    folder = read_folder(path)
    job = folder.job
    out = console()
    found = list(mountings(job))
    if not found:
        out.print("No ring set is assigned to a cylinder.")
        return
    paragraph(out, MOUNTING_CAUTION, style="bold")
    for each in found:
        _print(out, job, each)
    _print_rows(out, folder, found)
    out.print()
    paragraph(out, NOTE, style="dim")


def _print(out: Console, job: Job, each: Mounting) -> None:
    out.print(Text(str(each.ring), style="bold"))
    on = each.opened
    if on is None:
        paragraph(out, f"still to read: {_missing(each.missing)}.", indent=2, style="dim")
        return
    pressure, in_bore = say(job, each.pressure_pa, Scale.PRESSURE), _stress(job, each.closing_stress_pa)
    paragraph(out, f"tension {each.tension_n:.1f} N, {pressure} on the wall, {in_bore} in its bore", indent=2)
    needed = on.needed
    safe = "within" if on.safe else "PAST"
    paragraph(
        out,
        f"passes over the piston at {opening(job, needed.gap_m, up=True)} between its ends ({_stress(job, needed.stress_pa)}); "
        f"set the stop of the pliers to {opening(job, on.stop_gap_m, up=False)} at most "
        f"({_stress(job, on.allowed_pa)} allowed): {safe} it",
        indent=2,
    )
    paragraph(out, f"winding it on by hand: {on.winding}", indent=2)


def _stress(job: Job, value_pa: float) -> str:
    """A bending stress, as finely as the model is worth."""
    return say(job, value_pa, Scale.STRESS, u=STRESS_STEP_PA)


def _missing(missing: Sequence[Missing]) -> str:
    """Everything that is lacking, the spots of one thing together."""
    spots: dict[str, list[str]] = {}
    for each in missing:
        spots.setdefault(each.thing, []).extend([each.spot] if each.spot else [])
    return "; ".join(f"{thing} ({', '.join(at)})" if at else thing for thing, at in spots.items())


def _print_rows(out: Console, folder: JobFolder, found: Sequence[Mounting]) -> None:
    """How the rows for what is lacking are had, with one of them as it would stand in the file."""
    lacking = next((each for each in found if each.missing), None)
    if lacking is None:
        return
    job, columns = folder.job, folder.forms[readings_csv.FILE].columns
    depth = next(
        (gauge.id for gauge in job.gauges.values() if gauge.measures is Kind.LENGTH and "depth" in gauge.name.lower()),
        "",
    )
    cells = {
        "id": f"r{len(job.readings) + 1}", "part": lacking.ring.rings, "feature": f"{lacking.ring.ring} ring free opening",
        "value": "11.5", "unit": "mm", "gauge": depth,
    }  # fmt: skip
    out.print()
    paragraph(
        out,
        "What is lacking is read like everything else: 'blockwright new --full' makes a job with these rows from the start. In one that is "
        f"begun, add them to {readings_csv.FILE}, under the columns of its first line, each with an id of its own. The free opening of a ring, "
        "for example:",
    )
    separator = folder.forms[readings_csv.FILE].separator
    out.print(Text(f"  {separator.join(cells.get(column, '') for column in columns)}"), soft_wrap=True)
