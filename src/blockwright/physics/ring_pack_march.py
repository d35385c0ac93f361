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
LAMINAR = 1e-3
"""Below this share of the pressure before a gap, a difference of pressure drives a flow in proportion to itself, so that a flow near nil is smooth."""
CLOSE_ENOUGH, ROUNDING, MOST_TRIES = 1e-6, 1e-12, 80
LEAST_PLAY_M = 1e-9

OVER, UNDER, GAP = 0, 1, 2
PLAY, SEAT, PER_KG, RUBBED, SLOWED = 0, 1, 2, 3, 4
GAMMA, CHOKING, CHOKED, EDGE = 0, 1, 2, 3
BLOWN, TAKEN, BACK, GROSS, GAINED, PEAKS = 0, 1, 2, 3, 4, 5
"""What is told of every cycle: masses (kg), then the highest pressure of each land, how long each ring was off its lower side (rad), and how
long of that in the turn from half a turn before firing top to half a turn after."""


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
    """Packs × spaces, or rings, × steps of the last cycle; `told`: packs × cycles × what `BLOWN` and its like name; `change`; `cycles`, nil where
    a step found no pressures."""

    pressures: Array
    lifts: Array
    told: Array
    change: Array
    cycles: NDArray[np.int64]


class _Room(NamedTuple):
    """Where a pack stands, and room to work in: by node, by ring, by way."""

    p: Array
    before: Array
    old: Array
    base: Array
    wrong: Array
    moved: Array
    matrix: Array
    lift: Array
    rise: Array
    pull: Array
    free: Array
    open: Array
    flow: Array
    slope: Array


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
    p, wrong, matrix = room.p, room.wrong, room.matrix
    inside = len(p) - 2
    matrix[:], wrong[:] = 0.0, 0.0
    for k in range(1, inside + 1):
        heavy = 1.5 * law.stored[k - 1] / law.step_s
        matrix[k, k], wrong[k] = heavy, heavy * p[k] - room.old[k]
    for way in range(len(room.flow)):
        start, end = _ends(way)
        up = 1 if p[start] < p[end] else 0
        high, low = max(p[start], p[end]), min(p[start], p[end])
        opened = room.open[way]
        if way % 3 == GAP:
            flow, by_high, by_low = _gap(high, low, opened[up], law.gas)
        else:
            flow, by_high, by_low = _slot(high, low, opened[up], opened[2 + up])
        if up == 1:
            flow, by_high, by_low = -flow, -by_low, -by_high
        room.flow[way], room.slope[way, 0], room.slope[way, 1] = flow, by_high, by_low
        wrong[start] += flow
        wrong[end] -= flow
        matrix[start, start] += by_high
        matrix[start, end] += by_low
        matrix[end, start] -= by_high
        matrix[end, end] -= by_low
    much = 0.0
    for k in range(1, inside + 1):
        much += abs(wrong[k])
    return much


@compiled
def _solve(matrix: Array, right: Array, found: Array) -> None:
    """Solution for the nodes inside. The diagonal outweighs its column, so no rows are exchanged; a node knows two on either side."""
    last = len(right) - 2
    for i in range(1, last):
        for j in range(i + 1, min(i + 2, last) + 1):
            share = matrix[j, i] / matrix[i, i]
            for k in range(i + 1, min(i + 2, last) + 1):
                matrix[j, k] -= share * matrix[i, k]
            right[j] -= share * right[i]
    for i in range(last, 0, -1):
        value = right[i]
        for k in range(i + 1, min(i + 2, last) + 1):
            value -= matrix[i, k] * found[k]
        found[i] = value / matrix[i, i]


@compiled
def _press(law: Law, room: _Room) -> bool:
    """Find the pressures of a step; a move that leaves more wrong than it found is halved. Flows are those of the last, straight piece."""
    p, base, moved = room.p, room.base, room.moved
    noise, least, share = 0.0, np.inf, 1.0
    for k in range(1, len(p) - 1):
        noise += ROUNDING * abs(room.old[k])
    for _ in range(MOST_TRIES):
        much = _unbalanced(law, room)
        if much > least and much > noise:
            share *= 0.5
        else:
            share, least = 1.0, much
            base[:] = p
            _solve(room.matrix, room.wrong, moved)
        far = 0.0
        for k in range(1, len(p) - 1):
            p[k] = max(base[k] - share * moved[k], 0.2 * base[k])
            far = max(far, abs(moved[k] / base[k]))
        if share == 1.0 and far < CLOSE_ENOUGH:
            for way in range(len(room.flow)):
                start, end = _ends(way)
                room.flow[way] -= room.slope[way, 0] * moved[start] + room.slope[way, 1] * moved[end]
            return True
    return False


@compiled
def _lift(law: Law, room: _Room) -> None:
    """The rings a step further by the pull they had, and what that opens."""
    h = law.step_s
    for i in range(len(room.lift)):
        slowed, play = law.body[i, SLOWED], law.body[i, PLAY]
        rise = room.rise[i]
        room.free[i] = room.lift[i] + h * rise + h * (0.5 * h * room.pull[i] - slowed * rise) / (1.0 + slowed)
        room.lift[i] = min(max(room.free[i], 0.0), play)
        above = law.body[i, SEAT] + play - room.lift[i]
        below = law.body[i, SEAT] + room.lift[i]
        for up in range(2):
            room.open[3 * i + OVER, up] = law.ways[i, OVER, up] * above**3
            room.open[3 * i + UNDER, up] = law.ways[i, UNDER, up] * below**3
            room.open[3 * i + OVER, 2 + up] = law.ways[i, OVER, 2 + up] * above
            room.open[3 * i + UNDER, 2 + up] = law.ways[i, UNDER, 2 + up] * below


@compiled
def _pull(law: Law, room: _Room, step: int) -> None:
    """What pulls at the rings under the new pressures, and how fast they rise; on a side that it is held to a ring rests."""
    for i in range(len(room.lift)):
        slowed, play = law.body[i, SLOWED], law.body[i, PLAY]
        pushed = law.body[i, PER_KG] * (room.p[2 * i] - room.p[2 * i + 2])
        pull = law.shake[0, step] - law.shake[1, step] * law.body[i, RUBBED] - pushed
        rise = (room.rise[i] * (1.0 - slowed) + 0.5 * law.step_s * (room.pull[i] + pull)) / (1.0 + slowed)
        if room.free[i] <= 0.0:
            rise = max(rise, 0.0)
        if room.free[i] >= play:
            rise = min(rise, 0.0)
        if (room.lift[i] <= 0.0 and pull < 0.0) or (room.lift[i] >= play and pull > 0.0):
            rise, pull = 0.0, 0.0
        room.rise[i], room.pull[i] = rise, pull


@compiled
def _tell(law: Law, room: _Room, step: int, told: Array) -> None:
    """Add a step to what is told of its cycle."""
    h, flow, rings = law.step_s, room.flow, len(room.lift)
    steps = len(law.chamber)
    told[BLOWN] += h * (flow[-3 + UNDER] + flow[-3 + GAP])
    told[TAKEN] += h * (flow[OVER] + flow[GAP])
    told[BACK] += h * max(-flow[GAP], 0.0)
    told[GROSS] += h * (abs(flow[OVER]) + abs(flow[GAP]))
    for k in range(rings - 1):
        told[PEAKS + k] = max(told[PEAKS + k], room.p[2 * k + 2])
    for i in range(rings):
        if room.lift[i] > law.body[i, SEAT]:
            told[PEAKS + rings - 1 + i] += 4.0 * math.pi / steps
            if 4 * step < steps or 4 * step >= 3 * steps:
                told[PEAKS + 2 * rings - 1 + i] += 4.0 * math.pi / steps


@compiled
def _cycle(law: Law, room: _Room, pressures: Array, lifts: Array, told: Array) -> float:
    """One cycle; how far pressures and lifts ended from where they began, as a share; -1 where no pressures were found."""
    p, before = room.p, room.before
    p0, before0, lift0 = p.copy(), before.copy(), room.lift.copy()
    told[:] = 0.0
    for step in range(len(law.chamber)):
        _lift(law, room)
        for k in range(1, len(p) - 1):
            room.old[k] = (2.0 * p[k] - 0.5 * before[k]) * law.stored[k - 1] / law.step_s
            guess, before[k] = 2.0 * p[k] - before[k], p[k]
            p[k] = guess if guess > 0.5 * p[k] else p[k]
        p[0] = law.chamber[step]
        if not _press(law, room):
            return -1.0
        _pull(law, room, step)
        _tell(law, room, step, told)
        pressures[:, step], lifts[:, step] = p[1:-1], room.lift
    change = 0.0
    for k in range(1, len(p) - 1):
        told[GAINED] += law.stored[k - 1] * (1.5 * (p[k] - p0[k]) - 0.5 * (before[k] - before0[k]))
        change = max(change, abs(p[k] / p0[k] - 1.0))
    for i in range(len(lift0)):
        change = max(change, abs(room.lift[i] - lift0[i]) / max(law.body[i, PLAY], LEAST_PLAY_M))
    return change


@compiled
def _room(law: Law) -> _Room:
    """A pack at rest, full of the crankcase's gas."""
    rings = len(law.body)
    nodes, ways = 2 * rings + 1, 3 * rings
    opened = np.zeros((ways, 4))
    for i in range(rings):
        opened[3 * i + GAP] = law.ways[i, GAP]
    p, before = np.full(nodes, law.start_pa), np.full(nodes, law.start_pa)
    old, base, wrong, moved = np.zeros(nodes), np.zeros(nodes), np.zeros(nodes), np.zeros(nodes)
    lift, rise, pull, free = np.zeros(rings), np.zeros(rings), np.zeros(rings), np.zeros(rings)
    return _Room(
        p, before, old, base, wrong, moved, np.zeros((nodes, nodes)), lift, rise, pull, free, opened,
        np.zeros(ways), np.zeros((ways, 2)),
    )  # fmt: skip


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
