"""Readings and inputs drawn together: one column for each, the first row the best values, the others draws.

| name here | meaning |
| --- | --- |
| Draws | columns by name, all drawn from one seed, whatever the order in which they are asked for |
| column | array of `1 + samples`: the best value first |

Every cause of error of a reading is drawn once and serves every size that it touches. A clearance is drawn by its own budget, in which what its two
readings share has cancelled already: two sizes drawn apart would not share the error of their gauge, whose place in a budget is a size. A cause known
only to lie between two marks is drawn flat, one known from few repeats by Student's t.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from blockwright.metrology.estimate import Estimate, Source
from blockwright.running.work.result import Fact, Spread, Weight

Array = NDArray[np.float64]
SPAN = (0.025, 0.975)
LIGHTEST = 0.02
"""Inputs that bring less of a spread than this are not named."""
READINGS = "the readings"
FEWEST_DOF = 3.0
"""With fewer degrees of freedom a t has no variance; such a cause is drawn with as many."""


class Draws:
    """Columns of best values and draws."""

    def __init__(self, samples: int, seed: int) -> None:
        self.samples, self.seed = samples, seed
        self.words: dict[str, str] = {}
        self._standard: dict[str, Array] = {}

    def normal(self, fact: Fact) -> Array:
        """An input drawn normally; within three and a half standard deviations, so that no wild draw leaves what a model holds for."""
        if not fact.u:
            return np.full(1 + self.samples, fact.value)
        self.words[fact.name] = fact.words
        return fact.value + fact.u * np.clip(self._drawn(fact.name), -3.5, 3.5)

    def factor(self, name: str, words: str, spread: float) -> Array:
        """A factor about one whose logarithm is drawn normally."""
        self.words[name] = words
        return np.asarray(np.exp(spread * np.clip(self._drawn(name), -3.5, 3.5)))

    def size(self, estimate: Estimate) -> Array:
        """A size as read, by the causes of its budget."""
        column = np.full(1 + self.samples, estimate.value)
        for source, share in estimate.budget:
            column += share.u * self._cause(source, share.flat, share.dof)
        return column

    def weights(self, values: Array, readings: Iterable[Estimate] = ()) -> tuple[Weight, ...]:
        """What the spread of an output comes from, heaviest first: squared correlation with each input, less what chance alone gives."""
        drawn = values[1:]
        if self.samples < 50 or not np.isfinite(drawn).all() or float(np.ptp(drawn)) == 0.0:
            return ()
        shares = {words: self._share(self._standard[name], drawn) for name, words in self.words.items()}
        named = {_name(source) for estimate in readings for source, _ in estimate.budget}
        own = sum(self._share(self._standard[name], drawn) for name in named if name in self._standard)
        ordered = sorted({**shares, READINGS: own}.items(), key=lambda item: -item[1])
        return tuple(Weight(words, min(share, 1.0)) for words, share in ordered if share >= LIGHTEST)[:5]

    def _share(self, standard: Array, drawn: Array) -> float:
        r = float(np.corrcoef(standard[1:], drawn)[0, 1])
        return max(r * r - 1.0 / self.samples, 0.0)

    def _cause(self, source: Source, flat: bool, dof: float) -> Array:
        name = _name(source)
        if name not in self._standard:
            rng = self._generator(name)
            if flat:
                drawn = rng.uniform(-math.sqrt(3.0), math.sqrt(3.0), self.samples)
            elif math.isfinite(dof):
                drawn = np.clip(rng.standard_t(max(dof, FEWEST_DOF), self.samples), -8.0, 8.0)
            else:
                drawn = rng.standard_normal(self.samples)
            self._standard[name] = np.concatenate([[0.0], drawn])
        return self._standard[name]

    def _drawn(self, name: str) -> Array:
        if name not in self._standard:
            drawn = self._generator(name).standard_normal(self.samples)
            self._standard[name] = np.concatenate([[0.0], drawn])
        return self._standard[name]

    def _generator(self, name: str) -> np.random.Generator:
        """One generator for each name, so that an input more or less leaves the draws of all others as they were."""
        return np.random.default_rng(np.random.SeedSequence([self.seed, zlib.crc32(name.encode())]))


def spread(values: Array) -> Spread:
    """A column as a number with its spread; draws that gave no number are left out."""
    best, drawn = float(values[0]), values[1:][np.isfinite(values[1:])]
    if len(drawn) < 2:
        return Spread(best, 0.0, best, best)
    low, high = np.quantile(drawn, SPAN)
    sd = float(drawn.std(ddof=1))
    return Spread(best, sd, float(low), float(high), sd / math.sqrt(len(drawn)))


def _name(source: Source) -> str:
    return f"{source.cause}|{source.owner}|{source.size_m:.6f}"
