"""`blockwright route step`: one step on one screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.progress import Progress, State, StepState
from blockwright.choices.route.step import Step
from blockwright.choices.route.whole import route_progress
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.jobfile.attachments import lost_photos
from blockwright.jobfile.folder import read_folder
from blockwright.report.route_words import asked_words, open_time_words, some, state_words


def show_step(path: Path, typed: str) -> None:
    """Print a step: its state, needs, work, and what it asks for."""
    job = read_folder(path).job
    progress = route_progress(job, lost_photos(path, job.signings))
    state = progress.states[step_meant(typed, list(progress.states))]
    print_step(console(), progress, state)


def print_step(out: Console, progress: Progress, state: StepState) -> None:
    """The whole step in 80 columns."""
    step = state.step
    heading(out, Text(step.name, style="bold"), Text(f"  {step.key}; {step.stage}; {step.group}", style="dim"))
    paragraph(out, state_words(state), style="bold" if state.state is State.NOW else "")
    for why in state.reopened:
        paragraph(out, f"{why}.", first="  ! ")
    for chance in progress.last_chances:
        if chance.step.key == step.key:
            paragraph(out, f"{chance.words}.", first="  ! ")
    _listed(out, "Take care", step.cautions, "  ! ")
    _print_needs(out, progress, step)
    _listed(out, "Do", step.do)
    _listed(out, "Which way round", step.facing)
    _listed(out, "Lubricant", [step.lubricant] if step.lubricant else [])
    _listed(out, "Torque", step.torque)
    _listed(out, "Clock", list(open_time_words(progress, step)))
    if step.evidence:
        out.print(Text("\nBefore it can be signed", style="bold"))
    for each in step.evidence:
        paragraph(out, asked_words(each, progress, state), first="  - ")
    beyond = progress.route.beyond(step.key)
    if beyond:
        paragraph(out, f"{len(beyond)} steps wait for it, {some(progress.route.waiting[step.key])} next.", style="dim")


def _print_needs(out: Console, progress: Progress, step: Step) -> None:
    rows = (
        ("after", list(progress.route.needs[step.key])),
        ("parts", list(step.parts)),
        ("tools", list(step.tools)),
        ("uses up", list(step.consumables)),
        ("closes", list(step.closes)),
    )
    if any(words for _, words in rows):
        out.print(Text("\nNeeds", style="bold"))
    for name, words in rows:
        if words:
            paragraph(out, ("; " if name == "closes" else ", ").join(words), first=f"  {name:<9}")


def _listed(out: Console, title: str, lines: Sequence[str], first: str = "  - ") -> None:
    if lines:
        out.print(Text(f"\n{title}", style="bold"))
    for line in lines:
        paragraph(out, line, first=first)
