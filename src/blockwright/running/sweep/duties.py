"""The cycles of many duties as columns of one matched cycle: sixty take hardly longer than one.

What draws are to one engine at work, duties are here: `Duties` gives a column of each fact over the duties instead of a column of draws.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from blockwright.metrology.estimate import Estimate
from blockwright.physics.heat_network import Settled
from blockwright.problems import BlockwrightError
from blockwright.running.sweep.cases import Case
from blockwright.running.sweep.ground import Ground, facts_at
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import Facts
from blockwright.running.work.heat import KELVIN, hanging, network
from blockwright.running.work.matched import Matched, cycles, no_power
from blockwright.running.work.result import Fact

Array = NDArray[np.float64]
T = TypeVar("T", bound=Any)


class Duties(Draws):
    """Columns over duties: the facts of each, every reading and every assumed number at its best value."""

    def __init__(self, listed: Sequence[Facts]) -> None:
        super().__init__(len(listed) - 1, 0)
        self.listed = tuple(listed)

    def normal(self, fact: Fact) -> Array:
        """A fact of each duty; what is no fact of theirs is the same for all."""
        found = [each.get(fact.name) for each in self.listed]
        return np.array([fact.value if each is None else each.value for each in found])

    def factor(self, name: str, words: str, spread: float) -> Array:
        """One, for each."""
        return np.ones(len(self.listed))

    def size(self, estimate: Estimate) -> Array:
        """A size as read, for each."""
        return np.full(len(self.listed), estimate.value)


@dataclass(frozen=True)
class State:
    """The cycle of one duty, as one column, and the temperatures of its places, °C."""

    found: Matched
    places_c: Mapping[str, Array]


Outcome = State | str
"""A state, or why there is none."""


def states(ground: Ground, listed: Sequence[Case]) -> list[Outcome]:
    """The state of each case's duty, all at once; where that cannot be done, one by one, so that one which fails stops no other."""
    try:
        return _together(ground, listed)
    except (BlockwrightError, ValueError, ArithmeticError) as fault:
        if len(listed) == 1:
            return [words_of(fault)]
    return [each for case in listed for each in states(ground, [case])]


def words_of(fault: Exception) -> str:
    """A fault in one line, without a field or a file."""
    if isinstance(fault, BlockwrightError):
        return " ".join(problem.what for problem in fault.problems)
    return " ".join(str(fault).split()) or type(fault).__name__


def _together(ground: Ground, listed: Sequence[Case]) -> list[Outcome]:
    facts = [facts_at(ground, case) for case in listed]
    duties = Duties(facts)
    with np.errstate(all="ignore"):
        net = network(ground.job, facts[0], duties)
        found = cycles(ground.job, facts[0], duties, net)
        places = {place: found.walls.temperatures[place] - KELVIN for place in net.places}
        places |= hanging(ground.job, places, duties)
    count = len(listed)
    return [
        State(_one(found, i, count), {place: _cut(each, i, count) for place, each in places.items()})
        if bool(found.matched[i]) and bool(np.isfinite(found.cycle.pressure_pa[:, i]).all())
        else no_power().what
        for i in range(count)
    ]


def _one(found: Matched, index: int, count: int) -> Matched:
    """One column of a matched cycle."""
    cycle = _columns(found.cycle, index, count, whole=("angle_rad",))
    walls = Settled({place: _cut(each, index, count) for place, each in found.walls.temperatures.items()}, ())
    return replace(_columns(found, index, count, whole=("chamber", "cycle", "walls")), cycle=cycle, walls=walls)


def _columns(record: T, index: int, count: int, whole: tuple[str, ...]) -> T:
    """A record of arrays with one column of each; but for those kept `whole`."""
    names = [each.name for each in fields(record) if each.name not in whole]
    return replace(record, **{name: _cut(getattr(record, name), index, count) for name in names})


def _cut(values: Any, index: int, count: int) -> Array:
    array = np.asarray(values)
    return array[..., index : index + 1].copy() if array.ndim and array.shape[-1] == count else array.reshape(-1)
