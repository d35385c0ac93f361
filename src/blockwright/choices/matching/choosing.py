"""`choose`: the best set out of a table, what it still misses, the second best, what one bought part would buy, and whether it is a coin-toss."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from blockwright.choices.matching.best import first_of_equals, ranked, second_of
from blockwright.choices.matching.coin import TOSS, Coin, coin
from blockwright.choices.matching.ground import Ground, ground_of
from blockwright.choices.matching.model import (
    DEVIATION_STEP,
    MASS_STEP_KG,
    Chosen,
    Never,
    Objective,
    Option,
    Stays,
    Table,
    natural,
    outside,
)
from blockwright.choices.matching.solving import Solver, everything
from blockwright.problems import BlockwrightError, Problem

PER_NANOMETRE = DEVIATION_STEP * 1e9
"""Makes a miss a deviation that is compared in steps of a nanometre."""


@dataclass(frozen=True)
class Miss:
    """A place without a part inside the hard limits, and the free parts that come nearest; none where no part is left."""

    place: str
    nearest: Option | None


@dataclass(frozen=True)
class Bought:
    """What a part made to the aim of one place would make of the whole set."""

    place: str
    objective: Objective
    instead_of: tuple[str, ...]


@dataclass(frozen=True)
class Match:
    """What was chosen. `bound`: no set can be better than this; where `proven`, it is the objective itself.

    `outside`: what is chosen although it lies outside a soft limit. `free`: marks that are left over, each as often as it is left.
    `second` fills as many places as the best; `coin` is there where there is such a second best.
    """

    best: Chosen
    second: Chosen | None
    missing: tuple[Miss, ...]
    outside: tuple[Option, ...]
    free: tuple[str, ...]
    bought: Bought | None
    coin: Coin | None
    proven: bool
    bound: Objective
    notes: tuple[str, ...] = ()


def choose(table: Table, toss: float = TOSS) -> Match:
    """The best set. Pure: the same parts give the same answer in whatever order they are listed.

    Raises BlockwrightError where the rules contradict each other or the banks cannot be balanced.
    """
    ground = ground_of(table)
    solver = Solver(ground)
    rank = ranked(solver, everything(ground))
    if rank is None:
        raise BlockwrightError(_unbalanced(ground))
    best = chosen(ground, first_of_equals(solver, rank))
    other = second_of(solver, best)
    second = None if other is None else chosen(ground, other)
    free = _free(table, best)
    return Match(
        best, second, tuple(_missing(table, best, free)), tuple(each for each in best.options if outside(each)), free,
        _bought(ground, best), None if second is None else coin(best, second, toss), solver.proven,
        best.objective if solver.proven else _bound(ground), _notes(ground, best),
    )  # fmt: skip


def chosen(ground: Ground, choice: Sequence[int]) -> Chosen:
    """A choice of indexes as a set."""
    return Chosen(tuple(ground.options[index] for index in choice if index >= 0), ground.objective(choice))


def as_placed(table: Table, placed: Mapping[str, tuple[str, ...]]) -> Chosen | None:
    """Parts as they are now, as a set; `None` where a place is without, or holds what a limit or a rule forbids there."""
    ground = ground_of(table)
    index = {(option.place, frozenset(option.uses)): number for number, option in enumerate(ground.options)}
    choice = [index.get((place, frozenset(placed.get(place, ()))), -1) for place in ground.places]
    return None if -1 in choice or not ground.keeps(choice) else chosen(ground, choice)


def _bound(ground: Ground) -> Objective:
    """What no set can beat: the best without balances, by single parts."""
    nearest = [ground.steps[ground.place_of == place].min(initial=2**62) for place in range(len(ground.places))]
    known = [int(each) for each in nearest if each < 2**62]
    return Objective(len(nearest) - len(known), max(known, default=0), sum(known), 0)


def _free(table: Table, best: Chosen) -> tuple[str, ...]:
    marks = {mark for option in table.options for mark in option.uses}
    left = Counter({mark: table.stock.get(mark, 1) for mark in marks})
    left.subtract(mark for option in best.options for mark in option.uses)
    return tuple(sorted(left.elements(), key=lambda mark: (natural(mark), mark)))


def _missing(table: Table, best: Chosen, free: Sequence[str]) -> list[Miss]:
    """The places left empty, with what is left over put where it misses least: the same choice, with misses for deviations."""
    empty = [place for place in table.places if best.at(place) is None]
    left = Counter(free)
    offered = [
        replace(option, barred="", deviation=abs(option.miss) * PER_NANOMETRE, mass_kg=None)
        for option in table.options
        if option.barred and option.place in empty and not Counter(option.uses) - left and not _ruled_out(table, option)
    ]
    ground = ground_of(Table(tuple(empty), tuple(offered), (), left))
    solver = Solver(ground)
    rank = ranked(solver, everything(ground))
    near = {} if rank is None else {each.place: each for each in chosen(ground, first_of_equals(solver, rank)).options}
    originals = {each.key: each for each in table.options}
    told = sorted(empty, key=lambda place: (natural(place), place))
    return [Miss(place, originals[place, near[place].uses] if place in near else None) for place in told]


def _ruled_out(table: Table, option: Option) -> bool:
    """Whether a rule keeps these parts from this place."""
    return any(
        (isinstance(rule, Never) and rule.place == option.place and rule.mark in option.uses)
        or (isinstance(rule, Stays) and rule.place == option.place and rule.mark not in option.uses)
        for rule in table.rules
    )


def _bought(ground: Ground, best: Chosen) -> Bought | None:
    """The place where one part made to its aim would help most; `None` where it would not make the set better.

    It is taken to weigh what the set asks of it: its place binds neither balance nor spread.
    """
    found: Bought | None = None
    for place in ground.places:
        rest = ground.without(place)
        solver = Solver(rest)
        rank = ranked(solver, everything(rest))
        if rank is None or rank.objective[:3] >= best.objective[:3]:
            continue
        if found is None or rank.objective < found.objective:
            there = best.at(place)
            found = Bought(place, rank.objective, there.uses if there else ())
    return found


def _notes(ground: Ground, best: Chosen) -> tuple[str, ...]:
    if best.objective.empty and ground.balances:
        return ("a place stays empty, so the balance of the banks is not looked at",)
    return ()


def _unbalanced(ground: Ground) -> Problem:
    """The message where no full set balances: the nearest of the first balance that cannot be kept alone, else of all."""
    for balance in ground.balances:
        least = _least_difference(replace(ground, balances=(balance,)))
        if least is not None and least > balance.step_kg:
            what = f"no set brings the two sides nearer than {least * 1e3:.2f} g, and {balance.step_kg * 1e3:g} g is wanted."
            return Problem("match-unbalanced", what, "Widen the step, weigh again, or lighten the heaviest part.")
    return Problem("match-unbalanced", "no set keeps all the balances at once.", "Widen the step of one.")


def _least_difference(ground: Ground) -> float | None:
    """The smallest difference of the two sides that any full set has, kg."""
    n, (held,) = len(ground.options), ground.held
    fill = np.zeros((len(ground.places), n + 1))
    fill[ground.place_of, np.arange(n)] = 1.0
    stock = np.hstack([ground.uses, np.zeros((len(ground.stock), 1))])
    sides = np.array([[*held.share, -1.0], [*(-held.share), -1.0]])
    counts = np.array([count for _, count in ground.stock], float)
    answer = milp(
        np.array([*np.zeros(n), 1.0]), integrality=np.ones(n + 1, np.int64),
        bounds=Bounds(0.0, np.array([*np.ones(n), np.inf])),
        constraints=[LinearConstraint(fill, 1.0, 1.0), LinearConstraint(stock, -np.inf, counts), LinearConstraint(sides, -np.inf, 0.0)],
    )  # fmt: skip
    return None if answer.x is None else float(round(answer.fun)) * MASS_STEP_KG
