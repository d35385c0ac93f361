"""Shapes in rows with lines downwards: an order with few crossings, places that keep lines straight, right-angled lines that never touch.

All lines that leave one shape are one wire with branches. Through a row that it only passes a wire has a place of its own between the shapes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

Slot = tuple[int, int]
"""A shape: its number and -1; a wire that passes: the number of the shape it comes from and the row."""
Link = tuple[Slot, Slot]

LANE, BETWEEN, PORTS, TRACK = 12.0, 16.0, 14.0, 8.0
"""Width of a passing wire; room between neighbours in a row; from port to port; from level to level."""
STUB, ARROW = 9.0, 15.0
"""Straight pieces of a wire under a shape, and over one, where its arrow is."""
SWEEPS, SETTLING, FALLING = 12, 20, 6
"""Rounds to find an order, and places; the last of these look upwards only."""
NEAR = 5.0


@dataclass(frozen=True)
class Wire:
    """All lines from one shape through one gap: where it comes down, the level where it spreads, and where it goes on.

    Each end has the number of the shape that it enters there, or -1 where it passes on.
    """

    first: int
    x: float
    top: float
    level: float
    foot: float
    ends: tuple[tuple[float, int], ...]


@dataclass(frozen=True)
class Layout:
    """Middles and tops of shapes, feet of rows, wires gap by gap, and through rows (x, from, to)."""

    x: Mapping[int, float]
    y: Mapping[int, float]
    feet: tuple[float, ...]
    wires: tuple[Wire, ...]
    passing: tuple[tuple[int, float, float, float], ...]


@dataclass(frozen=True)
class _Threads:
    """Slots of each row and links of each gap."""

    rows: list[list[Slot]]
    links: list[list[Link]]


def laid_out(
    rows: Sequence[Sequence[int]],
    lines: Sequence[tuple[int, int]],
    wide: Mapping[int, float],
    tall: Mapping[int, float],
    above: Sequence[float],
    left: float,
    right: float,
) -> Layout:
    """The layout of shapes in rows. `wide` and `tall` by shape; `above` is room kept over each row; `left`, `right` bound all of it.

    Every line must go downwards. Where a row does not fit between the bounds it runs over the right one.
    """
    threads = _threads(rows, lines)
    slots = _few_crossings(threads)
    x = _places(_Threads(slots, threads.links), wide, left, right)
    tops: list[float] = []
    feet: list[float] = []
    wires: list[Wire] = []
    y = 0.0
    for index, row in enumerate(slots):
        if index:
            made, y = _gap(threads.links[index - 1], row, x, wide, feet[-1], above[index])
            begins = {node: tops[-1] + tall[node] for node in rows[index - 1]}
            wires += [replace(wire, top=begins.get(wire.first, wire.top)) for wire in made]
        else:
            y += above[0]
        tops.append(y)
        y += max(tall[node] for node in rows[index])
        feet.append(y)
    passing = [(s[0], x[s], tops[i], feet[i]) for i, row in enumerate(slots) for s in row if s[1] >= 0]
    y_of = {node: top for row, top in zip(rows, tops, strict=True) for node in row}
    return Layout({s[0]: at for s, at in x.items() if s[1] < 0}, y_of, tuple(feet), tuple(wires), tuple(passing))


def least_room(rows: Sequence[Sequence[int]], lines: Sequence[tuple[int, int]], wide: Mapping[int, float]) -> float:
    """How wide the fullest row is."""
    return max(sum(_wide(slot, wide) + BETWEEN for slot in row) - BETWEEN for row in _threads(rows, lines).rows)


def isotonic(
    wanted: Sequence[float], weights: Sequence[float], apart: Sequence[float], low: float, high: float
) -> list[float]:
    """Places in order, nearest to those wanted (weighted squares), each at least `apart` beyond the one before it, between bounds.

    `apart[0]` is not used. Pool adjacent violators, which is exact for this problem.
    """
    offsets = [sum(apart[1 : index + 1]) for index in range(len(wanted))]
    pools: list[tuple[float, float, int]] = []
    for want, weight, offset in zip(wanted, weights, offsets, strict=True):
        pools.append((want - offset, weight, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, wa, na), (b, wb, nb) = pools[-2:]
            pools[-2:] = [((a * wa + b * wb) / (wa + wb), wa + wb, na + nb)]
    flat = [value for value, _, count in pools for _ in range(count)]
    most = max(low, high - offsets[-1])
    return [min(max(value, low), most) + offset for value, offset in zip(flat, offsets, strict=True)]


def _threads(rows: Sequence[Sequence[int]], lines: Sequence[tuple[int, int]]) -> _Threads:
    at = {node: index for index, row in enumerate(rows) for node in row}
    slots: list[list[Slot]] = [[(node, -1) for node in row] for row in rows]
    links: list[list[Link]] = [[] for _ in rows[1:]]
    for first in dict.fromkeys(a for a, _ in lines):
        lasts = [b for a, b in lines if a == first]
        here: Slot = (first, -1)
        for row in range(at[first] + 1, max(at[last] for last in lasts) + 1):
            links[row - 1] += [(here, (last, -1)) for last in lasts if at[last] == row]
            if any(at[last] > row for last in lasts):
                links[row - 1].append((here, (first, row)))
                here = (first, row)
                slots[row].append(here)
    return _Threads(slots, links)


def _few_crossings(threads: _Threads) -> list[list[Slot]]:
    rows = [list(row) for row in threads.rows]
    best, least = [list(row) for row in rows], _crossings(rows, threads.links)
    for sweep in range(SWEEPS):
        down = sweep % 2 == 0
        before = [list(row) for row in rows]
        for index in range(1, len(rows)) if down else range(len(rows) - 2, -1, -1):
            other = rows[index - 1 if down else index + 1]
            links = threads.links[index - 1 if down else index]
            rows[index] = _by_middle(rows[index], other, links if down else [(b, a) for a, b in links])
        found = least if rows == before else _crossings(rows, threads.links)
        if found < least:
            best, least = [list(row) for row in rows], found
        if not least:
            break
    return best


def _by_middle(row: Sequence[Slot], other: Sequence[Slot], links: Sequence[Link]) -> list[Slot]:
    """A row sorted by the middle of what each slot is linked with in the row beside it."""
    share = {slot: (index + 0.5) / len(other) for index, slot in enumerate(other)}
    own = {slot: (index + 0.5) / len(row) for index, slot in enumerate(row)}
    met: dict[Slot, list[float]] = {slot: [] for slot in row}
    for there, here in links:
        met[here].append(share[there])
    return sorted(row, key=lambda slot: sum(met[slot]) / len(met[slot]) if met[slot] else own[slot])


def _crossings(rows: Sequence[Sequence[Slot]], links: Sequence[Sequence[Link]]) -> int:
    count = 0
    for index, gap in enumerate(links):
        upper = {slot: place for place, slot in enumerate(rows[index])}
        lower = {slot: place for place, slot in enumerate(rows[index + 1])}
        placed = [(upper[a], lower[b]) for a, b in gap]
        count += sum((a - c) * (b - d) < 0 for (a, b), (c, d) in combinations(placed, 2))
    return count


def _places(threads: _Threads, wide: Mapping[int, float], left: float, right: float) -> dict[Slot, float]:
    """Middles of all slots: each near what it is linked with, wires straight before all else."""
    x: dict[Slot, float] = {}
    for row in threads.rows:
        for index, slot in enumerate(row):
            x[slot] = left + (right - left) * (index + 0.5) / len(row)
    up: dict[Slot, list[Slot]] = {slot: [] for slot in x}
    down: dict[Slot, list[Slot]] = {slot: [] for slot in x}
    for gap in threads.links:
        for a, b in gap:
            down[a].append(b)
            up[b].append(a)
    for sweep in range(SETTLING):
        falling = sweep % 2 == 0
        for row in threads.rows if falling else reversed(threads.rows):
            settled = sweep >= SETTLING - FALLING
            met = [(up[s] if settled and up[s] else up[s] + down[s]) for s in row]
            _settle(row, met, x, wide, left, right)
    for row in threads.rows:
        _settle(row, [up[slot] for slot in row], x, wide, left, right)
    return x


def _settle(
    row: Sequence[Slot],
    met: Sequence[Sequence[Slot]],
    x: dict[Slot, float],
    wide: Mapping[int, float],
    left: float,
    right: float,
) -> None:
    wanted = [sum(x[m] for m in each) / len(each) if each else x[slot] for slot, each in zip(row, met, strict=True)]
    weights = [8.0 if slot[1] >= 0 else (1.0 if each else 0.2) for slot, each in zip(row, met, strict=True)]
    halves = [_wide(slot, wide) / 2 for slot in row]
    apart = [0.0, *(a + b + BETWEEN for a, b in pairwise(halves))]
    room = isotonic(wanted, weights, apart, left + halves[0], right - halves[-1])
    x.update(zip(row, room, strict=True))


def _wide(slot: Slot, wide: Mapping[int, float]) -> float:
    return LANE if slot[1] >= 0 else wide[slot[0]]


def _gap(
    links: Sequence[Link],
    row: Sequence[Slot],
    x: Mapping[Slot, float],
    wide: Mapping[int, float],
    top: float,
    above: float,
) -> tuple[list[Wire], float]:
    """The wires of a gap that begins at `top`, and where the next row begins."""
    ports = _ports(links, row, x, wide)
    nets: dict[Slot, list[tuple[float, int]]] = {}
    for first, last in links:
        nets.setdefault(first, []).append((ports[first, last], last[0] if last[1] < 0 else -1))
    levels = tracks({x[first]: [end for end, _ in ends] for first, ends in nets.items()})
    count = 1 + max(levels.values(), default=-1)
    foot = top + STUB + TRACK * max(count - 1, 0) + ARROW + above
    wires = [
        Wire(first[0], x[first], top, top + STUB + TRACK * levels.get(x[first], 0), foot, tuple(sorted(ends)))
        for first, ends in nets.items()
    ]
    return wires, foot


def _ports(
    links: Sequence[Link], row: Sequence[Slot], x: Mapping[Slot, float], wide: Mapping[int, float]
) -> dict[Link, float]:
    """Where each link enters: straight from above where it can, else as near as it can."""
    found: dict[Link, float] = {}
    for slot in row:
        here = sorted((link for link in links if link[1] == slot), key=lambda link: x[link[0]])
        if slot[1] >= 0:
            found |= dict.fromkeys(here, x[slot])
        elif here:
            reach = wide[slot[0]] / 2 - PORTS
            apart = [min(PORTS, 2 * reach / len(here))] * len(here)
            wanted = [x[a] for a, _ in here]
            placed = isotonic(wanted, [1.0] * len(here), apart, x[slot] - reach, x[slot] + reach)
            found |= dict(zip(here, placed, strict=True))
    return found


def tracks(nets: Mapping[float, Sequence[float]]) -> dict[float, int]:
    """By the place where a wire comes down, the level at which it spreads, counted from above; straight wires need none.

    A wire that comes down where another goes on must spread above that one's level.
    """
    spans = {x: (min(x, *ends), max(x, *ends)) for x, ends in nets.items()}
    spread = [x for x, (low, high) in spans.items() if high - low > 0.5]
    over = {a: {b for b in spread if b != a and any(abs(end - b) < NEAR for end in nets[a])} for a in spread}
    found: dict[float, int] = {}
    left = sorted(spread, key=lambda x: (spans[x][0], spans[x][1]))
    while left:
        free = [x for x in left if not over[x] & set(left)]
        here = (free or left)[0]
        level = 1 + max((found[b] for b in over[here] if b in found), default=-1)
        taken = {found[b] for b in found if spans[b][0] < spans[here][1] + NEAR and spans[here][0] < spans[b][1] + NEAR}
        while level in taken:
            level += 1
        found[here] = level
        left.remove(here)
    return found
