"""Choosing for eight cylinders: pistons by wall clearance with the banks' masses balanced, with spares, and half shells for five mains."""

import itertools
import random

import pytest

from blockwright.choices.matching.choosing import choose
from blockwright.choices.matching.model import Balance, Option, Table

ENOUGH_S = 0.1


def eight(spares: int, step_kg: float, seed: int = 3) -> Table:
    """Eight bores and pistons that differ by some micrometres and grams; a few pairs are forbidden."""
    rng = random.Random(seed)
    places = [f"cylinder {n}" for n in range(1, 9)]
    bores = {place: rng.gauss(0.0, 3.0) for place in places}
    pistons = {f"P{n}": (rng.gauss(0.0, 3.0), rng.gauss(0.631, 0.0006)) for n in range(1, 9 + spares)}
    options = tuple(
        Option(
            place,
            (mark,),
            deviation := (bores[place] - skirt) / 25.0,
            mass,
            "under" if deviation < -0.35 else "",
            min(deviation + 0.35, 0.0),
        )
        for place in places
        for mark, (skirt, mass) in pistons.items()
    )
    return Table(tuple(places), options, (Balance(tuple(places[::2]), tuple(places[1::2]), step_kg),))


def shells(mains: int = 5) -> Table:
    """As many upper and lower halves as mains, all with marks of their own, of three sizes."""
    rng = random.Random(5)
    places = [f"main {n}" for n in range(1, mains + 1)]
    walls = {
        f"M{half}{n}": rng.choice([-2.5, 0.0, 2.5]) + rng.gauss(0.0, 0.5) for half in "UL" for n in range(1, mains + 1)
    }
    wanted = {place: rng.gauss(0.0, 3.0) for place in places}
    options = tuple(
        Option(place, (f"MU{i}", f"ML{j}"), (wanted[place] - walls[f"MU{i}"] - walls[f"ML{j}"]) / 25.0)
        for place in places
        for i, j in itertools.product(range(1, mains + 1), repeat=2)
    )
    return Table(tuple(places), options)


def in_time(benchmark, enough_s):
    """The median, where times are taken at all."""
    if benchmark.enabled:
        assert benchmark.stats.stats.median < enough_s


@pytest.mark.parametrize("step_g", [2.0, 0.3, 0.05])
@pytest.mark.parametrize("spares", [0, 2])
def test_eight_coupled(benchmark, spares, step_g):
    table = eight(spares, step_g / 1e3)
    match = benchmark(choose, table)
    assert match.proven
    in_time(benchmark, ENOUGH_S)


def test_half_shells(benchmark):
    match = benchmark.pedantic(choose, (shells(),), rounds=3)
    assert match.proven
