"""`blockwright rings file`: the ring bench in the terminal, pass by pass.

What was taken is on the disk the moment it is said, before its gap is read, and so is each gap: the session can be stopped, or killed, at any
question, and goes on where it was.
"""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

import typer
from rich.console import Console
from rich.text import Text

from blockwright.choices.ring_bench import RING_ALIASES, RingBench, RingId, RingState, ring_bench
from blockwright.cli.rings_ask import Leave, ask, sure, taken, which
from blockwright.cli.rings_map import print_map
from blockwright.cli.rings_sitting import Sitting, sitting_for
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.engine.filing import Pass, since_last_filing
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.problems import BlockwrightError, Problem, excerpt
from blockwright.report.fineness import limits_fineness
from blockwright.report.ring_words import (
    CAUTION,
    READING_SHORT,
    RITUAL_SHORT,
    advice_words,
    left_alone,
    ritual,
    surprise_words,
    units_text,
)
from blockwright.report.rows import authority_text, limits_text, wanted_unit

MOST_NAMED = 8
"""So many rings are named where one was asked for that is not filed."""


def file_session(path: Path, *, cylinder: int, ring: str, by: str, gauge: str, wheel: str) -> None:
    """File rings until all are done or the builder stops; prints the ring map at the end."""
    job = read_folder(path).job
    bench = ring_bench(job)
    if not bench.rings:
        what = "no ring set is assigned to a cylinder, or none is made for filing."
        raise BlockwrightError(Problem("rings-none", what, "Assign one in job.toml."))
    chosen = _named(bench, cylinder, ring)
    sitting = sitting_for(path, job, gauge, by)
    out = console()
    paragraph(out, CAUTION, style="bold")
    paragraph(out, "q at any question stops; nothing that was entered is lost.", style="dim")
    try:
        if wheel and sitting.put_on(wheel):
            paragraph(out, f"Wheel {wheel} is on from now on (written into job.toml).")
            bench = ring_bench(read_folder(path).job)
        if not sitting.by:
            sitting.by = ask("Who files (Enter to leave blank)", blank=True)
        while (state := chosen or bench.next) is not None:
            bench = _one_ring(out, sitting, bench, state.ring, asked_for=chosen is not None)
            chosen = None
        _print_left(out, bench)
    except (Leave, typer.Abort):
        out.print(f"\nGo on with: blockwright rings file {shlex.quote(str(path))}", soft_wrap=True)
    out.print()
    print_map(out, ring_bench(read_folder(path).job))


def _one_ring(out: Console, sitting: Sitting, bench: RingBench, ring: RingId, *, asked_for: bool) -> RingBench:
    """One ring from its first reading until it is done, or stops and is to be left."""
    _print_head(out, bench, ring)
    while ring in {state.ring for state in bench.rings}:
        state = bench.state(ring)
        paragraph(out, advice_words(bench.job, state), indent=2, style="bold" if state.done else "")
        if state.blocked:
            return bench
        if state.done:
            if not (asked_for or state.short_of_proof) or not sure("Read it once more"):
                return bench
            asked_for = False
        unread = state.advice is None or state.read_again or state.done
        bench = _entry(out, sitting, bench.job, ring, 0.0 if unread else taken(bench.job, state))
        bench = _doubted(out, sitting, bench, ring)
    paragraph(out, f"{ring} is no longer filed in this job: job.toml has changed.", first="  ! ")
    return bench


def _print_head(out: Console, bench: RingBench, ring: RingId) -> None:
    """Which ring, in which bore, with which piston; its limits and who says so."""
    state = bench.state(ring)
    piston = bench.job.in_cylinder(ring.at.number).piston
    place = [each.ring for each in bench.rings].index(ring) + 1
    with_piston = f"  with piston {piston}" if piston else ""
    heading(
        out,
        Text(f"\n{ring}", style="bold"),
        Text(f"{with_piston}  (ring {place} of {len(bench.rings)})", style="dim"),
    )
    result = state.result
    unit = wanted_unit(bench.job, result.fit)
    limits = limits_text(result.limits, result.fit, unit, limits_fineness([result], unit))
    paragraph(out, f"{limits}  ({authority_text(result.limits)})", indent=2, style="dim")


def _entry(out: Console, sitting: Sitting, job: Job, ring: RingId, units: float) -> RingBench:
    """What was taken, written down at once; the ritual, one reading, and the bench as it is once that is written down too."""
    if units > 0.0:
        job = sitting.took(ring, units)
        counted = units_text(units, job.sheet.grinder.counted_in)
        paragraph(out, f"{counted} written down; the gap is still to be read.", indent=2, style="dim")
    _ritual(out, sitting, job, filed=units > 0.0)
    question = sitting.gap_question()
    while True:
        try:
            return ring_bench(sitting.kept(ring, ask(question)))
        except BlockwrightError as error:
            _tell(out, error.problems)


def _ritual(out: Console, sitting: Sitting, job: Job, *, filed: bool) -> None:
    """In full the first time, then in a line; what was so before is asked in one question."""
    steps = ritual(job, filed=filed)
    if sitting.known:
        if filed and not sitting.filed:
            _list(out, steps)
        else:
            paragraph(out, RITUAL_SHORT if filed else READING_SHORT, indent=2, style="dim")
    if not sitting.known or not sure(f"Done, and still {sitting.conditions}"):
        _list(out, steps)
        while not sure("Done so"):
            typer.echo("  Do it first; the reading is worth nothing without.")
        unknown = "" if sitting.known else " (Enter: not known)"
        _ask_cell(out, sitting, job, "ring_temp", f"Temperature of the ring{unknown}")
        _ask_cell(out, sitting, job, "bore_temp", f"Temperature of the bore{unknown}")
        _ask_cell(out, sitting, job, "depth", f"Depth of the ring in its bore, with unit{unknown}")
    sitting.known, sitting.filed = True, sitting.filed or filed


def _list(out: Console, steps: Sequence[str]) -> None:
    for step in steps:
        paragraph(out, step, first="    - ", style="dim")


def _ask_cell(out: Console, sitting: Sitting, job: Job, column: str, words: str) -> None:
    """Ask for one cell until it can be read."""
    while True:
        text = ask(words, sitting.cells[column], blank=True)
        found = sitting.problems(job, column, text)
        if not found:
            sitting.keep(column, text)
            return
        _tell(out, found)


def _doubted(out: Console, sitting: Sitting, bench: RingBench, ring: RingId) -> RingBench:
    """Say that a pass is hard to believe; where its readings disagree, withdraw the one that was a slip."""
    state = next((each for each in bench.rings if each.ring == ring), None)
    if state is None:
        return bench
    listed = since_last_filing(state.passes)
    if not state.disagree or len(listed) < 2:
        _surprising(out, bench.job, state)
        return bench
    paragraph(out, "What was read since the last pass disagrees:", first="  ! ", style="bold red")
    for number, each in enumerate(listed, 1):
        paragraph(out, _named_entry(each), first=f"    {number}  ")
    slip = which("Which of them was a slip, to be withdrawn", len(listed))
    return bench if slip is None else ring_bench(sitting.withdrawn(listed[slip - 1]))


def _surprising(out: Console, job: Job, state: RingState) -> None:
    if state.surprise is None:
        return
    if state.read_again:
        paragraph(out, surprise_words(job, state.surprise), first="  ! ", style="bold red")
        return
    told = "Read more than once, and alike: taken as it is. The rate does not learn from this pass."
    paragraph(out, told, first="  ! ")


def _named_entry(each: Pass) -> str:
    return f"{each.reading.text}{f' {each.reading.unit}' if each.reading.unit else ''} ({each.reading.id})"


def _print_left(out: Console, bench: RingBench) -> None:
    """That all is done, and what was left alone, by the reason."""
    out.print()
    paragraph(out, "Every ring is done or stopped.", style="bold")
    for reason, names in left_alone(bench).items():
        paragraph(out, f"{names}: {reason}.", first="  not filed  ")


def _tell(out: Console, problems: Sequence[Problem]) -> None:
    for problem in problems:
        what = f"it {problem.what}" if problem.what.startswith("says ") else problem.what
        paragraph(out, f"{what[:1].upper()}{what[1:]} {problem.mend}", first="  ! ", style="red")


def _filed_words(bench: RingBench, cylinder: int) -> str:
    """Which rings there are, those of the cylinder that was meant before all others."""
    rings = [state.ring for state in bench.rings]
    there = [ring for ring in rings if ring.at.number == cylinder] or rings
    more = f" and {len(there) - MOST_NAMED} more" if len(there) > MOST_NAMED else ""
    return f"There are: {'; '.join(str(ring) for ring in there[:MOST_NAMED])}{more}."


def _named(bench: RingBench, cylinder: int, ring: str) -> RingState | None:
    if not cylinder and not ring:
        return None
    kind = RING_ALIASES.get(" ".join(ring.lower().split()), ring.lower())
    kinds = dict.fromkeys(state.ring.ring for state in bench.rings)
    if ring and kind not in kinds:
        what = f"no ring '{excerpt(ring)}' is filed in this job."
        raise BlockwrightError(Problem("ring-unknown", what, f"There are: {', '.join(kinds)}."))
    fitting = [
        s for s in bench.rings if (not cylinder or s.ring.at.number == cylinder) and (not ring or s.ring.ring == kind)
    ]
    if not fitting:
        named = f"no {kind} ring" if ring else "no ring"
        what = f"{named} in cylinder {cylinder} is filed in this job." if cylinder else f"{named} is filed in this job."
        raise BlockwrightError(Problem("ring-unknown", what, _filed_words(bench, cylinder)))
    return next((state for state in fitting if not state.done), fitting[0])
