"""Numbers as the builder says them: the unit of his shop for each scale of fit, digits that fit the uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
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
NOTHING_SI = 1e-12
"""Less than this of any scale (a picometre, a piconewton-metre) is the rounding of the reckoning itself."""


SHORTEST_RUN = 3


def unit_of(job: Job, scale: Scale) -> str:
    """The shop's unit for a scale of fit."""
    return UNIT[(job.rules.units, scale)]


def say(job: Job, value: float, scale: Scale, *, u: float | None = None, signed: bool = False, unit: str = "") -> str:
    """A value in the shop's unit (or in `unit`), with digits that fit its standard uncertainty `u`.

    What has no uncertainty of its own, such as a correction, is never shown as nothing unless it is nothing.
    """
    chosen = unit or unit_of(job, scale)
    if u:
        return show(value, KIND[scale], chosen, u=u, signed=signed)
    plainly = show(value, KIND[scale], chosen, u=PLAIN_U_SI[scale], signed=signed)
    if abs(value) < NOTHING_SI or not _shows_nothing(plainly):
        return plainly
    finely = show(value, KIND[scale], chosen, u=abs(value), signed=signed)
    return _less_than(finely) if _shows_nothing(finely) else finely


def _shows_nothing(text: str) -> bool:
    return not text.partition(" ")[0].strip("+-0.")


def _less_than(nothing: str) -> str:
    """`0.00000 mm` -> `less than 0.00001 mm`: an amount under the last digit that its unit has."""
    number, _, unit = nothing.partition(" ")
    return f"less than {number[:-1]}1 {unit}"


def runs(names: Sequence[str]) -> str:
    """`B1, C1 to C4 and K1`: names in their order, with three or more that count upwards drawn together (`cylinder 1 to 4`)."""
    groups: list[list[str]] = []
    for name in names:
        if groups and _follows(groups[-1][-1], name):
            groups[-1].append(name)
        else:
            groups.append([name])
    told = [text for group in groups for text in (group if len(group) < SHORTEST_RUN else [_run(group)])]
    return told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"


def _parted(name: str) -> tuple[str, int | None]:
    head = name.rstrip("0123456789")
    return head, int(name[len(head) :]) if name[len(head) :] else None


def _follows(name: str, other: str) -> bool:
    (head, number), (next_head, next_number) = _parted(name), _parted(other)
    return head == next_head and number is not None and next_number == number + 1


def _run(group: Sequence[str]) -> str:
    head, number = _parted(group[-1])
    return f"{group[0]} to {number if head.endswith(' ') else group[-1]}"


def length(job: Job, value: float, scale: Scale = Scale.CLEARANCE) -> str:
    """A length in the shop's unit."""
    return say(job, value, scale)
