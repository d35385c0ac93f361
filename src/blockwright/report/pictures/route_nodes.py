"""The route made ready to be drawn: alike steps of several positions on one card, and only those needs that do not follow from others.

Needs are thinned step by step (transitive reduction) before steps are put together, so no line is drawn that another one tells already, and none is
lost. Steps are alike where their keys and names differ in one number only, and they stand under one heading.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from blockwright.choices.route.graph import Route
from blockwright.choices.route.step import Pass, Step

_NUMBER = re.compile(r"\d+")


@dataclass(frozen=True)
class Node:
    """One card: a step, or alike steps in their order.

    `labels` are the numbers that tell them apart; `joined` says of each whether it needs the one before it.
    """

    name: str
    steps: tuple[Step, ...]
    labels: tuple[str, ...] = ("",)
    joined: tuple[bool, ...] = (False,)

    @property
    def hold(self) -> bool:
        """Whether it asks for something before it can be signed."""
        return bool(self.steps[0].evidence)


@dataclass(frozen=True)
class Line:
    """That a card needs another. `every`: all of the one before any of the other; else each needs its own, by number or by bank."""

    first: int
    last: int
    every: bool


@dataclass(frozen=True)
class Band:
    """Cards that stand under one heading, one after the other on the route."""

    stage: Pass
    group: str
    nodes: tuple[int, ...]


@dataclass(frozen=True)
class Cards:
    """The whole route as cards, the lines between them and the headings over them, all in the order of the route."""

    nodes: tuple[Node, ...]
    lines: tuple[Line, ...]
    bands: tuple[Band, ...]


def cards_of(route: Route) -> Cards:
    """The cards of a route."""
    before = _before(route)
    needs = thinned(route, before)
    runs = [
        (stage, group, list(steps)) for (stage, group), steps in groupby(route.steps, key=lambda s: (s.stage, s.group))
    ]
    apart: set[str] = set()
    while True:
        banded = [[_node(each, needs) for each in _alike(steps, needs, apart)] for _, _, steps in runs]
        nodes = [node for listed in banded for node in listed]
        circling = _in_circles(nodes, needs)
        if not circling:
            break
        apart |= circling
    place = {step.key: index for index, node in enumerate(nodes) for step in node.steps}
    starts = [sum(map(len, banded[:index])) for index in range(len(banded))]
    bands = [
        Band(stage, group, tuple(range(start, start + len(listed))))
        for (stage, group, _), start, listed in zip(runs, starts, banded, strict=True)
    ]
    pairs = sorted({(place[first], place[last]) for last, firsts in needs.items() for first in firsts})
    lines = (Line(a, b, _every(nodes[a], nodes[b], before)) for a, b in pairs if a != b)
    return Cards(tuple(nodes), tuple(lines), tuple(bands))


def thinned(route: Route, before: Mapping[str, frozenset[str]] | None = None) -> dict[str, tuple[str, ...]]:
    """What each step needs, without what it needs through another step anyway; `before` is all that each step needs, where it is known."""
    before = before or _before(route)
    found = {}
    for step in route.steps:
        wanted = route.needs[step.key]
        through = frozenset().union(*(before[key] for key in wanted)) if wanted else frozenset()
        found[step.key] = tuple(key for key in wanted if key not in through)
    return found


def _before(route: Route) -> dict[str, frozenset[str]]:
    """By key, every step that must be signed before, itself or through others."""
    found: dict[str, frozenset[str]] = {}
    for step in route.steps:
        wanted = route.needs[step.key]
        found[step.key] = frozenset(wanted).union(*(found[key] for key in wanted))
    return found


def _alike(steps: Sequence[Step], needs: Mapping[str, tuple[str, ...]], apart: Iterable[str]) -> list[tuple[Step, ...]]:
    """Steps of one heading, alike ones together where the first of them stands."""
    sorted_out: dict[object, list[Step]] = {}
    for step in steps:
        kind = None if step.key in apart else _kind(step)
        sorted_out.setdefault(kind or step.key, []).append(step)
    found: list[tuple[Step, ...]] = []
    for together in sorted_out.values():
        found += [tuple(together)] if _in_a_row(together, needs) else [(step,) for step in together]
    return found


def _kind(step: Step) -> tuple[str, str, bool] | None:
    """What alike steps share; `None` for a step whose key has not exactly one number."""
    numbers = _NUMBER.findall(step.key)
    return (
        (_unnumbered(step.key), _unnumbered(step.name, numbers[0]), bool(step.evidence)) if len(numbers) == 1 else None
    )


def _unnumbered(said: str, number: str = r"\d+") -> str:
    return re.sub(rf"\s*\b{number}\b", "", said)


def _in_a_row(steps: Sequence[Step], needs: Mapping[str, tuple[str, ...]]) -> bool:
    """Whether steps need each other at most one after the other."""
    inside = {(first, step.key) for step in steps for first in needs[step.key]} & {
        (a.key, b.key) for a in steps for b in steps
    }
    return inside <= {(a.key, b.key) for a, b in pairwise(steps)}


def _node(steps: tuple[Step, ...], needs: Mapping[str, tuple[str, ...]]) -> Node:
    if len(steps) == 1:
        return Node(steps[0].name, steps)
    numbers = tuple(_NUMBER.findall(step.key)[0] for step in steps)
    needed = (False, *(a.key in needs[b.key] for a, b in pairwise(steps)))
    return Node(_unnumbered(steps[0].name, numbers[0]), steps, numbers, needed)


def _in_circles(nodes: Sequence[Node], needs: Mapping[str, tuple[str, ...]]) -> set[str]:
    """Keys of the steps on cards of several that wait for each other in a circle; none where the cards are in an order that holds."""
    place = {step.key: index for index, node in enumerate(nodes) for step in node.steps}
    pairs = {(place[first], place[last]) for last, firsts in needs.items() for first in firsts}
    pairs = {(a, b) for a, b in pairs if a != b}
    left = set(range(len(nodes)))
    while True:
        firsts, lasts = {a for a, b in pairs if b in left}, {b for a, b in pairs if a in left}
        ends = {index for index in left if index not in firsts or index not in lasts}
        if not ends:
            break
        left -= ends
        pairs = {(a, b) for a, b in pairs if a in left and b in left}
    return {step.key for index in left if len(nodes[index].steps) > 1 for step in nodes[index].steps}


def _every(first: Node, last: Node, before: Mapping[str, frozenset[str]]) -> bool:
    return all(a.key in before[b.key] for a in first.steps for b in last.steps)
