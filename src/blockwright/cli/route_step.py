"""`blockwright route step`: one step on one screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console
from rich.text import Text

from blockwright.choices.route.evidence import will_do
from blockwright.choices.route.graph import evidence_words
from blockwright.choices.route.naming import step_meant
from blockwright.choices.route.progress import Progress, State, StepState, minutes
from blockwright.choices.route.step import Evidence, Proof, Step
from blockwright.choices.route.whole import route_progress
from blockwright.cli.terminal import console, heading, paragraph
from blockwright.engine.steps import Signed
from blockwright.jobfile.folder import read_folder

MOST_NAMED = 6


def show_step(path: Path, typed: str) -> None:
    """Print a step: its state, needs, work, and what it asks for."""
    progress = route_progress(read_folder(path).job)
    state = progress.states[step_meant(typed, list(progress.states))]
    print_step(console(), progress, state)


def print_step(out: Console, progress: Progress, state: StepState) -> None:
    """The whole step in 80 columns."""
    step = state.step
    heading(out, Text(step.name, style="bold"), Text(f"  {step.key}; {step.stage}; {step.group}", style="dim"))
    paragraph(out, _state_words(state), style="bold" if state.state is State.NOW else "")
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
    _listed(out, "Clock", list(_clock_words(progress, step)))
    if step.evidence:
        out.print(Text("\nBefore it can be signed", style="bold"))
    for each in step.evidence:
        paragraph(out, _asked(each, progress), first="  - ")
    beyond = progress.route.beyond(step.key)
    if beyond:
        paragraph(out, f"{len(beyond)} steps wait for it, {_some(progress.route.waiting[step.key])} next.", style="dim")


def _state_words(state: StepState) -> str:
    signing = state.signing
    if state.state is State.DONE and signing is not None:
        note = f": {signing.note}" if signing.note else ""
        return f"Done: signed by {signing.by}, {signing.when:%Y-%m-%d %H:%M}{note}."
    signed = "Signed, and open again. " if signing is not None and signing.event is Signed.SIGNED else ""
    if state.state is State.NOW:
        return f"{signed}It can be done now."
    return f"{signed}It waits for {_some(state.waits_for)}."


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
            paragraph(out, ", ".join(words), first=f"  {name:<9}")


def _clock_words(progress: Progress, step: Step) -> list[str]:
    words = []
    if step.open_time_s is not None:
        words.append(f"Its sealant stays open {minutes(step.open_time_s)} from the signature.")
    if step.within:
        start = progress.route.by_key[step.within]
        if start.open_time_s is not None:
            words.append(f"To be done within {minutes(start.open_time_s)} of '{start.key}'.")
    return words


def _asked(each: Evidence, progress: Progress) -> str:
    """One piece of evidence; of a fit, where it stands."""
    if each.proof is not Proof.FIT:
        return evidence_words(each)
    result = progress.standings.of(each.what, each.at)
    return f"{evidence_words(each)}: {result.words}" + ("" if will_do(result) else " (will not do)")


def _some(keys: Sequence[str]) -> str:
    more = f" and {len(keys) - MOST_NAMED} more" if len(keys) > MOST_NAMED else ""
    return ", ".join(f"'{key}'" for key in keys[:MOST_NAMED]) + more


def _listed(out: Console, title: str, lines: Sequence[str], first: str = "  - ") -> None:
    if lines:
        out.print(Text(f"\n{title}", style="bold"))
    for line in lines:
        paragraph(out, line, first=first)
