"""Two balanced banks, exactly and quickly: what one bank weighs depends on which parts are in it, and not on where in it they are.

For every group of parts that could fill a bank, the cheapest way to put them into it; then, of all pairs of groups that share no part and balance,
the cheapest. Which pairs balance does not depend on what is allowed, so it is found once. The integer programme is the second, independent route.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from blockwright.choices.matching.ground import Bools, Ground, Ints

MOST_PAIRS = 3_000_000
"""More pairs of groups than this are left to the integer programme."""
NEVER = 2**50


@dataclass(frozen=True)
class _Groups:
    """All groups of `size` out of the parts: `prior` and `last` take each apart into a smaller group and one part more, in every way."""

    members: Ints
    prior: Ints
    last: Ints


class Halves:
    """Cheapest full and balanced sets on one ground."""

    def __init__(self, ground: Ground, base: Ints, parts: Ints, sides: tuple[Ints, Ints]) -> None:
        self.ground, self.parts, self.sides = ground, parts, sides
        (held,) = ground.held
        ladder = _ladder(len(parts), max(map(len, sides)))
        self._ladder = ladder
        first, second = (ladder[len(side)].members for side in sides)
        weights = [parts[members].sum(axis=1) for members in (first, second)]
        bits = [(1 << members).sum(axis=1) for members in (first, second)]
        apart = weights[0][:, None] - weights[1][None, :] + int(base[sides[0]].sum() - base[sides[1]].sum())
        fits = (np.abs(apart) <= held.step) & ((bits[0][:, None] & bits[1][None, :]) == 0)
        self._pairs = np.nonzero(fits)
        columns = [range(start, start + count) for start, count in _columns(ground)]
        self._cells = np.array([
            (place, column, number)
            for number, place in enumerate(ground.place_of.tolist())
            for column in columns[int(np.flatnonzero(ground.uses[:, number])[0])]
        ], np.int64).reshape(-1, 3)  # fmt: skip

    def cheapest(self, allowed: Bools) -> tuple[int, ...] | None:
        """The choice: an option's index for each place. `None` where no full set balances."""
        costs, which = self._costs(allowed)
        by_first, by_second = (self._of_side(costs[side]) for side in self.sides)
        first, second = self._pairs
        totals = by_first[first] + by_second[second]
        if not len(totals) or totals.min() >= NEVER:
            return None
        best = int(totals.argmin())
        choice = np.full(len(self.ground.places), -1)
        for side, group in zip(self.sides, (first[best], second[best]), strict=True):
            members = self._ladder[len(side)].members[group]
            rows, columns = linear_sum_assignment(costs[np.ix_(side, members)].astype(float))
            choice[side[rows]] = which[side[rows], members[columns]]
        return tuple(int(each) for each in choice)

    def _costs(self, allowed: Bools) -> tuple[Ints, Ints]:
        shape = len(self.ground.places), len(self.parts)
        costs, which = np.full(shape, NEVER), np.full(shape, -1)
        rows, columns, numbers = self._cells[allowed[self._cells[:, 2]]].T
        costs[rows, columns] = self.ground.steps[numbers]
        which[rows, columns] = numbers
        return costs, which

    def _of_side(self, costs: Ints) -> Ints:
        """For every group of parts the cheapest way to fill the places of one side with it."""
        found = np.zeros(1, np.int64)
        for size, row in enumerate(costs, 1):
            groups = self._ladder[size]
            found = np.minimum((found[groups.prior] + row[groups.last]).min(axis=1), NEVER)
        return found


def halves_of(ground: Ground) -> Halves | None:
    """Where it applies: one part a place, one balance over all places, masses that are the sum of a place's and a part's, not too many groups."""
    if not ground.single or len(ground.held) != 1 or not ground.options:
        return None
    (balance,) = ground.balances
    if len(balance.first) + len(balance.second) != len(ground.places):
        return None
    count = sum(number for _, number in _columns(ground))
    first, second = len(balance.first), len(balance.second)
    if count < first + second or count > 60 or math.comb(count, first) * math.comb(count, second) > MOST_PAIRS:
        return None
    parted = _parted(ground)
    if parted is None:
        return None
    index = {place: number for number, place in enumerate(ground.places)}
    sides = tuple(np.array([index[place] for place in side], np.int64) for side in (balance.first, balance.second))
    base, marks = parted
    parts = np.repeat(marks, [number for _, number in _columns(ground)])
    return Halves(ground, base, parts, (sides[0], sides[1]))


def _columns(ground: Ground) -> list[tuple[int, int]]:
    """First column and number of columns of each mark."""
    counts = [min(count, len(ground.places)) for _, count in ground.stock]
    starts = [0, *itertools.accumulate(counts)]
    return list(zip(starts, counts, strict=False))


def _parted(ground: Ground) -> tuple[Ints, Ints] | None:
    """Masses of places and of marks that add up to every option's mass; `None` where there are none."""
    mark_of = ground.uses.argmax(axis=0)
    base, marks = {int(ground.place_of[0]): 0}, dict[int, int]()
    for _ in range(len(ground.places) + len(ground.stock)):
        known = len(base) + len(marks)
        for place, mark, mass in zip(ground.place_of.tolist(), mark_of.tolist(), ground.masses.tolist(), strict=True):
            if place in base:
                marks.setdefault(mark, mass - base[place])
            elif mark in marks:
                base[place] = mass - marks[mark]
        if len(base) + len(marks) == known:
            break
    if len(base) < len(ground.places) or len(marks) < len(ground.stock):
        return None
    bases = np.array([base[number] for number in range(len(ground.places))], np.int64)
    parts = np.array([marks[number] for number in range(len(ground.stock))], np.int64)
    return (bases, parts) if (bases[ground.place_of] + parts[mark_of] == ground.masses).all() else None


def _ladder(count: int, tallest: int) -> list[_Groups]:
    """Groups of 0, 1, 2 ... parts."""
    nothing = np.zeros((1, 0), np.int64)
    ladder = [_Groups(nothing, nothing, nothing)]
    index: dict[tuple[int, ...], int] = {(): 0}
    for size in range(1, tallest + 1):
        listed = list(itertools.combinations(range(count), size))
        prior = [[index[group[:i] + group[i + 1 :]] for i in range(size)] for group in listed]
        members = np.array(listed, np.int64)
        ladder.append(_Groups(members, np.array(prior, np.int64), members))
        index = {group: number for number, group in enumerate(listed)}
    return ladder
