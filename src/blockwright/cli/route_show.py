"""`blockwright route show`: the whole route by passes and groups, and what it asks for now."""

from __future__ import annotations

import datetime as dt
from itertools import groupby
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.route.progress import Clock, Progress, State, StepState, minutes
from blockwright.choices.route.whole import route_progress
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.jobfile.folder import read_folder

STYLE = {State.DONE: "blue", State.NOW: "bold", State.WAITS: "dim"}
WORD = {State.DONE: "done", State.NOW: "now", State.WAITS: "waits"}
AGAIN = "again"


def show_route(path: Path, *, every: bool = False) -> int:
    """Print the route of a job; returns 1 where a signature no longer holds, else 0."""
    job = read_folder(path).job
    progress = route_progress(job)
    out = console()
    heading(out, Text(f"{job.sheet.job}: {job.engine.name}", style="bold"), Text(", the route"))
    paragraph(out, left_words(progress))
    for stage, steps in groupby(progress.states.values(), key=lambda state: state.step.stage):
        out.print(Text(f"\n{stage.upper()}", style="bold"))
        for group, members in groupby(steps, key=lambda state: state.step.group):
            _print_group(out, group, list(members), every)
    print_pressing(out, progress)
    return int(bool(progress.reopened))


def left_words(progress: Progress) -> str:
    """`12 of 80 steps done. 68 left, 30 of them hold points; 3 can be done now.`"""
    left = progress.left
    done = f"{len(progress.states) - len(left)} of {len(progress.states)} steps done."
    if not left:
        return f"{done} Nothing is left."
    holds = sum(bool(state.step.evidence) for state in left)
    return f"{done} {len(left)} left, {holds} of them hold points; {len(progress.of(State.NOW))} can be done now."


def print_pressing(out: Console, progress: Progress) -> None:
    """Clocks that run, what is open again and why, last chances, signatures under steps that are not there."""
    now = dt.datetime.now(tz=dt.UTC)
    _print_list(out, "A CLOCK RUNS", [clock_words(clock, now) for clock in progress.clocks])
    again = [f"{state.step.key}: {'; '.join(state.reopened)}." for state in progress.reopened]
    _print_list(out, "SIGNED, AND OPEN AGAIN", again)
    chances = [f"Before {chance.step.key}: {chance.words}." for chance in progress.last_chances]
    _print_list(out, "LAST CHANCES", chances)
    _print_list(out, "SIGNED, BUT NO STEP OF THIS ROUTE", list(progress.strangers))


def clock_words(clock: Clock, now: dt.datetime) -> str:
    """How long a sealant stays open, or that it has set."""
    left, waiting = clock.left_s(now), ", ".join(clock.waiting)
    if left < 0.0:
        return f"{clock.step.key}: ran out {minutes(-left)} ago, before {waiting}. Undo it, clean it off, put on fresh."
    return f"{clock.step.key}: {minutes(left)} left, until {clock.ends:%H:%M}, for {waiting}."


def _print_list(out: Console, title: str, texts: list[str]) -> None:
    if texts:
        out.print(Text(f"\n{title}", style="bold"))
    for text in texts:
        paragraph(out, text, first="  ! ")


def _print_group(out: Console, group: str, states: list[StepState], every: bool) -> None:
    """A line of counts; each step only where one of them asks for something, or all are wanted."""
    counts = [
        f"{sum(s.state is state for s in states)} {WORD[state]}"
        for state in State
        if any(s.state is state for s in states)
    ]
    heading(out, Text(f"{group}", style="bold"), Text(f"  {', '.join(counts)}", style="dim"))
    for state in states:
        if every or state.state is State.NOW or state.reopened:
            print_line(out, state)


def print_line(out: Console, state: StepState) -> None:
    """One step in a line or two: where it stands, whether it is a hold point, its key and name."""
    word = AGAIN if state.reopened and state.state is State.NOW else WORD[state.state]
    hold = "hold" if state.step.evidence else ""
    paragraph(out, f"{state.step.key}  ({state.step.name})", first=f"  {word:<6}{hold:<5}", style=STYLE[state.state])
