"""The bolts of an engine, joint by joint: how each joint is tightened, by whose word."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from blockwright.problems import Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity

MOST_BOLTS = 64


class Joint(StrEnum):
    """What a set of bolts holds together."""

    MAIN_CAPS = "main caps"
    MAIN_SIDES = "main caps from the side"
    BEDPLATE = "bedplate"
    CASE = "case"
    CASE_EDGE = "case edge"
    RODS = "rod bolts"
    BARRELS = "barrels"
    HEADS = "heads"
    CAM_CAPS = "cam caps"
    CAM_WHEELS = "cam wheels"
    ROCKERS = "rockers"
    NOSE = "crank nose"
    FLYWHEEL = "flywheel"
    OIL_PUMP = "oil pump"
    OIL_JETS = "oil jets"
    PLUGS = "gallery plugs"
    FRONT_COVER = "front cover"
    REAR_COVER = "rear cover"
    SUMP = "sump"
    VALVE_COVERS = "valve covers"
    MANIFOLDS = "manifolds"
    WATER_PIPES = "water pipes"
    MOUNTS = "mounts"


@dataclass(frozen=True, kw_only=True)
class Fastener(Written):
    """How the bolts of one joint are tightened, by the maker's word. Nothing stands in for what is left out."""

    joint: Joint = entry("what the bolts hold together")
    size: str = entry("thread and length: 'M10 x 1.25, 95 mm'", default="")
    count: int | None = entry("how many at each place: on one cap, one rod, one head, one cover", default=None)
    stages: tuple[str, ...] = entry("tightening in stages, each in the maker's words: ['25 Nm', '50 Nm']", default=())
    angle_rad: float | None = quantity(
        Kind.ANGLE, "how far each bolt is turned on after the last stage", unit="deg", span=("1 deg", "720 deg"), default=None
    )  # fmt: skip
    stretch_m: float | None = quantity(
        Kind.LENGTH, "how much longer each bolt is to be when tight", span=("0.01 mm", "1 mm"), default=None
    )
    lubricant: str = entry("what the maker wants on thread and under the head", default="")
    pattern: tuple[int, ...] = entry(
        "maker's order of tightening; bolts are counted row by row from the front, first the row on the right (looking from rear to front)",
        default=(),
    )
    rows: int = entry("in how many rows the bolts of one place stand", default=2)
    source: str = entry("which sheet or page says so", default="")
    one_use: bool = entry("whether the bolts are to be thrown away once they were tight", default=False)
    retorque: str = entry("when and how the maker asks to tighten again; blank where he does not", default="")

    def faults(self) -> tuple[Problem, ...]:
        """What in these facts contradicts itself."""
        return tuple(_faults(self))


def _faults(told: Fastener) -> Iterator[Problem]:
    if told.count is not None and not 1 <= told.count <= MOST_BOLTS:
        yield _fault("count", f"{told.count} bolts at one place: this tool knows 1 to {MOST_BOLTS}.")
    elif told.pattern and sorted(told.pattern) != list(range(1, len(told.pattern) + 1)):
        yield _fault("pattern", "it does not name each bolt once, counted from 1.")
    elif told.pattern and told.count is not None and len(told.pattern) != told.count:
        yield _fault("pattern", f"it names {len(told.pattern)} bolts, and count says {told.count}.")
    if told.rows < 1:
        yield _fault("rows", f"{told.rows} rows: there is at least one.")


def _fault(field: str, what: str) -> Problem:
    return Problem(f"fastener-{field}", what, f"Mend {field} in [[fastener]].").at(field=f"fastener.{field}")
