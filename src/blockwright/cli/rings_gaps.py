"""`blockwright rings gaps`: each ring's gap, limits and aim, and what heat demands."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.ring_bench import RingBench, RingState, ring_bench
from blockwright.cli.letters import spelled
from blockwright.cli.terminal import console, heading, mark_text, paragraph
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.report.fineness import limits_fineness
from blockwright.report.ring_words import SECOND_AND_TOP, advice_words, heat_words, left_alone
from blockwright.report.rows import authority_text, limits_text, row, wanted_unit
from blockwright.running.ring_heat import ring_heat


def show_gaps(path: Path) -> None:
    """Print the gaps of all rings, by kind of ring."""
    job = read_folder(path).job
    bench = ring_bench(job)
    out = console()
    if not bench.rings:
        out.print("No ring set is assigned to a cylinder, or none is made for filing.")
        return
    for states in _alike(bench):
        _print_kind(out, job, states)
    for reason, names in left_alone(bench).items():
        out.print()
        paragraph(out, f"{names}: {reason}.", first="not filed  ")
    out.print()
    paragraph(out, SECOND_AND_TOP, style="dim")


def _alike(bench: RingBench) -> list[list[RingState]]:
    """Rings of a kind that have the same limits, together."""
    groups: dict[tuple[object, ...], list[RingState]] = {}
    for state in bench.rings:
        limits = state.result.limits
        groups.setdefault((state.ring.ring, limits.low, limits.aim, limits.high), []).append(state)
    order = list(dict.fromkeys(state.ring.ring for state in bench.rings))
    return sorted(groups.values(), key=lambda states: order.index(states[0].ring.ring))


def _print_kind(out: Console, job: Job, states: list[RingState]) -> None:
    fit, limits = states[0].result.fit, states[0].result.limits
    unit = wanted_unit(job, fit)
    fine = limits_fineness([state.result for state in states], unit)
    heading(
        out,
        Text(f"\n{fit.name}", style="bold"),
        Text(f"  {spelled(limits_text(limits, fit, unit, fine))}  ({authority_text(limits)})", style="dim"),
    )
    for state in states:
        shown = row(state.result, unit, fine)
        out.print(
            Text(f"  {shown.at:<13.13}{spelled(shown.value):>17}  ") + mark_text(shown.mark) + Text(f"  {shown.words}")
        )
    paragraph(out, _heat(job, states), indent=2)
    for state in states:
        if state.advice is not None and not state.done:
            paragraph(out, advice_words(job, state), first=f"  {state.ring.at}: ")


def _heat(job: Job, states: list[RingState]) -> str:
    """What heat does to the one that is likeliest to touch."""
    heats = [(ring_heat(job, state.result.fit.name, state.ring.at), state) for state in states]
    read = [
        (heat.chance_of_touching(state.result.estimate), heat, state) for heat, state in heats if state.result.found
    ]
    if not read:
        return heat_words(job, heats[0][0], None)
    touching, heat, state = max(read, key=lambda each: each[0])
    return heat_words(job, heat, touching, f" at most, in {state.ring.at}" if len(read) > 1 else "")
