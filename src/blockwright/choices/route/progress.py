"""How far the assembly has got: signatures folded into the state of every step, and what a new signature still lacks.

A step is done while its last signature holds: nobody undid it, its evidence is what it was, every step that it needs is done and was signed before
it, and a sealant's clock was kept. So an undone step, a swapped part or a withdrawn reading opens everything that stands on it, and no sequence of
signatures and changes can pass a hold point over.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from blockwright.choices.route.evidence import (
    NOTHING_LOST,
    Standings,
    changed_since,
    fit_name,
    lacking,
    relied_on,
    will_do,
)
from blockwright.choices.route.graph import Route
from blockwright.choices.route.step import Step
from blockwright.engine.job import Job
from blockwright.engine.positions import position
from blockwright.engine.steps import Given, Signed, Signing
from blockwright.fits.assessment import FitResult, Standing
from blockwright.fits.registry import REGISTRY
from blockwright.problems import BlockwrightError, Problem, excerpt


class State(StrEnum):
    """Where a step stands."""

    DONE = "done"
    NOW = "can be done now"
    WAITS = "waits"


@dataclass(frozen=True)
class StepState:
    """One step: where it stands, which steps it waits for, and why a signature that it had no longer holds."""

    step: Step
    state: State
    waits_for: tuple[str, ...] = ()
    reopened: tuple[str, ...] = ()
    signing: Signing | None = None

    @property
    def done(self) -> bool:
        """Whether it is signed and the signature holds."""
        return self.state is State.DONE


@dataclass(frozen=True)
class LastChance:
    """A fit that can no longer be measured once a step that can be done now is done."""

    step: Step
    result: FitResult

    @property
    def words(self) -> str:
        """`last chance to measure main film, main 3 (open)`."""
        return f"last chance to measure {fit_name(self.result)} ({self.result.words})"


@dataclass(frozen=True)
class Clock:
    """A sealant's clock that runs, and the steps that must keep it and are not done."""

    step: Step
    began: dt.datetime
    ends: dt.datetime
    waiting: tuple[str, ...]

    def left_s(self, now: dt.datetime) -> float:
        """Seconds left; below nothing where it has run out."""
        return (self.ends - now).total_seconds()


@dataclass(frozen=True)
class Progress:
    """The state of every step of a route, in its order; `strangers` are signed keys that the route does not have."""

    route: Route
    states: Mapping[str, StepState]
    standings: Standings
    signings: tuple[Signing, ...]
    strangers: tuple[str, ...] = ()

    def of(self, state: State) -> tuple[StepState, ...]:
        """Steps that stand so, in order."""
        return tuple(each for each in self.states.values() if each.state is state)

    @property
    def left(self) -> tuple[StepState, ...]:
        """Steps that are not done."""
        return tuple(each for each in self.states.values() if not each.done)

    @property
    def reopened(self) -> tuple[StepState, ...]:
        """Steps whose signature no longer holds."""
        return tuple(each for each in self.states.values() if each.reopened)

    @property
    def last_chances(self) -> tuple[LastChance, ...]:
        """What has to be measured before a step that can be done now, or never."""
        return tuple(
            LastChance(each.step, result)
            for each in self.of(State.NOW)
            for result in _closed_fits(each.step, self.standings)
            if not will_do(result) and result.standing is not Standing.UNLIMITED
        )

    @property
    def clocks(self) -> tuple[Clock, ...]:
        """Sealants' clocks that run."""
        return tuple(clock for each in self.of(State.DONE) if (clock := self._clock(each)) is not None)

    def _clock(self, state: StepState) -> Clock | None:
        seconds, signing = state.step.open_time_s, state.signing
        waiting = [each.step.key for each in self.left if each.step.within == state.step.key]
        if seconds is None or signing is None or not waiting:
            return None
        return Clock(state.step, signing.when, signing.when + dt.timedelta(seconds=seconds), tuple(waiting))


def progress_of(route: Route, job: Job, lost: Mapping[str, str] = NOTHING_LOST) -> Progress:
    """The state of every step, from the job's signatures and from what its parts and fits are now.

    `lost` are photos that are missing or altered, by the name in the signature, with what became of them.
    """
    standings = Standings(job, lost)
    latest = {signing.step: (index, signing) for index, signing in enumerate(job.signings)}
    states: dict[str, StepState] = {}
    for step in route.steps:
        states[step.key] = _state(step, route.needs[step.key], states, latest, standings)
    strangers = tuple(key for key in latest if key not in states)
    return Progress(route, states, standings, job.signings, strangers)


def sign(progress: Progress, key: str, given: Given, *, by: str, when: dt.datetime, note: str = "") -> Signing:
    """A signature under a step, not sealed yet. Raises BlockwrightError with everything that is missing."""
    state = progress.states[key]
    problems = list(_refusals(progress, state, given, by, when))
    if problems:
        raise BlockwrightError(problems)
    relied = relied_on(state.step, given, by, progress.standings)
    return Signing(len(progress.signings) + 1, Signed.SIGNED, key, by.strip(), when, given, note.strip(), relied)


def undo(progress: Progress, key: str, *, by: str, when: dt.datetime, why: str) -> Signing:
    """That a signed step was undone, not sealed yet. Raises BlockwrightError where it was not signed, or a name or reason is missing."""
    problems = list(_unsigned(by, when, progress))
    last = progress.states[key].signing
    if last is None or last.event is not Signed.SIGNED:
        problems.append(Problem("undo-unsigned", f"'{key}' is not signed.", "There is nothing to undo."))
    if not why.strip():
        problems.append(Problem("undo-why", "a step is undone for a reason.", "Say why."))
    if problems:
        raise BlockwrightError(problems)
    return Signing(len(progress.signings) + 1, Signed.UNDONE, key, by.strip(), when, note=why.strip())


def _state(
    step: Step,
    needs: tuple[str, ...],
    states: Mapping[str, StepState],
    latest: Mapping[str, tuple[int, Signing]],
    standings: Standings,
) -> StepState:
    waits_for = tuple(key for key in needs if not states[key].done)
    open_state = State.WAITS if waits_for else State.NOW
    if step.key not in latest:
        return StepState(step, open_state, waits_for)
    index, signing = latest[step.key]
    if signing.event is Signed.UNDONE:
        why = f"undone by {signing.by}: {signing.note}"
        return StepState(step, open_state, waits_for, (why,), signing)
    reasons = [*changed_since(step, signing, standings), *_needs_changed(needs, index, states, latest)]
    start = latest.get(step.within)
    if start is not None and states[step.within].done and not reasons:
        late = _late(states[step.within].step, start[1], signing.when)
        reasons += [late.what.rstrip(".")] if late else []
    state = State.DONE if not reasons else open_state
    return StepState(step, state, waits_for, tuple(reasons), signing)


def _needs_changed(
    needs: tuple[str, ...], index: int, states: Mapping[str, StepState], latest: Mapping[str, tuple[int, Signing]]
) -> Iterator[str]:
    """What of the steps before it no longer bears a signature that was given as number `index`."""
    for key in needs:
        state = states[key]
        if state.done and latest[key][0] < index:
            continue
        if state.done:
            yield f"'{key}', which comes before it, was signed after it"
        elif state.signing is not None and state.signing.event is Signed.UNDONE:
            yield f"'{key}', on which it stands, was undone"
        elif state.signing is not None:
            yield f"'{key}', on which it stands, is open again"
        else:
            yield f"'{key}', which comes before it, is not signed"


def _refusals(progress: Progress, state: StepState, given: Given, by: str, when: dt.datetime) -> Iterator[Problem]:
    step = state.step
    yield from _unsigned(by, when, progress)
    if state.done:
        yield Problem("sign-done", f"'{step.key}' is signed already.", "To do it again, undo it first.")
        return
    for key in state.waits_for:
        first = progress.route.by_key[key]
        yield Problem("sign-waits", f"it waits for '{key}' ({first.name}).", "Do and sign that first.")
    yield from lacking(step, given, by, progress.standings)
    start = progress.states.get(step.within)
    if start is not None and start.done and start.signing is not None:
        late = _late(start.step, start.signing, when)
        if late is not None:
            yield late


def _unsigned(by: str, when: dt.datetime, progress: Progress) -> Iterator[Problem]:
    if not by.strip():
        yield Problem("sign-name", "nobody signs.", "Say who does.")
    last = max((signing.when for signing in progress.signings), default=when)
    if when < last:
        what = f"the clock shows {when:%Y-%m-%d %H:%M}, and the last signature is of {last:%Y-%m-%d %H:%M}."
        yield Problem("sign-clock", what, "Set the computer's clock.")


def _late(start: Step, began: Signing, when: dt.datetime) -> Problem | None:
    """That a sealant stood too long before a step was signed at `when`, if it did."""
    stood = (when - began.when).total_seconds()
    if start.open_time_s is None or 0.0 <= stood <= start.open_time_s:
        return None
    if stood < 0.0:
        what = f"the time is earlier than that of '{start.key}', whose sealant it must catch open."
        return Problem("sign-late", what, "Undo both and sign them by the right clock.")
    what = f"what '{start.key}' put on stood {minutes(stood)}, and stays open {minutes(start.open_time_s)}."
    return Problem("sign-late", what, f"Undo '{excerpt(start.key)}', clean it off, and put on fresh.")


def minutes(seconds: float) -> str:
    """`12 min`; `40 s` where it is less than two minutes."""
    if abs(seconds) < 120.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if abs(seconds) < 7200.0 else f"{seconds / 3600.0:.1f} h"


def _closed_fits(step: Step, standings: Standings) -> Iterator[FitResult]:
    """The fits that can no longer be measured after a step, at each position that it names."""
    for closed in step.closes:
        name, _, place = closed.partition(", ")
        fit = REGISTRY.get(name)
        if fit is None or not fit.applies(standings.job.engine):
            continue
        asked = position(place) if place else None
        for at in [asked] if asked else standings.job.engine.positions(fit.place):
            yield standings.of(name, at)


def with_signing(job: Job, signing: Signing) -> Job:
    """The job with one more signature."""
    return replace(job, signings=(*job.signings, signing))
