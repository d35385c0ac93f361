"""Rows and pages of the route's picture.

Under each heading a card stands a row below what it needs, at most three abreast; pages are cut where few lines pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blockwright.report.pictures.route_nodes import Band, Cards

ABREAST = 3
WITHIN_BAND, BETWEEN_BANDS = 6, 2
"""What a cut costs beside the lines that it cuts, where it parts a heading's cards, and where it parts two headings of a pass."""


@dataclass(frozen=True)
class Row:
    """Cards beside each other: which band they belong to, which they are, and whether a heading or a pass begins there."""

    band: int
    nodes: tuple[int, ...]
    heads: bool
    opens: bool


def rows_of(cards: Cards) -> tuple[Row, ...]:
    """All rows of a route, from the first step down."""
    pairs = [(line.first, line.last) for line in cards.lines]
    found = []
    for index, band in enumerate(cards.bands):
        opens = not index or band.stage is not cards.bands[index - 1].stage
        for place, nodes in enumerate(_rows(band, pairs)):
            found.append(Row(index, nodes, heads=not place, opens=opens and not place))
    return tuple(found)


def _rows(band: Band, pairs: Sequence[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Rows of one heading: what the longest way still waits for goes first."""
    inside = [(a, b) for a, b in pairs if a in band.nodes and b in band.nodes]
    tail: dict[int, int] = {}

    def way(node: int) -> int:
        if node not in tail:
            tail[node] = 1 + max((way(b) for a, b in inside if a == node), default=0)
        return tail[node]

    left = sorted(band.nodes, key=lambda node: (-way(node), node))
    found: list[tuple[int, ...]] = []
    while left:
        ready = [node for node in left if not any(b == node and a in left for a, b in inside)][:ABREAST]
        found.append(tuple(sorted(ready)))
        left = [node for node in left if node not in ready]
    return found


def paged(rows: Sequence[Row], heights: Sequence[float], cards: Cards, tallest: float) -> list[tuple[int, int]]:
    """Pages as spans of rows (first, end): as few as can be, and cut where it costs least. A row that is too tall has a page to itself."""
    best: list[tuple[tuple[int, int], list[tuple[int, int]]]] = [((0, 0), [])]
    for end in range(1, len(rows) + 1):
        ways = []
        for first in range(end - 1, -1, -1):
            if first < end - 1 and sum(heights[first:end]) > tallest:
                break
            (pages, cost), spans = best[first]
            cut = _cost(rows, end, cards) if end < len(rows) else 0
            ways.append(((pages + 1, cost + cut), [*spans, (first, end)]))
        best.append(min(ways, key=lambda each: (each[0], -each[1][-1][0])))
    return best[-1][1]


def _cost(rows: Sequence[Row], end: int, cards: Cards) -> int:
    above = {node for row in rows[:end] for node in row.nodes}
    passing = len({line.first for line in cards.lines if line.first in above and line.last not in above})
    before, after = rows[end - 1].band, rows[end].band
    if before == after:
        return passing + WITHIN_BAND
    return passing + (BETWEEN_BANDS if cards.bands[before].stage == cards.bands[after].stage else 0)
