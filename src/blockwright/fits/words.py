"""Numbers as the builder says them: the unit of his shop for each scale of fit, digits that fit the uncertainty."""

from __future__ import annotations

from enum import StrEnum

from blockwright.engine.job import Job
from blockwright.engine.rules import Units
from blockwright.quantities import Kind, show


class Scale(StrEnum):
    """How finely a fit is shown: a clearance in thou or in mm, a size in full, a finish, a torque, a pressure or stress."""

    CLEARANCE = "clearance"
    SIZE = "size"
    ROUGHNESS = "roughness"
    TORQUE = "torque"
    PRESSURE = "pressure"
    STRESS = "stress"


UNIT = {
    (Units.METRIC, Scale.CLEARANCE): "mm",
    (Units.METRIC, Scale.SIZE): "mm",
    (Units.METRIC, Scale.ROUGHNESS): "um",
    (Units.METRIC, Scale.TORQUE): "Nm",
    (Units.INCH, Scale.CLEARANCE): "thou",
    (Units.INCH, Scale.SIZE): "in",
    (Units.INCH, Scale.ROUGHNESS): "uin",
    (Units.INCH, Scale.TORQUE): "ft-lb",
    (Units.METRIC, Scale.PRESSURE): "MPa",
    (Units.INCH, Scale.PRESSURE): "psi",
    (Units.METRIC, Scale.STRESS): "MPa",
    (Units.INCH, Scale.STRESS): "psi",
}
KIND = {
    Scale.CLEARANCE: Kind.LENGTH,
    Scale.SIZE: Kind.LENGTH,
    Scale.ROUGHNESS: Kind.ROUGHNESS,
    Scale.TORQUE: Kind.TORQUE,
    Scale.PRESSURE: Kind.PRESSURE_STEP,
    Scale.STRESS: Kind.PRESSURE_STEP,
}
PLAIN_U_SI = {
    Scale.CLEARANCE: 8e-6,
    Scale.SIZE: 8e-6,
    Scale.ROUGHNESS: 0.8e-6,
    Scale.TORQUE: 0.5,
    Scale.PRESSURE: 8e3,
    Scale.STRESS: 0.8e6,
}
"""Fineness to which limits and corrections are shown, which have no uncertainty of their own."""


def unit_of(job: Job, scale: Scale) -> str:
    """The shop's unit for a scale of fit."""
    return UNIT[(job.rules.units, scale)]


def say(job: Job, value: float, scale: Scale, *, u: float | None = None, signed: bool = False, unit: str = "") -> str:
    """A value in the shop's unit (or in `unit`), with digits that fit its standard uncertainty `u`."""
    chosen = unit or unit_of(job, scale)
    fineness = PLAIN_U_SI[scale] if u is None or u == 0.0 else u
    return show(value, KIND[scale], chosen, u=fineness, signed=signed)


def length(job: Job, value: float, scale: Scale = Scale.CLEARANCE) -> str:
    """A length in the shop's unit."""
    return say(job, value, scale)
