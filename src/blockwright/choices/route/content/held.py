"""Fits as evidence: most are always asked for at a hold point, some only where this job limits them, or has begun
to read them and common practice gives a limit: what nobody limits could never be passed.

Every fit of the registry is named by some step; `FREE_ON_PURPOSE` says why a fit is not asked for unless somebody of the job asks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from blockwright.choices.route.step import Evidence, Proof
from blockwright.engine.job import Job
from blockwright.engine.pack import OilRing
from blockwright.engine.positions import Place, Position
from blockwright.fits.assess import limits_for
from blockwright.fits.fit import Fit
from blockwright.fits.registry import REGISTRY, own_features
from blockwright.fits.sizes import Sizes

_TESTER = "takes a roughness tester, which not every shop has"
_SIZE = "the size is judged by the clearance that it makes"
_RAIL = "rails of a pack that is not filed come right from their maker"
_DEEP = "asked for by some piston makers only"
_COMPUTED = "worked out for a doubt about ring or land; no maker's sheet asks for it"

FREE_ON_PURPOSE: Mapping[str, str] = {
    "coated wall clearance": "only skirts with a coating have it, and its limits are the coater's",
    "bore finish": _TESTER,
    "main journal finish": _TESTER,
    "rod journal finish": _TESTER,
    "main journal size": _SIZE,
    "rod journal size": _SIZE,
    "big-end size": _SIZE,
    "small-end size": _SIZE,
    "big-end out-of-round": "read where the rods were machined",
    "main housing out-of-round": "read where the tunnel was machined",
    "tunnel alignment": "turning the crank by hand after each main shows what a straight edge does not",
    "deck flatness": "read where the deck was machined, or a gasket leaked",
    "main shell crush": "the bearing maker's limits are needed, and are seldom printed",
    "rod shell crush": "the bearing maker's limits are needed, and are seldom printed",
    "upper rail gap": _RAIL,
    "lower rail gap": _RAIL,
    "top ring flush depth": _DEEP,
    "second ring flush depth": _DEEP,
    "top back clearance": _DEEP,
    "second back clearance": _DEEP,
    "top ring pressure": _COMPUTED,
    "second ring pressure": _COMPUTED,
    "second land stress": _COMPUTED,
    "third land stress": _COMPUTED,
    "top ring spread stress": _COMPUTED,
    "second ring spread stress": _COMPUTED,
    "turning torque rise": "shown beside the torque of every stage; held where this job limits it",
}
"""Fits that are held only where this job gives them a limit or has begun to read them, each with the reason."""


@dataclass(frozen=True)
class Holding:
    """Which fits a job holds."""

    job: Job

    def at(self, position: Position, *names: str) -> tuple[Evidence, ...]:
        """Those of the named fits that are asked for at a position, as evidence."""
        return tuple(Evidence(Proof.FIT, name, position) for name in names if self._asked(REGISTRY[name], position))

    def everywhere(self, *names: str) -> tuple[Evidence, ...]:
        """Those of the named fits that are asked for, at each of their positions."""
        engine = self.job.engine
        return tuple(
            each for name in names for at in engine.positions(REGISTRY[name].place) for each in self.at(at, name)
        )

    def after_stage(self, stage: str) -> tuple[Evidence, ...]:
        """The turning torque after a stage of assembly; nothing where this engine has no such stage."""
        stages = self.job.engine.turning_stages
        if stage not in stages:
            return ()
        names = ("turning torque",) if stage == stages[0] else ("turning torque", "turning torque rise")
        return self.at(Position(Place.STAGE, stage), *names)

    def closed_by(self, at: Position, *names: str) -> tuple[str, ...]:
        """Those of the named fits that this engine has at a position, as `closes` names them: `main film, main 3`."""
        return tuple(f"{name}, {at}" for name in names if self._there(REGISTRY[name], at))

    def _asked(self, fit: Fit, at: Position) -> bool:
        if not self._there(fit, at):
            return False
        if fit.name not in FREE_ON_PURPOSE or self._limited(fit, at):
            return True
        return self._begun(fit, at) and limits_for(self.job, fit, at).known

    def _there(self, fit: Fit, at: Position) -> bool:
        return at in fit.positions(self.job.engine) and self._has_ring(fit.name, at)

    def _has_ring(self, name: str, at: Position) -> bool:
        """Whether the ring that a fit is about is in this cylinder's set."""
        rings = self.job.parts.get(self.job.in_cylinder(at.number).rings) if at.place is Place.CYLINDER else None
        if rings is None:
            return True
        of_second = name == "third land stress" or (name.startswith("second ") and name != "second land stress")
        without_second = of_second and not rings.second_ring
        return not without_second and not ("rail" in name and rings.oil_ring is not OilRing.THREE_PIECE)

    def _limited(self, fit: Fit, at: Position) -> bool:
        return any(rule.fit == fit.name and rule.at in ("", str(at)) for rule in self.job.sheet.limit)

    def _begun(self, fit: Fit, at: Position) -> bool:
        own = self._own[fit.name]
        return any(name in self._read and self.sizes.begun(name, state, at) for name, state in own)

    @cached_property
    def _own(self) -> Mapping[str, tuple[tuple[str, frozenset[str]], ...]]:
        own = own_features(self.job.engine)
        return {name: tuple(own.get(name, ())) for name in FREE_ON_PURPOSE}

    @cached_property
    def sizes(self) -> Sizes:
        """The sizes on the table."""
        return Sizes(self.job)

    @cached_property
    def _read(self) -> frozenset[str]:
        return frozenset(reading.feature for reading in self.sizes.taken)
