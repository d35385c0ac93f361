"""`blockwright rings gaps`: each ring's gap, limits and aim, and what heat demands."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text

from blockwright.choices.ring_bench import RingState, ring_bench
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, mark_text, paragraph
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.report.fineness import limits_fineness
from blockwright.report.ring_words import advice_words, heat_words, length
from blockwright.report.rows import authority_text, limits_text, row, wanted_unit
from blockwright.running.ring_heat import ring_heat

SECOND_AND_TOP = (
    "A second ring somewhat looser than the top is a soft matter: it lets the gas out from under the top ring, which then seats better. A tight one "
    "is hard: it butts and breaks. Some makers want it smaller, or sell it gapless: then the maker's sheet rules."
)


def show_gaps(path: Path) -> None:
    """Print the gaps of all rings, by kind of ring."""
    job = read_folder(path).job
    bench = ring_bench(job)
    out = console()
    if not bench.rings:
        out.print("No ring set is assigned to a cylinder, or none is made for filing.")
        return
    for kind in dict.fromkeys(state.ring.ring for state in bench.rings):
        states = [state for state in bench.rings if state.ring.ring == kind]
        fit, limits = states[0].result.fit, states[0].result.limits
        unit = wanted_unit(job, fit)
        fine = limits_fineness([state.result for state in states], unit)
        out.print(
            Text(f"\n{fit.name}", style="bold")
            + Text(f"  {limits_text(limits, fit, unit, fine)}  ({authority_text(limits)})", style="dim")
        )
        for state in states:
            shown = row(state.result, unit, fine)
            out.print(
                Text(f"  {shown.at:<13.13}{spelled(shown.value):>17}  ")
                + mark_text(shown.mark)
                + Text(f"  {shown.words}")
            )
        paragraph(out, _heat(job, states[0]), indent=2)
        for state in states:
            if state.advice is not None and not state.done:
                paragraph(out, advice_words(job, state), indent=2, first=f"{state.ring.at}: ")
    out.print()
    paragraph(out, SECOND_AND_TOP, style="dim")


def _heat(job: Job, state: RingState) -> str:
    heat = ring_heat(job, state.result.fit.name, state.ring.at)
    touching = heat.chance_of_touching(state.result.estimate) if state.result.found else None
    least = f" Least cold gap for {heat.level:.1%}: {length(job, heat.least_gap_m)} ± {length(job, 2.0 * heat.standard_error_m, 1e-6)} from sampling."
    return heat_words(job, heat, touching) + (least if heat.least_gap_m > 0.0 else "")
