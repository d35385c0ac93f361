"""Physical things with marks of their own, where each one goes, and the work that was ordered on them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from blockwright.engine.pack import Face, OilRing
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class PartKind(StrEnum):
    """What a part is."""

    BLOCK = "block"
    CRANK = "crank"
    ROD = "rod"
    PISTON = "piston"
    PIN = "pin"
    RINGS = "ring set"
    SHELL = "shell"
    OTHER = "other"
    ENGINE = "engine"


@dataclass(frozen=True, kw_only=True)
class Part(Written):
    """One part. Alloy names are those of the materials list."""

    mark: str = entry("the mark on the part, used in readings and assignments")
    kind: PartKind = entry("block, crank, rod, piston, pin, ring set, shell or other")
    maker: str = entry("who made it", default="")
    batch: str = entry("batch or part number", default="")
    alloy: str = entry("alloy; the usual one for its kind where not given", default="")
    second_alloy: str = entry("ring set: alloy of the second ring where it is another", default="")
    coating: str = entry("coating, if any: 'skirt 12 um', 'plated bore'", default="")
    gauge_height_m: float | None = quantity(
        Kind.LENGTH,
        "piston: height above the skirt's lower edge at which it is measured",
        span=("0 mm", "120 mm"),
        default=None,
    )
    mass_kg: float | None = quantity(Kind.MASS, "mass as weighed", unit="g", span=("5 g", "200 kg"), default=None)
    skirt_length_m: float | None = quantity(
        Kind.LENGTH, "piston: length of the skirt", span=("10 mm", "200 mm"), default=None
    )
    skirt_width_m: float | None = quantity(
        Kind.LENGTH, "piston: width of one skirt face, round the piston", span=("10 mm", "300 mm"), default=None
    )
    barrel_m: float | None = quantity(
        Kind.LENGTH,
        "piston: how much smaller the skirt is at its upper edge than at its gauge height, on the diameter",
        span=("0 mm", "1 mm"),
        default=None,
    )
    oval_m: float | None = quantity(
        Kind.LENGTH,
        "piston: how much smaller the skirt is along the pin than across it, on the diameter",
        span=("0 mm", "2 mm"),
        default=None,
    )
    file_fit: bool | None = entry("ring set: whether its gaps are to be filed", default=None)
    second_ring: bool = entry("ring set: whether there is a second compression ring", default=True)
    oil_ring: OilRing = entry("ring set: how the oil ring is made", default=OilRing.THREE_PIECE)
    support_rail: bool = entry("ring set: a rail that bridges the pin hole under the oil ring", default=False)
    gapless_second: bool = entry("ring set: second ring of two pieces without a through gap", default=False)
    top_face: Face = entry("ring set: what tells which way up the top ring goes", default=Face.MARKED)
    second_face: Face = entry("ring set: what tells which way up the second ring goes", default=Face.MARKED)
    thin: bool = entry("ring set: thin rings (1.2 mm or less) or gas-ported pistons", default=False)
    note: str = entry("anything else", default="")


@dataclass(frozen=True, kw_only=True)
class CylinderParts(Written):
    """What is assigned to one cylinder."""

    number: int = entry("cylinder, by the maker's number")
    piston: str = entry("mark of the piston", default="")
    pin: str = entry("mark of the pin", default="")
    rings: str = entry("mark of the ring set", default="")
    rod: str = entry("mark of the rod", default="")
    shells: tuple[str, ...] = entry("marks of the rod shells: upper, lower", default=())


@dataclass(frozen=True, kw_only=True)
class MainParts(Written):
    """What is assigned to one main bearing."""

    number: int = entry("main bearing, 1 at the front")
    shells: tuple[str, ...] = entry("marks of its shells: upper, lower", default=())


@dataclass(frozen=True, kw_only=True)
class WorkOrder(Written):
    """Work ordered from the machine shop: what was asked for, to hold against what came back."""

    part: str = entry("mark of the part that was sent out")
    feature: str = entry("what was to be machined: a feature of the readings")
    at: str = entry("where on it: 'cylinder 2'; all where not given", default="")
    work: str = entry("the work, in words: 'hone, torque plate on'", default="")
    low_si: float | None = quantity(None, "smallest size ordered", kind_from="feature", default=None)
    high_si: float | None = quantity(None, "largest size ordered", kind_from="feature", default=None)
    shop: str = entry("who was to do it", default="")
