"""Two pistons side by side in one bore: what each is, how it would fit cold and hot, what its lands bear, what its alloy wants."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from blockwright.choices.matching.of_job import with_in
from blockwright.engine.job import Job
from blockwright.engine.parts import Part, PartKind
from blockwright.engine.positions import Position, cylinder
from blockwright.fits.assessment import FitResult
from blockwright.fits.registry import REGISTRY
from blockwright.physics.lands import land_safety
from blockwright.running.assess import judge
from blockwright.running.land_strength import NOTCH, ZONE_OF_FIT, land_strength
from blockwright.running.wall_heat import HotWall, hot_wall

FITS = (
    "wall clearance",
    "coated wall clearance",
    "second land stress",
    "third land stress",
    "top side clearance",
    "second side clearance",
)


@dataclass(frozen=True)
class PistonIn:
    """One piston in one bore: its fits, its hot wall clearances where the cold ones are read, and its lands' safety, low end and high end."""

    part: Part
    position: Position
    fits: Mapping[str, FitResult]
    hot: Mapping[str, HotWall]
    safety: Mapping[str, tuple[float, float]]

    @property
    def skirt_area_m2(self) -> float | None:
        """Area of both skirt faces."""
        if self.part.skirt_length_m is None or self.part.skirt_width_m is None:
            return None
        return 2.0 * self.part.skirt_length_m * self.part.skirt_width_m


def piston_in(job: Job, mark: str, number: int) -> PistonIn:
    """A piston as it would be in a cylinder, whatever is assigned there now."""
    there, position = with_in(job, number, piston=mark), cylinder(number)
    fits = {name: judge(there, REGISTRY[name], position) for name in FITS}
    hot = {name: hot_wall(there, position, found) for name in FITS[:2] if (found := fits[name].found) is not None}
    return PistonIn(job.parts[mark], position, fits, hot, _safety(there, mark, fits))


def pistons_of(job: Job) -> tuple[str, ...]:
    """Marks of all pistons, assigned or spare."""
    return tuple(part.mark for part in job.sheet.part if part.kind is PartKind.PISTON)


def _safety(job: Job, mark: str, fits: Mapping[str, FitResult]) -> dict[str, tuple[float, float]]:
    found = {}
    alloy = job.parts[mark].alloy or "aluminium 2618"
    for name, zone in ZONE_OF_FIT.items():
        strength = land_strength(job, alloy, zone)
        if fits[name].found is not None and strength is not None:
            safety = land_safety(fits[name].estimate.value, strength[0], NOTCH)
            found[name] = (float(safety.low), float(safety.high))
    return found
