"""The cycle that gives the duty's power, on walls as hot as it makes them; and its peak, where the builder gives one.

Three things are settled together, for every draw at once: the pressure at intake closing (from the power), the walls (from the heat), and when the
charge burns (from the peak, where there is one). Each round sets the pressure in proportion to the work that is wanted, which is nearly exact since
heat and work grow with the charge; and the burning by a secant on peak over charge.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blockwright.engine.job import Job
from blockwright.physics.cycle import Breathing, Chamber, Charge, Cycle, Walls, run_cycle
from blockwright.physics.gas import AIR, BURNT, mixture
from blockwright.physics.guards import Numbers
from blockwright.physics.heat_network import Settled
from blockwright.problems import BlockwrightError, Problem
from blockwright.running.work.draws import Draws
from blockwright.running.work.facts import Facts
from blockwright.running.work.geometry import chamber_of
from blockwright.running.work.heat import KELVIN, Network, heated
from blockwright.running.work.loads import OUTSIDE_PA

Array = NDArray[np.float64]
STEP_RAD = math.radians(1.0)
MOST_ROUNDS = 60
WORK_CLOSE, PEAK_CLOSE, WALL_CLOSE_K = 1e-6, 1e-4, 0.05
EARLIEST_RAD, LATEST_RAD = math.radians(-5.0), math.radians(45.0)
LARGEST_MOVE_RAD = math.radians(4.0)
FIRST_SLOPE = -25.0
"""Peak over charge pressure, lost with each radian of later burning, to begin the secant with."""
HALF = (math.log(2.0) / 5.0) ** (1.0 / 3.0)
"""Share of the burn's span after which half is burnt, by Wiebe's law with a 5 and m 2."""
BEGIN_K = {"crown": 530.0, "head": 470.0, "liner_middle": 420.0}


@dataclass(frozen=True)
class Matched:
    """A cycle at the duty's power, and the temperatures (K) of its walls. Columns are draws, the first the best values.

    `peak_met` where the given peak could be had; `matched` where the power could.
    """

    chamber: Chamber
    cycle: Cycle
    walls: Settled
    charge_pa: Array
    charge_k: Array
    manifold_pa: Array
    manifold_k: Array
    half_burnt_rad: Array
    indicated_pa: Array
    friction_pa: Array
    matched: NDArray[np.bool_]
    peak_met: NDArray[np.bool_]

    @property
    def breathing(self) -> Array:
        """The charge over what the swept volume would hold of air at the manifold's pressure and temperature."""
        ideal_kg = self.manifold_pa * self.chamber.swept_m3 / (287.0 * self.manifold_k)
        return np.asarray(self.cycle.mass_kg / ideal_kg)


def friction_pa(speed_rad_s: Numbers, *, breathing: bool = True) -> Numbers:
    """Mean pressure that an engine's own friction and breathing take, Pa: 0.97 + 0.15 n + 0.05 n² bar, n in 1000 rev/min.

    Without `breathing` the last term, which is mostly that, is left out. J. B. Heywood, "Internal Combustion Engine Fundamentals", 1988, equation
    13.6 (from memory).
    """
    n = speed_rad_s * 30.0 / math.pi / 1000.0
    return 1e5 * (0.97 + 0.15 * n + (0.05 * n * n if breathing else 0.0))


class _Matching:
    def __init__(self, job: Job, facts: Facts, draws: Draws, net: Network) -> None:
        self.net, self.chamber = net, chamber_of(job, facts)
        self.speed = draws.normal(facts["speed"])
        lost = friction_pa(self.speed) * draws.normal(facts["friction"])
        each_s = 4.0 * math.pi / self.speed
        self.wanted_j = draws.normal(facts["power"]) * each_s / job.engine.cylinders + lost * self.chamber.swept_m3
        self.lost_pa = lost
        rubbed = friction_pa(self.speed, breathing=False) / friction_pa(self.speed)
        self.rubbed_w = rubbed * lost * self.chamber.swept_m3 / each_s
        self.manifold_pa = OUTSIDE_PA + np.maximum(draws.normal(facts["boost"]), 0.0)
        self.manifold_k = draws.normal(facts["charge"]) + KELVIN
        self.charge_k = self.manifold_k + np.maximum(draws.normal(facts["warming"]), 0.0)
        self.heat = draws.normal(facts["heat"])
        self.span = draws.normal(facts["burn_span"])
        self.half = draws.normal(facts["half_burnt"])
        self.exhaust = draws.normal(facts["exhaust"])
        self.film = draws.normal(facts["film_factor"])
        self.closes = -math.pi + facts.value("intake_closes")
        self.opens = math.pi - facts.value("exhaust_opens")
        peak = facts.get("peak")
        self.peak = None if peak is None else draws.normal(peak) + OUTSIDE_PA

    def run(self, pressure: Array, half: Array, walls: Walls) -> Cycle:
        charge = Charge(
            pressure, self.charge_k, self.heat, half - HALF * self.span, self.span, mixture(AIR), mixture(BURNT)
        )
        breathing = Breathing(self.closes, self.opens, self.manifold_pa, self.manifold_k, self.exhaust)
        return run_cycle(self.chamber, charge, breathing, walls, self.speed * np.ones_like(pressure), STEP_RAD)

    def walls_at(self, temperatures_k: Mapping[str, Array]) -> Walls:
        """Walls of the cycle; the liner's one temperature is that of its middle."""
        crown, head, liner = (temperatures_k[place] for place in BEGIN_K)
        return Walls(crown, head, liner, self.film)

    def settle(self) -> Matched:
        ones = np.ones_like(self.heat)
        pressure = np.clip(self.wanted_j / self.chamber.swept_m3 / 9.0, 2e4, 1e6)
        half, walls = self.half.copy(), self.walls_at({place: begin * ones for place, begin in BEGIN_K.items()})
        chase = None if self.peak is None else _Chase(half)
        for _ in range(MOST_ROUNDS):
            cycle = self.run(pressure, half, walls)
            found = heated(self.net, self.chamber, cycle, self.rubbed_w)
            hotter = self.walls_at(found.temperatures)
            moved_k = max(float(np.max(np.abs(getattr(hotter, each) - getattr(walls, each)))) for each in WALLS)
            work = np.asarray(cycle.work_j)
            off = np.abs(work / self.wanted_j - 1.0)
            met = ones > 0.0 if self.peak is None else chase_met(cycle, self.peak, half)
            if float(off.max()) < WORK_CLOSE and moved_k < WALL_CLOSE_K and bool(met.all()):
                break
            walls = hotter
            if chase is not None and self.peak is not None:
                half = chase.next(half, cycle.peak_pa / pressure, self.peak / pressure)
            pressure = np.clip(pressure * np.clip(self.wanted_j / np.maximum(work, 1e-9), 0.5, 2.0), 1e4, 3e6)
        return Matched(
            self.chamber, cycle, found, np.asarray(cycle.mass_kg * 0.0 + pressure), self.charge_k, self.manifold_pa,
            self.manifold_k, half, work / self.chamber.swept_m3, self.lost_pa, off < 1e-3, self._peak_met(cycle),
        )  # fmt: skip

    def _peak_met(self, cycle: Cycle) -> NDArray[np.bool_]:
        if self.peak is None:
            return np.ones(len(self.heat), dtype=bool)
        return np.asarray(np.abs(cycle.peak_pa / self.peak - 1.0) < 0.01)


WALLS = ("crown_k", "head_k", "liner_k")


def chase_met(cycle: Cycle, peak: Array, half: Array) -> NDArray[np.bool_]:
    """Where the peak is met, or the burning stands at an end of what is tried."""
    at_end = (half <= EARLIEST_RAD + 1e-9) | (half >= LATEST_RAD - 1e-9)
    return np.asarray((np.abs(cycle.peak_pa / peak - 1.0) < PEAK_CLOSE) | at_end)


class _Chase:
    """A secant on each draw's peak over charge against when half is burnt."""

    def __init__(self, half: Array) -> None:
        self.before: tuple[Array, Array] | None = None
        self.slope = np.full_like(half, FIRST_SLOPE)

    def next(self, half: Array, ratio: Array, wanted: Array) -> Array:
        if self.before is not None:
            moved, changed = half - self.before[0], ratio - self.before[1]
            with np.errstate(divide="ignore", invalid="ignore"):
                slope = changed / moved
            sound = np.isfinite(slope) & (slope < -2.0) & (slope > -400.0) & (np.abs(moved) > 1e-7)
            self.slope = np.where(sound, slope, self.slope)
        self.before = (half, ratio)
        step = np.clip((wanted - ratio) / self.slope, -LARGEST_MOVE_RAD, LARGEST_MOVE_RAD)
        return np.asarray(np.clip(half + step, EARLIEST_RAD, LATEST_RAD))


def matched(job: Job, facts: Facts, draws: Draws, net: Network) -> Matched:
    """The cycle at the duty's power.

    Raises
    ------
    BlockwrightError
        Where no pressure of the charge gives that power.
    """
    found = cycles(job, facts, draws, net)
    if not bool(found.matched[0]):
        raise BlockwrightError(no_power())
    return found


def no_power() -> Problem:
    """What is said where no charge gives the power."""
    what = "no charge that the model knows gives this power at this speed."
    return Problem("work-power", what, "Look at power and at_speed in [duty].")


def cycles(job: Job, facts: Facts, draws: Draws, net: Network) -> Matched:
    """The cycles of all columns, those included that do not come to their power (`matched` says which).

    Raises
    ------
    BlockwrightError
        Where a cycle cannot be worked out at all.
    """
    try:
        return _Matching(job, facts, draws, net).settle()
    except ValueError as fault:
        raise BlockwrightError(
            Problem("work-power", f"the cycle cannot be worked out: {fault}", "Look at power, speed, boost and compression ratio.")
        ) from None  # fmt: skip
