"""Options from estimates and limits, with no job behind them: half shells, gaskets, shims under valves and springs.

Everything here is a room less what is put into it: housing less journal less two shell walls is a film, deck less gasket a quench, the gap at a
valve less its shim a lash.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from blockwright.choices.matching.model import Option, option_of
from blockwright.fits.limits import Limits
from blockwright.metrology.estimate import Estimate, combine

NO_SHIM = "no shim"


def filled(
    rooms: Mapping[str, Estimate],
    limits: Mapping[str, Limits],
    sets: Sequence[tuple[str, ...]],
    sizes: Mapping[str, Estimate],
) -> tuple[Option, ...]:
    """At every place every set of parts: the room less their sizes. Places whose limits do not tell where to aim have no option."""
    found = (
        option_of(place, uses, combine([(1.0, room), *((-1.0, sizes[mark]) for mark in uses)]), limits[place])
        for place, room in rooms.items()
        for uses in sets
    )
    return tuple(option for option in found if option is not None)


def half_shells(
    rooms: Mapping[str, Estimate],
    limits: Mapping[str, Limits],
    uppers: Mapping[str, Estimate],
    lowers: Mapping[str, Estimate],
) -> tuple[Option, ...]:
    """Shells in two halves: `rooms` are housings less journals, `uppers` and `lowers` walls by mark or grade.

    A mix is offered once, though either half may carry either wall.
    """
    mixes: dict[frozenset[str], tuple[str, ...]] = {}
    for pair in itertools.product(uppers, lowers):
        mixes.setdefault(frozenset(pair), pair)
    return filled(rooms, limits, list(mixes.values()), {**uppers, **lowers})


def shims(
    rooms: Mapping[str, Estimate], limits: Mapping[str, Limits], sizes: Mapping[str, Estimate], most: int = 1
) -> tuple[Option, ...]:
    """Shims out of a set: `rooms` are the lashes, or the installed heights, that there would be with no shim.

    Up to `most` shims at a place. Where none at all may do, offer a size of nil under `NO_SHIM`, with enough of it in stock.
    """
    stacks = [each for count in range(1, most + 1) for each in itertools.combinations_with_replacement(sizes, count)]
    return filled(rooms, limits, [each for each in stacks if len(each) == 1 or NO_SHIM not in each], sizes)


def gaskets(
    place: str, decks: Sequence[Estimate], limits: Limits, thicknesses: Mapping[str, Estimate]
) -> tuple[Option, ...]:
    """One gasket over several cylinders: of each thickness the cylinder that it serves worst.

    `decks`: piston below deck (+); the quench is that and the gasket.
    """
    offered = []
    for mark, thickness in thicknesses.items():
        each = [option_of(place, (mark,), deck + thickness, limits) for deck in decks]
        known = [option for option in each if option is not None]
        if known:
            offered.append(max(known, key=lambda option: (bool(option.barred), abs(option.deviation))))
    return tuple(offered)
