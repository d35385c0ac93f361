"""`blockwright route show`: the whole route by passes and groups, and what it asks for now."""

from __future__ import annotations

import datetime as dt
from itertools import groupby
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.route.progress import Progress, State, StepState
from blockwright.choices.route.whole import route_progress
from blockwright.cli.letters import plain
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.engine.job import Job
from blockwright.jobfile.attachments import lost_photos
from blockwright.jobfile.folder import read_folder
from blockwright.report.route_words import clock_words, left_words

STYLE = {State.DONE: "blue", State.NOW: "bold", State.WAITS: "dim"}
WORD = {State.DONE: "done", State.NOW: "now", State.WAITS: "waits"}
AGAIN = "again"


def show_route(path: Path, *, every: bool = False, as_json: bool = False) -> int:
    """Print the route of a job; returns 1 where a signature no longer holds, else 0."""
    job = read_folder(path).job
    progress = route_progress(job, lost_photos(path, job.signings))
    if as_json:
        _print_json(job, progress)
        return int(bool(progress.reopened))
    out = console()
    heading(out, Text(f"{job.sheet.job}: {job.engine.name}", style="bold"), Text(", the route"))
    paragraph(out, left_words(progress))
    for stage, steps in groupby(progress.states.values(), key=lambda state: state.step.stage):
        out.print(Text(f"\n{stage.upper()}", style="bold"))
        for group, members in groupby(steps, key=lambda state: state.step.group):
            _print_group(out, group, list(members), every)
    print_pressing(out, progress)
    return int(bool(progress.reopened))


def _print_json(job: Job, progress: Progress) -> None:
    from blockwright.report.as_json import dumps
    from blockwright.report.route_json import route_json

    now = dt.datetime.now(tz=dt.UTC).replace(microsecond=0)
    print(dumps(route_json(job, progress, now), ascii=plain()))  # noqa: T201 - the data goes to standard output as it is


def print_pressing(out: Console, progress: Progress) -> None:
    """Clocks that run, what is open again and why, last chances, signatures under steps that are not there."""
    now = dt.datetime.now(tz=dt.UTC)
    _print_list(out, "A CLOCK RUNS", [clock_words(clock, now) for clock in progress.clocks])
    again = [f"{state.step.key}: {'; '.join(state.reopened)}." for state in progress.reopened]
    _print_list(out, "SIGNED, AND OPEN AGAIN", again)
    chances = [f"Before {chance.step.key}: {chance.words}." for chance in progress.last_chances]
    _print_list(out, "LAST CHANCES", chances)
    _print_list(out, "SIGNED, BUT NO STEP OF THIS ROUTE", list(progress.strangers))


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
