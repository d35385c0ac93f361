"""The march of `ring_pack`, compiled: one pack after another, step by step and cycle by cycle, until its cycle repeats itself.

| name here | meaning |
| --- | --- |
| nodes | chamber, behind the first ring, the land below it, behind the second ring, ..., crankcase: two a ring, and one |
| ways | of each ring: over it, under it, through its gap |
| h | step, s; half of what damping takes of a ring's speed in one is `SLOWED` |

Pressures by the two-step backward formula, solved by Newton's method at every step, so that the smallest volume sets no limit to the step; lifts
by velocity Verlet between the two sides of the groove. Both are of second order; a ring's landing within a step costs one.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.compiled import compiled
from blockwright.physics.orifice import choked_flow, choking_ratio, flow_number, flow_squared

Array = NDArray[np.float64]
MOST_CYCLES = 40
PERIODIC = 1e-6
"""Pressures at the end of a cycle differ from those at its start by less than this share, and lifts by this share of the play."""
LAMINAR = 1e-3
"""Below this share of the pressure before a gap, a difference of pressure drives a flow in proportion to itself: a flow near nil is smooth."""
CLOSE_ENOUGH, ROUNDING, MOST_TRIES = 1e-6, 1e-12, 80
LEAST_PLAY_M = 1e-9

OVER, UNDER, GAP = 0, 1, 2
P, BEFORE, OLD, BASE, WRONG, MOVED = 0, 1, 2, 3, 4, 5
LIFT, RISE, PULL, FREE = 0, 1, 2, 3
FLOW, BY_START, BY_END = 4, 5, 6
PLAY, SEAT, PER_KG, RUBBED, SLOWED = 0, 1, 2, 3, 4
GAMMA, CHOKING, CHOKED, EDGE = 0, 1, 2, 3
BLOWN, TAKEN, BACK, GROSS, GAINED, PEAKS = 0, 1, 2, 3, 4, 5
"""What is told of every cycle: masses (kg), then the highest pressure of each land, in how many steps each ring was off its lower side, and in
how many of those from half a turn before firing top to half a turn after."""


class Law(NamedTuple):
    """What a pack, or each of many, is made of; of many, packs come first.

    `ways`: rings × 3 ways × 4: what a way lets by, downwards and upwards; a slot laminar, over h³ (pu² - pd²), then choked, over h pu; a gap over
    pu times the flow number. `stored`: kg/Pa of each space; `body`: rings × what `PLAY` and its like name; `chamber` its pressures;
    `shake` the piston's acceleration, reversed, and the direction of friction; `gas` what `GAMMA` and its like name.
    """

    ways: Array
    stored: Array
    body: Array
    chamber: Array
    shake: Array
    gas: Array
    start_pa: float
    step_s: float


class Marched(NamedTuple):
    """Packs × spaces, or rings, × steps of the last cycle; `told`: packs × cycles × what `BLOWN` and its like name; `cycles`: how many,
    nil where a step found no pressures.
    """

    pressures: Array
    lifts: Array
    told: Array
    change: Array
    cycles: NDArray[np.int64]


class _Room(NamedTuple):
    """Where a pack stands, and room to work in: rows by node (`P` and its like), by ring (`LIFT` and its like); by way, four columns of what it
    lets by as it is open now, its flow, and that flow's slopes by the pressures above and below; the slopes of all that is wrong.
    """

    at: Array
    ring: Array
    way: Array
    matrix: Array


def flow_numbers(gamma: float) -> Array:
    """What `Law.gas` holds."""
    edge = float(flow_number(1.0 - LAMINAR, gamma))
    return np.array([gamma, choking_ratio(gamma), choked_flow(gamma), edge])


_flow_squared = compiled(flow_squared)


@compiled
def _slot(high: float, low: float, laminar: float, most: float) -> tuple[float, float, float]:
    """Flow through a groove's side, and its slopes by the pressures before and behind."""
    flow = laminar * (high + low) * (high - low)
    if flow > most * high:
        return most * high, most, 0.0
    return flow, 2.0 * laminar * high, -2.0 * laminar * low


@compiled
def smooth_number(ratio: float, gas: Array) -> tuple[float, float]:
    """The flow number, made smooth near 1, and its slope."""
    if ratio > 1.0 - LAMINAR:
        return gas[EDGE] * (1.0 - ratio) / LAMINAR, -gas[EDGE] / LAMINAR
    if ratio <= gas[CHOKING]:
        return gas[CHOKED], 0.0
    gamma = gas[GAMMA]
    root = ratio ** (1.0 / gamma)
    number = math.sqrt(_flow_squared(ratio, root, gamma))
    return number, root * (2.0 * root / ratio - (gamma + 1.0)) / ((gamma - 1.0) * number)


@compiled
def _gap(high: float, low: float, wide: float, gas: Array) -> tuple[float, float, float]:
    """Flow through an end gap, and its slopes by the pressures before and behind."""
    ratio = low / high
    number, slope = smooth_number(ratio, gas)
    return wide * high * number, wide * (number - ratio * slope), wide * slope


@compiled
def _ends(way: int) -> tuple[int, int]:
    """Nodes at the upper and the lower end of a way."""
    ring, kind = way // 3, way % 3
    return 2 * ring + (1 if kind == UNDER else 0), 2 * ring + (1 if kind == OVER else 2)


@compiled
def _unbalanced(law: Law, room: _Room) -> float:
    """Flows at the pressures as they are, + downwards, what is wrong in each space and its slopes; the sum of the wrong."""
    at, way, matrix = room.at, room.way, room.matrix
    inside = at.shape[1] - 2
    for k in range(inside + 2):
        for j in range(inside + 2):
            matrix[k, j] = 0.0
        at[WRONG, k] = 0.0
    for k in range(1, inside + 1):
        heavy = 1.5 * law.stored[k - 1] / law.step_s
        matrix[k, k], at[WRONG, k] = heavy, heavy * at[P, k] - at[OLD, k]
    for w in range(len(way)):
        start, end = _ends(w)
        a, b = at[P, start], at[P, end]
        up = 1 if a < b else 0
        if w % 3 == GAP:
            flow, by_high, by_low = _gap(max(a, b), min(a, b), way[w, up], law.gas)
        else:
            flow, by_high, by_low = _slot(max(a, b), min(a, b), way[w, up], way[w, 2 + up])
        if up == 1:
            flow, by_high, by_low = -flow, -by_low, -by_high
        way[w, FLOW], way[w, BY_START], way[w, BY_END] = flow, by_high, by_low
        at[WRONG, start] += flow
        at[WRONG, end] -= flow
        matrix[start, start] += by_high
        matrix[start, end] += by_low
        matrix[end, start] -= by_high
        matrix[end, end] -= by_low
    much = 0.0
    for k in range(1, inside + 1):
        much += abs(at[WRONG, k])
    return much


@compiled
def _solve(matrix: Array, at: Array) -> None:
    """The move that puts right what is wrong. The diagonal outweighs its column, so no rows are exchanged; a node knows two on either side."""
    last = at.shape[1] - 2
    for i in range(1, last):
        for j in range(i + 1, min(i + 2, last) + 1):
            share = matrix[j, i] / matrix[i, i]
            for k in range(i + 1, min(i + 2, last) + 1):
                matrix[j, k] -= share * matrix[i, k]
            at[WRONG, j] -= share * at[WRONG, i]
    for i in range(last, 0, -1):
        value = at[WRONG, i]
        for k in range(i + 1, min(i + 2, last) + 1):
            value -= matrix[i, k] * at[MOVED, k]
        at[MOVED, i] = value / matrix[i, i]


@compiled
def _press(law: Law, room: _Room) -> bool:
    """Find the pressures of a step; a move that leaves more wrong than it found is halved. Flows are those of the last, straight piece."""
    at, way = room.at, room.way
    inside = at.shape[1] - 2
    noise, least, share = 0.0, np.inf, 1.0
    for k in range(1, inside + 1):
        noise += ROUNDING * abs(at[OLD, k])
    for _ in range(MOST_TRIES):
        much = _unbalanced(law, room)
        if much > least and much > noise:
            share *= 0.5
        else:
            share, least = 1.0, much
            _solve(room.matrix, at)
            for k in range(1, inside + 1):
                at[BASE, k] = at[P, k]
        far = 0.0
        for k in range(1, inside + 1):
            base = at[BASE, k]
            at[P, k] = max(base - share * at[MOVED, k], 0.2 * base)
            far = max(far, abs(at[MOVED, k] / base))
        if share == 1.0 and far < CLOSE_ENOUGH:
            for w in range(len(way)):
                start, end = _ends(w)
                way[w, FLOW] -= way[w, BY_START] * at[MOVED, start] + way[w, BY_END] * at[MOVED, end]
            return True
    return False


@compiled
def _press_again(law: Law, room: _Room) -> bool:
    """The same from other beginnings, where the usual one leads nowhere: as it was a step ago, all as the chamber, all as the crankcase.

    A wide slot near balance passes from all it can choke at one way to all of it the other way within a small difference of pressure; moves may
    swing about that for ever.
    """
    at = room.at
    last = at.shape[1] - 1
    for begin in range(3):
        for k in range(1, last):
            at[P, k] = at[BEFORE, k] if begin == 0 else (at[P, 0] if begin == 1 else at[P, last])
        if _press(law, room):
            return True
    return False


@compiled
def _lift(law: Law, room: _Room) -> None:
    """The rings a step further by the pull they had, and what that opens."""
    h, ring, way, ways = law.step_s, room.ring, room.way, law.ways
    for i in range(ring.shape[1]):
        slowed, play, seat = law.body[i, SLOWED], law.body[i, PLAY], law.body[i, SEAT]
        rise = ring[RISE, i]
        free = ring[LIFT, i] + h * rise + h * (0.5 * h * ring[PULL, i] - slowed * rise) / (1.0 + slowed)
        lift = min(max(free, 0.0), play)
        ring[FREE, i], ring[LIFT, i] = free, lift
        for up in range(2):
            way[3 * i + OVER, up] = ways[i, OVER, up] * (seat + play - lift) ** 3
            way[3 * i + UNDER, up] = ways[i, UNDER, up] * (seat + lift) ** 3
            way[3 * i + OVER, 2 + up] = ways[i, OVER, 2 + up] * (seat + play - lift)
            way[3 * i + UNDER, 2 + up] = ways[i, UNDER, 2 + up] * (seat + lift)


@compiled
def _pull(law: Law, room: _Room, step: int) -> None:
    """What pulls at the rings under the new pressures, and how fast they rise; on a side that it is held to a ring rests."""
    at, ring = room.at, room.ring
    for i in range(ring.shape[1]):
        slowed, play = law.body[i, SLOWED], law.body[i, PLAY]
        pushed = law.body[i, PER_KG] * (at[P, 2 * i] - at[P, 2 * i + 2])
        pull = law.shake[0, step] - law.shake[1, step] * law.body[i, RUBBED] - pushed
        rise = (ring[RISE, i] * (1.0 - slowed) + 0.5 * law.step_s * (ring[PULL, i] + pull)) / (1.0 + slowed)
        if ring[FREE, i] <= 0.0:
            rise = max(rise, 0.0)
        if ring[FREE, i] >= play:
            rise = min(rise, 0.0)
        if (ring[LIFT, i] <= 0.0 and pull < 0.0) or (ring[LIFT, i] >= play and pull > 0.0):
            rise, pull = 0.0, 0.0
        ring[RISE, i], ring[PULL, i] = rise, pull


@compiled
def _tell(law: Law, room: _Room, step: int, told: Array) -> None:
    """Add a step to what is told of its cycle."""
    h, way, rings, steps = law.step_s, room.way, len(law.body), len(law.chamber)
    low = len(way) - 3
    told[BLOWN] += h * (way[low + UNDER, FLOW] + way[low + GAP, FLOW])
    told[TAKEN] += h * (way[OVER, FLOW] + way[GAP, FLOW])
    told[BACK] += h * max(-way[GAP, FLOW], 0.0)
    told[GROSS] += h * (abs(way[OVER, FLOW]) + abs(way[GAP, FLOW]))
    for k in range(rings - 1):
        told[PEAKS + k] = max(told[PEAKS + k], room.at[P, 2 * k + 2])
    for i in range(rings):
        if room.ring[LIFT, i] > law.body[i, SEAT]:
            told[PEAKS + rings - 1 + i] += 1.0
            if 4 * step < steps or 4 * step >= 3 * steps:
                told[PEAKS + 2 * rings - 1 + i] += 1.0


@compiled
def _cycle(law: Law, room: _Room, pressures: Array, lifts: Array, told: Array) -> float:
    """One cycle; how far pressures and lifts ended from where they began, as a share; -1 where no pressures were found."""
    at, ring = room.at, room.ring
    inside = at.shape[1] - 2
    then, before = at.copy(), ring.copy()
    for step in range(len(law.chamber)):
        _lift(law, room)
        for k in range(1, inside + 1):
            p = at[P, k]
            guess = 2.0 * p - at[BEFORE, k]
            at[OLD, k] = (2.0 * p - 0.5 * at[BEFORE, k]) * law.stored[k - 1] / law.step_s
            at[BEFORE, k], at[P, k] = p, guess if guess > 0.5 * p else p
        at[P, 0] = law.chamber[step]
        if not (_press(law, room) or _press_again(law, room)):
            return -1.0
        _pull(law, room, step)
        _tell(law, room, step, told)
        for k in range(inside):
            pressures[k, step] = at[P, k + 1]
        for i in range(ring.shape[1]):
            lifts[i, step] = ring[LIFT, i]
    change = 0.0
    for k in range(1, inside + 1):
        gained = 1.5 * (at[P, k] - then[P, k]) - 0.5 * (at[BEFORE, k] - then[BEFORE, k])
        told[GAINED] += law.stored[k - 1] * gained
        change = max(change, abs(at[P, k] / then[P, k] - 1.0))
    for i in range(ring.shape[1]):
        change = max(change, abs(ring[LIFT, i] - before[LIFT, i]) / max(law.body[i, PLAY], LEAST_PLAY_M))
    return change


@compiled
def _room(law: Law) -> _Room:
    """A pack at rest, full of the crankcase's gas."""
    rings = len(law.body)
    nodes, way = 2 * rings + 1, np.zeros((3 * rings, 7))
    for i in range(rings):
        for column in range(FLOW):
            way[3 * i + GAP, column] = law.ways[i, GAP, column]
    at = np.zeros((6, nodes))
    for k in range(nodes):
        at[P, k], at[BEFORE, k] = law.start_pa, law.start_pa
    return _Room(at, np.zeros((4, rings)), way, np.zeros((nodes, nodes)))


@compiled
def march(law: Law) -> Marched:
    """Every pack of a law, from rest to the cycle that repeats itself, or through as many cycles as are allowed."""
    packs, rings, steps = len(law.ways), law.body.shape[1], law.chamber.shape[1]
    pressures, lifts = np.empty((packs, 2 * rings - 1, steps)), np.empty((packs, rings, steps))
    told, change = np.zeros((packs, MOST_CYCLES, PEAKS + 3 * rings - 1)), np.zeros(packs)
    cycles = np.zeros(packs, dtype=np.int64)
    for n in range(packs):
        one = Law(
            law.ways[n], law.stored[n], law.body[n], law.chamber[n if len(law.chamber) > 1 else 0], law.shake, law.gas,
            law.start_pa, law.step_s,
        )  # fmt: skip
        room = _room(one)
        for cycle in range(MOST_CYCLES):
            change[n] = _cycle(one, room, pressures[n], lifts[n], told[n, cycle])
            if change[n] < 0.0:
                cycles[n] = 0
                break
            cycles[n] = cycle + 1
            if change[n] < PERIODIC:
                break
    return Marched(pressures, lifts, told, change, cycles)
