"""What putting parts into a place would change, told before it is done: who loses the place, which fits are judged anew, which steps open again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from blockwright.acts.kinds import KINDS, Who
from blockwright.bench.parts.listing import KIND_OF, WORDS
from blockwright.bench.standing import Say
from blockwright.bench.state import Seen
from blockwright.bench.tones import Tone, tone_of
from blockwright.bench.verdicts import name_of
from blockwright.choices.route.progress import State
from blockwright.choices.route.whole import route_progress
from blockwright.engine.job import Job
from blockwright.fits.assessment import FitResult
from blockwright.problems import BlockwrightError, Place, Problem, excerpt
from blockwright.report.rows import value_alone, wanted_unit
from blockwright.running.assess import assess

ASSIGNED = "part assigned"


@dataclass(frozen=True)
class FitChange:
    """One fit as it stands and as it would."""

    name: str
    before: str
    after: str
    tone: Tone
    tone_before: Tone


@dataclass(frozen=True)
class Put:
    """Parts on their way into a place, with all that follows; `taken_out` are those that were there, `left` the places that they leave.

    Of a swap what was there goes to the place that is left.
    """

    at: str
    role: str
    parts: tuple[str, ...]
    taken_out: tuple[str, ...]
    left: tuple[str, ...]
    fits: tuple[FitChange, ...]
    reopened: tuple[str, ...]
    swap: bool = False

    @property
    def other_way(self) -> str:
        """The query of the same with the parts changing places, or no longer; blank where nothing could change places."""
        if not (self.taken_out and len(self.left) == 1):
            return ""
        said = [*(("part", mark) for mark in self.parts), ("at", self.at), *([] if self.swap else [("swap", "yes")])]
        return urlencode(said)

    @property
    def words(self) -> str:
        """`Put P3 into cylinder 2`."""
        marks = " and ".join(self.parts)
        if self.swap:
            return f"Put {marks} into {self.at} and {' and '.join(self.taken_out) or 'nothing'} into {self.left[0]}"
        return (
            f"Put {marks} into {self.at}" if marks else f"Take the {WORDS.get(self.role, self.role)} out of {self.at}"
        )


def role_of(job: Job, marks: Sequence[str]) -> str:
    """As what a part goes into a place. Raises BlockwrightError (`parts`) for one that is unknown or goes into none."""
    for mark in marks:
        part = job.parts.get(mark)
        role = next((role for role, kind in KIND_OF.items() if part is not None and part.kind is kind), "")
        if not role:
            what = (
                f"{excerpt(mark)} goes into no cylinder or main bearing."
                if part is not None
                else f"no part bears the mark '{excerpt(mark)}'."
            )
            raise BlockwrightError(
                Problem("part-unknown", what, "Choose a piston, pin, ring set, rod or shell.", Place(field="parts"))
            )
        return role
    raise BlockwrightError(Problem("part-none", "no part is named.", "Choose one.", Place(field="parts")))


def put(seen: Seen, at: str, role: str, marks: Sequence[str], *, swap: bool = False) -> Put:
    """What the act would change. Raises BlockwrightError where it would be refused."""
    job = seen.job
    words: Mapping[str, Any] = {"at": at, "as": role, "parts": list(marks), "swap": swap}
    kind = KINDS[ASSIGNED]
    after = kind.apply(job, kind.draft(job, words, Who("bench", dt.datetime.now(dt.UTC))))
    homes = {mark: str(home) for mark in marks if (home := job.home(mark)) is not None and str(home) != at}
    was = [mark for mark in _there(job, at, role) if mark not in marks]
    fits = tuple(_changes(seen, assess(after).results, after))
    return Put(
        at,
        role,
        tuple(marks),
        tuple(was),
        tuple(dict.fromkeys(homes.values())),
        fits,
        tuple(_reopened(job, after)),
        swap,
    )


def _there(job: Job, at: str, role: str) -> tuple[str, ...]:
    """Marks of this role that are at a place now."""
    place, _, number = at.partition(" ")
    held = job.in_cylinder(int(number)) if place == "cylinder" else job.in_main(int(number))
    marks = getattr(held, role)
    return (marks,) if isinstance(marks, str) and marks else tuple(marks)


def _changes(seen: Seen, results: Sequence[FitResult], after: Job) -> Iterator[FitChange]:
    then = {(result.fit.name, result.position): result for result in results}
    for key in {**seen.results, **then}:
        old, new = seen.results.get(key), then.get(key)
        shown = _shown(seen.job, old), _shown(after, new)
        told = new or old
        if shown[0] != shown[1] and told is not None:
            yield FitChange(
                name_of(told), *shown, tone_of(new) if new else Tone.OPEN, tone_of(old) if old else Tone.OPEN
            )


def _shown(job: Job, result: FitResult | None) -> str:
    if result is None:
        return "not judged"
    if result.found is None:
        return result.words
    return f"{value_alone(result, wanted_unit(job, result.fit))}, {result.words}"


def _reopened(before: Job, after: Job) -> Iterator[str]:
    """Steps that are done and would not be any more, each with why."""
    old, new = route_progress(before).states, route_progress(after).states
    for key, state in old.items():
        now = new.get(key)
        if state.state is State.DONE and (now is None or now.state is not State.DONE):
            why = "; ".join(now.reopened) if now is not None else "it is no step any more"
            yield f"{state.step.name}{f': {why}' if why else ''}"


def say(change: Put) -> Say:
    """The one sentence before it is done."""
    free = (
        f" {' and '.join(change.taken_out)} {'is' if len(change.taken_out) == 1 else 'are'} free again."
        if change.taken_out and not change.swap
        else ""
    )
    left = (
        f" {' and '.join(change.left).capitalize()} is left without."
        if change.left and not (change.swap and change.taken_out)
        else ""
    )
    fits, steps = len(change.fits), len(change.reopened)
    how = f"{_count(fits, 'fit')} would read otherwise, {_count(steps, 'signed step')} would open again.{free}{left}"
    return Say(Tone.DOUBT if steps else Tone.PLAIN, f"{change.words}?", how)


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}{'' if number == 1 else 's'}"
