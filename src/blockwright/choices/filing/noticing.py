"""Passes that no honest model would have predicted: a clogged wheel, a slipped ring, a reading that cannot be.

Before a look is believed, its readings are held against everything known before: each has a predicted distribution (a mixture of normals), and a
look in its outermost `SURPRISING` part, both sides together, is a surprise. The mean of the plain readings of a look is asked once, each look
with blades by itself; several questions share the level (Bonferroni), so honest looks give false alarms no more often than stated.
A look that lies so low that even a pass which took nothing away would hardly show it has shrunk.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy import special

from blockwright.choices.filing.belief import Belief
from blockwright.choices.filing.model import Between, Oddity, Reading, Step, Surprise
from blockwright.choices.filing.nodes import Array
from blockwright.choices.filing.view import RingView

SURPRISING = 0.005
"""An honest look is called surprising this often."""


class Followed(NamedTuple):
    """What is thought after a history, and the looks in it (by their number, from 0) that were surprising when they were taken."""

    belief: Belief
    surprises: tuple[tuple[int, Surprise], ...]


def follow(belief: Belief, steps: Iterable[Step], *, forgiving: bool = False) -> Followed:
    """Take looks in the order in which they were taken, and notice each before it is believed.

    `forgiving` : a surprising pass teaches no rate, and the gap is taken anew from its readings.
    """
    surprises: list[tuple[int, Surprise]] = []
    for number, step in enumerate(steps):
        surprise = notice(belief, step)
        if surprise is not None:
            surprises.append((number, surprise))
        belief = belief.after(step, forgiving=forgiving and surprise is not None)
    return Followed(belief, tuple(surprises))


def notice(belief: Belief, step: Step, level: float = SURPRISING) -> Surprise | None:
    """Whether a look is one that nobody would have predicted from everything before it. The first look at a ring never is."""
    if step.ring not in belief.rings or not step.readings:
        return None
    before = belief.ring(step.ring)
    after = RingView(before.nodes.filed(step.units), before.log_others)
    looks = [_Look.of(after, question) for question in _questions(step)]
    odd = min(looks, key=lambda look: look.two_sided)
    probability = min(1.0, odd.two_sided * len(looks))
    if probability >= level:
        return None
    expected, seen = float(before.rate_m) * step.units, odd.middle_m - _shown(before, odd.question)
    return Surprise(_kind(before, odd, level / len(looks)), probability, expected, seen)


def predicted_below(view: RingView, readings: tuple[Reading, ...]) -> float:
    """Probability that the mean of these readings would have been lower than it is."""
    return _Look.of(view, _Question.of_mean(readings)).below


class _Question(NamedTuple):
    """A shown value that lies between two bounds (the same for a plain reading): own variance, and how gauges share in it."""

    low_m: float
    high_m: float
    own_variance: float
    shares: tuple[tuple[str, float], ...]

    @classmethod
    def of_mean(cls, readings: tuple[Reading, ...]) -> _Question:
        number = len(readings)
        mean = sum(reading.value_m for reading in readings) / number
        variance = sum(reading.u_own_m**2 for reading in readings) / number**2
        return cls(mean, mean, variance, tuple((reading.gauge, reading.u_shared_m / number) for reading in readings))

    @classmethod
    def of_blades(cls, seen: Between) -> _Question:
        return cls(seen.low_m, seen.high_m, seen.u_own_m**2, ((seen.gauge, seen.u_shared_m),))

    def cumulative(self, view: RingView, bound_m: float) -> float:
        """Probability that the shown value lies below a bound."""
        mean, variance = self.predicted(view)
        return float(special.ndtr((bound_m - mean) / np.sqrt(variance)) @ view.weight)

    def predicted(self, view: RingView) -> tuple[Array, Array]:
        """Mean and variance of the shown value at each node."""
        nodes = view.nodes
        for gauge, share in self.shares:
            nodes = nodes.knowing(gauge) if share else nodes
        mean, _, variance = nodes.shown(nodes.row(*self.shares))
        return mean, variance + self.own_variance


@dataclass(frozen=True)
class _Look:
    question: _Question
    below: float
    above: float

    @classmethod
    def of(cls, view: RingView, question: _Question) -> _Look:
        """`below` is the chance of a value as low or lower, `above` of one as high or higher."""
        return cls(
            question, question.cumulative(view, question.high_m), 1.0 - question.cumulative(view, question.low_m)
        )

    @property
    def two_sided(self) -> float:
        return 2.0 * min(self.below, self.above)

    @property
    def middle_m(self) -> float:
        low, high = self.question.low_m, self.question.high_m
        if np.isinf(low) or np.isinf(high):
            return high if np.isinf(low) else low
        return 0.5 * (low + high)


def _questions(step: Step) -> Iterator[_Question]:
    plain = tuple(seen for seen in step.readings if isinstance(seen, Reading))
    if plain:
        yield _Question.of_mean(plain)
    yield from (_Question.of_blades(seen) for seen in step.readings if isinstance(seen, Between))


def _shown(view: RingView, question: _Question) -> float:
    return float(question.predicted(view)[0] @ view.weight)


def _kind(before: RingView, odd: _Look, level: float) -> Oddity:
    if odd.above < odd.below:
        return Oddity.TOO_MUCH
    unfiled = _Look.of(before, odd.question)
    return Oddity.SHRANK if 2.0 * unfiled.below < level else Oddity.TOO_LITTLE
