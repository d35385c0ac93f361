"""`blockwright rings stress`: each ring as a spring, and what putting it on asks of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.mounting import Mounting, mountings
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.jobfile import readings_csv
from blockwright.jobfile.folder import JobFolder, read_folder
from blockwright.quantities import Kind
from blockwright.report.mounting_words import MODEL_NOTE, mounting_words
from blockwright.report.ring_words import MOUNTING_CAUTION


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
    paragraph(out, MODEL_NOTE, style="dim")


def _print(out: Console, job: Job, each: Mounting) -> None:
    out.print(Text(str(each.ring), style="bold"))
    for said in mounting_words(job, each):
        paragraph(out, said, indent=2, style="dim" if each.opened is None else "")


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
