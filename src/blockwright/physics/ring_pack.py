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

What a pack is made of may be arrays over many packs, of shapes that go together: gaps, clearances, temperatures, friction, damping, and the chamber's
pressure with steps last. `ring_pack_march` is the loop, which is loaded with its compiler when the first pack is run.

References
----------
S. Namazian, J. B. Heywood, "Flow in the Piston-Cylinder-Ring Crevices of a Spark-Ignition Engine", SAE 820088, 1982; L. L. Ting, J. E. Mayer,
"Piston Ring Lubrication and Cylinder Bore Wear Analysis", ASME Journal of Lubrication Technology, 1974 (both from memory). No printed case gives
all inputs: not validated. Checked by an independent integrator, rings in flight and all, by orifices in series, and by the order of the steps.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.orifice import DISCHARGE, choked_flow, slot_ease
from blockwright.physics.slider_crank import pin_acceleration_m_s2, pin_speed_m_s

if TYPE_CHECKING:
    from blockwright.physics.ring_pack_march import Law, Marched

Array = NDArray[np.float64]
TURNS_RAD = 4 * math.pi
FEWEST_STEPS, MOST_STEPS = 90, 50_000
COUNTED = 20
"""Of a pack that does not settle, so many last cycles are told of together."""
SLOWEST = 0.02
"""Below this share of the highest piston speed, friction falls to nil in a smooth way."""
DAMPING_N_S_M = 300.0
"""What oil in the groove sets against a ring's rise and fall (assumed): about what a film of 5 mPa s over a side of 3 mm and 260 mm round does
where it is 50 µm thick, mu L W³ / h³. With little, a ring near balance flutters and its cycles do not repeat themselves."""
NORMAL_PA, NORMAL_K = 101325.0, 293.15


@dataclass(frozen=True)
class Ring:
    """A ring in its groove, hot. What it is made of may be arrays over many packs.

    `clearance_m` is radial, land to bore; `play_m` what the groove is wider than the ring; `side_m` the radial length over which a side seals;
    `seat_m` the gap that a seated side keeps by its roughness; `around_m` the mean circumference of the side.
    """

    gap_m: Numbers
    clearance_m: Numbers
    play_m: Numbers
    side_m: Numbers
    seat_m: Numbers
    around_m: Numbers
    behind_m3: Numbers
    behind_k: Numbers
    mass_kg: Numbers
    friction_n: Numbers = 0.0
    damping_n_s_m: Numbers = DAMPING_N_S_M

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
    def pushed_m2(self) -> Numbers:
        """Area that the difference of pressure over the ring pushes on: half its side, and all that stands out of the groove."""
        return self.around_m * (self.side_m / 2 + self.clearance_m)


@dataclass(frozen=True)
class Land:
    """The space between two rings, hot; of many packs, arrays."""

    volume_m3: Numbers
    wall_k: Numbers

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
    above_k: Numbers
    below_k: Numbers
    gas: PackGas = PackGas()

    def __post_init__(self) -> None:
        if len(self.lands) != len(self.rings) - 1:
            raise ValueError(f"ring pack: {len(self.rings)} rings have {len(self.rings) - 1} lands between them.")
        for value in (self.above_k, self.below_k):
            keep_above("temperature of the gas", value, 0.0, "K")


@dataclass(frozen=True)
class Motion:
    """The piston's motion, and the crankcase's pressure; the chamber's at equal steps over 720°, the first at firing top, the end left out.

    Of many packs the chamber's pressure may be an array with steps last.
    """

    chamber_pa: Array
    speed_rad_s: float
    throw_m: float
    rod_m: float
    offset_m: float = 0.0
    crankcase_pa: float = NORMAL_PA

    def __post_init__(self) -> None:
        keep_within("steps of the cycle", self.steps, FEWEST_STEPS, MOST_STEPS)
        keep_above("pressure in the chamber", self.chamber_pa, 0.0, "Pa")
        keep_above("pressure in the crankcase", self.crankcase_pa, 0.0, "Pa")
        keep_above("speed", self.speed_rad_s, 0.0, "rad/s")

    @property
    def steps(self) -> int:
        """How many steps a cycle has."""
        return int(self.chamber_pa.shape[-1])

    @property
    def angle_rad(self) -> Array:
        """Crank angles of the steps."""
        return np.arange(self.steps, dtype=np.float64) * (TURNS_RAD / self.steps)

    @property
    def step_s(self) -> float:
        """Time of a step."""
        return TURNS_RAD / self.steps / self.speed_rad_s


@dataclass(frozen=True)
class PackCycle:
    """What a pack's cycle is. Rings or lands come first, then angles, then whatever shape the packs had.

    A pack that is not `settled` flutters: its cycles differ, so no one cycle says what it blows by. Its masses, peaks and times off the
    lower side are the means of its last `counted` cycles, the first ones after standing still left out; `blow_by_sd_kg` is the standard
    deviation of those cycles' blow-by, `blow_by_ends_kg` the least and the most of it. Its pressures and lifts over the angle are the last
    cycle's, one of many. A settled pack repeats itself: one cycle counts, and the spread is nil.

    Masses are those of a cycle: `blow_by_kg` into the crankcase, `taken_kg` from the chamber less what came back, `returned_kg` back to the
    chamber through the top ring's gap. `left_over` is the mass that does not close over the counted cycles, as a share of what passed the top
    ring's side and gap both ways. `peak_pa` is the highest pressure of each land; `lifted_rad` for how much of the cycle each ring stands off its
    lower side by more than its seat's roughness, `lifted_firing_rad` for how much of compression and power stroke. `change` is how far pressures and
    lifts ended the last cycle from where they began, as a share; `cycles` how many were run.
    """

    angle_rad: Array
    land_pa: Array
    behind_pa: Array
    lift_m: Array
    blow_by_kg: Array
    taken_kg: Array
    returned_kg: Array
    left_over: Array
    blow_by_sd_kg: Array
    blow_by_ends_kg: Array
    peak_pa: Array
    lifted_rad: Array
    lifted_firing_rad: Array
    change: Array
    settled: NDArray[np.bool_]
    counted: NDArray[np.int64]
    cycles: NDArray[np.int64]

    def blow_by_share(self, charge_kg: Numbers) -> Array:
        """Blow-by as a share of the charge."""
        keep_above("charge", charge_kg, 0.0, "kg")
        return np.asarray(self.blow_by_kg / charge_kg)

    def blow_by_l_min(self, speed_rad_s: float, cylinders: int = 1, r_j_kg_k: float = 287.0) -> Array:
        """Blow-by of so many cylinders, litres a minute at 20 °C and 101.325 kPa."""
        a_second = self.blow_by_kg * cylinders * speed_rad_s / TURNS_RAD
        return np.asarray(6e4 * a_second * r_j_kg_k * NORMAL_K / NORMAL_PA)


def run_pack(pack: Pack, motion: Motion) -> PackCycle:
    """The pack's cycle that repeats itself, at the steps that the chamber's pressure is given at; of many packs, each one's.

    Notes
    -----
    Two-step backward formula for the pressures, velocity Verlet for the lifts, both of second order: see `ring_pack_march`.

    Raises
    ------
    ValueError
        For arrays over packs whose shapes do not go together, or where a step finds no pressures (it never should).
    """
    from blockwright.physics.ring_pack_march import march  # it loads a compiler

    shape = packs_shape(pack, motion)
    found = march(law_of(pack, motion, shape))
    if not found.cycles.all():
        raise ValueError("ring pack: no pressures were found at a step; give smaller steps.")
    return _told(found, motion, shape)


def gap_map(pack: Pack, motion: Motion, top_m: Array, second_m: Array) -> PackCycle:
    """The cycle of every pair of a top and a second gap: the last two axes are the top gaps, then the second ones."""
    tops, seconds = np.meshgrid(np.asarray(top_m, float), np.asarray(second_m, float), indexing="ij")
    rings = (replace(pack.rings[0], gap_m=tops), replace(pack.rings[1], gap_m=seconds), *pack.rings[2:])
    return run_pack(replace(pack, rings=rings), motion)


def packs_shape(pack: Pack, motion: Motion) -> tuple[int, ...]:
    """The packs' shape, which all arrays of a pack and of its chamber's pressure go together to; nothing for one pack alone."""
    made_of: list[Ring | Land] = [*pack.rings, *pack.lands]
    parts = [np.shape(getattr(part, each.name)) for part in made_of for each in fields(part)]
    ends = [np.shape(value) for value in (pack.above_k, pack.below_k)]
    try:
        return np.broadcast_shapes(*parts, *ends, motion.chamber_pa.shape[:-1])
    except ValueError:
        raise ValueError("ring pack: what is given for many packs must be given for as many of each.") from None


def law_of(pack: Pack, motion: Motion, shape: tuple[int, ...]) -> Law:
    """Everything as arrays over packs laid out in a row."""
    from blockwright.physics.ring_pack_march import Law, flow_numbers

    many = math.prod(shape)

    def row(value: Numbers) -> Array:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), shape).reshape(many)

    lands = (*pack.lands, None)
    rt = [pack.gas.r_j_kg_k * row(pack.above_k)]
    volumes: list[Array] = []
    for ring, land in zip(pack.rings, lands, strict=True):
        rt += [pack.gas.r_j_kg_k * row(each) for each in (ring.behind_k, land.wall_k if land else pack.below_k)]
        volumes += [row(each) for each in (ring.behind_m3, *((land.volume_m3,) if land else ()))]
    ways = [_ways(ring, pack.gas, rt[2 * i : 2 * i + 3], row) for i, ring in enumerate(pack.rings)]
    half = 0.5 * motion.step_s
    body = [
        [row(each) for each in (
            ring.play_m, ring.seat_m, ring.pushed_m2 / ring.mass_kg, ring.friction_n / ring.mass_kg,
            half * ring.damping_n_s_m / ring.mass_kg,
        )] for ring in pack.rings
    ]  # fmt: skip
    stored = [volume / gas for volume, gas in zip(volumes, rt[1:-1], strict=True)]
    return Law(
        np.stack(ways, axis=1), np.stack(stored, axis=-1), np.stack([np.stack(each, axis=-1) for each in body], axis=1),
        _chambers(motion, shape), _shake(motion), flow_numbers(pack.gas.gamma), float(motion.crankcase_pa), float(motion.step_s),
    )  # fmt: skip


def _ways(ring: Ring, gas: PackGas, rt: list[Array], row: Callable[[Numbers], Array]) -> Array:
    """What each way of a ring lets by (packs × 3 × 4); `rt` of the gas above it, behind it and below it."""
    ease = row(slot_ease(ring.around_m, ring.side_m, gas.viscosity_pa_s))
    choked = row(ring.around_m) * choked_flow(gas.gamma)
    area = row(gas.discharge * np.multiply(ring.gap_m, ring.clearance_m))
    slots = [[ease / a, ease / b, choked / np.sqrt(a), choked / np.sqrt(b)] for a, b in (rt[:2], rt[1:])]
    gap = [area / np.sqrt(rt[0]), area / np.sqrt(rt[2]), np.zeros_like(area), np.zeros_like(area)]
    return np.stack([np.stack(each, axis=-1) for each in (*slots, gap)], axis=1)


def _chambers(motion: Motion, shape: tuple[int, ...]) -> Array:
    """The chamber's pressure: one row for all packs, or one for each."""
    given = motion.chamber_pa
    if given.ndim > 1:
        given = np.broadcast_to(given, (*shape, motion.steps))
    return np.array(given, dtype=np.float64).reshape(-1, motion.steps)


def _shake(motion: Motion) -> Array:
    """What a ring feels of its piston's acceleration, and the direction of its friction, + where the piston rises."""
    turning = (motion.angle_rad, motion.speed_rad_s, motion.throw_m, motion.rod_m, motion.offset_m)
    speed = np.asarray(pin_speed_m_s(*turning))
    return np.stack(
        [-np.asarray(pin_acceleration_m_s2(*turning)), speed / np.hypot(speed, SLOWEST * np.abs(speed).max())]
    )


def _told(found: Marched, motion: Motion, shape: tuple[int, ...]) -> PackCycle:
    """The last cycle's curves, and what is told of the cycles that count."""
    from blockwright.physics.ring_pack_march import BACK, BLOWN, GAINED, GROSS, PEAKS, PERIODIC, TAKEN

    settled = found.change < PERIODIC
    counted = np.where(settled, 1, np.minimum(COUNTED, found.cycles))
    number = np.arange(found.told.shape[1])
    counts = (number < found.cycles[:, None]) & (number >= (found.cycles - counted)[:, None])
    means = (found.told * counts[..., None]).sum(axis=1).T / counted
    blown = found.told[..., BLOWN]
    spread = np.sqrt(((blown - means[BLOWN][:, None]) ** 2 * counts).sum(axis=1) / np.maximum(counted - 1, 1))
    ends = np.where(counts, blown, np.inf).min(axis=1), np.where(counts, blown, -np.inf).max(axis=1)
    gross = np.where(means[GROSS] > 0.0, means[GROSS], 1.0)
    left = (means[TAKEN] - means[BLOWN] - means[GAINED]) / gross
    rings, step_rad = found.lifts.shape[1], TURNS_RAD / motion.steps
    peaks, lifted, firing = np.split(means[PEAKS:], [rings - 1, 2 * rings - 1])

    def shaped(values: Array) -> Array:
        return values.reshape((*values.shape[:-1], *shape))

    curves, lifts = (np.moveaxis(each, 0, -1) for each in (found.pressures, found.lifts))
    return PackCycle(
        motion.angle_rad, shaped(curves[1::2]), shaped(curves[::2]), shaped(lifts), shaped(means[BLOWN]),
        shaped(means[TAKEN]), shaped(means[BACK]), shaped(left), shaped(spread), shaped(np.stack(ends)), shaped(peaks),
        shaped(lifted * step_rad), shaped(firing * step_rad), shaped(found.change), settled.reshape(shape), counted.reshape(shape),
        found.cycles.reshape(shape),
    )  # fmt: skip
