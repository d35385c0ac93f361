"""A table made ready for reckoning: rules applied, everything in natural order, whole numbers; and what in the rules contradicts itself."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from blockwright.choices.matching.model import (
    MASS_STEP_KG,
    Balance,
    Never,
    Objective,
    Option,
    Stays,
    Table,
    by_name,
    finite,
    natural,
)
from blockwright.problems import BlockwrightError, Problem, excerpt

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Held:
    """A balance in whole steps: what each option adds to one side less the other, and the most they may differ."""

    share: Ints
    step: int


@dataclass(frozen=True)
class Ground:
    """Places and options that may be chosen, in natural order. `weighed`: whether masses count."""

    places: tuple[str, ...]
    options: tuple[Option, ...]
    stock: tuple[tuple[str, int], ...]
    balances: tuple[Balance, ...]
    weighed: bool

    @cached_property
    def place_of(self) -> Ints:
        """Index of each option's place."""
        index = {place: number for number, place in enumerate(self.places)}
        return np.array([index[option.place] for option in self.options], np.int64)

    @cached_property
    def steps(self) -> Ints:
        """Each option's way from the aim."""
        return np.array([option.steps for option in self.options], np.int64)

    @cached_property
    def masses(self) -> Ints:
        """Each option's mass; nil where masses do not count."""
        return np.array([option.mass_steps if self.weighed else 0 for option in self.options], np.int64)

    @cached_property
    def uses(self) -> Ints:
        """How many of each mark (rows) each option (columns) takes."""
        counted = [Counter(option.uses) for option in self.options]
        rows = [[each[mark] for each in counted] for mark, _ in self.stock]
        return np.array(rows, np.int64).reshape(len(self.stock), len(self.options))

    @cached_property
    def held(self) -> tuple[Held, ...]:
        """The balances in whole steps."""
        found = []
        for balance in self.balances:
            sign = [(option.place in balance.first) - (option.place in balance.second) for option in self.options]
            share = np.array(sign, np.int64) * np.array([option.mass_steps for option in self.options], np.int64)
            found.append(Held(share, int(np.floor(balance.step_kg / MASS_STEP_KG + 1e-9))))
        return tuple(found)

    @cached_property
    def single(self) -> bool:
        """Whether every option uses one part."""
        return all(len(option.uses) == 1 for option in self.options)

    def objective(self, choice: Sequence[int]) -> Objective:
        """How good a choice is: an option's index for each place, -1 for an empty one."""
        taken = [index for index in choice if index >= 0]
        masses = self.masses[taken] if self.weighed and taken else np.zeros(1, np.int64)
        steps = self.steps[taken] if taken else np.zeros(1, np.int64)
        return Objective(len(choice) - len(taken), int(steps.max()), int(steps.sum()), int(masses.max() - masses.min()))

    def keeps(self, choice: Sequence[int]) -> bool:
        """Whether a choice keeps to stock and balances; these bind a set without an empty place."""
        taken = [index for index in choice if index >= 0]
        in_stock = (self.uses[:, taken].sum(axis=1) <= [count for _, count in self.stock]).all()
        return bool(in_stock) and (len(taken) < len(choice) or self.balanced(taken))

    def balanced(self, taken: Sequence[int]) -> bool:
        """Whether what is taken keeps every balance."""
        return all(abs(int(held.share[list(taken)].sum())) <= held.step for held in self.held)

    def without(self, place: str) -> Ground:
        """The same without one place; a balance that names it no longer binds."""
        kept = tuple(option for option in self.options if option.place != place)
        balances = tuple(each for each in self.balances if place not in (*each.first, *each.second))
        return replace(
            self, places=tuple(each for each in self.places if each != place), options=kept, balances=balances
        )


def ground_of(table: Table) -> Ground:
    """A table made ready. Raises BlockwrightError with everything in its rules that cannot be."""
    faults = [*_table_faults(table), *_rule_faults(table)]
    if faults:
        raise BlockwrightError(faults)
    options = sorted((each for each in table.options if not each.barred and _allowed(table, each)), key=by_name)
    marks = sorted({mark for option in options for mark in option.uses}, key=lambda mark: (natural(mark), mark))
    stock = tuple((mark, table.stock.get(mark, 1)) for mark in marks)
    balances = tuple(rule for rule in table.rules if isinstance(rule, Balance))
    weighed = bool(options) and all(option.mass_kg is not None for option in options)
    places = tuple(sorted(table.places, key=lambda place: (natural(place), place)))
    return Ground(places, tuple(options), stock, balances, weighed)


def _allowed(table: Table, option: Option) -> bool:
    for rule in table.rules:
        if isinstance(rule, Never) and rule.place == option.place and rule.mark in option.uses:
            return False
        if isinstance(rule, Stays):
            here, used = rule.place == option.place, rule.mark in option.uses
            if here and not used:
                return False
            if used and not here and table.stock.get(rule.mark, 1) <= _kept(table, rule.mark):
                return False
    return True


def _kept(table: Table, mark: str) -> int:
    return len({rule.place for rule in table.rules if isinstance(rule, Stays) and rule.mark == mark})


def _table_faults(table: Table) -> Iterator[Problem]:
    if len(set(table.places)) != len(table.places):
        yield Problem("match-places", "a place is named twice.", "Name each place once.")
    pairs = Counter((option.place, tuple(sorted(option.uses))) for option in table.options)
    for (place, uses), count in pairs.items():
        if count > 1:
            yield Problem("match-twice", f"{' and '.join(uses)} at {place} is offered twice.", "Offer it once.")
    for option in table.options:
        if option.place not in table.places or not option.uses or not finite(option):
            what = f"{' and '.join(option.uses) or 'nothing'} at {excerpt(option.place)} cannot be reckoned with."
            yield Problem("match-option", what, "Name a place of the table, a part, and numbers that are finite.")
    for mark, count in table.stock.items():
        if count < 0:
            yield Problem("match-stock", f"{count} of {excerpt(mark)} are in stock.", "Write 0 or more.")


def _rule_faults(table: Table) -> Iterator[Problem]:
    marks = {mark for option in table.options for mark in option.uses}
    pinned = [rule for rule in table.rules if isinstance(rule, Stays | Never)]
    unknown = list(_unknown(table, pinned, marks))
    yield from unknown
    if not unknown:
        yield from _stay_faults(table)
    for rule in table.rules:
        if isinstance(rule, Balance):
            yield from _balance_faults(table, rule)


def _unknown(table: Table, pinned: Sequence[Stays | Never], marks: set[str]) -> Iterator[Problem]:
    for rule in pinned:
        if rule.mark not in marks:
            there = ", ".join(sorted(marks, key=natural)) or "none"
            yield Problem("match-mark", f"no part '{excerpt(rule.mark)}' can be chosen.", f"There are: {there}.")
        if rule.place not in table.places:
            there = ", ".join(table.places)
            yield Problem("match-place", f"there is no place '{excerpt(rule.place)}'.", f"There are: {there}.")


def _stay_faults(table: Table) -> Iterator[Problem]:
    stays = list(dict.fromkeys(rule for rule in table.rules if isinstance(rule, Stays)))
    for mark in dict.fromkeys(rule.mark for rule in stays):
        at = [rule.place for rule in stays if rule.mark == mark]
        if len(at) > table.stock.get(mark, 1):
            what = f"{mark} is to stay in {' and in '.join(at)}, and there is only {table.stock.get(mark, 1)} of it."
            yield Problem("match-stays-twice", what, "Keep it in one place.")
    for place in dict.fromkeys(rule.place for rule in stays):
        kept = [rule.mark for rule in stays if rule.place == place]
        fits = [each for each in table.options if each.place == place and set(kept) <= set(each.uses)]
        if not fits:
            what = f"{' and '.join(kept)} cannot be in {place} together." if len(kept) > 1 else (
                f"{kept[0]} is to stay in {place}, where it is not offered."
            )  # fmt: skip
            yield Problem("match-stays-together", what, "Leave one of them free.")
            continue
        never = [rule for rule in table.rules if isinstance(rule, Never) and rule.place == place]
        both = [rule.mark for rule in never if rule.mark in kept]
        if both:
            what = f"{both[0]} is to stay in {place} and is not to go there."
            yield Problem("match-stays-never", what, "Strike one of the two.")
        elif all(each.barred for each in fits):
            what = f"{' and '.join(kept)} is to stay in {place}, and there it is {fits[0].barred}."
            yield Problem("match-stays-barred", what, "Leave it free, or have the place machined for it first.")


def _balance_faults(table: Table, rule: Balance) -> Iterator[Problem]:
    named = (*rule.first, *rule.second)
    if len(set(named)) != len(named) or not set(named) <= set(table.places) or not rule.first or not rule.second:
        what = "a balance names places that are not on the table, or one twice, or only one side."
        yield Problem("match-balance", what, "Name the places of each side, each once.")
    elif not rule.step_kg >= 0.0:
        yield Problem("match-step", "the sides of a balance may differ by less than nothing.", "Write 0 g or more.")
    lacking = sorted({mark for each in table.options if each.place in named and each.mass_kg is None
                      for mark in each.uses}, key=natural)  # fmt: skip
    if lacking:
        what = f"a balance is wanted, and no mass is known with {', '.join(lacking)}."
        yield Problem("match-mass", what, "Weigh them and write their masses into the job.")
