"""The wall clearance when hot: bore and skirt each grown by its own alloy and temperature, at the skirt's gauge height.

A negative hot clearance is a warning, not proof of seizure: the skirt flexes. Gas pressure and the block's own stiffness are left out. Not
validated on a measured engine; the temperatures are assumed unless given. One temperature stands for the bore at all heights.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from blockwright.engine.job import Job
from blockwright.engine.positions import Position
from blockwright.fits.assessment import FitResult, Flag
from blockwright.fits.fit import Found
from blockwright.fits.practice import piston_alloy
from blockwright.fits.words import Scale, say
from blockwright.materials import alloy
from blockwright.metrology.estimate import Cause, Estimate, Share, Source, through
from blockwright.metrology.verdict import expanded
from blockwright.physics.expansion import hot_clearance_m
from blockwright.running.temperatures import Temperature, temperature

FIT = "wall clearance"


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
        _model("expansion of the bore", of_bore.mean_expansion_per_k(bore_c.value_c), of_bore.expansion_u_per_k),
        _model("expansion of the piston", of_piston.mean_expansion_per_k(skirt_c.value_c), of_piston.expansion_u_per_k),
        _model("temperature of the bore", bore_c.value_c, bore_c.u_k),
        _model("temperature of the skirt", skirt_c.value_c, skirt_c.u_k),
    ]
    return HotWall(through(lambda *at: float(hot_clearance_m(*at)), inputs), bore_c, skirt_c)


def noted(job: Job, result: FitResult) -> FitResult:
    """A wall clearance of a bare skirt with a note of what it becomes when hot; any other result as it is."""
    if result.fit.name != FIT or result.found is None:
        return result
    hot = hot_wall(job, result.position, result.found)
    return replace(result, notes=(*result.notes, f"hot, {_value(job, hot)}, {_at(hot)}"))


def flags(job: Job, results: Iterable[FitResult]) -> Iterator[Flag]:
    """One flag for all cylinders whose bare skirt is larger than its bore when hot."""
    read = [(result, result.found) for result in results if result.fit.name == FIT and result.found is not None]
    hot = [(result, hot_wall(job, result.position, found)) for result, found in read]
    tight = [(result, each) for result, each in hot if each.clearance.value < 0.0]
    if tight:
        where = ", ".join(f"{result.position} ({_value(job, each)})" for result, each in tight)
        yield Flag(
            "hot-wall",
            f"hot, {_at(tight[0][1])}, the bare skirt would be larger than its bore: {where}. The skirt flexes, so that is a warning, "
            "not proof of seizure.",
            "Ask the piston's maker, or give the temperatures that you know in job.toml.",
        )


def _value(job: Job, hot: HotWall) -> str:
    value, wide = (
        say(job, each, Scale.CLEARANCE, u=hot.clearance.u) for each in (hot.clearance.value, expanded(hot.clearance))
    )
    return f"{value.split()[0]} ± {wide}"


def _at(hot: HotWall) -> str:
    bore, skirt = hot.bore, hot.skirt
    origin = bore.origin if bore.origin == skirt.origin else f"bore {bore.origin}, skirt {skirt.origin}"
    return f"with the bore at {bore.value_c:.0f} °C and the skirt at {skirt.value_c:.0f} °C ({origin})"


def _model(what: str, value: float, u: float) -> Estimate:
    return Estimate(value, {Source(Cause.MODEL, what): Share(u)})
