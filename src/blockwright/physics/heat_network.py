"""Steady heat through a network of places and ways: temperatures from conductances, sources and places that are held.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| G | conductance_w_k | heat that a way carries for each kelvin between its ends | W/K |
| q | source_w | heat set free at a place | W |
| T | – | temperature of a place | °C or K, throughout alike |

At every free place what comes in goes out: sum G (T_other - T) + q = 0. Places that are held (coolant, oil, a temperature that was measured) take up
what is left over. Every number may be an array: many engines at once.

The network itself is exact for its numbers; how well lumps stand for metal is another matter. Not validated on a measured engine. Checked against
resistances in series and in parallel, and by heat that closes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Way:
    """A way of heat between two places."""

    one: str
    other: str
    conductance_w_k: Numbers

    def __post_init__(self) -> None:
        if self.one == self.other:
            raise ValueError(f"way of heat: '{self.one}' leads to itself.")
        keep_above("conductance", self.conductance_w_k, 0.0, "W/K")


@dataclass(frozen=True)
class Settled:
    """Temperatures by place, held ones included, and the heat along each way, from `one` to `other`, W."""

    temperatures: Mapping[str, Array]
    heat_w: tuple[Array, ...]


def settled(ways: Sequence[Way], sources_w: Mapping[str, Numbers], held: Mapping[str, Numbers]) -> Settled:
    """The steady temperatures of a network.

    Parameters
    ----------
    ways : sequence of Way
    sources_w : mapping
        Heat set free by place; nil where a place is not named.
    held : mapping
        Places whose temperature is given.

    Raises
    ------
    ValueError
        Where a place hangs on nothing that is held, or a conductance is not above nil.

    Example
    -------
    10 W through two ways of 2 and 5 W/K in series, into water at 20 °C:

    >>> found = settled([Way("crown", "belt", 2.0), Way("belt", "water", 5.0)], {"crown": 10.0}, {"water": 20.0})
    >>> [float(found.temperatures[place]) for place in ("crown", "belt", "water")]
    [27.0, 22.0, 20.0]
    """
    places = dict.fromkeys([place for way in ways for place in (way.one, way.other)])
    free = [place for place in places if place not in held]
    _reached(ways, free, held)
    at = {place: index for index, place in enumerate(free)}
    shape = np.broadcast_shapes(*(np.shape(each) for each in (
        *(way.conductance_w_k for way in ways), *sources_w.values(), *held.values()
    )))  # fmt: skip
    matrix, right = np.zeros((*shape, len(free), len(free))), np.zeros((*shape, len(free)))
    for place, source in sources_w.items():
        if place in at:
            right[..., at[place]] += source
    for way in ways:
        for here, there in ((way.one, way.other), (way.other, way.one)):
            if here not in at:
                continue
            matrix[..., at[here], at[here]] += way.conductance_w_k
            if there in at:
                matrix[..., at[here], at[there]] -= way.conductance_w_k
            else:
                right[..., at[here]] += np.asarray(way.conductance_w_k) * held[there]
    found = np.linalg.solve(matrix, right[..., None])[..., 0] if free else right
    temperatures = {
        place: found[..., at[place]] if place in at else np.broadcast_to(np.asarray(held[place], float), shape)
        for place in places
    }
    heat = tuple(np.asarray(way.conductance_w_k * (temperatures[way.one] - temperatures[way.other])) for way in ways)
    return Settled(temperatures, heat)


def _reached(ways: Sequence[Way], free: Sequence[str], held: Mapping[str, Numbers]) -> None:
    """Every free place must hang on one that is held, else its temperature is anybody's guess."""
    known, grown = set(held), True
    while grown:
        new = {end for way in ways for end in (way.one, way.other) if {way.one, way.other} & known} - known
        known, grown = known | new, bool(new)
    loose = [place for place in free if place not in known]
    if loose:
        raise ValueError(f"heat network: '{loose[0]}' hangs on no place whose temperature is held.")
