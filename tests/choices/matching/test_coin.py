"""The chance that the second best is truly better, against draws of the causes themselves: every shared error drawn once and added by its sign."""

from __future__ import annotations

import random

import numpy as np
import pytest

from blockwright.choices.matching.choosing import choose
from blockwright.choices.matching.coin import Coin, coin, covariances
from blockwright.choices.matching.model import Chosen, Objective, Option, Table, option_of
from blockwright.engine.rules import Authority
from blockwright.fits.limits import Bound, Limits
from blockwright.metrology.estimate import Cause, Estimate, Share, Source

LOW, HIGH = 50e-6, 80e-6
LIMITS = Limits(Bound(LOW, Authority.MAKER, "", True), Bound(HIGH, Authority.MAKER, "", False), 65e-6)
DRAWS = 400_000


def sized(value: float, name: str, own: float, shared: float) -> Estimate:
    """A size with an error of its own and one that all sizes of its gauge share."""
    gauge = "bore gauge" if name.startswith("bore") else "micrometer"
    return Estimate(value, {Source(Cause.REPEATABILITY, name): Share(own), Source(Cause.SETTING, gauge): Share(shared)})


def engine(seed: int, own: float, shared: float, places: int = 3) -> tuple[Table, dict[str, float]]:
    rng = random.Random(seed)
    bores = {f"cylinder {n}": 86e-3 + rng.gauss(0.0, 4e-6) for n in range(1, places + 1)}
    skirts = {f"P{n}": 86e-3 - 65e-6 + rng.gauss(0.0, 4e-6) for n in range(1, places + 1)}
    options = []
    for place, bore in bores.items():
        for mark, skirt in skirts.items():
            value = sized(bore, f"bore {place}", own, shared) - sized(skirt, f"skirt {mark}", own, shared)
            options.append(option_of(place, (mark,), value, LIMITS))
    return Table(tuple(bores), tuple(option for option in options if option)), {**bores, **skirts}


def by_causes(best: Chosen, second: Chosen, sizes: dict[str, float], own: float, shared: float) -> float:
    """The same chance by drawing each size's own error and each gauge's shared one, and working the clearances out anew."""
    rng = np.random.default_rng(99)
    gauges = {gauge: shared * rng.standard_normal(DRAWS) for gauge in ("bore gauge", "micrometer")}
    true = {
        name: size + own * rng.standard_normal(DRAWS) + gauges["micrometer" if name.startswith("P") else "bore gauge"]
        for name, size in sizes.items()
    }

    def objective(chosen: Chosen) -> tuple[np.ndarray, np.ndarray]:
        off = np.abs([true[each.place] - true[each.uses[0]] - 65e-6 for each in chosen.options])
        return off.max(axis=0), off.sum(axis=0)

    (worst, total), (other_worst, other_total) = objective(best), objective(second)
    alike = np.abs(worst - other_worst) < 1e-12
    return float(np.mean((~alike & (other_worst < worst)) | (alike & (other_total < total - 1e-12))))


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
@pytest.mark.parametrize(("own", "shared"), [(1e-6, 0.0), (1e-6, 5e-6), (0.2e-6, 3e-6), (4e-6, 1e-6)])
def test_against_draws_of_the_causes(seed: int, own: float, shared: float) -> None:
    table, sizes = engine(seed, own, shared)
    match = choose(table)
    assert match.second is not None
    assert match.coin is not None
    expected = by_causes(match.best, match.second, sizes, own, shared)
    assert match.coin.chance == pytest.approx(expected, abs=4.5 * match.coin.standard_error + 2e-3)


def test_what_all_share_does_not_make_two_sets_alike() -> None:
    """One pair swapped, all clearances over their aim: a common error moves both sets together, errors of their own do not."""

    def set_of(*off: float, own: float, shared: float) -> Chosen:
        options = []
        for n, each in enumerate(off, 1):
            value = sized(65e-6 + each, f"bore {each}", own, shared)
            options.append(option_of(f"cylinder {n}", (f"P{each}",), value, LIMITS))
        return Chosen(tuple(option for option in options if option), Objective(0, 0, 0, 0))

    best, second = ((6e-6, 1e-6), (7e-6, 0.5e-6))
    common = coin(set_of(*best, own=1e-9, shared=1e-6), set_of(*second, own=1e-9, shared=1e-6))
    apart = coin(set_of(*best, own=1e-6, shared=1e-9), set_of(*second, own=1e-6, shared=1e-9))
    assert common.chance < 0.001
    assert apart.chance == pytest.approx(0.2398, abs=0.015)  # Phi(-1 / sqrt 2): the two largest decide


def test_two_sets_as_good_as_each_other_are_a_coin_toss() -> None:
    """By symmetry each is the better one half of the time."""
    value = {mark: sized(70e-6, f"bore {mark}", 1e-6, 1e-6) for mark in ("P1", "P2")}
    sets = [
        Chosen(
            (Option("cylinder 1", (mark,), 1 / 6, None, value=value[mark], limits=LIMITS),), Objective(0, 1667, 1667, 0)
        )
        for mark in value
    ]
    thrown = coin(sets[0], sets[1])
    assert thrown.chance == pytest.approx(0.5, abs=4 * thrown.standard_error)
    assert thrown.is_toss
    assert not Coin(0.29, 0.0, 0.30).is_toss
    assert Coin(0.29, 0.0, 0.25).is_toss


def test_covariances_are_those_of_the_shared_causes() -> None:
    a, b = sized(1e-3, "bore 1", 2e-6, 3e-6), sized(1e-3, "bore 2", 1e-6, 3e-6)
    assert covariances([a, b]) == pytest.approx(np.array([[13e-12, 9e-12], [9e-12, 10e-12]]), rel=1e-9)
    assert covariances([a, Estimate(0.0) - b])[0, 1] == pytest.approx(-9e-12, rel=1e-9)


def test_a_place_more_is_no_matter_of_readings() -> None:
    option = Option("cylinder 1", ("P1",), 0.1)
    assert coin(Chosen((option,), Objective(0, 1, 1, 0)), Chosen((), Objective(1, 0, 0, 0))).chance == 0.0


def test_what_neither_set_wins_is_shared_out() -> None:
    """Two pistons change places under clearances that all lie over their aim: the same third stays the worst, and the sum is the same."""
    sizes = {"P1": 2e-6, "P2": 3e-6, "P3": 8e-6}
    values = {mark: sized(65e-6 + off, f"bore {mark}", 0.1e-6, 0.0) for mark, off in sizes.items()}

    def put(*marks: str) -> Chosen:
        made = (option_of(f"cylinder {n}", (mark,), values[mark], LIMITS) for n, mark in enumerate(marks, 1))
        return Chosen(tuple(each for each in made if each), Objective(0, 2667, 4333, 0))

    thrown = coin(put("P1", "P2", "P3"), put("P2", "P1", "P3"))
    assert (thrown.chance, thrown.alike, thrown.is_toss) == (0.0, 1.0, True)
