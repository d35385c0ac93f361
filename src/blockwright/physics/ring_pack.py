"""Gas in the ring pack: pressures between and behind the rings, lift of the rings, and blow-by, for gaps as they were filed.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| p, V, T | – | gas between two rings or behind one: pressure (absolute), volume, temperature (its wall's) | Pa, m³, K |
| s | lift_m | how far a ring stands above the lower side of its groove | m |
| h | – | opening of one side of a groove: the lift, or what it leaves of the play, and the seat's roughness | m |
| mu | viscosity_pa_s | viscosity of the gas | Pa s |

From the chamber gas reaches the space behind a ring over its upper side, leaves it under its lower side, and passes the ring through its end
gap; each such space holds V / (R T) of gas for every Pa. A gap is an orifice as wide as the hot gap and as deep as the hot radial clearance of the
land in the bore; a groove's side is a laminar slot, no more than it could choke at. Gas in every space has its wall's temperature. On a
ring's side the pressure falls straight across, so gas pushes with half the difference over the side and with all of it over what stands out of the
groove. Gas, the piston's acceleration and friction seat the ring or lift it; it does not bounce. Nothing leaks past a face, and the crankcase's
pressure is given.

The ring's friction on the bore is a given force against the motion, and oil in the groove damps its rise and fall by a given number, which moves
the blow-by of a ring near balance by a good part of itself. Twisting of rings, oil that seals, fuel and soot are not known to it.

References
----------
S. Namazian, J. B. Heywood, "Flow in the Piston-Cylinder-Ring Crevices of a Spark-Ignition Engine", SAE 820088, 1982; L. L. Ting, J. E. Mayer,
"Piston Ring Lubrication and Cylinder Bore Wear Analysis", ASME Journal of Lubrication Technology, 1974 (both from memory). No printed case gives
all inputs: not validated. Checked by an independent integrator, by orifices in series, and by the order of the steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.orifice import DISCHARGE, choked_flow, flow_and_slope
from blockwright.physics.slider_crank import pin_acceleration_m_s2, pin_speed_m_s

Array = NDArray[np.float64]
TURNS_RAD = 4 * math.pi
PERIODIC = 1e-6
"""Pressures at the end of a cycle differ from those at its start by less than this share, and lifts by this share of the play."""
MOST_CYCLES = 40
FEWEST_STEPS, MOST_STEPS = 90, 50_000
CLOSE_ENOUGH, ROUNDING, MOST_TRIES = 1e-6, 1e-12, 80
SLOWEST = 0.02
"""Below this share of the highest piston speed, friction falls to nil in a smooth way."""
DAMPING_N_S_M = 300.0
"""What oil in the groove sets against a ring's rise and fall (assumed): about what a film of 5 mPa s over a side of 3 mm and 260 mm round does
where it is 50 µm thick, mu L W³ / h³. With little, a ring near balance flutters and its cycles do not repeat themselves."""
NORMAL_PA, NORMAL_K = 101325.0, 293.15


@dataclass(frozen=True)
class Ring:
    """A ring in its groove, hot. Gaps may be arrays of one shape, for many packs at once.

    `clearance_m` is radial, land to bore; `play_m` what the groove is wider than the ring; `side_m` the radial length over which a side seals;
    `seat_m` the gap that a seated side keeps by its roughness; `around_m` the mean circumference of the side.
    """

    gap_m: Numbers
    clearance_m: float
    play_m: float
    side_m: float
    seat_m: float
    around_m: float
    behind_m3: float
    behind_k: float
    mass_kg: float
    friction_n: float = 0.0
    damping_n_s_m: float = DAMPING_N_S_M

    def __post_init__(self) -> None:
        keep_within("hot gap", self.gap_m, 0.0, 0.02, "m")
        keep_within("radial clearance of a land", self.clearance_m, 0.0, 0.005, "m")
        keep_within("play of a ring in its groove", self.play_m, 0.0, 0.002, "m")
        keep_within("roughness of a seat", self.seat_m, 0.0, 1e-4, "m")
        keep_within("friction of a ring", self.friction_n, 0.0, 1e4, "N")
        keep_within("damping of a ring", self.damping_n_s_m, 0.0, 1e5, "N s/m")
        for what, value, unit in (
            ("sealing length of a side", self.side_m, "m"),
            ("circumference of a ring", self.around_m, "m"),
            ("volume behind a ring", self.behind_m3, "m³"),
            ("temperature behind a ring", self.behind_k, "K"),
            ("mass of a ring", self.mass_kg, "kg"),
        ):
            keep_above(what, value, 0.0, unit)

    @property
    def pushed_m2(self) -> float:
        """Area that the difference of pressure over the ring pushes on: half its side, and all that stands out of the groove."""
        return self.around_m * (self.side_m / 2 + self.clearance_m)


@dataclass(frozen=True)
class Land:
    """The space between two rings, hot."""

    volume_m3: float
    wall_k: float

    def __post_init__(self) -> None:
        keep_above("volume between rings", self.volume_m3, 0.0, "m³")
        keep_above("temperature of a land", self.wall_k, 0.0, "K")


@dataclass(frozen=True)
class PackGas:
    """The gas that is blown by."""

    gamma: float = 1.33
    r_j_kg_k: float = 287.0
    viscosity_pa_s: float = 2.5e-5
    discharge: float = DISCHARGE


@dataclass(frozen=True)
class Pack:
    """Rings from the crown down, the lands between them, and what is above and below."""

    rings: tuple[Ring, ...]
    lands: tuple[Land, ...]
    above_k: float
    below_k: float
    gas: PackGas = PackGas()

    def __post_init__(self) -> None:
        if len(self.lands) != len(self.rings) - 1:
            raise ValueError(f"ring pack: {len(self.rings)} rings have {len(self.rings) - 1} lands between them.")
        for value in (self.above_k, self.below_k):
            keep_above("temperature of the gas", value, 0.0, "K")


@dataclass(frozen=True)
class Motion:
    """The piston's motion, and the crankcase's pressure; the chamber's at equal steps over 720°, the first at firing top, the end left out."""

    chamber_pa: Array
    speed_rad_s: float
    throw_m: float
    rod_m: float
    offset_m: float = 0.0
    crankcase_pa: float = NORMAL_PA

    def __post_init__(self) -> None:
        keep_within("steps of the cycle", len(self.chamber_pa), FEWEST_STEPS, MOST_STEPS)
        keep_above("pressure in the chamber", self.chamber_pa, 0.0, "Pa")
        keep_above("pressure in the crankcase", self.crankcase_pa, 0.0, "Pa")
        keep_above("speed", self.speed_rad_s, 0.0, "rad/s")

    @property
    def angle_rad(self) -> Array:
        """Crank angles of the steps."""
        return np.arange(len(self.chamber_pa), dtype=np.float64) * (TURNS_RAD / len(self.chamber_pa))

    @property
    def step_s(self) -> float:
        """Time of a step."""
        return TURNS_RAD / len(self.chamber_pa) / self.speed_rad_s


@dataclass(frozen=True)
class PackCycle:
    """One cycle of the pack. Rings or lands come first, then angles, then whatever the gaps were.

    Masses are those of a cycle: `blow_by_kg` into the crankcase, `taken_kg` from the chamber less what came back, `returned_kg` back to the
    chamber through the top ring's gap. `left_over` is the mass that does not close, as a share of what passed the top ring's side and gap both ways;
    `change` how far pressures and lifts ended from where they began, as a share; `settled` whether that is nil: a pack that is not settled
    flutters, and its last cycle is one of many that differ.
    """

    angle_rad: Array
    land_pa: Array
    behind_pa: Array
    lift_m: Array
    blow_by_kg: Array
    taken_kg: Array
    returned_kg: Array
    left_over: Array
    change: Array
    settled: NDArray[np.bool_]
    cycles: int

    def blow_by_share(self, charge_kg: Numbers) -> Array:
        """Blow-by as a share of the charge."""
        keep_above("charge", charge_kg, 0.0, "kg")
        return np.asarray(self.blow_by_kg / charge_kg)

    def blow_by_l_min(self, speed_rad_s: float, cylinders: int = 1, r_j_kg_k: float = 287.0) -> Array:
        """Blow-by of so many cylinders, litres a minute at 20 °C and 101.325 kPa."""
        a_second = self.blow_by_kg * cylinders * speed_rad_s / TURNS_RAD
        return np.asarray(6e4 * a_second * r_j_kg_k * NORMAL_K / NORMAL_PA)


def run_pack(pack: Pack, motion: Motion) -> PackCycle:
    """The pack's cycle that repeats itself, at the steps that the chamber's pressure is given at.

    Notes
    -----
    Pressures by the two-step backward formula, solved by Newton's method at every step, so that the smallest volume sets no limit to the step;
    lifts by velocity Verlet between the two sides. Both are of second order; a ring's landing within a step costs one.

    Raises
    ------
    ValueError
        Where a step finds no pressures (it never should).
    """
    marching = _March(pack, motion)
    settled, cycles = marching.cycle(), 1
    while not settled.all() and cycles < MOST_CYCLES:
        settled, cycles = marching.cycle(), cycles + 1
    return marching.told(settled, cycles)


def gap_map(pack: Pack, motion: Motion, top_m: Array, second_m: Array) -> PackCycle:
    """The cycle of every pair of a top and a second gap: the last two axes are the top gaps, then the second ones."""
    tops, seconds = np.meshgrid(np.asarray(top_m, float), np.asarray(second_m, float), indexing="ij")
    rings = (replace(pack.rings[0], gap_m=tops), replace(pack.rings[1], gap_m=seconds), *pack.rings[2:])
    return run_pack(replace(pack, rings=rings), motion)


class _Flows:
    """Every way the gas can go, as arrays: first the slots over and under each ring, then the gaps. Nodes: chamber, behind, land, ... crankcase."""

    def __init__(self, pack: Pack) -> None:
        rings, gas = pack.rings, pack.gas
        n = len(rings)
        up, low, gap = np.arange(n) * 2, np.arange(n) * 2 + 1, np.arange(n) * 2
        self.start = np.concatenate([np.stack([up, low], 1).ravel(), gap])
        self.end = np.concatenate([np.stack([up + 1, low + 1], 1).ravel(), gap + 2])
        self.slots, self.nodes = 2 * n, 2 * n + 1
        shape = np.broadcast_shapes(*(np.shape(ring.gap_m) for ring in rings))
        self.shape, self.many = shape, int(np.prod(shape, dtype=int))
        temperatures = [pack.above_k]
        for ring, below in zip(rings, [*(land.wall_k for land in pack.lands), pack.below_k], strict=True):
            temperatures += [ring.behind_k, below]
        rt = gas.r_j_kg_k * np.array(temperatures)
        self.rt_start, self.rt_end = rt[self.start][:, None], rt[self.end][:, None]
        self.gamma, self.choked = gas.gamma, choked_flow(gas.gamma)
        around = np.repeat([ring.around_m for ring in rings], 2)[:, None]
        side = np.repeat([ring.side_m for ring in rings], 2)[:, None]
        self.around, self.laminar = around, around / (24.0 * side * gas.viscosity_pa_s)
        areas = [np.broadcast_to(np.asarray(ring.gap_m) * ring.clearance_m, shape).ravel() for ring in rings]
        self.gap_area = gas.discharge * np.array(areas)
        volumes = [each for ring, land in zip(rings, [*pack.lands, None], strict=True)
                   for each in (ring.behind_m3, land.volume_m3 if land else 0.0)][:-1]  # fmt: skip
        self.stored = (np.array(volumes) / rt[1:-1])[:, None]
        inside = self.nodes - 2
        into = np.zeros((self.nodes, len(self.start)))
        into[self.start, np.arange(len(self.start))] -= 1.0
        into[self.end, np.arange(len(self.start))] += 1.0
        self.into, self.into_all = into[1:-1], into
        whole = np.eye(self.nodes)
        self.by_start = np.einsum("kl,lj->kjl", self.into, whole[self.start][:, 1:-1]).reshape(inside * inside, -1)
        self.by_end = np.einsum("kl,lj->kjl", self.into, whole[self.end][:, 1:-1]).reshape(inside * inside, -1)

    def between(self, p: Array, opening: Array) -> tuple[Array, Array, Array]:
        """Mass flows along every way, + downwards, and their slopes by the pressure at the start and at the end."""
        a, b = p[self.start], p[self.end]
        down = a >= b
        high, low = np.maximum(a, b), np.minimum(a, b)
        rt = np.where(down, self.rt_start, self.rt_end)
        cut = self.slots
        laminar = self.laminar * opening**3 / rt[:cut]
        flow_s = laminar * (high[:cut] + low[:cut]) * (high[:cut] - low[:cut])
        most = self.around * opening * self.choked / np.sqrt(rt[:cut])
        capped = flow_s > most * high[:cut]
        number, slope = flow_and_slope(low[cut:] / high[cut:], self.gamma)
        wide = self.gap_area / np.sqrt(rt[cut:])
        flow = np.concatenate([np.where(capped, most * high[:cut], flow_s), wide * high[cut:] * number])
        by_high = np.concatenate([np.where(capped, most, 2 * laminar * high[:cut]),
                                  wide * (number - low[cut:] / high[cut:] * slope)])  # fmt: skip
        by_low = np.concatenate([np.where(capped, 0.0, -2 * laminar * low[:cut]), wide * slope])
        return np.where(down, flow, -flow), np.where(down, by_high, -by_low), np.where(down, by_low, -by_high)


class _March:
    """Cycle after cycle until it repeats itself."""

    def __init__(self, pack: Pack, motion: Motion) -> None:
        self.pack, self.motion, self.flows = pack, motion, _Flows(pack)
        many, rings = self.flows.many, pack.rings
        self.p = np.full((self.flows.nodes, many), motion.crankcase_pa)
        self.before = self.p[1:-1].copy()
        self.lift, self.rise = np.zeros((len(rings), many)), np.zeros((len(rings), many))
        self.play = np.array([ring.play_m for ring in rings])[:, None]
        self.seat = np.repeat([ring.seat_m for ring in rings], 2)[:, None]
        self.per_kg = np.array([ring.pushed_m2 / ring.mass_kg for ring in rings])[:, None]
        t = motion.angle_rad
        speed = np.asarray(pin_speed_m_s(t, motion.speed_rad_s, motion.throw_m, motion.rod_m, motion.offset_m))
        against = speed / np.hypot(speed, SLOWEST * np.abs(speed).max())
        falling = pin_acceleration_m_s2(t, motion.speed_rad_s, motion.throw_m, motion.rod_m, motion.offset_m)
        rubbed = np.array([ring.friction_n / ring.mass_kg for ring in rings])
        self.thrown = -np.asarray(falling)[:, None] - against[:, None] * rubbed
        self.pull = np.zeros_like(self.lift)
        self.slowed = 0.5 * motion.step_s * np.array([[ring.damping_n_s_m / ring.mass_kg] for ring in rings])

    @cached_property
    def kept(self) -> tuple[Array, Array, Array]:
        """Room for pressures, lifts and flows of a cycle."""
        steps, many = len(self.motion.chamber_pa), self.flows.many
        return (np.empty((steps, self.flows.nodes, many)), np.empty((steps, len(self.lift), many)),
                np.empty((steps, len(self.flows.start), many)))  # fmt: skip

    def cycle(self) -> NDArray[np.bool_]:
        """One cycle; for every pack, whether it ended as it began."""
        p0, before0, lift0 = self.p.copy(), self.before.copy(), self.lift.copy()
        pressures, lifts, flowed = self.kept
        for step, chamber in enumerate(self.motion.chamber_pa):
            flowed[step] = self._step(step, float(chamber))
            pressures[step], lifts[step] = self.p, self.lift
        now, then = 1.5 * self.p[1:-1] - 0.5 * self.before, 1.5 * p0[1:-1] - 0.5 * before0
        self.gained = (self.flows.stored * (now - then)).sum(axis=0)
        moved = np.abs(self.p[1:-1] / p0[1:-1] - 1.0).max(axis=0)
        lifted = (np.abs(self.lift - lift0) / np.maximum(self.play, 1e-9)).max(axis=0)
        self.change = np.maximum(moved, lifted)
        return np.asarray(self.change < PERIODIC)

    def _step(self, step: int, chamber_pa: float) -> Array:
        h = self.motion.step_s
        slowed = self.slowed
        lift = self.lift + h * self.rise + h * (0.5 * h * self.pull - slowed * self.rise) / (1.0 + slowed)
        self.lift = np.minimum(np.maximum(lift, 0.0), self.play)
        flow = self._press(chamber_pa, h)
        lands = self.p[::2]
        pull = self.thrown[step][:, None] - self.per_kg * (lands[:-1] - lands[1:])
        rise = (self.rise * (1.0 - slowed) + 0.5 * h * (self.pull + pull)) / (1.0 + slowed)
        rise = np.where(lift <= 0.0, np.maximum(rise, 0.0), rise)
        self.rise = np.where(lift >= self.play, np.minimum(rise, 0.0), rise)
        held = ((self.lift <= 0.0) & (pull < 0.0)) | ((self.lift >= self.play) & (pull > 0.0))
        self.rise = np.where(held, 0.0, self.rise)
        self.pull = np.where(held, 0.0, pull)
        return flow

    def _press(self, chamber_pa: float, h: float) -> Array:
        flows = self.flows
        opening = self.seat.repeat(self.lift.shape[1], axis=1)
        opening[0::2] += self.play - self.lift
        opening[1::2] += self.lift
        old = (2.0 * self.p[1:-1] - 0.5 * self.before) * flows.stored / h
        heavy = 1.5 * flows.stored / h
        guess = 2.0 * self.p[1:-1] - self.before
        self.before = self.p[1:-1].copy()
        p = self.p
        p[0] = chamber_pa
        p[1:-1] = np.where(guess > 0.5 * self.before, guess, self.before)
        return self._newton(opening, heavy, old)

    def _newton(self, opening: Array, heavy: Array, old: Array) -> Array:
        """Find the pressures; a step that leaves more wrong than it found is halved (packs are halved one by one)."""
        flows, p, inside = self.flows, self.p, len(heavy)
        base, change, share = p[1:-1].copy(), np.zeros_like(old), np.ones(old.shape[1])
        least, noise = np.full(old.shape[1], np.inf), ROUNDING * np.abs(old).sum(axis=0)
        for _ in range(MOST_TRIES):
            flow, by_start, by_end = flows.between(p, opening)
            wrong = heavy * p[1:-1] - old - flows.into @ flow
            matrix = -(flows.by_start @ by_start + flows.by_end @ by_end).reshape(inside, inside, -1)
            matrix[range(inside), range(inside)] += heavy
            much = np.abs(wrong).sum(axis=0)
            worse = (much > least) & (much > noise)
            if worse.any():
                share = np.where(worse, 0.5 * share, 1.0)
                base, change = np.where(worse, base, p[1:-1]), np.where(worse, change, _solved(matrix, wrong))
                least = np.where(worse, least, much)
            else:
                share, base, change, least = np.ones_like(share), p[1:-1].copy(), _solved(matrix, wrong), much
            p[1:-1] = np.maximum(base - share * change, 0.2 * base)
            if not worse.any() and np.abs(change / base).max() < CLOSE_ENOUGH:
                moved = np.zeros_like(p)
                moved[1:-1] = -change
                return np.asarray(flow + by_start * moved[flows.start] + by_end * moved[flows.end])
        raise ValueError("ring pack: no pressures were found at a step; give smaller steps.")

    def told(self, settled: NDArray[np.bool_], cycles: int) -> PackCycle:
        """What the last cycle was."""
        pressures, lifts, flowed = self.kept
        shape, h = self.flows.shape, self.motion.step_s
        nodes = np.moveaxis(pressures, 1, 0).reshape(self.flows.nodes, len(pressures), *shape)
        kg = h * flowed
        net = self.flows.into_all @ kg.sum(axis=0)
        taken, blown = -net[0], net[-1]
        gross = np.abs(kg[:, self.flows.start == 0]).sum(axis=(0, 1))
        left = (taken - blown - self.gained) / np.where(gross > 0.0, gross, 1.0)
        back = np.maximum(-kg[:, self.flows.slots], 0.0).sum(axis=0)
        return PackCycle(
            self.motion.angle_rad, nodes[2:-1:2], nodes[1::2],
            np.moveaxis(lifts, 1, 0).reshape(len(self.lift), len(lifts), *shape),
            blown.reshape(shape), taken.reshape(shape), back.reshape(shape), left.reshape(shape),
            self.change.reshape(shape), settled.reshape(shape), cycles,
        )  # fmt: skip


def _solved(matrix: Array, right: Array) -> Array:
    """Solutions of many small sets of equations at once, sets last. The diagonal of each outweighs its column, so no rows are exchanged."""
    size = len(right)
    right = right.copy()
    for i in range(size - 1):
        share = matrix[i + 1 :, i] / matrix[i, i]
        matrix[i + 1 :, i + 1 :] -= share[:, None] * matrix[i, i + 1 :]
        right[i + 1 :] -= share * right[i]
    for i in range(size - 1, -1, -1):
        right[i] /= matrix[i, i]
        right[:i] -= matrix[:i, i] * right[i]
    return right
