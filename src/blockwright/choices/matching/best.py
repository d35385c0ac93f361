"""The best set and the second best: smallest worst deviation first, then the smallest sum, then the smallest mass spread.

Each aim is reached and then held while the next is sought; among sets that are equal in all of them the one that comes first in natural order of
places and marks is taken, so that the same parts always give the same answer, in whatever order they are listed.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from blockwright.choices.matching.ground import Bools, Ground, Ints
from blockwright.choices.matching.model import Chosen, Objective
from blockwright.choices.matching.solving import Cheapest, Solver, everything

MORE_THAN_ANY = 2**62


@dataclass(frozen=True)
class Ranked:
    """How good the best of some sets is, and what is needed to find them all: what is allowed, and the windows of mass that reach it."""

    objective: Objective
    windows: tuple[Bools, ...]
    choice: tuple[int, ...]


def ranked(
    solver: Solver, allowed: Bools, most: Objective | None = None, least: Objective | None = None
) -> Ranked | None:
    """The best objective among allowed options; `None` where there is no set (banks that cannot balance) or none as good as `most`.

    `least`: what no set here can beat, where that is known.
    """
    first = solver.cheapest(allowed, None if most is None else (most.empty, MORE_THAN_ANY))
    if first is None:
        return None
    known = least.worst if least is not None and least.empty == first.empty else 0
    worst, cheapest = _least_worst(solver, allowed, first, known)
    if most is not None and (first.empty, worst, cheapest.total) > most[:3]:
        return None
    windows, choice = _least_spread(solver, allowed & (solver.ground.steps <= worst), cheapest)
    objective = solver.ground.objective(choice)
    return Ranked(objective, windows, choice) if most is None or objective <= most else None


def first_of_equals(solver: Solver, rank: Ranked) -> tuple[int, ...]:
    """Of all sets as good as that, the first in natural order of places and marks: place by place, and mark by mark within a place."""
    most = rank.objective.empty, rank.objective.total
    windows, choice, ground = list(rank.windows), rank.choice, solver.ground
    filled: list[int] = []
    for place in range(len(ground.places)):
        here = np.flatnonzero(ground.place_of == place)
        left = here.tolist()
        for slot in range(max((len(ground.options[option].uses) for option in left), default=0)):
            for _, group in itertools.groupby(left, key=lambda option: ground.options[option].uses[slot : slot + 1]):
                alike = list(group)
                tried = [_only(window, here, alike) for window in windows]
                if choice[place] in alike:
                    left, windows = alike, tried
                    break
                reached = [
                    (window, found)
                    for window in tried
                    if (found := solver.cheapest(window, most, [*filled, place])) is not None
                ]
                if reached:
                    left, windows, choice = alike, [window for window, _ in reached], reached[0][1].choice
                    break
        filled += [place] if choice[place] >= 0 else []
    return choice


def second_of(solver: Solver, best: Chosen) -> tuple[int, ...] | None:
    """The best set other than this one that fills as many places; `None` where there is no other."""
    index = {option.key: number for number, option in enumerate(solver.ground.options)}
    found: list[Ranked] = []
    as_full = Objective(best.objective.empty, MORE_THAN_ANY, MORE_THAN_ANY, MORE_THAN_ANY)
    for option in best.options:
        most = min((rank.objective for rank in found), default=as_full)
        rank = ranked(solver, everything(solver.ground, [index[option.key]]), most, best.objective)
        if rank is not None:
            found.append(rank)
    least = min((rank.objective for rank in found), default=None)
    firsts = [first_of_equals(solver, rank) for rank in found if rank.objective == least]
    return min(firsts, key=_order) if firsts else None


def _order(choice: Sequence[int]) -> tuple[tuple[bool, int], ...]:
    return tuple((index < 0, index) for index in choice)


def _least_worst(solver: Solver, allowed: Bools, first: Cheapest, known: int) -> tuple[int, Cheapest]:
    """The smallest limit on deviations under which no more places stay empty, and the cheapest set under it: by halving."""
    steps = solver.ground.steps
    levels = np.unique(steps[allowed])

    def level(found: Cheapest) -> int:
        return int(np.searchsorted(levels, steps[[index for index in found.choice if index >= 0]].max()))

    if all(index < 0 for index in first.choice):
        return 0, first
    best, high = first, level(first)
    floor = max(known, _floor(solver.ground, allowed, first.empty))
    low = min(high, int(np.searchsorted(levels, floor)))
    middle = low
    while low < high:
        found = solver.cheapest(allowed & (steps <= levels[middle]), (first.empty, MORE_THAN_ANY))
        if found is None:
            low = middle + 1
        else:
            best, high = found, level(found)
        middle = (low + high) // 2
    return int(levels[high]), best


def _floor(ground: Ground, allowed: Bools, empty: int) -> int:
    """No set can be better in its worst than this: each place's nearest option, but for the places that stay empty."""
    nearest = [
        int(ground.steps[here].min())
        for place in range(len(ground.places))
        if (here := allowed & (ground.place_of == place)).any()
    ]
    kept = sorted(nearest)[: max(len(ground.places) - empty, 0)]
    return kept[-1] if kept else 0


def _least_spread(solver: Solver, within: Bools, least: Cheapest) -> tuple[tuple[Bools, ...], tuple[int, ...]]:
    """The narrowest windows of mass that still hold a set as cheap, and such a set. The lower end goes up; the upper end never comes down."""
    ground = solver.ground
    if not ground.weighed or not within.any():
        return (within,), least.choice
    masses, most = np.unique(ground.masses[within]), (least.empty, least.total)
    narrowest, found, end = MORE_THAN_ANY, list[tuple[Bools, tuple[int, ...]]](), 0
    for start, low in enumerate(masses):
        end = max(start, end)
        while end < len(masses):
            wide = int(masses[end] - low)
            window = within & (ground.masses >= low) & (ground.masses <= masses[end])
            if wide > narrowest:
                break
            reached = solver.cheapest(window, most)
            if reached is not None:
                narrowest, found = wide, [*(found if wide == narrowest else ()), (window, reached.choice)]
                break
            end += 1
        if end == len(masses):
            break
    return tuple(window for window, _ in found), found[0][1]


def _only(window: Bools, here: Ints, alike: Sequence[int]) -> Bools:
    """A window in which a place takes one of some options or stays empty."""
    kept = window.copy()
    kept[here] = False
    kept[alike] = window[alike]
    return kept
