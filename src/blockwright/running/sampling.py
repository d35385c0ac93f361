"""Many draws of a formula whose inputs are uncertain: the distribution itself, where first order would not do.

| name here | meaning |
| --- | --- |
| Normal | mean and standard deviation of an input |
| sampled | what a formula gives for inputs drawn together, independently and normally |

The draws are made in blocks that stay in the processor's cache, in one buffer that is used again: of a million draws only the results
are kept. That is about as quick as drawing the inputs alone; docs/speed.md says how it was measured.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers

Normal = tuple[float, float]
"""Mean and standard deviation."""

BLOCK = 16_384
"""Draws at a time: six inputs of so many take 0.8 MB; fewer, and calling numpy counts; more, and they leave the cache."""


def sampled(
    formula: Callable[..., Numbers], inputs: Sequence[Normal], samples: int, seed: int | np.random.SeedSequence
) -> NDArray[np.float64]:
    """Results of a formula for inputs that are drawn independently from normal distributions.

    Parameters
    ----------
    formula : callable
        Takes as many arrays as there are inputs, in their order, and gives an array as long; it may not keep what it was given.
    inputs : sequence of (mean, standard deviation)
        In the formula's units; a standard deviation of nil for what is exact.
    samples : int
        How many.
    seed : int or SeedSequence
        The same seed gives the same results. To share the work out, spawn one sequence for each share.

    Raises
    ------
    ValueError
        From the formula, where a draw lies outside the range that it holds for.

    Example
    -------
    The sum of two inputs, with standard deviations 3 and 4:

    >>> f"{sampled(lambda a, b: a + b, [(10.0, 3.0), (20.0, 4.0)], 100_000, seed=1).std():.1f}"
    '5.0'
    """
    rng = np.random.default_rng(seed)
    results = np.empty(samples)
    buffer = np.empty((len(inputs), min(samples, BLOCK)))
    for start in range(0, samples, BLOCK):
        part = results[start : start + BLOCK]
        drawn = buffer[:, : len(part)]
        for row, (mean, sd) in zip(drawn, inputs, strict=True):
            rng.standard_normal(out=row)
            row *= sd
            row += mean
        part[:] = formula(*drawn)
    return results
