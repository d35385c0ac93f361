"""Putting a ring over its piston: the stress of opening it so far, where the stop of the pliers belongs, and whether it may be wound on by hand.

The ring is spread until it just passes over the land under its groove; the land above it is no larger on usual pistons. The stress is that of its
true shape (`physics.ring_mounting`); how it answers to each size is taken from the formula for small displacements.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from blockwright.engine.features import land_under
from blockwright.engine.job import Job
from blockwright.engine.positions import Place, Position
from blockwright.engine.rules import Side
from blockwright.fits import practice
from blockwright.fits.bores import bore_of
from blockwright.fits.fit import Fit, Found, Need, WorkOut
from blockwright.fits.limits import Offer
from blockwright.fits.remedies import always
from blockwright.fits.sizes import Lacking, Sizes, gathered
from blockwright.fits.strength import modelled, ring_alloy
from blockwright.fits.words import Scale, length
from blockwright.materials import alloy
from blockwright.metrology.estimate import Estimate, through
from blockwright.metrology.evaluate import Size
from blockwright.physics.ring_beam import opening_m
from blockwright.physics.ring_mounting import (
    Spread,
    Winding,
    opening_stress_pa,
    spread_over,
    widest_safe_gap_m,
    wound_on,
)
from blockwright.quantities import Kind

ALLOWED_PA = {"grey iron": 300e6, "ductile iron": 450e6}
STEEL_ALLOWED_PA = 600e6
"""Stress that a ring bears once, while it is put on: above what it bears in its bore for good (from memory, no source)."""
RING_DROP = 1.0
"""A ring wound on crosses its own height over half a turn."""


@dataclass(frozen=True)
class Opened:
    """One ring as it is put on: spread until it just passes over the piston, what it may bear (Pa), what winding it on would do.

    `safe_gap_m` is the gap that small displacements give for `allowed_pa`; the true stress there is lower.
    """

    needed: Spread
    safe_gap_m: float
    allowed_pa: float
    wound: Winding

    @property
    def safe(self) -> bool:
        """Whether it passes over the piston within the stress allowed."""
        return self.needed.stress_pa <= self.allowed_pa

    @property
    def stop_gap_m(self) -> float:
        """Where the stop of the ring pliers belongs at most, m: never short of a passage that is safe."""
        return max(self.safe_gap_m, self.needed.gap_m) if self.safe else self.safe_gap_m

    @property
    def winding(self) -> str:
        """Whether it may be wound on by hand, in words."""
        if self.wound.allowed:
            return "may be done, thin enough, and it bears the twist"
        return "no, it would be strained for good" if self.wound.rail else "no, too thick"


@dataclass(frozen=True)
class RingSizes:
    """What putting a ring on rests on, as read, by role in the order of `ROLES`."""

    free: Size
    wall: Size
    height: Size
    gap: Size
    bore: Size
    land: Size


def ring_sizes(sizes: Sizes, position: Position, ring: str) -> RingSizes:
    """The sizes of a cylinder's ring, bore and land, or `Lacking` with all that is missing."""
    job = sizes.job
    held = job.in_cylinder(position.number)
    return RingSizes(
        *gathered(
            *(
                lambda what=what: sizes.one(held.rings, f"{ring} ring {what}")
                for what in ("free opening", "wall", "height")
            ),
            lambda: sizes.one(held.rings, f"{ring} gap", position, job.engine.bore_state),
            lambda: bore_of(sizes, position)["middle thrust"],
            lambda: sizes.one(held.piston, land_under(ring)),
        )
    )


def opened(job: Job, position: Position, ring: str, read: RingSizes) -> Opened:
    """A ring put over its piston, or `Lacking` where its sizes lie outside what the models hold for."""
    free, wall, height, gap, bore, land = (each.estimate.value for each in _in_order(read))
    name = ring_alloy(job, job.in_cylinder(position.number).rings, ring)
    modulus, allowed = alloy(name).modulus_pa, borne_once_pa(name)
    try:
        return Opened(
            spread_over(land, float(opening_m(free, gap)), bore, wall, height, modulus),
            float(widest_safe_gap_m(allowed, free, bore, wall, modulus)),
            allowed,
            wound_on(RING_DROP * height, land, bore, wall, height, modulus, allowed),
        )
    except ValueError as error:
        raise Lacking(f"sizes of ring and piston that belong together ({error})") from None


def borne_once_pa(alloy_name: str) -> float:
    """Stress that a ring of an alloy bears once, Pa."""
    return ALLOWED_PA.get(alloy_name, STEEL_ALLOWED_PA)


def _in_order(read: RingSizes) -> tuple[Size, ...]:
    return read.free, read.wall, read.height, read.gap, read.bore, read.land


def _stress(ring: str) -> WorkOut:
    roles = (
        f"{ring} ring free opening",
        f"{ring} ring wall",
        f"{ring} ring height",
        f"{ring} gap",
        "bore, middle thrust",
        land_under(ring),
    )

    def work_out(sizes: Sizes, position: Position) -> Found:
        job, read = sizes.job, ring_sizes(sizes, position, ring)
        modulus = alloy(ring_alloy(job, job.in_cylinder(position.number).rings, ring)).modulus_pa

        def small(free_m: float, wall_m: float, gap_m: float, bore_m: float, land_m: float) -> float:
            return float(opening_stress_pa(land_m, opening_m(free_m, gap_m), bore_m, wall_m, modulus))

        on = opened(job, position, ring, read)
        by_formula = through(small, [each.estimate for each in (read.free, read.wall, read.gap, read.bore, read.land)])
        true = on.needed.stress_pa
        estimate = by_formula.scaled(true / by_formula.value) if by_formula.value else Estimate(true)
        used = tuple(zip(roles, _in_order(read), strict=True))
        return Found(modelled(estimate, "opening", position), used, "at its back, opposite the gap", _notes(job, on))

    return work_out


def _notes(job: Job, on: Opened) -> tuple[str, ...]:
    over = f"passes over the piston at {length(job, on.needed.gap_m)} between its ends"
    stop = f"the stop of the pliers belongs at {length(job, on.stop_gap_m)} at most"
    return f"{over}; {stop}", f"winding it on by hand: {on.winding}"


def _borne(ring: str) -> Callable[[Job, Position], Offer]:
    def offer(job: Job, position: Position) -> Offer:
        name = ring_alloy(job, job.in_cylinder(position.number).rings, ring)
        return practice.practice(f"{name} ring: what it bears once, while it is put on", high=borne_once_pa(name))

    return offer


FITS = tuple(
    Fit(
        f"{ring} ring spread stress", Place.CYLINDER, "rings", f"bending stress of the {ring} ring as it is opened to pass over its piston",
        "true shape of the ring pulled apart at its tips, of constant pressure when closed", "at its back, opposite the gap",
        (Need(f"{ring} ring free opening"), Need(f"{ring} ring wall"), Need(f"{ring} ring height"),
         Need(f"{ring} gap", lambda engine: engine.bore_state), Need("bore", lambda engine: engine.bore_state), Need(land_under(ring))),
        _stress(ring), when_low="", when_high="the ring is strained for good or breaks as it is put on",
        remedy=always("another ring; ask its maker how far it may be opened, and open it with pliers whose stop is set"),
        practice=_borne(ring), hard=Side.HIGH, kind=Kind.PRESSURE_STEP, scale=Scale.STRESS, on_request=True,
    )
    for ring in ("top", "second")
)  # fmt: skip
