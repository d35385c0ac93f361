"""The wall clearance when hot: bore and skirt each grown by its own alloy and temperature, at the skirt's gauge height.

A negative hot clearance is a warning, not proof of seizure: the skirt flexes. Gas pressure and the block's own stiffness are left out. Not
validated on a measured engine; the temperatures are assumed unless given.
"""

from __future__ import annotations

from dataclasses import dataclass

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.fit import Found
from blockwright.fits.practice import piston_alloy
from blockwright.materials import alloy
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, through
from blockwright.physics.expansion import hot_clearance_m
from blockwright.running.temperatures import Temperature, temperature


@dataclass(frozen=True)
class HotWall:
    """Hot wall clearance with its uncertainty, and the temperatures that it rests on."""

    clearance: Estimate
    bore: Temperature
    skirt: Temperature


def hot_wall(job: Job, position: Position, cold: Found) -> HotWall:
    """Hot wall clearance of a cylinder from its cold one: the sizes as measured, grown to the temperatures of bore and skirt."""
    bore, skirt = (size.estimate for _, size in cold.sizes[:2])
    of_bore, of_piston = alloy(job.engine.running_surface), alloy(piston_alloy(job, position)[0])
    bore_c, skirt_c = temperature(job, "bore"), temperature(job, "skirt")
    inputs = [
        bore,
        skirt,
        _model("expansion of the bore", of_bore.expansion_per_k, of_bore.expansion_u_per_k),
        _model("expansion of the piston", of_piston.expansion_per_k, of_piston.expansion_u_per_k),
        _model("temperature of the bore", bore_c.value_c, bore_c.u_k),
        _model("temperature of the skirt", skirt_c.value_c, skirt_c.u_k),
    ]
    return HotWall(through(lambda *at: float(hot_clearance_m(*at)), inputs), bore_c, skirt_c)


def _model(what: str, value: float, u: float) -> Estimate:
    return Estimate(value, {Source(Cause.MODEL, what): Share(u)})
