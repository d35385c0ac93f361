"""Which spot a page opens at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from blockwright.choices.stations import Spot, Station, next_spot, station_of


def spot_in_hand(found: Sequence[Station], wanted: str) -> Spot | None:
    """The spot with this key or a row of this id; else the first of this part, feature or position that waits, or its first.

    Where nothing is wanted, or nothing of that name is there: the next that waits, else the first of all. `None` where there is no spot.
    """
    exact = station_of(found, wanted) if wanted else None
    if exact is not None:
        return exact[1]
    named = list(_named(found, wanted)) if wanted else []
    waiting = next((spot for spot in named if spot.waits), None)
    everything = (spot for each in found for spot in each.spots)
    return waiting or next(iter(named), None) or next_spot(found) or next(everything, None)


def _named(found: Sequence[Station], wanted: str) -> Iterator[Spot]:
    for each in found:
        for spot in each.spots:
            row = spot.first
            if wanted.lower() in (row.part.lower(), row.feature, row.at, each.name):
                yield spot
