"""A step of filing at the bench: notice a new look, believe it, and advise, with a pool of eight rings of six passes each."""

import numpy as np
import pytest

from blockwright.choices.filing.advice import advise
from blockwright.choices.filing.belief import Belief
from blockwright.choices.filing.model import Reading, Reason, Step, Unit, Window
from blockwright.choices.filing.noticing import follow, notice

WINDOW, TURNS = Window(0.400e-3, 0.420e-3, 0.440e-3), Unit("turns")
ENOUGH_S = 5e-3


def history(rings=8, passes=6):
    rng, steps = np.random.default_rng(1), []
    for ring in range(rings):
        rate, gap = 10e-6 * np.exp(0.1 * rng.standard_normal()), 200e-6
        for number in range(passes + 1):
            units = float(rng.integers(1, 6)) if number else 0.0
            gap += units * rate * (1 + 0.1 * rng.standard_normal())
            reading = Reading(gap + 4e-6 * rng.standard_normal(), 4e-6, 2e-6, "a")
            steps.append(Step(str(ring), (reading,), units))
    return steps


def in_time(benchmark):
    """The median, where times are taken at all."""
    if benchmark.enabled:
        assert benchmark.stats.stats.median < ENOUGH_S


def test_a_step(benchmark):
    *before, last = history()
    belief = Belief().after(*before)

    def step():
        notice(belief, last)
        return advise(belief.after(last), last.ring, WINDOW, TURNS)

    assert benchmark(step).pass_number == 7
    in_time(benchmark)


def test_advice_that_must_say_what_would_help(benchmark):
    before = history(rings=7)
    belief = Belief().after(*before, Step("poor", (Reading(0.390e-3, 16e-6, 1e-6, "b"),)))
    advice = benchmark(lambda: advise(belief, "poor", WINDOW, TURNS))
    assert advice.reason is Reason.RISK
    assert advice.help.repeats
    in_time(benchmark)


@pytest.mark.parametrize("rings", [2, 8])
def test_a_whole_history(benchmark, rings):
    steps = history(rings)
    followed = benchmark(lambda: follow(Belief(), steps))
    assert len(followed.belief.rings) == rings
