"""How an engine goes together: the facts of its architecture on which the order of assembly rests.

What the builder leaves out follows from the case and from when the pistons go in; `Assembly.of` gives the facts with nothing left open.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from blockwright.engine.layout import Case, Engine, Entering, PinHold
from blockwright.engine.positions import Place, Position
from blockwright.problems import Problem
from blockwright.quantities import Kind
from blockwright.quantities.declared import Written, entry, quantity


class CamPlace(StrEnum):
    """Where the camshaft turns."""

    BLOCK = "in the block"
    CASE = "in the case"
    OVERHEAD = "overhead"


class PistonWay(StrEnum):
    """How a piston comes into its bore."""

    ABOVE = "from above on the rod"
    BELOW = "from below"
    ALONE = "alone, pin through a service hole"
    BARREL = "barrel over the piston"


class Drive(StrEnum):
    """What drives the cams."""

    CHAIN = "chain"
    GEARS = "gears"
    BELT = "belt"


class RearSeal(StrEnum):
    """How the rear seal is made."""

    ONE_PIECE = "one piece"
    HALVES = "two halves"


class HeadFor(StrEnum):
    """What one head covers."""

    BANK = "bank"
    CYLINDER = "cylinder"


@dataclass(frozen=True, kw_only=True)
class Assembly(Written):
    """How the engine goes together. What is left out is taken from the case and the pistons, and the route says so."""

    cam: CamPlace | None = entry(
        "where the camshaft turns; overhead where not given, or with the pushrods if there are any", default=None
    )
    pushrods: bool | None = entry("whether pushrods work the valves; yes for a cam that is not overhead", default=None)
    pistons_enter: PistonWay | None = entry(
        "how a piston comes into its bore; follows from the case and from when the pistons go in", default=None
    )
    thrust_main: int | None = entry("which main carries the thrust, 1 at the front", default=None)
    dry_sump: bool = entry("whether the oil lies in a tank of its own", default=False)
    pump_inside: bool = entry("whether the oil pump lies between the halves of a split case", default=False)
    oil_jets: bool = entry("whether jets spray oil under the pistons", default=False)
    case_o_rings: bool = entry("whether O-rings seal oilways or bolts where the case parts", default=False)
    rear_seal: RearSeal = entry("how the rear crank seal is made", default=RearSeal.ONE_PIECE)
    rear_cover: bool = entry("whether the rear seal sits in a cover of its own", default=False)
    cam_drive: Drive = entry("what drives the cams; a belt runs outside the front cover", default=Drive.CHAIN)
    sealant_open_s: float | None = quantity(
        Kind.DURATION,
        "how long the sealant stays open once it is laid, by its tube",
        unit="min",
        span=("1 min", "8 h"),
        key="sealant_open",
        default=None,
    )
    heads: bool = entry("whether the heads are part of this build; a short block ends without them", default=True)
    head_for: HeadFor = entry("what one head covers", default=HeadFor.BANK)
    one_angle: tuple[int, ...] = entry(
        "cylinders whose pin or rod bolts can be reached at one crank angle only", default=()
    )

    def of(self, engine: Engine) -> Assembly:
        """The facts for this engine with nothing left open."""
        return replace(self, cam=self._cam(engine), pushrods=self._pushrods(), pistons_enter=self._way(engine))

    def taken(self, engine: Engine) -> tuple[str, ...]:
        """What is taken for granted because nobody said it, in words."""
        full = self.of(engine)
        said = (
            (self.cam, f"the camshaft is {full.cam}"),
            (self.pistons_enter, f"pistons go in {full.pistons_enter}"),
        )
        return tuple(words for given, words in said if given is None)

    def faults(self, engine: Engine) -> tuple[Problem, ...]:
        """What in these facts contradicts itself or the engine."""
        return (
            *_way_faults(self, engine),
            *_pin_faults(self, engine),
            *_cam_faults(self, engine),
            *_case_faults(self, engine),
            *_seal_faults(self),
            *_number_faults(self, engine),
        )

    def _cam(self, engine: Engine) -> CamPlace:
        if self.cam is not None:
            return self.cam
        if not self.pushrods:
            return CamPlace.OVERHEAD
        return CamPlace.CASE if engine.case is Case.SPLIT else CamPlace.BLOCK

    def _pushrods(self) -> bool:
        if self.pushrods is not None:
            return self.pushrods
        return self.cam in (CamPlace.BLOCK, CamPlace.CASE)

    def _way(self, engine: Engine) -> PistonWay:
        if self.pistons_enter is not None:
            return self.pistons_enter
        if engine.pistons is Entering.BEFORE:
            return PistonWay.BELOW
        return PistonWay.ALONE if engine.case is Case.SPLIT else PistonWay.ABOVE


def _way_faults(told: Assembly, engine: Engine) -> Iterator[Problem]:
    way = told.pistons_enter
    if way is PistonWay.BELOW and engine.pistons is Entering.AFTER:
        yield _fault(
            "pistons_enter", "pistons from below go in before the crank is closed in, and [engine] says after."
        )
    if way not in (None, PistonWay.BELOW) and engine.pistons is Entering.BEFORE:
        yield _fault("pistons_enter", f"pistons {way} go in after the crank is closed in, and [engine] says before.")
    if way is PistonWay.ABOVE and engine.case is Case.SPLIT and engine.pistons is Entering.AFTER:
        yield _fault(
            "pistons_enter",
            "in a case that is split on the crank line the rods are on the crank first: no piston brings its rod along.",
        )


def _pin_faults(told: Assembly, engine: Engine) -> Iterator[Problem]:
    if told.pistons_enter is PistonWay.ALONE and engine.pin is PinHold.PRESSED:
        yield _fault("pistons_enter", "a pin that is pressed into the rod cannot go in through a service hole.")


def _cam_faults(told: Assembly, engine: Engine) -> Iterator[Problem]:
    if told.cam is CamPlace.CASE and engine.case is not Case.SPLIT:
        yield _fault("cam", "a cam in the case lies between two halves, and this case is not split on the crank line.")
    if told.cam is CamPlace.BLOCK and engine.case is Case.SPLIT:
        yield _fault("cam", "a case that is split on the crank line has its cam in the case or overhead.")
    if told.cam is CamPlace.OVERHEAD and told.pushrods:
        yield _fault("pushrods", "an overhead cam works no pushrods.")
    if told.of(engine).cam is not CamPlace.OVERHEAD and told.cam_drive is Drive.BELT:
        yield _fault("cam_drive", "a cam that lies below the heads is driven by chain or gears.")


def _case_faults(told: Assembly, engine: Engine) -> Iterator[Problem]:
    if told.pump_inside and engine.case is not Case.SPLIT:
        yield _fault("pump_inside", "there are no case halves for a pump to lie between.")
    if told.case_o_rings and engine.case is Case.CAPS:
        yield _fault("case_o_rings", "a block with caps has no joint for O-rings.")


def _seal_faults(told: Assembly) -> Iterator[Problem]:
    if told.rear_cover and told.rear_seal is RearSeal.HALVES:
        yield _fault("rear_seal", "a seal of two halves lies at the parting line, not in a cover of its own.")


def _number_faults(told: Assembly, engine: Engine) -> Iterator[Problem]:
    if told.thrust_main is not None and not 1 <= told.thrust_main <= engine.main_count:
        yield _fault("thrust_main", f"there is no main {told.thrust_main}: this engine has {engine.main_count}.")
    here = engine.positions(Place.CYLINDER)
    if any(Position(Place.CYLINDER, str(number)) not in here for number in told.one_angle):
        yield _fault("one_angle", "it names a cylinder that this engine does not have.")
    if len(set(told.one_angle)) < len(told.one_angle):
        yield _fault("one_angle", "it names a cylinder twice.")


def _fault(field: str, what: str) -> Problem:
    return Problem(f"assembly-{field}", what, f"Mend {field} in [assembly].").at(field=f"assembly.{field}")
