"""The route as its page shows it: what can be done now, clocks, last chances, what opened again and why, and every step by pass and group."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import unescape
from itertools import groupby
from typing import Any

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from blockwright.bench.drawn import inline
from blockwright.bench.links import link
from blockwright.bench.standing import Say
from blockwright.bench.tones import Tone
from blockwright.choices.route.progress import Clock, LastChance, Progress, State, StepState, minutes
from blockwright.ledger.models import Book
from blockwright.report.pictures.route_graph import route_graph
from blockwright.report.route_words import left_words

STEP_IN_PICTURE = re.compile(r'<g data-step="([^"]*)"[^>]*>.*?</g>', re.DOTALL)


@dataclass(frozen=True)
class Line:
    """One step in a list: where its page is, its tone, its state in a word, and what it asks for."""

    state: StepState
    to: str
    tone: Tone
    word: str
    asks: str


@dataclass(frozen=True)
class Group:
    """Steps under one heading."""

    name: str
    counts: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Stage:
    """One pass through the engine: its groups, how many steps are done of how many."""

    name: str
    done: int
    count: int
    groups: tuple[Group, ...]
    here: bool


@dataclass(frozen=True)
class Running:
    """A clock that runs: seconds left when the page was made, and the steps that must be done before."""

    clock: Clock
    left_s: int
    words: str
    line: Line
    waiting: tuple[Line, ...]


@dataclass(frozen=True)
class Chance:
    """A last chance: what to measure, before which step, and where."""

    chance: LastChance
    to: str
    line: Line


def overview(book: Book, progress: Progress, now: dt.datetime) -> dict[str, Any]:
    """The context of the page of all steps."""
    lines = {key: line_of(book, state) for key, state in progress.states.items()}
    return {
        "progress": progress,
        "say": said(progress, lines, now),
        "now": [lines[state.step.key] for state in progress.of(State.NOW)],
        "clocks": [_running(clock, lines, now) for clock in progress.clocks],
        "chances": [
            Chance(each, link("measure", book=book.slug), lines[each.step.key]) for each in progress.last_chances
        ],
        "again": [lines[state.step.key] for state in progress.reopened],
        "left": left_words(progress),
        "stages": list(_stages(list(lines.values()))),
        "share": round(1000 * sum(each.done for each in progress.states.values()) / max(1, len(progress.states))),
    }


def line_of(book: Book, state: StepState) -> Line:
    """A step as a line of a list."""
    asked = len(state.step.evidence)
    asks = f"hold point: {asked} thing{'s' if asked > 1 else ''} to show" if asked else ""
    return Line(state, step_page(book, state.step.key), tone_of_step(state), _word_of_line(state), asks)


def step_page(book: Book, key: str) -> str:
    """The address of a step's page."""
    return link("route-step", book=book.slug, step=key)


def tone_of_step(state: StepState) -> Tone:
    """Done is good, open again is doubtful, the rest is plain or open."""
    if state.done:
        return Tone.GOOD
    if state.reopened:
        return Tone.DOUBT
    return Tone.PARTLY if state.state is State.NOW else Tone.OPEN


def _word_of_line(state: StepState) -> str:
    """As its word; of a step that is done also who signed it and on which day, so that a printed list needs no other."""
    signing = state.signing
    return f"done, {signing.by}, {signing.when:%Y-%m-%d}" if state.done and signing is not None else word_of_step(state)


def word_of_step(state: StepState) -> str:
    """`done`, `open again`, `now`, `waits`."""
    if state.reopened:
        return "open again" if state.state is State.NOW else "open again, waits"
    return {State.DONE: "done", State.NOW: "now", State.WAITS: "waits"}[state.state]


def said(progress: Progress, lines: dict[str, Line], now: dt.datetime) -> Say:
    """The one sentence: a clock first, then what opened again, then the next step."""
    for clock in progress.clocks:
        first = lines[clock.waiting[0]]
        if clock.left_s(now) < 0.0:
            what = f"The sealant ran out: {clock.step.name}"
            return Say(Tone.OUT, what, "Undo it, clean it off, put on fresh.", lines[clock.step.key].to, "To that step")
        return Say(Tone.DOUBT, f"A clock runs: {first.state.step.name}", "Do this first.", first.to, "Do it")
    ready = progress.of(State.NOW)
    if not ready:
        return (
            Say(Tone.OPEN, "No step can be done now.")
            if progress.left
            else Say(Tone.GOOD, "Every step is done and signed.")
        )
    state = next((each for each in ready if each.reopened), ready[0])
    again = f"Open again: {state.step.name}" if state.reopened else f"Next: {state.step.name}"
    told = "; ".join(state.reopened) or lines[state.step.key].asks
    how = f"{told[:1].upper()}{told[1:]}." if told else ""
    return Say(Tone.DOUBT if state.reopened else Tone.PLAIN, again, how, lines[state.step.key].to, "Open the step")


def _running(clock: Clock, lines: dict[str, Line], now: dt.datetime) -> Running:
    left = clock.left_s(now)
    words = f"{minutes(left)} left" if left >= 0 else f"ran out {minutes(-left)} ago"
    return Running(clock, round(left), words, lines[clock.step.key], tuple(lines[key] for key in clock.waiting))


def _stages(lines: Sequence[Line]) -> Iterator[Stage]:
    here = next((line.state.step.stage for line in lines if line.state.state is State.NOW), None)
    for stage, members in groupby(lines, key=lambda line: line.state.step.stage):
        own = list(members)
        groups = [_group(name, tuple(some)) for name, some in groupby(own, key=lambda line: line.state.step.group)]
        yield Stage(str(stage), sum(line.state.done for line in own), len(own), tuple(groups), stage is here)


def _group(name: str, lines: tuple[Line, ...]) -> Group:
    done = sum(line.state.done for line in lines)
    return Group(name, f"{done} of {len(lines)} done", lines)


def pictures(book: Book, progress: Progress) -> list[SafeString]:
    """The panels of the drawn route; each step in them leads to its page."""
    return [_linked(book, progress, inline(svg)) for svg in route_graph(progress)]


def _linked(book: Book, progress: Progress, svg: str) -> SafeString:
    def linked(found: re.Match[str]) -> str:
        key = unescape(found[1])
        state = progress.states.get(key)
        if state is None:
            return found[0]
        name = f"{state.step.name}: {word_of_step(state)}"
        return f'<a class="to-step" href="{escape(step_page(book, key))}" aria-label="{escape(name)}">{found[0]}</a>'

    return mark_safe(STEP_IN_PICTURE.sub(linked, svg).replace('role="img"', 'role="group"', 1))
