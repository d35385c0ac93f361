"""The route as a graph: the steps of an engine with the builder's changes, in an order that holds; or why a change cannot be.

A step needs those named in its `after`, the step whose clock it keeps, and every step that it closes. Added and moved steps only add needs, so
nothing that the content demands is ever loosened; what waited for a step that is struck waits for what that step itself needed.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from blockwright.choices.route.naming import meant
from blockwright.choices.route.own import own_evidence
from blockwright.choices.route.step import Evidence, Pass, Proof, Step
from blockwright.engine.positions import ENGINE
from blockwright.engine.steps import StepChange
from blockwright.fits.registry import REGISTRY
from blockwright.problems import BlockwrightError, Problem, excerpt

OWN = "Steps of your own"


@dataclass(frozen=True)
class Route:
    """Steps in an order that holds, and what each needs: keys of the steps that must be signed before it."""

    steps: tuple[Step, ...]
    needs: Mapping[str, tuple[str, ...]]

    @cached_property
    def by_key(self) -> Mapping[str, Step]:
        """Steps by their key."""
        return {step.key: step for step in self.steps}

    @cached_property
    def waiting(self) -> Mapping[str, tuple[str, ...]]:
        """By key, the steps that need it themselves."""
        found: dict[str, list[str]] = {step.key: [] for step in self.steps}
        for step in self.steps:
            for key in self.needs[step.key]:
                found[key].append(step.key)
        return {key: tuple(keys) for key, keys in found.items()}

    def beyond(self, key: str) -> tuple[str, ...]:
        """Every step that needs this one, itself or through others, in order."""
        found = {key}
        for step in self.steps:
            if found.intersection(self.needs[step.key]):
                found.add(step.key)
        return tuple(step.key for step in self.steps if step.key in found and step.key != key)

    def path(self, first: str, last: str) -> tuple[str, ...]:
        """The steps by which `last` needs `first`, both ends included; nothing where it does not."""
        return path(self.needs, first, last)


@dataclass(frozen=True)
class ChangeFault:
    """What is wrong with one of the builder's changes: its place in the list, its field, and the problem."""

    index: int
    field: str
    problem: Problem


def route_from(steps: Sequence[Step], changes: Sequence[StepChange] = ()) -> Route:
    """The route of these steps and changes. Raises BlockwrightError with every fault of the changes, or of the steps themselves."""
    draft = _Draft(steps)
    faults = tuple(draft.apply(changes))
    if faults:
        raise BlockwrightError(fault.problem.at(field=f"step {fault.index + 1}, {fault.field}") for fault in faults)
    return draft.route()


def change_faults(steps: Sequence[Step], changes: Sequence[StepChange]) -> tuple[ChangeFault, ...]:
    """Every fault of the builder's changes, in their order."""
    return tuple(sorted(_Draft(steps).apply(changes), key=lambda fault: fault.index))


def why_not(route: Route, key: str, *, after: str = "", before: str = "") -> Problem | None:
    """Why a step of the route cannot go after or before another; `None` where it can."""
    for first, last in ((after, key), (key, before)):
        if first and last:
            against = route.path(last, first)
            if against:
                return _loop(first, last, against)
    return None


def path(needs: Mapping[str, tuple[str, ...]], first: str, last: str) -> tuple[str, ...]:
    """The shortest way along which `last` needs `first`, both ends included; nothing where it does not."""
    ways: dict[str, tuple[str, ...]] = {last: (last,)}
    waiting = [last]
    for key in waiting:
        if key == first:
            return ways[key]
        for needed in needs.get(key, ()):
            if needed not in ways:
                ways[needed] = (needed, *ways[key])
                waiting.append(needed)
    return ()


def evidence_words(evidence: Evidence) -> str:
    """What is asked for, in words: `wall clearance, cylinder 3`; `second pair of eyes: clips in their grooves`."""
    if evidence.proof is Proof.FIT:
        return f"{evidence.what}, {evidence.at}" if evidence.at and evidence.at.label else evidence.what
    number = f" ({evidence.number})" if evidence.number is not None else ""
    return f"{evidence.proof}: {evidence.what}{number}"


class _Draft:
    """A route that is being changed."""

    def __init__(self, steps: Sequence[Step]) -> None:
        self.steps = list(steps)
        self.needs: dict[str, tuple[str, ...]] = {}
        known = {step.key for step in steps}
        for step in steps:
            closed = [key for key in step.closes if key in known]
            within = [step.within] if step.within else []
            self.needs[step.key] = tuple(dict.fromkeys((*step.after, *within, *closed)))
        self._check_content()

    def _check_content(self) -> None:
        if len(self.needs) != len(self.steps):
            keys = [step.key for step in self.steps]
            twice = next(key for key in keys if keys.count(key) > 1)
            raise BlockwrightError(Problem("route-twice", f"the route has two steps '{twice}'."))
        for step in self.steps:
            for each in step.evidence:
                fit = REGISTRY.get(each.what)
                if each.proof is Proof.FIT and (fit is None or fit.place is not (each.at or ENGINE).place):
                    what = f"'{step.key}' asks for {evidence_words(each)}, and there is no such fit."
                    raise BlockwrightError(Problem("route-fit", what))
        for key, needs in self.needs.items():
            for needed in needs:
                if needed not in self.needs:
                    raise BlockwrightError(
                        Problem("route-unknown", f"'{key}' needs '{needed}', and there is no such step.")
                    )
        for key, needs in self.needs.items():
            for needed in needs:
                loop = path(self.needs, key, needed)
                if loop:
                    raise BlockwrightError(Problem("route-loop", f"the route goes in a circle: {_chain(loop)}."))

    def route(self) -> Route:
        ordered = _ordered(self.steps, self.needs)
        return Route(ordered, {step.key: self.needs[step.key] for step in ordered})

    def apply(self, changes: Sequence[StepChange]) -> Iterator[ChangeFault]:
        """Make every change that can be made: added steps first, then what is moved, then what is struck."""
        sound = []
        for index, change in enumerate(changes):
            faults = list(self._faults(index, change, changes))
            yield from faults
            if not faults:
                sound.append((index, change))
        for _, change in sound:
            if change.name:
                self.steps.append(_own_step(change))
                self.needs[change.key] = ()
        for index, change in sound:
            if not change.struck:
                yield from self._join(index, change)
        own = {change.key: change for _, change in sound if change.name}
        ranks = {step.key: index for index, step in enumerate(self.steps)}
        self._place([own[key] for key in _any_order(ranks, self.needs) if key in own])
        for index, change in sound:
            if change.struck:
                yield from self._strike(index, change)

    def _faults(self, index: int, change: StepChange, changes: Sequence[StepChange]) -> Iterator[ChangeFault]:
        """What is wrong with a change in itself."""
        there = change.key in self.needs
        if any(other.key == change.key for other in changes[:index]):
            what = f"there are two changes for '{excerpt(change.key)}'."
            yield ChangeFault(index, "key", Problem("step-twice", what, "Make one of the two."))
        elif change.name and there:
            what = f"the route has a step '{excerpt(change.key)}' already."
            yield ChangeFault(
                index, "key", Problem("step-taken", what, "Give your own step another key; or leave out its name.")
            )
        elif not change.name and not there:
            yield ChangeFault(index, "key", self._unknown(change.key, "A step of your own needs a name."))
        elif change.struck and (change.name or change.after or change.before):
            what = "a step that is struck cannot be added or moved too."
            yield ChangeFault(index, "struck", Problem("step-struck", what, "Keep one of the two."))
        elif not (change.struck or change.after or change.before):
            what = f"nothing says where '{excerpt(change.key)}' goes."
            mend = "Write after, before or both, each a list of keys; or struck = true."
            yield ChangeFault(index, "key", Problem("step-nowhere", what, mend))
        elif change.struck and not (change.by and change.why):
            what = "a step is struck by somebody, with a reason."
            yield ChangeFault(index, "struck", Problem("step-unsigned", what, "Add by and why."))

    def _join(self, index: int, change: StepChange) -> Iterator[ChangeFault]:
        """Add the needs of a step that was added or moved."""
        wanted = [("after", key) for key in change.after] + [("before", key) for key in change.before]
        for field, other in wanted:
            first, last = (other, change.key) if field == "after" else (change.key, other)
            if other not in self.needs:
                yield ChangeFault(index, field, self._unknown(other, "The keys are shown by 'blockwright route show'."))
                continue
            against = path(self.needs, last, first)
            if against:
                yield ChangeFault(index, field, _loop(first, last, against))
            elif first not in self.needs[last]:
                self.needs[last] = (*self.needs[last], first)

    def _place(self, added: Sequence[StepChange]) -> None:
        """Put each added step behind the last that it follows, or else before the first that waits for it, in its stage and group."""
        for change in added:
            own = next(step for step in self.steps if step.key == change.key)
            self.steps.remove(own)
            place = {step.key: index for index, step in enumerate(self.steps)}
            after = [place[key] for key in change.after if key in place]
            before = [place[key] for key in change.before if key in place]
            index = max(after) + 1 if after else min(before, default=len(self.steps))
            if after or before:
                beside = self.steps[max(after) if after else min(before)]
                own = replace(own, stage=beside.stage, group=beside.group)
            self.steps.insert(index, own)

    def _strike(self, index: int, change: StepChange) -> Iterator[ChangeFault]:
        step = next(step for step in self.steps if step.key == change.key)
        if step.evidence:
            asked = "; ".join(evidence_words(each) for each in step.evidence)
            what = f"'{step.key}' is a hold point and cannot be struck. It asks for: {asked}."
            mend = "A fit that is out or cannot be told can be accepted and signed instead."
            yield ChangeFault(index, "struck", Problem("step-hold", what, mend))
            return
        clocked = [other.key for other in self.steps if other.within == step.key]
        if clocked:
            what = f"'{step.key}' starts a clock that '{clocked[0]}' keeps, and cannot be struck."
            yield ChangeFault(index, "struck", Problem("step-clock", what, "Strike the step that keeps it first."))
            return
        own = self.needs.pop(step.key)
        self.steps.remove(step)
        for key, needs in self.needs.items():
            if step.key in needs:
                self.needs[key] = tuple(dict.fromkeys(k for n in needs for k in (own if n == step.key else (n,))))

    def _unknown(self, key: str, otherwise: str) -> Problem:
        what = f"the route has no step '{excerpt(key)}'."
        return Problem("step-unknown", what, meant(key, self.needs) or otherwise)


def _own_step(change: StepChange) -> Step:
    return Step(
        key=change.key, stage=Pass.FINAL, name=change.name, group=OWN, do=change.do, evidence=own_evidence(change)
    )


def _loop(first: str, last: str, against: Sequence[str]) -> Problem:
    if first == last:
        return Problem("step-loop", f"'{excerpt(first)}' cannot come before itself.", "Name another step.")
    what = f"'{excerpt(first)}' cannot come before '{excerpt(last)}', which must be done first: {_chain(against)}."
    return Problem("step-loop", what, "Put it elsewhere.")


def _chain(keys: Sequence[str]) -> str:
    """Steps one after the other, long ways cut in the middle."""
    shown = [*keys[:3], "…", keys[-1]] if len(keys) > 5 else list(keys)
    return ", then ".join(f"'{excerpt(key)}'" if key != "…" else key for key in shown)


def _ordered(steps: Sequence[Step], needs: Mapping[str, tuple[str, ...]]) -> tuple[Step, ...]:
    """The steps in an order that holds: as they are listed wherever that can be, a step that others wait for before the first of them."""
    place = {step.key: index for index, step in enumerate(steps)}
    early = dict(place)
    for key in reversed(_any_order(place, needs)):
        for needed in needs[key]:
            early[needed] = min(early[needed], early[key])
    return tuple(steps[place[key]] for key in _any_order(early, needs, place))


def _any_order(
    rank: Mapping[str, int], needs: Mapping[str, tuple[str, ...]], then: Mapping[str, int] | None = None
) -> list[str]:
    """Keys so that each comes after what it needs, the lowest rank first among those that can come."""
    left = {key: len(set(needs[key])) for key in rank}
    waiting: dict[str, list[str]] = {key: [] for key in rank}
    for key in rank:
        for needed in set(needs[key]):
            waiting[needed].append(key)
    ready = [(rank[key], then[key] if then else 0, key) for key, count in left.items() if not count]
    heapq.heapify(ready)
    ordered = []
    while ready:
        _, _, key = heapq.heappop(ready)
        ordered.append(key)
        for other in waiting[key]:
            left[other] -= 1
            if not left[other]:
                heapq.heappush(ready, (rank[other], then[other] if then else 0, other))
    return ordered
