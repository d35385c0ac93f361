"""The route in words, the same in the terminal and on pages: how much is left, how a step stands, what it asks for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from blockwright.choices.route.evidence import look_words, looked_at, will_do
from blockwright.choices.route.graph import evidence_words
from blockwright.choices.route.progress import Clock, Progress, State, StepState, minutes
from blockwright.choices.route.step import Evidence, Proof, Step
from blockwright.engine.steps import Signed
from blockwright.fits.assessment import Standing

MOST_NAMED = 6


def left_words(progress: Progress) -> str:
    """`12 of 80 steps done. 68 left, 30 of them hold points; 3 can be done now.`"""
    left = progress.left
    done = f"{len(progress.states) - len(left)} of {len(progress.states)} steps done."
    if not left:
        return f"{done} Nothing is left."
    holds = sum(bool(state.step.evidence) for state in left)
    return f"{done} {len(left)} left, {holds} of them hold points; {len(progress.of(State.NOW))} can be done now."


def clock_words(clock: Clock, now: dt.datetime) -> str:
    """How long a sealant stays open, or that it has set."""
    left, waiting = clock.left_s(now), ", ".join(clock.waiting)
    if left < 0.0:
        return f"{clock.step.key}: ran out {minutes(-left)} ago, before {waiting}. Undo it, clean it off, put on fresh."
    return f"{clock.step.key}: {minutes(left)} left, until {clock.ends:%H:%M}, for {waiting}."


def state_words(state: StepState) -> str:
    """Where a step stands, in a sentence."""
    signing = state.signing
    if state.done and signing is not None:
        note = f": {signing.note}" if signing.note else ""
        return f"Done: signed by {signing.by}, {signing.when:%Y-%m-%d %H:%M}{note}."
    signed = "Signed, and open again. " if signing is not None and signing.event is Signed.SIGNED else ""
    if state.state is State.NOW:
        return f"{signed}It can be done now."
    return f"{signed}It waits for {some(state.waits_for)}."


def open_time_words(progress: Progress, step: Step) -> list[str]:
    """The clock that a step starts, and the one that it keeps."""
    words = []
    if step.open_time_s is not None:
        words.append(f"Its sealant stays open {minutes(step.open_time_s)} from the signature.")
    if step.within:
        start = progress.route.by_key[step.within]
        if start.open_time_s is not None:
            words.append(f"To be done within {minutes(start.open_time_s)} of '{start.key}'.")
    return words


def asked_words(each: Evidence, progress: Progress, state: StepState) -> str:
    """One piece of evidence; of a fit, where it stands."""
    if each.proof is not Proof.FIT:
        return evidence_words(each)
    return f"{evidence_words(each)}: {fit_words(each, progress, state)}"


def fit_words(each: Evidence, progress: Progress, state: StepState) -> str:
    """Where a fit stands that a step asks for, and whether that will do."""
    result = progress.standings.of(each.what, each.at)
    if will_do(result):
        return result.words
    look = looked_at(result, state.signing.given.looks) if state.signing is not None and state.done else None
    if look is not None and state.signing is not None:
        return look_words(look, state.signing.by)
    return f"{result.words} ({'wants a look' if result.standing is Standing.UNLIMITED else 'will not do'})"


def opens_again(progress: Progress, key: str) -> tuple[Step, ...]:
    """The signed steps that open again where this one is undone, itself not counted."""
    return tuple(progress.route.by_key[other] for other in progress.route.beyond(key) if progress.states[other].done)


def some(keys: Sequence[str]) -> str:
    """`'final: crank', 'final: main 1' and 3 more`."""
    more = f" and {len(keys) - MOST_NAMED} more" if len(keys) > MOST_NAMED else ""
    return ", ".join(f"'{key}'" for key in keys[:MOST_NAMED]) + more
