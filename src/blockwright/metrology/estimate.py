"""A value with its uncertainty, kept apart by cause, so that what two readings share can cancel.

| name | meaning | unit |
| --- | --- | --- |
| value | best estimate of a size, a clearance, a torque ... | SI |
| share.u | signed: sensitivity of the value to the cause x its standard uncertainty | as value |
| share.dof | degrees of freedom behind that standard uncertainty | 1 |
| u | combined standard uncertainty | as value |

First-order propagation after JCGM 100:2008, clause 5 (equations 10 and 13, correlation carried by common causes instead of by
coefficients); effective degrees of freedom by the Welch-Satterthwaite formula, annex G, equation G.2b.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import NamedTuple

SAME_SIZE_M = 1e-3
"""A gauge's calibration error is taken as one and the same for sizes that lie no farther apart than this."""


class Cause(StrEnum):
    """What an error comes from, in the words of the budget."""

    REPEATABILITY = "repeatability"
    RESOLUTION = "resolution"
    INTERVAL = "between two blades"
    CALIBRATION = "calibration"
    SETTING = "setting"
    PART_TEMPERATURE = "part temperature"
    GAUGE_TEMPERATURE = "gauge temperature"
    EXPANSION = "expansion coefficient"
    MODEL = "model"
    DISAGREEMENT = "readings that disagree"


class Source(NamedTuple):
    """One cause of error and whose it is. Equal sources are one and the same error; `size_m` places a calibration error."""

    cause: Cause
    owner: str
    size_m: float = 0.0


class Share(NamedTuple):
    """What one source adds: signed standard uncertainty, its degrees of freedom, and a flat (rectangular) shape or not.

    `pool` names the repeats or the study that the standard uncertainty was estimated from: shares of one pool are wrong together.
    """

    u: float
    dof: float = math.inf
    flat: bool = False
    pool: str = ""


@dataclass(frozen=True)
class Estimate:
    """A value and the shares that make up its uncertainty."""

    value: float
    shares: Mapping[Source, Share] = field(default_factory=dict)

    @cached_property
    def budget(self) -> tuple[tuple[Source, Share], ...]:
        """Independent lines of the budget, largest first: calibration errors of one gauge at one size are one line."""
        lines = _merge_by_size(self.shares)
        return tuple(sorted(lines, key=lambda line: (-abs(line[1].u), line[0])))

    @cached_property
    def u(self) -> float:
        """Combined standard uncertainty."""
        return math.sqrt(sum(share.u * share.u for _, share in self.budget))

    @cached_property
    def dof(self) -> float:
        """Effective degrees of freedom (Welch-Satterthwaite); infinite where no share has fewer.

        The formula wants independent estimates of spread (G.4.1). Errors that rest on one estimate, such as ten spots read with one
        gauge, are first added up: ten spots make that estimate no surer.
        """
        variances: defaultdict[tuple[str | Source, float], float] = defaultdict(float)
        for source, share in self.budget:
            variances[(share.pool or source, share.dof)] += share.u * share.u
        spread = sum(variance * variance / dof for (_, dof), variance in variances.items())
        return self.u**4 / spread if spread > 0.0 else math.inf

    def share_of(self, *causes: Cause) -> float:
        """Part of the variance that comes from the causes named, 0 to 1."""
        if self.u == 0.0:
            return 0.0
        return sum(share.u**2 for source, share in self.budget if source.cause in causes) / self.u**2

    def __add__(self, other: Estimate) -> Estimate:
        return combine([(1.0, self), (1.0, other)])

    def __sub__(self, other: Estimate) -> Estimate:
        return combine([(1.0, self), (-1.0, other)])

    def scaled(self, factor: float) -> Estimate:
        """The estimate times an exact number."""
        return combine([(factor, self)])

    def moved(self, by: float) -> Estimate:
        """The estimate with an exact number added."""
        return Estimate(self.value + by, self.shares)

    def with_scaled(self, factor: float, *causes: Cause) -> Estimate:
        """The same value with the shares of these causes multiplied: what repeats or another gauge would make of it."""
        shares = {
            source: share._replace(u=share.u * factor) if source.cause in causes else share
            for source, share in self.shares.items()
        }
        return Estimate(self.value, shares)


def exact(value: float) -> Estimate:
    """A number taken without error (a nominal, a count)."""
    return Estimate(value)


def combine(terms: Iterable[tuple[float, Estimate]]) -> Estimate:
    """Sum of factor x estimate; errors with a common source add with their signs, all others in quadrature."""
    value = 0.0
    shares: dict[Source, Share] = {}
    for factor, estimate in terms:
        value += factor * estimate.value
        for source, share in estimate.shares.items():
            known = shares.get(source)
            u = factor * share.u
            shares[source] = share._replace(u=u) if known is None else known._replace(u=known.u + u)
    return Estimate(value, shares)


def through(function: Callable[..., float], inputs: Sequence[Estimate]) -> Estimate:
    """A function of estimates, to first order: each input's shares times its central difference over one standard uncertainty.

    Shared errors of the inputs stay shared. Where the function bends within an uncertainty this is an approximation (JCGM 100:2008, 5.1.2, note).
    """
    at = [each.value for each in inputs]
    terms = [(1.0, Estimate(function(*at)))]
    for index, each in enumerate(inputs):
        if each.u:
            high, low = ([*at[:index], each.value + sign * 0.5 * each.u, *at[index + 1 :]] for sign in (1.0, -1.0))
            slope = (function(*high) - function(*low)) / each.u
            terms.append((slope, Estimate(0.0, each.shares)))
    return combine(terms)


def reach(estimates: Iterable[Estimate]) -> Estimate:
    """Largest less smallest of two or more; where all are equal still of two different ones, so that their errors count."""
    smallest, *_, largest = sorted(estimates, key=lambda estimate: estimate.value)
    return largest - smallest


def mean(estimates: Iterable[Estimate]) -> Estimate:
    """Plain mean; shared errors stay whole, own errors shrink."""
    listed = list(estimates)
    return combine((1.0 / len(listed), estimate) for estimate in listed)


def _merge_by_size(shares: Mapping[Source, Share]) -> list[tuple[Source, Share]]:
    lines: list[tuple[Source, Share]] = []
    sized: defaultdict[tuple[Cause, str], list[tuple[Source, Share]]] = defaultdict(list)
    for source, share in shares.items():
        if source.size_m:
            sized[(source.cause, source.owner)].append((source, share))
        elif share.u:
            lines.append((source, share))
    for group in sized.values():
        lines.extend(_by_size(sorted(group)))
    return lines


def _by_size(group: list[tuple[Source, Share]]) -> list[tuple[Source, Share]]:
    lines: list[tuple[Source, Share]] = []
    for source, share in group:
        if lines and source.size_m - lines[-1][0].size_m <= SAME_SIZE_M:
            first, known = lines[-1]
            lines[-1] = (first, known._replace(u=known.u + share.u))
        else:
            lines.append((source, share))
    return [line for line in lines if line[1].u]
