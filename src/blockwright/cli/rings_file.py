"""`blockwright rings file`: the ring bench in the terminal, pass by pass.

Each entry (what was taken and the gap read after it) is on the disk before the next question is asked, so the session can be stopped, or killed,
between any two of them and goes on where it was.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, replace
from pathlib import Path

import typer
from rich.text import Text

from blockwright.choices.ring_bench import RING_ALIASES, RingBench, RingId, RingState, passes_of, ring_bench
from blockwright.cli.rings_map import print_map
from blockwright.cli.terminal import console, paragraph
from blockwright.engine.job import Job
from blockwright.jobfile.folder import read_folder
from blockwright.jobfile.new_entry import entry_from
from blockwright.jobfile.write import folder_texts, write_folder
from blockwright.metrology.gauges import Sense
from blockwright.problems import BlockwrightError, Problem
from blockwright.report.ring_words import CAUTION, RITUAL, advice_words, surprise_words, units_text

STOP = ("q", "quit", "stop")


class _Leave(Exception):  # noqa: N818 - not an error: the builder stops for today
    """The builder stops."""


@dataclass
class _Sitting:
    """What is asked once and offered again: who, with which gauge, how warm, how deep."""

    path: Path
    by: str
    gauge: str
    wheel: str
    depth: str = ""
    ring_temp: str = ""
    bore_temp: str = ""
    state: str = ""


def file_session(path: Path, *, cylinder: int, ring: str, by: str, gauge: str, wheel: str) -> None:
    """File rings until all are done or the builder stops; prints the ring map at the end."""
    job = read_folder(path).job
    sitting = _Sitting(path, by, _gauge(job, gauge), wheel or job.sheet.grinder.wheel)
    out = console()
    bench = ring_bench(job)
    if not bench.rings:
        raise BlockwrightError(
            Problem(
                "rings-none",
                "no ring set is assigned to a cylinder, or none is made for filing.",
                "Assign one in job.toml.",
            )
        )
    paragraph(out, CAUTION, style="bold")
    paragraph(out, "Type q to stop at any question; nothing that was entered is lost.", style="dim")
    chosen = _named(bench, cylinder, ring)
    try:
        while (state := chosen or _next(bench)) is not None:
            bench = _one_ring(sitting, bench, state.ring)
            chosen = None
        paragraph(out, "Every ring is done or stopped.", style="bold")
    except (_Leave, typer.Abort):
        out.print()
    print_map(out, ring_bench(read_folder(path).job))


def _one_ring(sitting: _Sitting, bench: RingBench, ring: RingId) -> RingBench:
    """One ring from its first reading until it is done."""
    out = console()
    piston = bench.job.in_cylinder(ring.at.number).piston
    out.print(Text(f"\n{ring}", style="bold") + Text(f"  (piston {piston})" if piston else ""))
    while True:
        state = bench.state(ring)
        paragraph(out, advice_words(bench.job, state), indent=2)
        if state.blocked or state.done:
            return bench
        taken = 0.0 if state.advice is None or state.read_again else _taken(bench.job, state)
        bench = _entry(sitting, bench, ring, taken)
        if state.read_again and state.surprise is not None:
            bench = _slip(sitting, bench, ring)
        surprise = bench.state(ring).surprise
        if surprise is not None:
            paragraph(out, surprise_words(bench.job, surprise), first="  ! ", style="bold red")


def _slip(sitting: _Sitting, bench: RingBench, ring: RingId) -> RingBench:
    """After a doubtful reading was taken again: withdraw the first of the two if it was a slip."""
    if not _sure("  Was the reading before this one a slip, to be withdrawn"):
        return bench
    folder = read_folder(sitting.path)
    slipped = [each for each in passes_of(folder.job, ring) if each.counts][-2]
    passes = tuple(
        replace(each, reading=replace(each.reading, withdrawn="a slip, read again")) if each is slipped else each
        for each in folder.job.passes
    )
    after = replace(folder.job, passes=passes)
    write_folder(sitting.path, folder_texts(after, folder), folder.texts)
    return ring_bench(read_folder(sitting.path).job)


def _taken(job: Job, state: RingState) -> float:
    """How much was really taken; 0 reads the ring again."""
    assert state.advice is not None
    counted = job.sheet.grinder.counted_in
    while True:
        text = _ask(f"  {counted.capitalize()} taken (0 reads it again)", f"{state.advice.units:g}")
        try:
            taken = float(text.replace(",", "."))
        except ValueError:
            typer.echo(f"  '{text}' is no count of {counted}.")
            continue
        if taken < 0.0 or not math.isfinite(taken):
            typer.echo("  Nothing can be put back: give what was taken, or 0.")
        elif job.sheet.grinder.whole and not taken.is_integer():
            typer.echo(f"  Only whole {counted} are counted on this grinder.")
        elif taken <= state.advice.units or _sure(
            f"  That is more than the {units_text(state.advice.units, counted)} advised. Is {taken:g} right"
        ):
            return taken


def _entry(sitting: _Sitting, bench: RingBench, ring: RingId, taken: float) -> RingBench:
    """Ask for one reading with its ritual, write it down, and give the bench as it then is."""
    out = console()
    for line in RITUAL if taken else RITUAL[3:]:
        paragraph(out, line, first="    - ", style="dim")
    if not _sure("  Done so"):
        typer.echo("  Do it first; the reading is worth nothing without.")
        return _entry(sitting, bench, ring, taken)
    sitting.ring_temp = _ask("  Temperature of the ring", sitting.ring_temp)
    sitting.bore_temp = _ask("  Temperature of the bore", sitting.bore_temp)
    sitting.depth = _ask("  Depth of the ring in the bore", sitting.depth)
    if bench.job.engine.torque_plate and not sitting.state:
        sitting.state = "plate on" if _sure("  Is the torque plate on") else "plate off"
    blades = bench.job.gauges[sitting.gauge].sense is Sense.BLADES
    question = (
        "  Gap: the blade that goes and the one that does not ('0.40 to 0.45 mm')" if blades else "  Gap, with unit"
    )
    while True:
        text = _ask(question, "")
        try:
            return _kept(sitting, ring, taken, text)
        except BlockwrightError as error:
            for problem in error.problems:
                paragraph(out, f"{problem.what} {problem.mend}", first="  ! ", style="red")
            if any(problem.place.field in ("ring_temp", "bore_temp", "depth") for problem in error.problems):
                return _entry(sitting, bench, ring, taken)


def _kept(sitting: _Sitting, ring: RingId, taken: float, gap: str) -> RingBench:
    """Write an entry to the job folder; raises BlockwrightError, with nothing written, where it cannot be read."""
    folder = read_folder(sitting.path)
    job = folder.job
    cells = {
        "id": f"p{len(job.passes) + 1}", "rings": ring.rings, "ring": ring.ring, "at": str(ring.at), "wheel": sitting.wheel,
        "taken": f"{taken:g}", "counted_in": job.sheet.grinder.counted_in, "gap": gap, "gauge": sitting.gauge,
        "depth": sitting.depth, "state": sitting.state, "ring_temp": sitting.ring_temp,
        "bore_temp": sitting.bore_temp, "by": sitting.by, "when": dt.datetime.now().astimezone().date().isoformat(),
    }  # fmt: skip
    after = replace(job, passes=(*job.passes, entry_from(job, cells)))
    write_folder(sitting.path, folder_texts(after, folder), folder.texts)
    return ring_bench(after)


def _next(bench: RingBench) -> RingState | None:
    """The next ring to work on: the first, in the order of cylinders, that is neither done nor blocked."""
    return next((state for state in bench.rings if not state.done and not state.blocked), None)


def _named(bench: RingBench, cylinder: int, ring: str) -> RingState | None:
    if not cylinder and not ring:
        return None
    kind = RING_ALIASES.get(ring.lower(), ring.lower())
    fitting = [
        s for s in bench.rings if (not cylinder or s.ring.at.number == cylinder) and (not ring or s.ring.ring == kind)
    ]
    if not fitting:
        listed = ", ".join(dict.fromkeys(str(state.ring) for state in bench.rings))
        what = (
            f"no ring '{ring}' in cylinder {cylinder} is filed in this job."
            if cylinder
            else f"no ring '{ring}' is filed in this job."
        )
        raise BlockwrightError(Problem("ring-unknown", what, f"There are: {listed}."))
    return next((state for state in fitting if not state.done), fitting[0])


def _gauge(job: Job, gauge: str) -> str:
    if gauge:
        if gauge not in job.gauges:
            raise BlockwrightError(
                Problem("gauge-unknown", f"no gauge '{gauge}' is registered.", f"There are: {', '.join(job.gauges)}.")
            )
        return gauge
    blades = [mark for mark, each in job.gauges.items() if each.sense is Sense.BLADES]
    if not blades:
        raise BlockwrightError(
            Problem(
                "gauge-unknown", "no feeler blades are registered.", "Name the gauge with --gauge, or register blades."
            )
        )
    return blades[0]


def _ask(question: str, usual: str) -> str:
    text = str(typer.prompt(question, default=usual or None, show_default=bool(usual))).strip()
    if text.lower() in STOP:
        raise _Leave
    return text


def _sure(question: str) -> bool:
    while True:
        text = _ask(f"{question}? y or n", "").lower()
        if text in ("y", "yes", "n", "no"):
            return text.startswith("y")
