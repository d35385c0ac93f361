"""What is measured on each kind of part: where, with what kind of gauge, and how the reading answers to temperature.

A feature belongs to a kind of part; `place` says along which positions it repeats on that part (a block has a bore per cylinder),
`spots` where it is taken at each. Its nominal size in this engine, where there is one, bounds what is plausible.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from blockwright.engine.layout import HEIGHTS, Engine
from blockwright.engine.parts import PartKind
from blockwright.engine.positions import Place
from blockwright.metrology.evaluate import Thermal
from blockwright.quantities import Kind


class GaugeKind(StrEnum):
    """The gauge that a shop would take."""

    OUTSIDE = "outside micrometer"
    BORE = "bore gauge"
    BLADES = "feeler blades"
    DIAL = "dial indicator"
    DEPTH = "depth gauge"
    BALL = "ball-end micrometer"
    SLOTS = "gauge blocks or plain blades"
    ROUGHNESS = "roughness tester"
    TORQUE = "torque wrench"
    EDGE = "straight edge and blades"


@dataclass(frozen=True)
class Feature:
    """One thing that is measured."""

    name: str
    part: PartKind
    gauge: GaugeKind
    how: str
    place: Place | None = None
    spots: tuple[str, ...] = ("",)
    thermal: Thermal = Thermal.SIZE
    kind: Kind = Kind.LENGTH
    signed: bool = False
    depth: bool = False
    nominal: Callable[[Engine], float | None] = lambda engine: None
    span: tuple[str, str] = ("0 mm", "1000 mm")

    def expected(self, engine: Engine) -> tuple[float, float] | None:
        """Plausible span about the nominal size in this engine, SI; `None` where no nominal is known."""
        nominal = self.nominal(engine)
        return None if nominal is None else (0.96 * nominal, 1.04 * nominal)


BORE_SPOTS = tuple(f"{height} {way}" for height in HEIGHTS for way in ("thrust", "axial"))
JOURNAL_SPOTS = ("front across", "front along", "rear across", "rear along")
HOUSING_SPOTS = ("square", "left", "right")
GAP = ("0 mm", "3 mm")
LAND_UNDER = {"top": "second land", "second": "third land"}
"""Lands are counted from the crown: the top land lies above the top ring."""


def land_under(ring: str) -> str:
    """The land under a ring, the one that it presses on: `second land` under the top ring, `third land` under the second."""
    return LAND_UNDER[ring]


_LISTED = (
    Feature(
        "bore", PartKind.BLOCK, GaugeKind.BORE,
        "square in the bore; 'thrust' is across the engine, square to crank and pin, 'axial' along the crank",
        Place.CYLINDER, BORE_SPOTS, nominal=lambda engine: engine.bore_m,
    ),
    Feature(
        "main housing", PartKind.BLOCK, GaugeKind.BORE,
        "shells out, caps torqued; 'square' is square to the parting line, 'left' and 'right' 45° to it",
        Place.MAIN, HOUSING_SPOTS, nominal=lambda engine: engine.main_housing_m,
    ),
    Feature(
        "main shelled bore", PartKind.BLOCK, GaugeKind.BORE, "shells in, caps torqued, square to the parting line",
        Place.MAIN, ("square",), nominal=lambda engine: engine.main_journal_m,
    ),
    Feature(
        "tunnel step", PartKind.BLOCK, GaugeKind.EDGE,
        "straight edge through the housings: the largest blade that goes under it at this one",
        Place.MAIN, thermal=Thermal.NONE, span=("0 mm", "0.5 mm"),
    ),
    Feature(
        "deck hollow", PartKind.BLOCK, GaugeKind.EDGE,
        "straight edge along, across and corner to corner: the largest blade that goes under it",
        Place.BANK, ("along", "across", "corners"), Thermal.NONE, span=("0 mm", "1 mm"),
    ),
    Feature(
        "bore roughness", PartKind.BLOCK, GaugeKind.ROUGHNESS, "Rz, along the bore, middle of the ring travel",
        Place.CYLINDER, thermal=Thermal.NONE, kind=Kind.ROUGHNESS, span=("0.1 um", "30 um"),
    ),
    Feature(
        "main journal", PartKind.CRANK, GaugeKind.OUTSIDE,
        "near the front and the rear fillet, two directions: across the engine and along the stroke of throw 1",
        Place.MAIN, JOURNAL_SPOTS, nominal=lambda engine: engine.main_journal_m,
    ),
    Feature(
        "rod journal", PartKind.CRANK, GaugeKind.OUTSIDE,
        "near the front and the rear fillet, two directions: along the throw and across it",
        Place.THROW, JOURNAL_SPOTS, nominal=lambda engine: engine.rod_journal_m,
    ),
    Feature(
        "main journal roughness", PartKind.CRANK, GaugeKind.ROUGHNESS, "Rz, along the journal",
        Place.MAIN, thermal=Thermal.NONE, kind=Kind.ROUGHNESS, span=("0.05 um", "10 um"),
    ),
    Feature(
        "rod journal roughness", PartKind.CRANK, GaugeKind.ROUGHNESS, "Rz, along the journal",
        Place.THROW, thermal=Thermal.NONE, kind=Kind.ROUGHNESS, span=("0.05 um", "10 um"),
    ),
    Feature(
        "crank runout", PartKind.CRANK, GaugeKind.DIAL,
        "end mains on blocks, full needle travel over one turn",
        Place.MAIN, thermal=Thermal.NONE, span=("0 mm", "0.5 mm"),
    ),
    Feature(
        "big end", PartKind.ROD, GaugeKind.BORE,
        "shells out, bolts torqued; 'square' is along the rod, 'left' and 'right' 45° to the parting line",
        None, HOUSING_SPOTS, nominal=lambda engine: engine.big_end_m,
    ),
    Feature(
        "big end shelled bore", PartKind.ROD, GaugeKind.BORE, "shells in, bolts torqued, along the rod",
        None, ("square",), nominal=lambda engine: engine.rod_journal_m,
    ),
    Feature(
        "small end", PartKind.ROD, GaugeKind.BORE, "along the rod and across it",
        None, ("along", "across"), nominal=lambda engine: engine.small_end_m or engine.pin_m,
    ),
    Feature(
        "shell wall", PartKind.SHELL, GaugeKind.BALL, "at the crown, 90° from the parting line",
        thermal=Thermal.SIZE, span=("0.8 mm", "6 mm"),
    ),
    Feature(
        "shell crush", PartKind.SHELL, GaugeKind.DIAL,
        "how far the shell stands proud of its half housing, other end held flush",
        thermal=Thermal.NONE, span=("0 mm", "0.3 mm"),
    ),
    Feature(
        "skirt", PartKind.PISTON, GaugeKind.OUTSIDE, "square to the pin, at the maker's gauge height",
        nominal=lambda engine: engine.bore_m,
    ),
    Feature(
        "pin bore", PartKind.PISTON, GaugeKind.BORE, "both bosses, along and across the piston axis",
        None, ("front boss", "rear boss"), nominal=lambda engine: engine.pin_m,
    ),
    Feature(
        "pin room", PartKind.PISTON, GaugeKind.DEPTH, "between the clip grooves' outer faces less both clips, or between the bosses' stops",
        span=("15 mm", "160 mm"),
    ),
    *(
        Feature(
            f"{ring} groove width", PartKind.PISTON, GaugeKind.SLOTS, "all round, the tightest place",
            span=("0.5 mm", "8 mm"),
        )
        for ring in ("top", "second", "oil")
    ),
    *(
        Feature(
            f"{ring} groove depth", PartKind.PISTON, GaugeKind.DEPTH, "from the land to the bottom of the groove",
            span=("1 mm", "12 mm"),
        )
        for ring in ("top", "second")
    ),
    *(
        Feature(
            land_under(ring), PartKind.PISTON, GaugeKind.OUTSIDE, f"diameter of the land under the {ring} groove",
            nominal=lambda engine: engine.bore_m,
        )
        for ring in ("top", "second")
    ),
    Feature(
        "pin", PartKind.PIN, GaugeKind.OUTSIDE, "at both ends and in the middle",
        None, ("front", "middle", "rear"), nominal=lambda engine: engine.pin_m,
    ),
    Feature("pin length", PartKind.PIN, GaugeKind.OUTSIDE, "over the ends", span=("15 mm", "160 mm")),
    *(
        Feature(
            f"{ring} gap", PartKind.RINGS, GaugeKind.BLADES,
            "in its own bore, pushed down square with a piston, at the depth written down",
            Place.CYLINDER, thermal=Thermal.GAP, depth=True, span=GAP,
        )
        for ring in ("top", "second", "upper rail", "lower rail")
    ),
    *(
        Feature(f"{ring} ring height", PartKind.RINGS, GaugeKind.OUTSIDE, "axial, at four places", span=("0.4 mm", "8 mm"))
        for ring in ("top", "second")
    ),
    *(
        Feature(f"{ring} ring wall", PartKind.RINGS, GaugeKind.OUTSIDE, "radial, away from the ends", span=("1 mm", "10 mm"))
        for ring in ("top", "second")
    ),
    *(
        Feature(
            f"{ring} ring free opening", PartKind.RINGS, GaugeKind.DEPTH, "ring lying free, between the ends, along the middle of its wall",
            span=("2 mm", "60 mm"),
        )
        for ring in ("top", "second")
    ),
    *(
        Feature(
            f"{land_under(ring)} height", PartKind.PISTON, GaugeKind.DEPTH, f"axial thickness of the land under the {ring} groove",
            span=("1 mm", "20 mm"),
        )
        for ring in ("top", "second")
    ),
    Feature(
        "crank end float", PartKind.ENGINE, GaugeKind.DIAL, "crank levered fore and aft, thrust faces oiled",
        thermal=Thermal.NONE, span=("0 mm", "1.5 mm"),
    ),
    Feature(
        "rod side", PartKind.ENGINE, GaugeKind.BLADES, "between big end and cheek, or between the two rods on a throw",
        Place.THROW, thermal=Thermal.NONE, span=("0 mm", "3 mm"),
    ),
    Feature(
        "piston to deck", PartKind.ENGINE, GaugeKind.DIAL,
        "at top dead centre, on the pin axis so that rock does not count; below the deck is +",
        Place.CYLINDER, ("front", "rear"), Thermal.NONE, signed=True, span=("-4 mm", "12 mm"),
    ),
    Feature(
        "turning torque", PartKind.ENGINE, GaugeKind.TORQUE, "oiled, turned slowly; the steady pull, not the first jerk",
        Place.STAGE, thermal=Thermal.NONE, kind=Kind.TORQUE, span=("0 Nm", "200 Nm"),
    ),
)  # fmt: skip

FEATURES = {feature.name: feature for feature in _LISTED}
