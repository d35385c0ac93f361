"""Two independent routes to the same set: banks by groups of parts, and by the integer programme; and bounds where no one can try every set."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from blockwright.choices.matching.best import first_of_equals, ranked
from blockwright.choices.matching.choosing import choose
from blockwright.choices.matching.ground import ground_of
from blockwright.choices.matching.halves import halves_of
from blockwright.choices.matching.model import DEVIATION_STEP, MASS_STEP_KG, Balance, Option, Table
from blockwright.choices.matching.solving import Solver, everything
from blockwright.problems import BlockwrightError


def banked(cylinders: int, spares: int, step_kg: float, seed: int, *, base: bool = False, levels: int = 4000) -> Table:
    rng = random.Random(seed)
    places = [f"cylinder {n}" for n in range(1, cylinders + 1)]
    stays = {place: rng.randrange(200) * MASS_STEP_KG if base else 0.0 for place in places}
    grams = {f"P{n}": 0.6 + rng.randrange(200) * MASS_STEP_KG for n in range(1, cylinders + spares + 1)}
    options = tuple(
        Option(
            place,
            (mark,),
            rng.randrange(levels) * DEVIATION_STEP,
            stays[place] + mass,
            "under" if rng.random() < 0.1 else "",
            -1e-6,
        )
        for place in places
        for mark, mass in grams.items()
    )
    return Table(tuple(places), options, (Balance(tuple(places[::2]), tuple(places[1::2]), step_kg),))


@pytest.mark.parametrize("base", [False, True], ids=["parts", "parts and what stays"])
@pytest.mark.parametrize(("cylinders", "spares"), [(4, 1), (6, 0)])
@pytest.mark.parametrize("seed", range(3))
def test_groups_and_programme_agree(cylinders: int, spares: int, seed: int, base: bool) -> None:
    ground = ground_of(banked(cylinders, spares, 0.2e-3, seed, base=base, levels=(4000, 3, 4000)[seed]))
    quick, slow = Solver(ground), Solver(ground, by_programme=True)
    assert halves_of(ground) is not None
    ranks = [ranked(each, everything(ground)) for each in (quick, slow)]
    assert (ranks[0] is None) == (ranks[1] is None)
    if ranks[0] is None or ranks[1] is None:
        return
    assert ranks[0].objective == ranks[1].objective
    assert first_of_equals(quick, ranks[0]) == first_of_equals(slow, ranks[1])
    assert (quick.programmes, slow.proven) == (0, True)


def test_the_groups_are_used_where_they_apply_and_only_there() -> None:
    table = banked(6, 0, 1e-3, 1)
    assert halves_of(ground_of(table)) is not None
    uneven = Table(table.places, tuple(
        Option(each.place, each.uses, each.deviation, (each.mass_kg or 0.0) + (MASS_STEP_KG if each.key == ("cylinder 1", ("P1",)) else 0.0))
        for each in table.options
    ), table.rules)  # fmt: skip
    assert halves_of(ground_of(uneven)) is None, "a mass that depends on the pair"
    some = Table(table.places, table.options, (Balance(table.places[:1], table.places[1:2], 1e-3),))
    assert halves_of(ground_of(some)) is None, "a balance of some places"


def relaxed(table: Table, worst: int) -> float:
    """The linear relaxation of the whole, under a worst deviation: no set has a smaller sum. HiGHS, without any of our own steps."""
    options = [each for each in table.options if not each.barred and each.steps <= worst]
    (balance,) = [rule for rule in table.rules if isinstance(rule, Balance)]
    fill = np.array([[each.place == place for each in options] for place in table.places], float)
    marks = sorted({each.uses[0] for each in options})
    stock = np.array([[each.uses[0] == mark for each in options] for mark in marks], float)
    sides = np.array(
        [[((each.place in balance.first) - (each.place in balance.second)) * (each.mass_kg or 0.0) for each in options]]
    )
    answer = milp(
        np.array([float(each.steps) for each in options]), integrality=np.zeros(len(options)), bounds=Bounds(0.0, 1.0),
        constraints=[LinearConstraint(fill, 1.0, 1.0), LinearConstraint(stock, 0.0, 1.0), LinearConstraint(sides, -balance.step_kg, balance.step_kg)],
    )  # fmt: skip
    return np.inf if answer.x is None else float(answer.fun)


@pytest.mark.parametrize(("cylinders", "spares", "step_kg"), [(8, 2, 2e-3), (10, 0, 1e-3), (12, 0, 1e-3)])
def test_bounds_of_larger_engines(cylinders: int, spares: int, step_kg: float) -> None:
    """No full set lies under the worst that was found, by HiGHS; and its sum is within a step or two per place of the relaxation."""
    table = banked(cylinders, spares, step_kg, 11)
    match = choose(table)
    worst, total = match.best.objective.worst, match.best.objective.total
    assert match.proven
    assert relaxed(table, worst) <= total + 1e-6
    solver = Solver(ground_of(table), by_programme=True)
    under = solver.ground.steps < worst
    assert solver.cheapest(under, (0, 2**62)) is None
    found = solver.cheapest(solver.ground.steps <= worst)
    assert (found and (found.empty, found.total), solver.proven) == ((0, total), True)


def test_what_is_given_up_is_not_called_impossible(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without time for the programme nothing is claimed: neither a set nor that there is none."""
    monkeypatch.setattr("blockwright.choices.matching.solving.PATIENCE_S", 0.0)
    ground = ground_of(banked(8, 2, 0.01e-3, 3))
    slow = Solver(ground, by_programme=True)
    with pytest.raises(BlockwrightError) as given_up:
        ranked(slow, everything(ground))
    assert given_up.value.problems[0].code == "match-given-up"
