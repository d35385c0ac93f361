"""The cheapest set out of allowed options: exact, by assignment where each place takes one part of its own, by integer programme where terms couple.

Coupled terms are shells that make one place together, and banks that must balance. Even there the assignment without them is solved first: where
its answer keeps them it is the answer, and where it is already too dear no more need be asked. Two banks of single parts have a quicker exact way
of their own (`halves`); everything else goes to HiGHS.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, linear_sum_assignment, milp

from blockwright.choices.matching.ground import Bools, Ground, Ints
from blockwright.choices.matching.halves import halves_of
from blockwright.problems import BlockwrightError, Problem

Floats = NDArray[np.float64]

PATIENCE_S = 20.0
"""After so long an integer programme is given up: what it has by then is not proven, and the result says so."""
GIVEN_UP = f"no set was found in {PATIENCE_S:g} s, and none was ruled out."
DONE, IMPOSSIBLE = 0, 2
"""Statuses of the integer programme: proven optimal, proven impossible."""


@dataclass(frozen=True, order=True)
class Cheapest:
    """Places left empty, sum of steps, and the choice: an option's index for each place, -1 for none."""

    empty: int
    total: int
    choice: tuple[int, ...] = field(compare=False)


class Solver:
    """Finds cheapest sets on one ground. `proven` turns false once an integer programme was given up."""

    def __init__(self, ground: Ground, *, by_programme: bool = False) -> None:
        """`by_programme` leaves two banks to the integer programme too: the second route."""
        self.ground, self.proven, self.programmes = ground, True, 0
        self._halves = halves_of(ground) if ground.held and not by_programme else None
        self._coupled = bool(ground.held) or not ground.single
        slots = max((len(option.uses) for option in ground.options), default=1)
        self._slots = [_Slot(ground, slot) for slot in range(slots)]
        self._big = 1 + len(ground.places) * int(ground.steps.max(initial=0))

    def cheapest(
        self, allowed: Bools, most: tuple[int, int] | None = None, must: Sequence[int] = ()
    ) -> Cheapest | None:
        """Fewest places empty, then the smallest sum; `None` where that is more than `most` (empty, sum), or a place of `must` stays empty."""
        bounds = [slot.cheapest(allowed, self._big, must) for slot in self._slots]
        bound = max(bounds, key=lambda each: (each.empty, each.total))
        if _dearer(bound, most) or any(each.choice[place] < 0 for each in bounds for place in must):
            return None
        if not self._coupled or self.ground.keeps(bound.choice):
            return bound
        found = self._programme(allowed, most, must)
        return None if found is None or _dearer(found, most) else found

    def _programme(self, allowed: Bools, most: tuple[int, int] | None, must: Sequence[int]) -> Cheapest | None:
        """By HiGHS: all places filled and the banks balanced. Where stock does not fill them, as few empty as can be; balances then do not bind."""
        full = self._full(allowed)
        if full is not None or (most is not None and most[0] == 0):
            return full
        held = bool(self.ground.held)
        if held and (self.ground.single or self._ask(allowed, filled=True, balanced=False) is not None):
            return None
        return self._ask(allowed, filled=False, balanced=False, must=must)

    def _full(self, allowed: Bools) -> Cheapest | None:
        if self._halves is None:
            return self._ask(allowed, filled=True, balanced=True)
        choice = self._halves.cheapest(allowed)
        return None if choice is None else Cheapest(0, int(self.ground.steps[list(choice)].sum()), choice)

    def _ask(self, allowed: Bools, *, filled: bool, balanced: bool, must: Sequence[int] = ()) -> Cheapest | None:
        ground = self.ground
        index = np.flatnonzero(allowed)
        n, places = len(index), len(ground.places)
        rows = np.zeros((places, n + places))
        rows[ground.place_of[index], np.arange(n)] = 1.0
        rows[np.arange(places), n + np.arange(places)] = 1.0
        blocks = [rows]
        low, high = [np.ones(places)], [np.ones(places)]
        for block, least, greatest in self._couplings(index, balanced=balanced):
            blocks.append(np.hstack([block, np.zeros((len(block), places))]))
            low.append(least)
            high.append(greatest)
        costs = np.concatenate([ground.steps[index].astype(float), np.full(places, float(self._big))])
        upper = np.concatenate([np.ones(n), np.zeros(places) if filled else ~np.isin(np.arange(places), must)])
        self.programmes += 1
        answer = milp(
            costs, integrality=np.ones(n + places, np.int64), bounds=Bounds(0.0, upper),
            constraints=LinearConstraint(np.vstack(blocks), np.concatenate(low), np.concatenate(high)),
            options={"mip_rel_gap": 0.0, "time_limit": PATIENCE_S},
        )  # fmt: skip
        return self._read(answer, index, balanced=balanced)

    def _couplings(self, index: Ints, *, balanced: bool) -> list[tuple[Floats, Floats, Floats]]:
        ground = self.ground
        stock = np.array([count for _, count in ground.stock], float)
        found = [(ground.uses[:, index].astype(float), np.full(len(stock), -np.inf), stock)]
        if balanced and ground.held:
            shares = np.array([held.share[index] for held in ground.held], float)
            steps = np.array([held.step for held in ground.held], float)
            found.append((shares, -steps, steps))
        return found

    def _read(self, answer: object, index: Ints, *, balanced: bool) -> Cheapest | None:
        status, x = getattr(answer, "status"), getattr(answer, "x")  # noqa: B009 - scipy's result has no types
        if x is None:
            if status != IMPOSSIBLE:
                raise BlockwrightError(
                    Problem("match-given-up", GIVEN_UP, "Keep some parts where they are, or choose for fewer places.")
                )
            return None
        taken = index[np.flatnonzero(np.round(x[: len(index)]))]
        choice = np.full(len(self.ground.places), -1)
        choice[self.ground.place_of[taken]] = taken
        told = tuple(int(each) for each in choice)
        total = int(self.ground.steps[taken].sum())
        empty = len(told) - len(taken)
        bound = float(getattr(answer, "mip_dual_bound"))  # noqa: B009
        sure = status == DONE and bound > self._big * empty + total - 1.0 and (not balanced or self.ground.keeps(told))
        self.proven = self.proven and sure
        return Cheapest(empty, total, told)


class _Slot:
    """The assignment by one of the parts that each option uses, which bounds the whole from below."""

    def __init__(self, ground: Ground, slot: int) -> None:
        places = len(ground.places)
        columns: dict[str, range] = {}
        start = 0
        for mark, count in ground.stock:
            columns[mark] = range(start, start + min(count, places))
            start = columns[mark].stop
        self.wide, self.places, self.steps = start, places, ground.steps
        used = [option.uses[min(slot, len(option.uses) - 1)] for option in ground.options]
        cells = [
            (place, column, number)
            for number, (place, mark) in enumerate(zip(ground.place_of.tolist(), used, strict=True))
            for column in columns[mark]
        ]
        cells.sort(key=lambda cell: (-int(ground.steps[cell[2]]), -cell[2]))
        self.rows, self.columns, self.numbers = (np.array(each, np.int64) for each in zip(*cells, strict=True)) if cells else (
            np.zeros(0, np.int64) for _ in range(3)
        )  # fmt: skip

    def cheapest(self, allowed: Bools, big: int, must: Sequence[int]) -> Cheapest:
        """The assignment; of several options on one cell the cheapest, and the first of those."""
        kept = allowed[self.numbers]
        rows, columns, numbers = self.rows[kept], self.columns[kept], self.numbers[kept]
        costs = np.full((self.places, self.wide + self.places), float(big) * (self.places + 1))
        costs[:, self.wide :] = big
        costs[list(must), self.wide :] = float(big) * (self.places + 1)
        which = np.full((self.places, self.wide + self.places), -1)
        costs[rows, columns] = self.steps[numbers]
        which[rows, columns] = numbers
        _, column = linear_sum_assignment(costs)
        choice = which[np.arange(self.places), column]
        taken = choice[choice >= 0]
        return Cheapest(self.places - len(taken), int(self.steps[taken].sum()), tuple(int(each) for each in choice))


def _dearer(found: Cheapest, most: tuple[int, int] | None) -> bool:
    return most is not None and (found.empty, found.total) > most


def everything(ground: Ground, banned: Sequence[int] = ()) -> Bools:
    """All options but those banned."""
    allowed = np.ones(len(ground.options), bool)
    allowed[list(banned)] = False
    return allowed
