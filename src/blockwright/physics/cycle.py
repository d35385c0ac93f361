"""The four-stroke cycle of one cylinder as a single zone: pressure and temperature over crank angle, work, and heat to the walls.

| symbol | name here | meaning | unit |
| --- | --- | --- | --- |
| t | angle_rad | crank angle from firing top dead centre | rad |
| V, A | – | volume of the chamber, area of its walls | m³, m² |
| p, T, m | pressure_pa, temperature_k, mass_kg | gas in the cylinder | Pa, K, kg |
| x | – | burnt share: Wiebe's 1 - exp(-a f^(k+1)), f the share of the burn's duration gone by | – |
| Q | heat_j | heat set free by the charge | J |
| h | – | heat transfer coefficient by Woschni | W/(m² K) |

From intake closing to exhaust opening the first law holds: m cv dT = dQ - h A (T - Tw) dt/w - p dV - m (u_burnt - u_fresh) dx, with the
gas mixed of fresh and burnt by x, and p V = m R T. It is stepped by the classical Runge-Kutta method of fourth order, many engines at once:
every input but the geometry may be an array. Outside it, gas exchange is drawn plainly: pressure falls from exhaust opening towards the
exhaust's, and stays at the manifold's while it fills. That part carries little heat; it is an assumption and said to be.

References
----------
J. B. Heywood, "Internal Combustion Engine Fundamentals", 1988, chapters 9 (Wiebe) and 12 (Woschni). Checks: the air-standard Otto cycle; energy and
mass close; order of convergence of the steps; an independent integrator.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.physics.gas import Gas
from blockwright.physics.guards import Numbers, keep_above, keep_within
from blockwright.physics.heat_transfer import C1_CLOSED, C1_EXCHANGE, C2_BURNING_M_S_K, gas_speed_m_s, plain_woschni
from blockwright.physics.slider_crank import mean_piston_speed_m_s, pin_speed_m_s, stroke_m, travel_from_top_m

Array = NDArray[np.float64]
STEP_RAD = math.radians(0.5)
EXCHANGE_STEP_RAD = math.radians(2.0)
BLOWDOWN_RAD = math.radians(25.0)
"""Crank angle over which the pressure falls by a factor e once the exhaust has opened (assumed)."""


@dataclass(frozen=True)
class Chamber:
    """One cylinder's geometry. `head_area` is the wall of the head over the piston's plain area."""

    bore_m: float
    throw_m: float
    rod_m: float
    compression_ratio: float
    offset_m: float = 0.0
    head_area: float = 1.2

    def __post_init__(self) -> None:
        keep_above("bore", self.bore_m, 0.0, "m")
        keep_within("compression ratio", self.compression_ratio, 4.0, 30.0)

    @property
    def piston_area_m2(self) -> float:
        """Plain area of the bore."""
        return math.pi / 4 * self.bore_m**2

    @property
    def stroke_m(self) -> float:
        """Stroke."""
        return stroke_m(self.throw_m, self.rod_m, self.offset_m)

    @property
    def swept_m3(self) -> float:
        """Swept volume."""
        return self.piston_area_m2 * self.stroke_m

    @property
    def clearance_m3(self) -> float:
        """Volume at the top."""
        return self.swept_m3 / (self.compression_ratio - 1.0)

    def volume_m3(self, angle_rad: Numbers) -> Numbers:
        """Volume at a crank angle."""
        return self.clearance_m3 + self.piston_area_m2 * self._travel(angle_rad)

    def walls_m2(self, angle_rad: Numbers) -> tuple[float, float, Numbers]:
        """Areas of crown, head and the liner that is bare."""
        return (
            self.piston_area_m2,
            self.head_area * self.piston_area_m2,
            math.pi * self.bore_m * self._travel(angle_rad),
        )

    def _travel(self, angle_rad: Numbers) -> Numbers:
        return travel_from_top_m(angle_rad, self.throw_m, self.rod_m, self.offset_m)


@dataclass(frozen=True)
class Charge:
    """What is in the cylinder when the intake closes, and how it burns. `heat_j_kg` is set free by each kg of the whole charge."""

    pressure_pa: Numbers
    temperature_k: Numbers
    heat_j_kg: Numbers
    burn_start_rad: Numbers
    burn_span_rad: Numbers
    fresh: Gas
    burnt: Gas
    wiebe_a: float = 5.0
    wiebe_m: float = 2.0


@dataclass(frozen=True)
class Breathing:
    """When the cylinder is closed, and what it breathes: angles from firing top dead centre."""

    intake_closes_rad: float
    exhaust_opens_rad: float
    manifold_pa: Numbers
    manifold_k: Numbers
    exhaust_pa: Numbers


@dataclass(frozen=True)
class Walls:
    """Temperatures of the gas side of the walls, K, and a factor on Woschni's coefficient (1; its spread when sampled; 0 without loss)."""

    crown_k: Numbers
    head_k: Numbers
    liner_k: Numbers
    film_factor: Numbers = 1.0


@dataclass(frozen=True)
class Cycle:
    """A whole cycle, -360° to 360° about firing top dead centre. Arrays over angle come first, then whatever the inputs were.

    `film_w_m2_k` is Woschni's coefficient; `work_j` the work of compression and expansion, bottom to bottom; the rest what the first law counts
    between intake closing and exhaust opening.
    """

    angle_rad: Array
    pressure_pa: Array
    temperature_k: Array
    film_w_m2_k: Array
    mass_kg: Numbers
    work_j: Numbers
    heat_set_free_j: Numbers
    heat_to_walls_j: Numbers
    closed_work_j: Numbers
    energy_change_j: Numbers

    @property
    def peak_pa(self) -> Array:
        """Highest pressure."""
        return np.asarray(self.pressure_pa.max(axis=0))

    @property
    def peak_angle_rad(self) -> Array:
        """Where it stands."""
        return np.asarray(self.angle_rad[self.pressure_pa.argmax(axis=0)])

    @property
    def peak_k(self) -> Array:
        """Highest mean temperature."""
        return np.asarray(self.temperature_k.max(axis=0))

    @property
    def energy_left_over(self) -> Numbers:
        """What the first law leaves over between intake closing and exhaust opening, as a share of the heat set free."""
        spent = self.energy_change_j + self.closed_work_j + self.heat_to_walls_j
        return (self.heat_set_free_j - spent) / self.heat_set_free_j


def wiebe_burnt(angle_rad: Numbers, start_rad: Numbers, span_rad: Numbers, a: float = 5.0, m: float = 2.0) -> Numbers:
    """Burnt share at a crank angle.

    Example
    -------
    At the end of the span 1 - exp(-a); a = 5 and 6.908 (computed):

    >>> f"{wiebe_burnt(1.0, 0.0, 1.0):.5f} {wiebe_burnt(1.0, 0.0, 1.0, a=6.908):.5f}"
    '0.99326 0.99900'
    """
    gone = np.clip((np.asarray(angle_rad) - start_rad) / span_rad, 0.0, None)
    return 1.0 - np.exp(-a * gone ** (m + 1.0))


def run_cycle(
    chamber: Chamber,
    charge: Charge,
    breathing: Breathing,
    walls: Walls,
    speed_rad_s: Numbers,
    step_rad: float = STEP_RAD,
) -> Cycle:
    """The whole cycle at a steady speed.

    Raises
    ------
    ValueError
        For a speed, pressure or temperature that is not above nil, or valve events out of their quarters.
    """
    _check(charge, breathing, speed_rad_s)
    closed = _Closed(chamber, charge, walls, speed_rad_s, breathing)
    angles, p, t, film, sums = closed.run(step_rad)
    before = np.arange(-2 * math.pi, breathing.intake_closes_rad, EXCHANGE_STEP_RAD)
    after = np.arange(breathing.exhaust_opens_rad + EXCHANGE_STEP_RAD, 2 * math.pi + 1e-9, EXCHANGE_STEP_RAD)
    fed = [
        np.broadcast_to(np.asarray(each, dtype=float), (len(before), *p[0].shape))
        for each in (breathing.manifold_pa, breathing.manifold_k)
    ]
    out = _let_out(after, breathing, p[-1], t[-1])
    gas_speed = np.asarray(gas_speed_m_s(C1_EXCHANGE, closed.piston_speed))
    exchanged = [
        walls.film_factor * plain_woschni(chamber.bore_m, pressure, hot, gas_speed) for pressure, hot in (fed, out)
    ]
    work = _bottom_to_bottom(chamber, charge, closed, sums.work, (after, out[0]))
    return Cycle(
        np.concatenate([before, angles, after]), np.concatenate([fed[0], p, out[0]]), np.concatenate([fed[1], t, out[1]]),
        np.concatenate([exchanged[0], film, exchanged[1]]), closed.mass, work, sums.free, sums.lost, sums.work, sums.energy,
    )  # fmt: skip


@dataclass
class _Sums:
    free: Numbers
    lost: Numbers
    work: Numbers
    energy: Numbers


class _Closed:
    """The part of the cycle in which the valves are shut."""

    def __init__(
        self, chamber: Chamber, charge: Charge, walls: Walls, speed_rad_s: Numbers, breathing: Breathing
    ) -> None:
        self.chamber, self.charge, self.walls, self.speed = chamber, charge, walls, speed_rad_s
        self.start, self.end = breathing.intake_closes_rad, breathing.exhaust_opens_rad
        self.v0 = chamber.volume_m3(self.start)
        self.mass = charge.pressure_pa * self.v0 / (charge.fresh.r_j_kg_k * charge.temperature_k)
        self.piston_speed = mean_piston_speed_m_s(speed_rad_s, chamber.stroke_m)
        self.swell = chamber.swept_m3 * charge.temperature_k / (charge.pressure_pa * self.v0)
        self.motored = float(np.mean(charge.fresh.gamma(600.0))) - 0.02
        """Exponent of the compression without burning that Woschni's term compares with: a little below the adiabatic one (assumed)."""

    def run(self, step_rad: float) -> tuple[Array, Array, Array, Array, _Sums]:
        steps = max(math.ceil((self.end - self.start) / step_rad), 1)
        angles, h = np.linspace(self.start, self.end, steps + 1, retstep=True)
        begin = self.charge.temperature_k * np.ones_like(self.mass * self.speed, dtype=float)
        state = np.stack([begin, np.zeros_like(begin), np.zeros_like(begin)])
        states = [state]
        for angle in angles[:-1]:
            k1 = self._slope(angle, state)
            k2 = self._slope(angle + h / 2, state + h / 2 * k1)
            k3 = self._slope(angle + h / 2, state + h / 2 * k2)
            k4 = self._slope(angle + h, state + h * k3)
            state = state + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            states.append(state)
        whole = np.stack(states)
        t = whole[:, 0]
        shape = (-1,) + (1,) * (t.ndim - 1)
        at = angles.reshape(shape)
        p = self._pressure(at, t)
        film = self._film(at, p, t)
        burnt = np.asarray(self._burnt(at[[0, -1]]))
        energy = [self.mass * self._mixed_energy(t[i], burnt[i]) for i in (0, -1)]
        free = self.mass * self.charge.heat_j_kg * (burnt[-1] - burnt[0])
        return angles, p, t, film, _Sums(free, whole[-1, 1], whole[-1, 2], energy[1] - energy[0])

    def _slope(self, angle: Numbers, state: Array) -> Array:
        t = state[0]
        x, dx = self._burnt(angle), self._burning(angle)
        p = self._pressure(angle, t)
        dv = self._dv(angle)
        loss = self._loss_w(angle, p, t) / self.speed
        cv = (1 - x) * self.charge.fresh.cv_j_kg_k(t) + x * self.charge.burnt.cv_j_kg_k(t)
        shift = self.charge.burnt.energy_j_kg(t) - self.charge.fresh.energy_j_kg(t)
        dt = (self.mass * dx * (self.charge.heat_j_kg - shift) - loss - p * dv) / (self.mass * cv)
        return np.stack(np.broadcast_arrays(dt, loss, p * dv))

    def _burnt(self, angle: Numbers) -> Numbers:
        c = self.charge
        return wiebe_burnt(angle, c.burn_start_rad, c.burn_span_rad, c.wiebe_a, c.wiebe_m)

    def _burning(self, angle: Numbers) -> Numbers:
        c = self.charge
        gone = np.clip((np.asarray(angle) - c.burn_start_rad) / c.burn_span_rad, 0.0, None)
        return (
            c.wiebe_a
            * (c.wiebe_m + 1)
            / c.burn_span_rad
            * gone**c.wiebe_m
            * np.exp(-c.wiebe_a * gone ** (c.wiebe_m + 1))
        )

    def _r(self, x: Numbers) -> Numbers:
        return (1 - x) * self.charge.fresh.r_j_kg_k + x * self.charge.burnt.r_j_kg_k

    def _pressure(self, angle: Numbers, t: Numbers) -> Array:
        return np.asarray(self.mass * self._r(self._burnt(angle)) * t / self.chamber.volume_m3(angle))

    def _dv(self, angle: Numbers) -> Numbers:
        c = self.chamber
        return -c.piston_area_m2 * pin_speed_m_s(angle, 1.0, c.throw_m, c.rod_m, c.offset_m)

    def _film(self, angle: Numbers, p: Numbers, t: Numbers) -> Array:
        motored = self.charge.pressure_pa * (self.v0 / self.chamber.volume_m3(angle)) ** self.motored
        over = np.where(np.greater(angle, self.charge.burn_start_rad), np.maximum(p - motored, 0.0) * self.swell, 0.0)
        speed = gas_speed_m_s(C1_CLOSED, self.piston_speed, C2_BURNING_M_S_K, over)
        return np.asarray(self.walls.film_factor * plain_woschni(self.chamber.bore_m, p, t, speed))

    def _loss_w(self, angle: Numbers, p: Numbers, t: Numbers) -> Numbers:
        crown, head, liner = self.chamber.walls_m2(angle)
        w = self.walls
        return self._film(angle, p, t) * (crown * (t - w.crown_k) + head * (t - w.head_k) + liner * (t - w.liner_k))

    def _mixed_energy(self, t: Numbers, x: Numbers) -> Numbers:
        return (1 - x) * self.charge.fresh.energy_j_kg(t) + x * self.charge.burnt.energy_j_kg(t)


def _over(angles: Array, value: Numbers, like: Array) -> Array:
    """A value that stays over some angles, as an array."""
    return np.array(np.broadcast_to(value, (len(angles), *like.shape)), dtype=float)


def _let_out(after: Array, breathing: Breathing, pressure_pa: Array, temperature_k: Array) -> tuple[Array, Array]:
    """Pressure and temperature from exhaust opening on: falling towards the exhaust's, the gas that stays expanding as it does."""
    gone = (after - breathing.exhaust_opens_rad).reshape((-1,) + (1,) * pressure_pa.ndim)
    pressure = breathing.exhaust_pa + (pressure_pa - breathing.exhaust_pa) * np.exp(-gone / BLOWDOWN_RAD)
    return pressure, temperature_k * (pressure / pressure_pa) ** 0.25


def _bottom_to_bottom(
    chamber: Chamber, charge: Charge, closed: _Closed, work_j: Numbers, out: tuple[Array, Array]
) -> Numbers:
    """Work of compression and expansion from one bottom to the next, the valves' opening times included."""
    after, out_p = out
    first = charge.pressure_pa * (closed.v0 - chamber.volume_m3(-math.pi))
    inside = after <= math.pi + 1e-9
    volumes = np.asarray(chamber.volume_m3(after[inside]))
    steps = np.diff(np.concatenate([[chamber.volume_m3(closed.end)], volumes]))
    last = np.tensordot(steps, out_p[inside], axes=1)
    return work_j + first + last


def _check(charge: Charge, breathing: Breathing, speed_rad_s: Numbers) -> None:
    keep_above("speed", speed_rad_s, 0.0, "rad/s")
    keep_above("pressure at intake closing", charge.pressure_pa, 0.0, "Pa")
    keep_above("temperature at intake closing", charge.temperature_k, 0.0, "K")
    keep_above("heat of the charge", charge.heat_j_kg, 0.0, "J/kg")
    keep_above("span of the burn", charge.burn_span_rad, 0.0, "rad")
    keep_above("manifold pressure", breathing.manifold_pa, 0.0, "Pa")
    keep_above("exhaust pressure", breathing.exhaust_pa, 0.0, "Pa")
    keep_within("intake closing", breathing.intake_closes_rad, -math.pi, -math.pi / 3, "rad")
    keep_within("exhaust opening", breathing.exhaust_opens_rad, math.pi / 3, math.pi, "rad")
