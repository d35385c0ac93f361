"""Invented rings, for the tests: what a grinder and a gauge might have shown, and how that is told to the planner."""

import numpy as np

from blockwright.choices.filing.model import Reading, Step

UM = 1e-6
U_OWN, U_SHARED = 4e-6, 2e-6


def ring_steps(name, gaps_um, units, u_own=U_OWN, u_shared=U_SHARED):
    """The looks at one ring: its gap (µm) before, and after each pass of so many units."""
    looks = zip((0.0, *units), gaps_um, strict=True)
    return [Step(name, (Reading(gap * UM, u_own, u_shared, "a"),), float(n)) for n, gap in looks]


def invented(seed, rings=4, passes=5, guess=10e-6, spread=0.1, scatter=0.1):
    """Steps of rings filed one after the other with random units, near the guess."""
    rng = np.random.default_rng(seed)
    kind, steps = guess * np.exp(rng.uniform(-0.55, 0.55)), []
    for number in range(rings):
        rate, gap = kind * np.exp(spread * rng.normal()), rng.uniform(150e-6, 250e-6)
        gaps, units = [gap], rng.integers(1, 7, passes)
        for n in units:
            gaps.append(gaps[-1] + n * rate * (1 + scatter * rng.normal()))
        read = np.array(gaps) / UM + U_OWN / UM * rng.normal(size=passes + 1)
        steps += ring_steps(str(number + 1), read, units)
    return steps
