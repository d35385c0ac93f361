"""`blockwright rings map`: each ring with its piston and bore, what it took, how the rate varied."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.ring_bench import RingBench, ring_bench
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.positions import Place
from blockwright.jobfile.folder import read_folder
from blockwright.report.ring_words import rate_words, stands_words, surprise_words, took_words
from blockwright.report.rows import value_alone, wanted_unit


def show_map(path: Path) -> None:
    """Print the ring map of a job."""
    print_map(console(), ring_bench(read_folder(path).job))


def print_map(out: Console, bench: RingBench) -> None:
    """The ring map: a block a cylinder, then the rate of each kind of ring."""
    job = bench.job
    out.print(Text(f"Ring map: {job.sheet.job}, {job.engine.name}", style="bold"))
    for place in job.engine.positions(Place.CYLINDER):
        parts = job.in_cylinder(place.number)
        states = [state for state in bench.rings if state.ring.at == place]
        out.print(
            Text(f"\nCylinder {place.number}", style="bold")
            + Text(f"  piston {parts.piston or '?'}, rings {parts.rings or '?'}")
        )
        for state in states:
            result = state.result
            unit = wanted_unit(job, result.fit)
            value = value_alone(result, unit) if result.found else "not read"
            out.print(
                Text(
                    f"  {state.ring.ring:<11}{spelled(value):>19}  {took_words(job, state):<21}  {stands_words(state)}"
                )
            )
            if state.surprise is not None:
                paragraph(out, surprise_words(job, state.surprise), first="      ! ")
    _print_rates(out, bench)


def _print_rates(out: Console, bench: RingBench) -> None:
    rates = rate_words(bench)
    if rates:
        out.print(Text("\nHow fast it cut", style="bold"))
    for kind, said in rates.items():
        out.print(Text(f"  {kind:<11}{said}"))
